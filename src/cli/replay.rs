//! `nudgeproof replay SESSION.json`: what happened in a session.

use crate::files::read_session;
use crate::output::{Problem, print, print_json, say};
use nudgeproof::coach::{self, CostKnown};
use nudgeproof::geometry::{Point3, Pose, PoseFile};
use nudgeproof::routine::{
    RunEnd, RunKind, RunLog, RunSpeed, Search, SearchOutcome, Solution, SolutionOutcome, WeldTrace,
    rows_as_csv,
};
use nudgeproof::session::Session;
use nudgeproof::text::{Words, plain, signed};
use serde_json::{Value, json};
use std::fmt::Write as _;
use std::path::PathBuf;

/// Arguments of `replay`.
#[derive(clap::Args)]
pub(crate) struct ReplayArgs {
    /// Session file, as the page exports it
    session: PathBuf,
    /// Print every move and event of every run instead
    #[arg(long, value_enum)]
    log: Option<LogFormat>,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

/// Format of a log.
#[derive(Clone, Copy, clap::ValueEnum)]
enum LogFormat {
    Json,
    Csv,
}

impl ReplayArgs {
    pub(crate) fn run(&self) -> Result<(), Problem> {
        let session = read_session(&self.session)?;
        let Some(format) = self.log else {
            return if self.json {
                print_json(&report(&session))
            } else {
                say(&words_of(&session))
            };
        };
        let rows: Vec<_> = session.state().runs.iter().flat_map(|r| r.rows()).collect();
        match format {
            LogFormat::Json => print_json(&json!(rows)),
            LogFormat::Csv => print(&rows_as_csv(&rows)),
        }
    }
}

/// The same in words.
fn words_of(session: &Session) -> String {
    let header = session.header();
    let mut says = format!("{}, seed {}\n", header.part.title, header.seed);
    for run in &session.state().runs {
        says += &run_words(run);
    }
    let review = coach::review(session);
    for finding in &review.findings {
        let title = finding.rule.title(Words::default());
        _ = writeln!(says, "{title}: {}", finding.message);
        let costs = match finding.cost.known {
            CostKnown::Happened => "it costs",
            CostKnown::Rehearsed => "it would cost",
            CostKnown::NotYet => "its cost does not show yet",
        };
        if let Some(mm) = finding.cost.mm {
            _ = writeln!(says, "  {costs} {} mm", plain(mm, 1));
        }
        if let Some(event) = &finding.cost.event {
            _ = writeln!(says, "  {costs}: {event}");
        }
    }
    let score = &review.score;
    let parts = [("weld", &score.weld), ("method", &score.method), ("safety", &score.safety)];
    let parts = parts.map(|(name, part)| format!("{name} {} of {}", part.points, part.of));
    _ = writeln!(says, "score: {} of 100 ({})", score.total, parts.join(", "));
    says
}

/// How a run was made and ended, what it found and how its welds came out.
fn run_words(log: &RunLog) -> String {
    let kind = match log.kind {
        RunKind::Reference => "reference run",
        RunKind::Proof => "proof run",
        RunKind::Dry => "dry run",
        RunKind::Production => "production run",
        RunKind::Plain => "run without feeling",
    };
    let speed = match log.speed {
        RunSpeed::Reduced => "reduced speed",
        RunSpeed::Full => "full speed",
    };
    let arc = if log.arc { ", arc on" } else { "" };
    let end = match &log.end {
        Some(RunEnd::Finished) => format!("finished after {:.0} s", log.duration),
        Some(RunEnd::Stopped { step }) => format!("stopped at step {}", step.0),
        Some(RunEnd::GivenUp) => format!("given up after {:.0} s", log.duration),
        None => "paused".into(),
    };
    let mut says = format!("run {}, {kind}, {speed}{arc}: {end}\n", log.number);
    for solution in &log.solutions {
        let place = &solution.place;
        _ = match &solution.outcome {
            SolutionOutcome::ReferenceStored => writeln!(says, "  {place}: reference stored"),
            SolutionOutcome::Found { offset, .. } => {
                let at = PoseFile::from(*offset);
                let [x, y, z] = [at.dx, at.dy, at.dz].map(|mm| signed(mm, 2));
                let turn = signed(at.turn_deg, 2);
                writeln!(says, "  {place}: offset {x}, {y}, {z} mm, turn {turn}°")
            }
            SolutionOutcome::Refused { why, .. } => writeln!(says, "  {place}: not found: {why}"),
        };
    }
    for weld in &log.welds {
        let verdict = match (weld.whole, weld.landed) {
            (false, _) => "not welded to its end",
            (true, true) => "lands",
            (true, false) => "misses",
        };
        let (miss, allowed) = (signed(weld.worst_mm, 2), weld.tolerance_mm);
        _ = writeln!(says, "  {}: {verdict}, {miss} mm of ±{allowed} mm", weld.seam);
    }
    says
}

/// Runs, findings and score of a session.
fn report(session: &Session) -> Value {
    let header = session.header();
    let review = coach::review(session);
    let findings: Vec<_> = review
        .findings
        .iter()
        .map(|f| {
            json!({
                "rule": f.rule, "step": f.step, "point": f.point, "run": f.run,
                "message": f.message, "cost_mm": f.cost.mm, "cost_event": f.cost.event,
            })
        })
        .collect();
    json!({
        "part": header.part.name,
        "seed": header.seed,
        "runs": session.state().runs.iter().map(|r| run(r)).collect::<Vec<_>>(),
        "findings": findings,
        "score": review.score,
    })
}

fn run(log: &RunLog) -> Value {
    let (end, stopped_at) = match &log.end {
        Some(RunEnd::Finished) => ("finished", None),
        Some(RunEnd::Stopped { step }) => ("stopped", Some(*step)),
        Some(RunEnd::GivenUp) => ("given_up", None),
        None => ("paused", None),
    };
    json!({
        "number": log.number,
        "kind": log.kind,
        "speed": log.speed,
        "arc": log.arc,
        "end": end,
        "stopped_at": stopped_at,
        "duration_s": log.duration,
        "part": PoseFile::from(log.part),
        "touches": log.searches.iter().map(touch).collect::<Vec<_>>(),
        "finds": log.solutions.iter().map(find).collect::<Vec<_>>(),
        "offset": log.found().map(|(_, motion)| json!({
            "motion": PoseFile::from(motion),
            "shift_at_weld_start": log.welds.first().map(|w| shift_at(motion, w)),
        })),
        "seam_misses": log.welds.iter().map(|w| weld(log, w)).collect::<Vec<_>>(),
        "events": log.events,
    })
}

fn find(solution: &Solution) -> Value {
    let mut value = json!({
        "step": solution.step,
        "place": solution.place,
        "may": solution.may,
        "time_s": solution.time,
    });
    let outcome = match &solution.outcome {
        SolutionOutcome::ReferenceStored => json!({ "outcome": "reference_stored" }),
        SolutionOutcome::Found { located, offset } => json!({
            "outcome": "found",
            "offset": PoseFile::from(*offset),
            "residuals_mm": located.residuals.iter().collect::<Vec<_>>(),
            "rms_mm": located.rms,
            "redundancy": located.redundancy,
            "consistent": located.consistent,
        }),
        SolutionOutcome::Refused { code, why } => {
            json!({ "outcome": "refused", "code": code, "message": why })
        }
    };
    add(&mut value, outcome);
    value
}

/// Displacement of the taught weld start, mm.
fn shift_at(motion: Pose, weld: &WeldTrace) -> [f64; 3] {
    let taught: Point3<f64> = motion.inverse().point(&weld.wire[0]);
    motion.displacement(&taught).into()
}

fn touch(search: &Search) -> Value {
    let mut value = json!({
        "step": search.step,
        "face": search.face,
        "start": search.start,
        "direction": search.direction,
        "time_s": search.time,
    });
    let found = match &search.outcome {
        SearchOutcome::Touch { contact, reading, body, .. } => {
            json!({ "found": "touch", "contact": contact, "reading": reading, "body": body })
        }
        SearchOutcome::Nothing => json!({ "found": "nothing" }),
        SearchOutcome::AlreadyTouching { body } => {
            json!({ "found": "already_touching", "body": body })
        }
        SearchOutcome::NotFelt { body } => json!({ "found": "not_felt", "body": body }),
    };
    add(&mut value, found);
    value
}

/// Adds the keys of another object.
fn add(value: &mut Value, more: Value) {
    if let (Value::Object(all), Value::Object(more)) = (value, more) {
        all.extend(more);
    }
}

fn weld(log: &RunLog, weld: &WeldTrace) -> Value {
    json!({
        "seam": weld.seam,
        "step": weld.step,
        "whole": weld.whole,
        "start": weld.miss[0],
        "end": weld.miss[1],
        "sigma_across_mm": log.sigma_of(weld),
        "worst_mm": weld.worst_mm,
        "tolerance_mm": weld.tolerance_mm,
        "landed": weld.landed,
    })
}
