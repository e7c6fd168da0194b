//! `nudgeproof replay SESSION.json`: what happened in a session.

use crate::files::read_session;
use crate::output::{Problem, print, print_json};
use nudgeproof::coach;
use nudgeproof::geometry::{Point3, Pose, PoseFile};
use nudgeproof::locate::Fit;
use nudgeproof::routine::{
    RunEnd, RunLog, Search, SearchOutcome, SolutionOutcome, WeldTrace, rows_as_csv,
};
use nudgeproof::session::Session;
use serde_json::{Value, json};
use std::path::PathBuf;

/// Arguments of `replay`.
#[derive(clap::Args)]
pub(crate) struct ReplayArgs {
    /// Session file, as the page exports it
    session: PathBuf,
    /// Print every move and event of every run instead
    #[arg(long, value_enum)]
    log: Option<LogFormat>,
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
        let Some(format) = self.log else { return print_json(&report(&session)) };
        let rows: Vec<_> = session.state().runs.iter().flat_map(|r| r.rows()).collect();
        match format {
            LogFormat::Json => print_json(&json!(rows)),
            LogFormat::Csv => print(&rows_as_csv(&rows)),
        }
    }
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
        "offset": log.fit().map(|l| {
            let weld_start = log.welds.first().map(|w| shift_at(l.motion, w));
            json!({
                "motion": PoseFile::from(l.motion),
                "shift_at_weld_start": weld_start,
                "sigma_at_weld_start": log.welds.first().map(|w| sigma_at(l, w)),
                "residuals_mm": l.residuals.iter().collect::<Vec<_>>(),
                "rms_mm": l.rms,
                "redundancy": l.redundancy,
                "consistent": l.consistent,
            })
        }),
        "refusals": log.solutions.iter().filter_map(|s| match &s.outcome {
            SolutionOutcome::Refused { code, message } =>
                Some(json!({ "plan": s.plan, "code": code, "message": message })),
            _ => None,
        }).collect::<Vec<_>>(),
        "touches": log.searches.iter().map(touch).collect::<Vec<_>>(),
        "seam_misses": log.welds.iter().map(weld).collect::<Vec<_>>(),
        "events": log.events,
    })
}

/// Displacement of the taught weld start, mm.
fn shift_at(motion: Pose, weld: &WeldTrace) -> [f64; 3] {
    let taught: Point3<f64> = motion.inverse().point(&weld.wire[0]);
    motion.displacement(&taught).into()
}

/// Standard deviations of the located weld start, mm.
fn sigma_at(located: &Fit, weld: &WeldTrace) -> Value {
    let taught = weld.wire.map(|p| located.motion.inverse().point(&p));
    let at = located.at_point(&taught[0], &(taught[1] - taught[0]));
    json!({ "along_mm": at.sigma_along_mm, "across_mm": at.sigma_across_mm })
}

fn touch(search: &Search) -> Value {
    let mut value = json!({
        "step": search.step,
        "plan": search.plan,
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
    };
    if let (Value::Object(all), Value::Object(more)) = (&mut value, found) {
        all.extend(more);
    }
    value
}

fn weld(weld: &WeldTrace) -> Value {
    json!({
        "seam": weld.seam,
        "step": weld.step,
        "start": weld.miss[0],
        "end": weld.miss[1],
        "worst_mm": weld.worst_mm,
        "tolerance_mm": weld.tolerance_mm,
        "landed": weld.landed,
    })
}
