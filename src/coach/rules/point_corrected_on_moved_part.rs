use super::help::teach;
use crate::coach::facts::{Facts, RunFacts, still};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::script::Script;
use crate::geometry::{Point3, Pose};
use crate::routine::Instruction;
use crate::session::Action;
use crate::text::{RuleName, angle, mm, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::PointCorrectedOnMovedPart,
    weight: Severity::Ruins,
    skill: Skill::KeepFrame,
    page: include_str!("point_corrected_on_moved_part.md"),
    reads: Reads::Session,
    check,
    mend,
    without_mistake: Some(without_mistake),
    traits: RuleTraits { silences: &[RuleName::FirstRunTooFast], ..RuleTraits::USUAL },
};

/// A weld point that was taught for another place of the part than it is welded from.
struct Misplaced<'f> {
    point: &'f str,
    at: Point3<f64>,
    /// Place of the action that taught it.
    action: Option<usize>,
    /// Where the part then lay.
    part: Pose,
    /// Where it lay in the reference run, or else when the first weld point was taught.
    belongs: Pose,
    reference: bool,
}

impl Misplaced<'_> {
    /// The same point of the part, with the part where it belongs.
    fn put_back(&self) -> Point3<f64> {
        (self.belongs * self.part.inverse()).point(&self.at)
    }
}

fn misplaced<'f>(f: &'f Facts) -> Vec<Misplaced<'f>> {
    let taught = &f.state.taught;
    let names = f.routine.weld_points();
    let lay = |name: &str| taught.stored_for(name).part;
    let first = names.iter().next().map(|name| lay(name));
    let agree = names.iter().all(|name| first.is_some_and(|first| still(&first, &lay(name))));
    let points = f.routine.points.iter().filter(|p| names.contains(p.name.as_str()));
    let all = points.filter_map(|p| {
        let how = taught.last().find(|(name, _)| *name == p.name).map(|(_, how)| how);
        let action = how.map(|how| how.action);
        let reference =
            followed_at(f, &p.name).and_then(|place| f.state.memory.references.get(place));
        let (part, belongs) = (lay(&p.name), reference.map_or(f.taught, |r| r.part));
        let stored = reference.and_then(|r| f.runs.get(r.run.checked_sub(1)?));
        let later = stored.is_some_and(|run| action > Some(run.action));
        // All of them taught anew where the part now lies is a new job, until its old reference is used.
        let used = f.runs.iter().any(|r| r.compares() && Some(r.action) > action);
        let wrong = !still(&part, &belongs) && (!agree || (later && used));
        let reference = reference.is_some();
        wrong.then_some(Misplaced { point: &p.name, at: p.at, action, part, belongs, reference })
    });
    all.collect()
}

/// The place that is followed where this point is welded.
fn followed_at<'f>(f: &'f Facts, point: &str) -> Option<&'f str> {
    f.routine.steps.iter().enumerate().find_map(|(i, s)| {
        let welds = matches!(
            s.instruction,
            Instruction::WeldStart { .. }
                | Instruction::WeldThrough { .. }
                | Instruction::WeldEnd { .. }
        );
        let is_it = welds && s.instruction.point() == Some(point);
        is_it.then(|| f.structure.follow_at(i)).flatten().map(|block| block.place.as_str())
    })
}

fn check(f: &Facts) -> Vec<Finding> {
    let all = misplaced(f);
    let Some(last) = all.iter().max_by_key(|p| p.action) else { return Vec::new() };
    let run: Option<&RunFacts> = f.runs.iter().rev().find(|r| Some(r.action) < last.action);
    let by = last.belongs.inverse() * last.part;
    let far = mm(by.displacement(&Point3::from(f.state.part.play.about)).norm(), 1);
    let turned = angle(by.angle(), 1);
    let says = if last.reference {
        say::point_off_reference(last.point, far, turned)
    } else {
        say::point_off_others(last.point, far, turned)
    };
    let finding = RULE.says(says).point(last.point);
    vec![match run {
        Some(r) => finding.run(r.number),
        None => finding,
    }]
}

/// The part back in its place, and there the points on the same places of the part.
fn mend(f: &Facts, _: &Finding) -> Option<Vec<Action>> {
    let all = misplaced(f);
    let mut edits: Vec<Action> =
        f.state.paused.is_some().then_some(Action::Abort).into_iter().collect();
    edits.extend(f.state.by_hand([Action::place_part(all.first()?.belongs)]));
    edits.extend(all.iter().map(|p| teach(p.point, p.put_back())));
    Some(edits)
}

fn without_mistake(f: &Facts, _: &Finding, script: &mut Script) {
    let all = misplaced(f);
    script.edit(|routine| {
        let mut routine = routine.clone();
        for p in &mut routine.points {
            if let Some(wrong) = all.iter().find(|wrong| wrong.at == p.at) {
                p.at = wrong.put_back();
            }
        }
        routine
    });
}
