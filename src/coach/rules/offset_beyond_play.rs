use super::watching::{done_before, run_of};
use crate::cell::{Body, FixturePlay, Part};
use crate::coach::facts::Facts;
use crate::coach::finding::{Finding, Severity, Skill};
use crate::coach::rule::{Reads, Rule, RuleTraits, cannot_mend};
use crate::coach::script::Script;
use crate::geometry::{Point3, Pose};
use crate::routine::{EventKind, RunLog, Search, SearchOutcome};
use crate::session::Action;
use crate::text::{RuleName, angle, mm, say};

pub(in crate::coach) const RULE: Rule = Rule {
    name: RuleName::OffsetBeyondPlay,
    weight: Severity::Misses,
    skill: Skill::ReadResult,
    page: include_str!("offset_beyond_play.md"),
    reads: Reads::Session,
    check,
    mend: cannot_mend,
    without_mistake: Some(without_mistake),
    traits: RuleTraits::USUAL,
};

/// Tolerance on the limits of the play, mm and radians (1 mm is ten times the default repeatability of
/// a touch; common practice, no source).
const MARGIN: (f64, f64) = (1.0, 0.01);

/// The play of what a run touched: of the part, and of a touched body with a play of its own on top.
fn play_of_the_touched(part: &Part, log: &RunLog) -> FixturePlay {
    let on = |s: &Search, b: &Body| matches!(&s.outcome, SearchOutcome::Touch { body, .. } if *body == b.name);
    let touched = |b: &&Body| log.searches.iter().any(|s| on(s, b));
    let own = part.bodies.iter().filter(touched).filter_map(|b| b.play);
    own.fold(part.play, |all, own| FixturePlay {
        about: all.about,
        dx: all.dx + own.dx,
        dy: all.dy + own.dy,
        dz: all.dz + own.dz,
        turn_deg: all.turn_deg + own.turn_deg,
        tilt_deg: all.tilt_deg + own.tilt_deg,
    })
}

/// Excess of an offset over the play: mm, radians. The displacement depends on the point: there is an
/// excess only if both the fixture's point and the frame origin, for which it is shown, are beyond the
/// limits.
fn beyond(play: &FixturePlay, motion: &Pose) -> Option<(f64, f64)> {
    let turn = motion.rotation_vector();
    let over = |v: f64, limit: f64| (v.abs() - limit).max(0.0);
    let mm = [Point3::from(play.about), Point3::origin()]
        .map(|p| motion.displacement(&p))
        .map(|s| over(s.x, play.dx).max(over(s.y, play.dy)).max(over(s.z, play.dz)))
        .into_iter()
        .fold(f64::INFINITY, f64::min);
    let tilt = play.tilt_deg.to_radians();
    let rad =
        over(turn.z, play.turn_deg.to_radians()).max(over(turn.x, tilt)).max(over(turn.y, tilt));
    (mm > MARGIN.0 || rad > MARGIN.1).then_some((mm, rad))
}

fn check(f: &Facts) -> Vec<Finding> {
    // A dry run that was followed by something else was doubted in time; a weld was not.
    let compared = || f.current().iter().filter(|r| r.compares() && r.found());
    let last = compared().next_back().map(|r| r.number);
    let followed = compared()
        .filter(|r| r.log.arc || Some(r.number) == last)
        .filter(|r| r.log.legs.iter().any(|l| l.follows.is_some()));
    let mut first = followed.filter_map(|r| {
        let play = play_of_the_touched(&f.state.part, &r.log);
        Some((r, beyond(&play, &r.log.found()?.1)?))
    });
    let Some((r, (far, rad))) = first.next() else { return Vec::new() };
    let by = if far > MARGIN.0 { mm(far, 1) } else { angle(rad, 1) };
    let says = say::offset_beyond_play(r.number, by);
    vec![RULE.says(says).run(r.number).time(r.when(|e| matches!(e, EventKind::PlaceFound { .. })))]
}

/// Without the mistake the offset is not followed: the part is removed and the right one is placed.
fn without_mistake(f: &Facts, finding: &Finding, script: &mut Script) {
    let Some(r) = run_of(f, finding) else { return };
    let seated = Action::place_part(r.taught);
    done_before(finding, script, [Action::ClearFaults, seated]);
}
