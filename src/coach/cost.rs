use super::facts::{Facts, still};
use super::finding::{Cost, Finding};
use super::rule::Rule;
use super::script::Script;
use crate::cell::TorchPart;
use crate::routine::{EventKind, RunLog, SearchOutcome};
use crate::session::{Action, Header, Session};

/// Smaller differences than this at the seam are noise of the readings, mm (half the default
/// repeatability of one touch).
const NOTHING_MM: f64 = 0.05;

/// What a finding costs: the session (or, before there is a production run, the standard
/// rehearsal) with the mistake against the same without it.
pub(super) fn cost(facts: &Facts, rule: &Rule, finding: &Finding) -> Cost {
    let Some(session) = facts.session else { return Cost::default() };
    if rule.name == super::rules::HOME_FOLLOWS_PART {
        return carried(facts, finding);
    }
    if let Some(unmake) = rule.unmake {
        let mut script = Script::of(session);
        unmake(facts, finding, &mut script);
        let Some(other) = script.play(session.header()) else { return Cost::default() };
        return compare(session, &other, facts);
    }
    let Some(edits) = (rule.mend)(facts, finding) else { return Cost::default() };
    let welded = facts
        .runs
        .iter()
        .any(|r| r.compares() && !still(&r.part, &facts.taught) && r.log.end.is_some());
    let header = session.header();
    if welded {
        let mut script = Script::of(session);
        for take in script.takes() {
            take.routine = edited(&take.routine, &edits, header);
        }
        if let Some(other) = script.play(header) {
            let cost = compare(session, &other, facts);
            if cost != Cost::default() {
                return cost;
            }
        }
    }
    let play = &facts.state.part.play;
    let rehearse =
        |routine| Script::rehearsal(routine, facts.taught, play, header.seed).play(header);
    let mended = edited(facts.routine, &edits, header);
    match (rehearse(facts.routine), rehearse(&mended)) {
        (Some(with), Some(without)) => compare(&with, &without, facts),
        _ => Cost::default(),
    }
}

/// The routine after these edits; edits that do not fit it are left out, and what is not an edit
/// of the routine is not done.
pub(super) fn edited(
    routine: &crate::routine::Routine,
    edits: &[Action],
    header: &Header,
) -> crate::routine::Routine {
    let Ok(mut session) = Session::new(header.clone()) else { return routine.clone() };
    if session.act(Action::LoadRoutine { routine: routine.clone() }).is_err() {
        return routine.clone();
    }
    let flags: Vec<_> = routine.plans.iter().map(|p| p.reference).collect();
    for edit in edits {
        let of_routine = matches!(
            edit,
            Action::AddStep { .. }
                | Action::ChangeStep { .. }
                | Action::DeleteStep { .. }
                | Action::MoveStep { .. }
                | Action::Teach { .. }
                | Action::SetPlan { .. }
        );
        if of_routine {
            let _ = session.act(edit.clone());
        }
    }
    let mut mended = (*session.state().routine).clone();
    // The mend is about the routine: each run keeps the flag it was run with.
    for (plan, flag) in mended.plans.iter_mut().zip(flags) {
        plan.reference = flag;
    }
    mended
}

/// How far home was missed in the run with the mistake; without it, home does not move at all.
fn carried(facts: &Facts, finding: &Finding) -> Cost {
    let in_log = |log: &RunLog| {
        let carried = log.events.iter().filter_map(|e| match e.what {
            EventKind::HomeCarried { by_mm } if Some(e.step) == finding.step => Some(by_mm),
            _ => None,
        });
        carried.fold(None, |a: Option<f64>, b| Some(a.map_or(b, |a| a.max(b))))
    };
    let last = facts.runs.iter().rev().find_map(|r| in_log(&r.log).filter(|mm| *mm > NOTHING_MM));
    let mm = last.or_else(|| {
        let header = facts.session?.header();
        let play = &facts.state.part.play;
        let script = Script::rehearsal(facts.routine, facts.taught, play, header.seed);
        in_log(script.play(header)?.state().last_run()?)
    });
    Cost { mm, event: mm.map(|mm| format!("the torch ends {mm:.1} mm away from home")) }
}

/// Compares the last run on a moved part (or, if the part never moved, the last run) of both
/// sessions, counted from the end, and what stopped any of their runs.
fn compare(with: &Session, without: &Session, facts: &Facts) -> Cost {
    let (a, b) = (&with.state().runs, &without.state().runs);
    let event =
        a.iter().find_map(|r| stopped_by(r)).filter(|_| b.iter().all(|r| stopped_by(r).is_none()));
    let from_end = a.iter().rev().position(|r| !still(&r.part, &facts.taught)).unwrap_or(0);
    let at = |runs: &Vec<std::sync::Arc<RunLog>>| {
        runs.len().checked_sub(from_end + 1).and_then(|i| runs[i].worst_miss())
    };
    let mm = at(a).zip(at(b)).map(|(with, without)| with.abs() - without.abs());
    let mm = mm.filter(|mm| mm.abs() >= NOTHING_MM);
    let event = event.or_else(|| match (at(a), at(b)) {
        (None, Some(_)) => Some("nothing is welded".into()),
        _ => None,
    });
    Cost { mm, event }
}

/// What stopped a run, in plain words; `None` if it went through.
pub(super) fn stopped_by(log: &RunLog) -> Option<String> {
    log.events.iter().find_map(|e| match &e.what {
        EventKind::Crash { hit_by, body, .. } => {
            let what = match hit_by {
                TorchPart::Wire => "the wire",
                TorchPart::Nozzle => "the nozzle",
            };
            Some(format!("{what} runs into {body}"))
        }
        EventKind::SearchFailed { search } => {
            let search = log.searches.get(*search)?;
            Some(match &search.outcome {
                SearchOutcome::AlreadyTouching { body } => {
                    format!("the search on {} starts with the wire against {body}", search.face)
                }
                _ => format!("the search on {} finds nothing", search.face),
            })
        }
        EventKind::OffsetRefused { message, .. } => {
            Some(format!("the offset cannot be found: {message}"))
        }
        EventKind::CannotDo { why } => Some(format!("the run stops: {why}")),
        _ => None,
    })
}
