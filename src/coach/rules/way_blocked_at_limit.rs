use super::help::{CLEAR_MM, above_of, add, go, new_name, teach};
use super::watching::same_moves;
use crate::coach::edited::edited;
use crate::coach::facts::{
    Facts, Hit, RunFacts, hits, motion_after, motion_before, says_limit, still,
};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::pieces::at_once;
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::geometry::Vector3;
use crate::routine::{Event, EventKind, Instruction, LegKind, PathKind, RunLog};
use crate::session::Action;
use crate::text::{RuleName, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::WayBlockedAtLimit,
    weight: Severity::Ruins,
    skill: Skill::WriteRoutine,
    page: include_str!("way_blocked_at_limit.md"),
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

fn check(f: &Facts) -> Vec<Finding> {
    let found: Vec<Finding> = f
        .hits
        .iter()
        .filter(|hit| !has_another_cause(f, hit))
        .map(|hit| {
            let (step, body) = (f.step(hit.step), say::body(&hit.body));
            let limit = hit.limit.as_ref().map(|place| says_limit(&f.state.part, place));
            let says = match (hit.nozzle, limit) {
                (true, None) => say::nozzle_meets(step, body),
                (false, None) => say::wire_meets(step, body),
                (true, Some(limit)) => say::nozzle_meets_at(step, body, limit),
                (false, Some(limit)) => say::wire_meets_at(step, body, limit),
            };
            let finding = RULE.says(says).step(f.id(hit.step));
            match in_a_run(f, hit) {
                Some((run, time)) => finding.run(run).time(Some(time)),
                None => finding,
            }
        })
        .collect();
    if found.is_empty() { ran_into(f).into_iter().collect() } else { found }
}

/// Whether something else in the routine leads the torch there: that is the mistake.
fn has_another_cause(f: &Facts, hit: &Hit) -> bool {
    let step = hit.step;
    let follow = f.structure.follow_at(step);
    // Home rides with the part, or everything does.
    let rides_on =
        follow.is_some_and(|x| x.end.is_none() || f.routine.steps[step].instruction.is_home());
    let weld = |i: Option<usize>| i.is_some_and(|i| f.routine.steps[i].instruction.is_weld());
    let enters = super::no_approach::missing(f).contains(&step);
    let leaves = super::no_retreat::missing(f)
        .iter()
        .any(|&end| end == step || motion_after(f.routine, end) == Some(step));
    let left_out = super::seam_not_followed::left_out(f);
    let not_followed = left_out.contains(&step)
        || (weld(motion_before(f.routine, step)) || weld(Some(step))) && !left_out.is_empty();
    // A weld step, or the one that the way comes from, was taught with the part lying elsewhere.
    let elsewhere = |i: usize| {
        f.routine.steps[i].instruction.point().is_some_and(|point| {
            let stored_for = f.state.taught.stored_for(point);
            weld(Some(i)) && !still(&stored_for.part, &f.taught)
        })
    };
    let taught_elsewhere = follow.is_some()
        && (elsewhere(step) || motion_before(f.routine, step).is_some_and(elsewhere));
    super::no_clear_move::is_cause(f, hit)
        || rides_on
        || enters
        || leaves
        || not_followed
        || taught_elsewhere
        || super::no_clear_move::starts_wrong(f, step)
        || super::weld_point_off_seam::is_wrong(f, step)
}

/// The learner's first run in which the torch ran into this on that step, and when, s.
fn in_a_run(f: &Facts, hit: &Hit) -> Option<(usize, f64)> {
    let id = f.id(hit.step);
    f.current().iter().find_map(|r| {
        let here = |e: &&Event| e.step == id && ran_into_at(&r.log, e) == Some(&hit.body);
        r.log.events.iter().find(here).map(|e| (r.number, e.time))
    })
}

/// A move on which wire or nozzle ran into something though it is clear at the limits of the play.
fn ran_into(f: &Facts) -> Option<Finding> {
    let hits = |r: &RunFacts| r.log.events.iter().find_map(|e| ran_into_at(&r.log, e)).is_some();
    // Only runs of the routine as it is now, since the last good reference.
    let since = f.runs.iter().rposition(RunFacts::good_reference).unwrap_or(0);
    let run = f.runs[since..].iter().find(|r| hits(r) && same_moves(&r.routine, f.routine))?;
    // A wire bent before is another finding, and so are touches that disagree; obstacles that the
    // drawing does not show are none.
    let disagree = run.log.found().is_some_and(|(fit, _)| !fit.consistent);
    if run.wire.bend.norm() > 0.0 || run.strange || disagree {
        return None;
    }
    let (event, body) = run.log.events.iter().find_map(|e| Some((e, ran_into_at(&run.log, e)?)))?;
    let i = f.place(Some(event.step)).filter(|i| f.hits.iter().all(|hit| hit.step != *i))?;
    let says = say::torch_ran_into(f.step(i), say::body(body));
    Some(RULE.says(says).step(event.step).run(run.number).time(Some(event.time)))
}

/// What the torch ran into at this event, if it did so outside a search.
fn ran_into_at<'e>(log: &RunLog, event: &'e Event) -> Option<&'e str> {
    let (EventKind::Crash { body, .. } | EventKind::WireBent { body, .. }) = &event.what else {
        return None;
    };
    let leg = log.leg_at(event.time)?;
    (leg.kind != LegKind::Search).then_some(body)
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let i = f.place(finding.step)?;
    let ways: Vec<Vec<Action>> = [over(f, i), higher(f, i)].into_iter().flatten().collect();
    let clear = ways.iter().position(|edits| clears(f, i, edits));
    ways.into_iter().nth(clear.unwrap_or(0))
}

/// Over the obstacle: straight up before the move that hit it.
fn over(f: &Facts, i: usize) -> Option<Vec<Action>> {
    let mut at = f.at(motion_before(f.routine, i)?)?;
    at.z += CLEAR_MM;
    let name = new_name(f, "clear");
    let mut edits = vec![teach(&name, at), add(i, go(&name, PathKind::Linear))];
    // To the start of a search from high above.
    if let Some(t) = f.touches.iter().find(|t| t.step == i) {
        let above = new_name(f, "above");
        edits.push(teach(&above, above_of(&t.start, &t.direction)));
        edits.push(add(i + 1, go(&above, PathKind::Joint)));
    }
    Some(edits)
}

/// To a place above the one that the torch goes to.
fn higher(f: &Facts, i: usize) -> Option<Vec<Action>> {
    let Instruction::Move { to, .. } = &f.routine.steps[i].instruction else { return None };
    Some(vec![teach(to, f.at(i)? + Vector3::z() * CLEAR_MM)])
}

/// Whether the way to step `i` is clear with these edits.
fn clears(f: &Facts, i: usize, edits: &[Action]) -> bool {
    let routine = edited(f.routine, edits, &f.state.part);
    let step = routine.index_of(f.id(i));
    at_once(hits(f.state, &routine, f.taught)).iter().all(|hit| Some(hit.step) != step)
}
