use super::help::{above_of, add, clear_of, go, new_name, teach};
use super::watching::same_moves;
use crate::coach::facts::{Facts, RunFacts, TouchFacts, motion_after};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::rule_name::RuleName;
use crate::geometry::Point3;
use crate::routine::{Event, EventKind, Instruction, LegKind, PathKind, RunLog};
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::NoClearMove,
    title: "The torch does not move clear",
    asks: "The torch rises or backs off between faces and after feeling.",
    weight: Severity::Ruins,
    skill: Skill::WriteRoutine,
    page: include_str!("no_clear_move.md"),
    hints: [
        "The wire has just touched a face. Which way is out?",
        "Look at the move after the touch: does it lead through the part?",
        "Add a move to a point off the part, higher up, before the torch goes elsewhere.",
    ],
    reads: Reads::WholeRoutine,
    check,
    mend,
    without_mistake: None,
    traits: RuleTraits::USUAL,
};

fn check(f: &Facts) -> Vec<Finding> {
    let mut found: Vec<Finding> = f
        .touches
        .iter()
        .filter_map(|t| {
            let next = next_place(f, t)?;
            let says = format!(
                "After the touch on {} the torch goes straight on to {}: first it has to back off or rise.",
                t.face, next
            );
            Some(RULE.says(says).step(f.id(t.step)).point(&t.point))
        })
        .collect();
    if found.is_empty() {
        found.extend(ran_into(f));
    }
    found
}

/// The step after a touch, if the torch should have moved clear first.
fn next_place(f: &Facts, t: &TouchFacts) -> Option<String> {
    let next = motion_after(f.routine, t.step)?;
    let to = f.routine.steps[next].instruction.point()?.to_owned();
    let ends = t.start + t.direction * t.meets().map_or(0.0, |m| m.travel);
    match &f.routine.steps[next].instruction {
        Instruction::WeldStart { .. } => Some(to),
        Instruction::Feel { .. } => {
            let other = f.touches.iter().find(|o| o.step == next)?;
            let same = t.shares_face(other) || t.face == other.face;
            (!same).then_some(to)
        }
        Instruction::Move { .. } => {
            let weld = motion_after(f.routine, next)?;
            let starts = matches!(f.routine.steps[weld].instruction, Instruction::WeldStart { .. });
            (starts && approaches(f, next, weld, &ends)).then_some(to)
        }
        _ => None,
    }
}

/// Whether a move before a weld start is the approach and not a clear move: it follows the part and
/// is nearer to the weld.
fn approaches(f: &Facts, i: usize, weld: usize, touch: &Point3<f64>) -> bool {
    let follows = f.structure.follow_at(i).is_some();
    let nearer =
        f.at(i).zip(f.at(weld)).is_some_and(|(at, weld)| (at - weld).norm() < (at - touch).norm());
    nearer && (follows || super::seam_not_followed::near(f, i, weld))
}

/// A move on which wire or nozzle ran into something.
fn ran_into(f: &Facts) -> Option<Finding> {
    let hits = |r: &RunFacts| r.log.events.iter().find_map(|e| hit(&r.log, e)).is_some();
    // Only runs of the routine as it is now, since the last good reference.
    let since = f.runs.iter().rposition(RunFacts::good_reference).unwrap_or(0);
    let run = f.runs[since..].iter().find(|r| hits(r) && same_moves(&r.routine, f.routine))?;
    // A wire bent before is another finding, and so are touches that disagree; obstacles that the
    // drawing does not show are none.
    let disagree = run.log.found().is_some_and(|(fit, _)| !fit.consistent);
    if run.wire.bend.norm() > 0.0 || run.strange || disagree {
        return None;
    }
    let (event, body) = run.log.events.iter().find_map(|e| Some((e, hit(&run.log, e)?)))?;
    let i = f.place(Some(event.step))?;
    let says = format!(
        "On {} the torch ran into {body}: the way there has to lead clear of it.",
        f.name(i)
    );
    Some(RULE.says(says).step(event.step).run(run.number).time(Some(event.time)))
}

/// What the torch ran into at this event, if it did so outside a search.
fn hit<'e>(log: &RunLog, event: &'e Event) -> Option<&'e str> {
    let (EventKind::Crash { body, .. } | EventKind::WireBent { body, .. }) = &event.what else {
        return None;
    };
    let leg = log.leg_at(event.time)?;
    (leg.kind != LegKind::Search).then_some(body)
}

fn mend(f: &Facts, finding: &Finding) -> Option<Vec<Action>> {
    let i = f.place(finding.step)?;
    let touch = f.touches.iter().find(|t| t.step == i);
    if let (Some(t), None) = (touch, finding.run) {
        let name = new_name(f, "clear");
        let at = clear_of(&t.start, &t.direction);
        let mut edits = vec![teach(&name, at), add(i + 1, go(&name, PathKind::Linear))];
        // Over the part to the next face.
        let next = motion_after(f.routine, i);
        if let Some(o) = f.touches.iter().find(|o| Some(o.step) == next) {
            let above = new_name(f, "above");
            edits.push(teach(&above, above_of(&o.start, &o.direction)));
            edits.push(add(i + 2, go(&above, PathKind::Joint)));
        }
        return Some(edits);
    }
    // Over the obstacle: straight up before the move that hit it.
    let before = crate::coach::facts::motion_before(f.routine, i)?;
    let mut at = f.at(before)?;
    at.z += super::help::CLEAR_MM;
    let name = new_name(f, "clear");
    let mut edits = vec![teach(&name, at), add(i, go(&name, PathKind::Linear))];
    // To the start of a search from high above.
    if let Some(t) = touch {
        let above = new_name(f, "above");
        edits.push(teach(&above, above_of(&t.start, &t.direction)));
        edits.push(add(i + 1, go(&above, PathKind::Joint)));
    }
    Some(edits)
}
