//! `nudgeproof study SESSION.json`: many production runs of a session's routine.

use crate::files::read_session;
use crate::output::{Problem, print, print_json};
use nudgeproof::session::{Action, EndTally, Histogram, Session, Study, StudyError, Tally};
use serde_json::json;
use std::path::PathBuf;

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
}

impl StudyArgs {
    pub(crate) fn run(&self) -> Result<(), Problem> {
        let session = read_session(&self.session)?;
        let named = |e: StudyError| format!("{}: {e}", self.session.display());
        let study = Study::new(session.state(), self.seed).map_err(named)?;
        if let Some(part) = self.part {
            return print_part(session, study.actions_of(part));
        }
        let cores = || std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
        let threads = self.threads.unwrap_or_else(cores).clamp(1, 256);
        let tally = shared_out(&study, self.runs as usize, threads);
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

/// Study numbered from 1, in as many ranges as threads.
fn shared_out(study: &Study, runs: usize, threads: usize) -> Tally {
    let bound = |i: usize| 1 + runs * i / threads;
    std::thread::scope(|scope| {
        let workers: Vec<_> =
            (0..threads).map(|i| scope.spawn(move || study.run(bound(i)..bound(i + 1)))).collect();
        let mut all = Tally::default();
        for worker in workers {
            all.merge(&worker.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)));
        }
        all
    })
}
