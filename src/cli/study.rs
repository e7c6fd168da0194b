//! `nudgeproof study SESSION.json`: many production runs of a session's routine.

use crate::files::read_session;
use crate::output::{Problem, print, print_json, say};
use crate::progress::Progress;
use crate::threads::on_threads;
use nudgeproof::locate::STATED_SIGMAS;
use nudgeproof::session::{
    Action, EndTally, Histogram, Session, StopReason, StopTally, Study, StudyError, Tally,
};
use nudgeproof::text::{plain, signed};
use rayon::prelude::*;
use serde_json::json;
use std::fmt::Write as _;
use std::ops::Range;
use std::path::PathBuf;

/// Runs of a range: its cell is set up once.
const AT_A_TIME: usize = 500;

/// Arguments of `study`.
#[derive(clap::Args)]
pub(crate) struct StudyArgs {
    /// Session file with a reference run, as the page exports it
    session: PathBuf,
    /// How many runs
    #[arg(long, default_value_t = 10_000, value_parser = clap::value_parser!(u32).range(1..))]
    runs: u32,
    /// Seed of the nudges and the noise
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Threads; as many as the machine has cores if left out. The result does not depend on it
    #[arg(long)]
    threads: Option<usize>,
    /// Instead, write the session in which the part of this number is the next ordinary run, to watch it
    #[arg(long)]
    part: Option<usize>,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

impl StudyArgs {
    pub(crate) fn run(&self) -> Result<(), Problem> {
        let session = read_session(&self.session)?;
        let named = |e: StudyError| format!("{}: {e}", self.session.display());
        let study = Study::new(session.state(), self.seed).map_err(named)?;
        if let Some(part) = self.part {
            return print_part(session, study.actions_of(part));
        }
        let tally = on_threads(self.threads, || shared_out(&study, self.runs as usize))?;
        if !self.json {
            return say(&words_of(&session, &tally));
        }
        let tolerance = session.header().part.seams.first().map(|s| s.tolerance_mm);
        let share = |n: usize| n as f64 / tally.runs as f64;
        print_json(&json!({
            "part": session.header().part.name,
            "seed": self.seed,
            "runs": tally.runs,
            "stopped": tally.stopped,
            "landed": tally.landed,
            "share_inside_tolerance": share(tally.landed),
            "tolerance_mm": tolerance,
            "seam_miss_mm": {
                "p50": tally.worst_mm.percentile(0.50),
                "p90": tally.worst_mm.percentile(0.90),
                "p95": tally.worst_mm.percentile(0.95),
                "p99": tally.worst_mm.percentile(0.99),
                "worst": tally.worst_mm.percentile(1.0),
            },
            "weld_ends": tally.ends.iter().map(weld_end).collect::<Vec<_>>(),
            "stops": tally.stops,
            "worst_parts": tally.worst,
        }))
    }
}

/// The study in words.
fn words_of(session: &Session, tally: &Tally) -> String {
    let of = |part: usize, all: usize| plain(100.0 * part as f64 / all as f64, 1);
    let Tally { runs, landed, stopped, .. } = *tally;
    let title = &session.header().part.title;
    let mut says = format!("{title}: {runs} runs, {landed} landed ({} %)\n", of(landed, runs));
    let share = |share| tally.worst_mm.percentile(share).map(|mm| plain(mm, 2));
    if let [Some(half), Some(most), Some(worst)] = [0.5, 0.95, 1.0].map(share) {
        _ = writeln!(
            says,
            "largest seam miss: half within {half} mm, 95 of 100 within {most} mm, worst {worst} mm"
        );
    }
    for end in &tally.ends {
        let (at, step) = (if end.at_end { "end" } else { "start" }, end.step.0);
        let mean = end.across.mean().map_or_else(String::new, |mm| signed(mm, 2));
        let spread = end.across.sigma().unwrap_or_default() * STATED_SIGMAS;
        let inside = of(end.inside, end.across.count());
        _ = writeln!(
            says,
            "step {step}, weld {at}, {}: mean {mean} mm, spread ±{} mm, {inside} % within ±{} mm",
            end.seam,
            plain(spread, 2),
            end.tolerance_mm
        );
    }
    if stopped > 0 {
        _ = writeln!(says, "{stopped} runs stopped:");
    }
    for stop in &tally.stops {
        let why = match &stop.why {
            StopReason::NozzleMeets { body } => format!("the nozzle meets {body}"),
            StopReason::NothingFelt => "nothing felt".into(),
            StopReason::AlreadyTouching { body } => format!("already touching {body}"),
            StopReason::NotFelt { body } => format!("{body} met and not felt"),
            StopReason::PlaceNotFound { place } => format!("{place} not found"),
            StopReason::CannotDo => "it cannot be done".into(),
        };
        let StopTally { step, runs, first, .. } = stop;
        _ = writeln!(says, "  step {}: {why}, {runs} times, first part {first}", step.0);
    }
    if let Some(worst) = tally.worst.first() {
        let (part, miss) = (worst.part, signed(worst.miss_mm, 2));
        _ = writeln!(says, "worst part: {part}, {miss} mm (--part {part} to watch it)");
    }
    says
}

/// Prints the session with a part of its study as its last run.
fn print_part(mut session: Session, actions: Vec<Action>) -> Result<(), Problem> {
    session.act_all(actions).map_err(|e| e.to_string())?;
    print(&session.to_json())
}

/// How the runs came out at one weld end.
fn weld_end(end: &EndTally) -> serde_json::Value {
    let spread =
        |h: &Histogram| json!({ "mean": h.mean(), "sigma": h.sigma(), "furthest": h.furthest() });
    json!({
        "step": end.step,
        "end": if end.at_end { "end" } else { "start" },
        "seam": end.seam,
        "tolerance_mm": end.tolerance_mm,
        "across_mm": spread(&end.across),
        "height_mm": spread(&end.height),
        "share_inside_tolerance": end.inside as f64 / end.across.count() as f64,
        "cpk_if_normally_distributed": end.capability().map(|c| c.cpk),
    })
}

/// Parts numbered from 1, in ranges that are run on all threads.
fn shared_out(study: &Study, runs: usize) -> Tally {
    let progress = Progress::of(Some(runs as u64), "runs");
    let ranges: Vec<_> =
        (1..=runs).step_by(AT_A_TIME).map(|from| from..(from + AT_A_TIME).min(runs + 1)).collect();
    let tally = |range: Range<usize>| {
        let count = range.len() as u64;
        let tally = study.run(range);
        progress.advance(count);
        tally
    };
    let both = |mut all: Tally, more: Tally| {
        all.merge(&more);
        all
    };
    ranges.into_par_iter().map(tally).reduce(Tally::default, both)
}
