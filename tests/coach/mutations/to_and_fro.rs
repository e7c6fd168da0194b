//! Changes that are taken back by hand, and searches, places and parts that are changed for a good reason.

use super::change::{
    Change, READY, any_feel, at, direction_of, flag, go, goes, is_end, is_find, last, pair,
    pause_in_the_last_run, point_of, reduced, run, sensing, trims_first, weld,
};
use super::draft::{Draft, went_well};
use nudgeproof::geometry::{Pose, Vector3};
use nudgeproof::routine::{Instruction, PathKind, RunSpeed};
use nudgeproof::session::{Action, CellState};

/// Puts actions where the part is about to be moved, after the proof run.
fn before_the_nudge(d: &mut Draft, what: impl IntoIterator<Item = Action>) -> bool {
    let nudge = d.nudge();
    d.actions.splice(nudge..nudge, what);
    true
}

fn all_went_well(d: &Draft) -> bool {
    d.session().state().runs.iter().all(|r| went_well(r))
}

/// Changes that come to nothing.
pub(crate) const TO_AND_FRO: &[(&str, Change)] = &[
    ("the point of a feel is taught beside it, and then where it was", |d, rng| {
        let feel = any_feel(d, rng);
        let point = point_of(d, feel);
        let was = *d.point_mut(&point);
        let at = was + Vector3::new(4.0, 4.0, 0.0);
        before_the_nudge(
            d,
            [Action::Teach { point: point.clone(), at }, Action::Teach { point, at: was }],
        )
    }),
    ("a weld point is taught on the moved part, and then where it was", |d, _| {
        let point = point_of(d, at(d, is_end));
        let was = *d.point_mut(&point);
        let at = was + Vector3::new(3.0, 0.0, 0.0);
        let last = d.last_run();
        let both = [Action::Teach { point: point.clone(), at }, Action::Teach { point, at: was }];
        d.actions.splice(last..last, both);
        true
    }),
    ("a search is turned, and turned back", |d, rng| {
        let feel = any_feel(d, rng);
        let (id, was) = (d.routine.steps[feel].id, d.act(feel).clone());
        let mut step = was.clone();
        if let Instruction::Feel { direction, .. } = &mut step {
            *direction = Vector3::new(-direction.y, direction.x, direction.z);
        }
        before_the_nudge(d, [Action::ChangeStep { id, step }, Action::ChangeStep { id, step: was }])
    }),
    ("another speed of sensing, and the old one again", |d, _| {
        let was = d.act(at(d, super::change::is_on)).clone();
        let Instruction::SensingOn { speed_mm_s, reach_mm } = was else { return false };
        let mut edits = sensing(d, 50.0, 10.0);
        edits.extend(sensing(d, speed_mm_s, reach_mm));
        before_the_nudge(d, edits)
    }),
    ("a step is moved, and moved back", |d, rng| {
        let from = rng.below(d.routine.steps.len());
        let to = rng.below(d.routine.steps.len());
        let id = d.routine.steps[from].id;
        before_the_nudge(d, [Action::MoveStep { id, to }, Action::MoveStep { id, to: from }])
    }),
    ("a move clear is taken out, and put in again", |d, _| {
        let clear = d.find(|a| goes(a, "clear")).expect("clear");
        let (id, step) = (d.routine.steps[clear].id, d.act(clear).clone());
        before_the_nudge(d, [Action::DeleteStep { id }, Action::AddStep { at: Some(clear), step }])
    }),
    ("a weld in the wrong direction is begun, and thought better of", |d, _| {
        let end = at(d, is_end);
        let step = d.act(end).clone();
        let (id, other) = (d.routine.steps[end].id, Instruction::WeldEnd { to: "home".into() });
        before_the_nudge(
            d,
            [Action::ChangeStep { id, step: other }, Action::ChangeStep { id, step }],
        )
    }),
    ("two points swap their names, by way of a third", |d, _| {
        let Some((a, b)) = pair(d).map(|(a, b)| (point_of(d, a), point_of(d, b))) else {
            return false;
        };
        let rename =
            |from: &str, to: &str| Action::RenamePoint { from: from.into(), to: to.into() };
        before_the_nudge(d, [rename(&a, "x"), rename(&b, &a), rename("x", &b)])
    }),
    ("every point is renamed on the moved part", |d, _| {
        let names: Vec<String> = d.routine.points.iter().map(|p| p.name.clone()).collect();
        let last = d.last_run();
        let renamed = names.into_iter().filter(|n| n != "home").enumerate();
        let renamed = renamed.map(|(i, from)| Action::RenamePoint { from, to: format!("p{i}") });
        d.actions.splice(last..last, renamed);
        true
    }),
    ("the flag goes on and off in a pause before the find", |d, _| {
        let find = at(d, is_find);
        pause_in_the_last_run(d, find, [flag(true), flag(false)]);
        true
    }),
    ("the cell is locked out and made ready, and nothing is touched", |d, _| {
        let locked = Action::SetCell { state: CellState::LockedOut };
        before_the_nudge(d, [locked, READY])
    }),
    ("a point is copied under another name, and the copy is thrown away", |d, rng| {
        let feel = any_feel(d, rng);
        let point = point_of(d, feel);
        let at = *d.point_mut(&point);
        let copy = || "copy".to_owned();
        before_the_nudge(
            d,
            [Action::Teach { point: copy(), at }, Action::DeletePoint { point: copy() }],
        )
    }),
    ("the part is moved and put back before it is moved for good", |d, _| {
        let moved = d.actions[d.nudge()].clone();
        before_the_nudge(d, [moved, Action::place_part(Pose::identity())])
    }),
    (
        "a run is begun on the moved part, given up, and the part put back and proved again",
        |d, _| {
            let moved = d.actions[d.nudge()].clone();
            let some = Action::Run { speed: RunSpeed::Reduced, arc: false, steps: Some(3) };
            let back = Action::place_part(Pose::identity());
            before_the_nudge(d, [moved, some, Action::Abort, back, reduced()])
        },
    ),
    ("the part is changed while the torch goes home, and the next is felt anew", |d, rng| {
        let home = last(d, Instruction::is_home);
        let next = super::draft::nudge(&d.part.play, rng);
        pause_in_the_last_run(d, home, [Action::place_part(next)]);
        d.actions.push(reduced());
        all_went_well(d)
    }),
    ("a search that found nothing starts nearer, with a new reference and a new proof", |d, _| {
        let Some((a, _)) = pair(d) else { return false };
        let Some((away, moved)) = super::change::far_off(d) else { return false };
        let point = point_of(d, a);
        let at = *d.point_mut(&point) + direction_of(d, a) * 1.0;
        let back = Action::place_part(Pose::identity());
        let nudge = d.nudge();
        d.actions.truncate(nudge);
        d.actions.extend([
            away,
            reduced(),
            back,
            Action::Teach { point, at },
            flag(true),
            reduced(),
        ]);
        d.actions.extend([flag(false), reduced(), moved, reduced()]);
        d.session().state().last_run().is_some_and(|r| went_well(r))
    }),
    ("a search that found nothing is put elsewhere on its face, with a new reference", |d, _| {
        let Some((a, b)) = pair(d) else { return false };
        let Some((away, moved)) = super::change::far_off(d) else { return false };
        let [p, q] = [a, b].map(|i| d.routine.point(&point_of(d, i)).expect("taught").at);
        // A little inwards: the baseline stays long.
        let at = p + (q - p) * 0.06;
        let step = d.act(a).clone();
        let id = d.routine.steps[a].id;
        let mut step = step;
        if let Instruction::Feel { from, .. } = &mut step {
            *from = "inwards".into();
        }
        let back = Action::place_part(Pose::identity());
        let nudge = d.nudge();
        d.actions.truncate(nudge);
        d.actions.extend([
            away,
            reduced(),
            back,
            Action::Teach { point: "inwards".into(), at },
            Action::DeleteStep { id },
            Action::AddStep { at: Some(a), step },
            flag(true),
            reduced(),
            flag(false),
            reduced(),
            moved,
            reduced(),
        ]);
        d.session().state().last_run().is_some_and(|r| went_well(r))
    }),
    ("the routine is cleared at the end", |d, _| {
        let ids: Vec<_> = d.routine.steps.iter().map(|s| s.id).collect();
        d.actions.extend(ids.into_iter().map(|id| Action::DeleteStep { id }));
        true
    }),
    ("a step is begun after the last run, and not finished", |d, _| {
        let step = go("not taught yet", PathKind::Joint);
        d.actions.push(Action::AddStep { at: None, step });
        d.actions.pop();
        d.actions.push(Action::Teach { point: "next".into(), at: d.part.rest });
        true
    }),
    ("three parts are welded, one after the other", |d, rng| {
        weld(d);
        if !trims_first(d) && d.find(super::change::is_trim).is_none() {
            return false;
        }
        for _ in 0..2 {
            let part = super::draft::nudge(&d.part.play, rng);
            d.actions.extend([Action::place_part(part), run(RunSpeed::Full, true)]);
        }
        all_went_well(d)
    }),
    (
        "a part is welded, and the routine is taken to a new reference for the next batch",
        |d, rng| {
            weld(d);
            if !trims_first(d) && d.find(super::change::is_trim).is_none() {
                return false;
            }
            let back = Action::place_part(Pose::identity());
            d.actions.extend([back, flag(true), reduced(), flag(false), reduced()]);
            let part = super::draft::nudge(&d.part.play, rng);
            d.actions.extend([Action::place_part(part), reduced(), run(RunSpeed::Full, true)]);
            all_went_well(d)
        },
    ),
];
