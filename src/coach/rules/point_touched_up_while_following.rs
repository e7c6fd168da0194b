use super::help::teach;
use crate::coach::facts::{Facts, still};
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits};
use crate::coach::rule_name::RuleName;
use crate::coach::script::Script;
use crate::geometry::Point3;
use crate::session::Action;

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::PointTouchedUpWhileFollowing,
    title: "A weld point was corrected on the moved part",
    asks: "A weld point corrected on a moved part is stored back on the reference part.",
    weight: Severity::Ruins,
    skill: Skill::KeepFrame,
    page: include_str!("point_touched_up_while_following.md"),
    hints: [
        "Is the place you correct the place on this part, or on the part the point was taught on?",
        "Look at which point was taught again after the part had moved.",
        "Correct the point on the part in its reference place, or in a paused run while it follows the part.",
    ],
    reads: Reads::Session,
    check,
    mend,
    without_mistake: Some(without_mistake),
    traits: RuleTraits { silences: &[RuleName::FirstRunTooFast], ..RuleTraits::USUAL },
};

/// The last correction of a carried point on a moved part: place of the action, the point, and
/// where it was before.
fn last<'f>(f: &'f Facts) -> Option<(usize, &'f str, Point3<f64>)> {
    let carried = |name: &str| {
        f.routine.steps.iter().enumerate().any(|(i, s)| {
            f.structure.follow_at(i).is_some()
                && s.instruction.point() == Some(name)
                && !s.instruction.is_home()
        })
    };
    let corrected = f.state.taught.last().filter_map(|(point, how)| {
        let (old, reference) = (how.before?, how.reference_part?);
        let moved = !still(&how.part, &reference);
        // Every weld point taught anew where the part now lies is a new job, not a touch-up.
        let new_job = still(&f.taught, &how.part);
        (!how.carried && moved && !new_job && carried(point)).then_some((how.action, point, old))
    });
    corrected.max_by_key(|(action, ..)| *action)
}

fn check(f: &Facts) -> Vec<Finding> {
    let Some((action, point, _)) = last(f) else { return Vec::new() };
    let run = f.runs.iter().rev().find(|r| r.action < action);
    let says = format!(
        "{point} was corrected on the moved part: it is stored as if the part lay in its reference place, and is wrong on every part from now on."
    );
    let finding = RULE.says(says).point(point);
    vec![match run {
        Some(r) => finding.run(r.number),
        None => finding,
    }]
}

fn mend(f: &Facts, _: &Finding) -> Option<Vec<Action>> {
    let (_, point, old) = last(f)?;
    Some(vec![teach(point, old)])
}

fn without_mistake(f: &Facts, _: &Finding, script: &mut Script) {
    let Some((_, point, old)) = last(f) else { return };
    script.edit(|routine| {
        let mut routine = routine.clone();
        for p in routine.points.iter_mut().filter(|p| p.name == point) {
            p.at = old;
        }
        routine
    });
}
