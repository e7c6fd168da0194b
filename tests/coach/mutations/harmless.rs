//! Changes that are no mistake.

use super::change::{
    Change, READY, any_feel, at, direction_of, drop_all, far_off, flag, go, goes, is_end, is_find,
    is_follow, is_off, is_on, is_start, is_stop, is_trim, last, pair, pause_in_the_last_run,
    point_of, reduced, run, sensing, set_reach, trims_first, turn_search, turns, weld,
};
use super::draft::{Draft, clears, went_well};
use nudgeproof::cell::Fault;
use nudgeproof::geometry::{Point3, Pose, UnitQuaternion, Vector3};
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::{HOME, Instruction, PathKind, RunSpeed, Stop, TaughtPoint};
use nudgeproof::session::{Action, CellState};

/// Changes that change nothing physical, or that a careful learner makes.
pub(crate) const HARMLESS: &[(&str, Change)] = &[
    ("a point is renamed", |d, rng| {
        let feel = any_feel(d, rng);
        let from = point_of(d, feel);
        d.actions.insert(0, Action::RenamePoint { from, to: "my own name".into() });
        true
    }),
    ("a search finds nothing, and is made once more to see whether it comes again", |d, _| {
        let Some((away, nudged)) = far_off(d) else { return false };
        let nudge = d.nudge();
        d.actions.splice(nudge..=nudge, [away, reduced(), reduced(), nudged]);
        true
    }),
    ("a point that nothing uses", |d, _| {
        d.routine
            .points
            .push(TaughtPoint { name: "spare".into(), at: Point3::new(0.0, -100.0, 50.0) });
        true
    }),
    ("a move clear stands twice", |d, _| {
        let clear = d.find(|a| goes(a, "clear")).expect("clear");
        let again = d.act(clear).clone();
        d.insert(clear, again);
        true
    }),
    ("the torch goes to the start of a search first, and then feels", |d, rng| {
        let feel = any_feel(d, rng);
        let Instruction::Feel { from, way, .. } = d.act(feel).clone() else { return false };
        d.insert(feel, go(&from, way));
        true
    }),
    ("two touches of one face are swapped", |d, _| {
        let Some((a, b)) = pair(d).filter(|(a, b)| b - a == 1) else { return false };
        d.routine.steps.swap(a, b);
        // The other way along the face the arm swings closer: it may clip a part that has moved.
        clears(d)
    }),
    ("stop following stands twice", |d, _| {
        let stop = at(d, is_stop);
        d.insert(stop, Instruction::StopFollowing);
        true
    }),
    ("follow stands twice", |d, _| {
        let follow = at(d, is_follow);
        let again = d.act(follow).clone();
        d.insert(follow, again);
        true
    }),
    ("sensing on stands twice", |d, _| {
        let on = at(d, is_on);
        let again = d.act(on).clone();
        d.insert(on, again);
        true
    }),
    ("sensing off stands twice", |d, _| {
        let off = last(d, is_off);
        d.insert(off, Instruction::SensingOff);
        true
    }),
    ("sensing off stands after follow", |d, _| {
        let (off, follow) = (last(d, is_off), at(d, is_follow));
        if off > follow {
            return false;
        }
        d.shift(off, follow + 1);
        true
    }),
    ("sensing is off and on again between two touches", |d, rng| {
        let feel = any_feel(d, rng);
        if feel == d.feels()[0] {
            return false;
        }
        let on = d.act(at(d, is_on)).clone();
        d.insert(feel, on);
        d.insert(feel, Instruction::SensingOff);
        true
    }),
    ("follow stands before the move clear", |d, _| {
        let (find, follow) = (at(d, is_find), at(d, is_follow));
        d.shift(follow, find + 1);
        true
    }),
    ("the wire is not trimmed, and no part is felt after the weld", |d, _| drop_all(d, is_trim)),
    ("the wire is not trimmed after the arc, and cut by hand before the next part", |d, rng| {
        drop_all(d, is_trim);
        weld(d);
        let part = super::draft::nudge(&d.part.play, rng);
        d.actions.extend([
            Action::SetCell { state: CellState::LockedOut },
            Action::CutWire { stick_out_mm: 15.0 },
            Action::place_part(part),
            READY,
            reduced(),
        ]);
        d.session().state().last_run().is_some_and(|r| went_well(r))
    }),
    ("the wire is trimmed twice", |d, _| {
        let trim = at(d, is_trim);
        d.insert(trim, Instruction::TrimWire);
        true
    }),
    ("a second reference run before the flag goes off", |d, _| {
        let reference = d.run(0);
        d.actions.insert(reference + 1, reduced());
        true
    }),
    ("the flag goes on and off again before the next run", |d, _| {
        let last = d.last_run();
        d.actions.splice(last..last, [flag(true), flag(false)]);
        true
    }),
    ("a run that is given up, and made again", |d, _| {
        let first =
            [Action::Run { speed: RunSpeed::Reduced, arc: false, steps: Some(4) }, Action::Abort];
        let reference = d.run(0);
        d.actions.splice(reference..reference, first);
        true
    }),
    ("a weld point is corrected on the unmoved part, and the next run is slow", |d, _| {
        let (nudge, start) = (d.nudge(), at(d, is_start));
        let name = point_of(d, start);
        let at = *d.point_mut(&name) + Vector3::new(0.05, 0.05, 0.0);
        d.actions.insert(nudge, Action::Teach { point: name, at });
        d.actions.insert(nudge + 1, reduced());
        true
    }),
    ("a feel is taken out that is not needed", |d, _| {
        let Some((a, b)) = pair(d) else { return false };
        let feels = d.feels();
        if feels.len() <= d.may().count() || feels.len() != 4 {
            return false;
        }
        // The longer baseline stays.
        let rest: Vec<usize> = feels.into_iter().filter(|i| *i != a && *i != b).collect();
        let length = |a: usize, b: usize| {
            let [p, q] = [a, b].map(|i| d.routine.point(&point_of(d, i)).expect("taught").at);
            (p - q).norm()
        };
        if turns(d) && length(a, b) > length(rest[0], rest[1]) {
            return false;
        }
        d.drop_step(b);
        true
    }),
    ("the reach is longer after the reference run, and the next run is slow", |d, _| {
        let (nudge, longer) = (d.nudge(), sensing(d, 20.0, 36.0));
        d.actions.insert(nudge, reduced());
        d.actions.splice(nudge..nudge, longer);
        true
    }),
    ("a start is moved back along its own search, and the next run is slow", |d, rng| {
        let feel = any_feel(d, rng);
        let name = point_of(d, feel);
        let at = *d.point_mut(&name) - direction_of(d, feel) * 3.0;
        let nudge = d.nudge();
        let mut edits = sensing(d, 20.0, 36.0);
        edits.extend([Action::Teach { point: name, at }, reduced()]);
        d.actions.splice(nudge..nudge, edits);
        d.session().state().runs.iter().all(|r| went_well(r))
    }),
    ("a second proof run", |d, _| {
        let proof = d.run(1);
        d.actions.insert(proof, reduced());
        true
    }),
    ("the part is put where it lies", |d, _| {
        let part = Pose::identity();
        let reference = d.run(0);
        d.actions.insert(reference + 1, Action::place_part(part));
        d.actions.insert(0, Action::place_part(part));
        true
    }),
    ("an instructor moves the part in secret, and the cell is ready", |d, _| {
        let nudge = d.nudge();
        d.actions.insert(nudge + 1, Action::Conceal { part: Pose::identity().into() });
        d.actions.insert(nudge, READY);
        true
    }),
    ("the part is pushed to and fro while the cell stays locked out", |d, _| {
        let nudge = d.nudge();
        let first = Action::place_part(a_little(d));
        d.actions.insert(nudge + 1, READY);
        d.actions.splice(nudge..nudge, [Action::SetCell { state: CellState::LockedOut }, first]);
        true
    }),
    ("the dry run is given up once it is past the weld", |d, _| {
        weld(d);
        let dry = d.nudge() + 1;
        let past = at(d, is_end) + 1;
        let run = Action::Run { speed: RunSpeed::Reduced, arc: false, steps: Some(past) };
        d.actions.splice(dry..=dry, [run, Action::Abort]);
        // A second seam would be left out.
        past > last(d, is_end)
    }),
    ("two parts in a row", |d, rng| {
        let part = super::draft::nudge(&d.part.play, rng);
        d.actions.push(Action::place_part(part));
        d.actions.push(run(RunSpeed::Full, true));
        d.session().state().last_run().is_some_and(|r| went_well(r))
    }),
    ("a way point is rounded", |d, _| {
        let Some(via) = d.find(|a| goes(a, "via")) else { return false };
        d.routine.steps[via].instruction =
            Instruction::Move { to: "via".into(), way: PathKind::Joint, stop: Stop::Round(5.0) };
        true
    }),
    ("the reference run is made step by step", |d, _| {
        let first = d.run(0);
        d.actions[first] = Action::Run { speed: RunSpeed::Reduced, arc: false, steps: Some(3) };
        d.actions.insert(first + 1, Action::Resume { steps: Some(4) });
        d.actions.insert(first + 2, Action::Resume { steps: None });
        true
    }),
    ("a wire that was bent is cut back", |d, _| {
        let nudge = d.nudge();
        let bend = Vector3::new(1.0, 0.0, 0.0);
        let stick_out_mm = 15.0;
        d.actions.insert(nudge, Action::CutWire { stick_out_mm });
        d.actions.insert(nudge, Action::Plant { fault: Fault::WireBent { bend } });
        true
    }),
    ("the sensing speed is changed, and there is a new reference and a new proof", |d, _| {
        let nudge = d.nudge();
        let mut again = sensing(d, 25.0, 30.0);
        again.extend([flag(true), reduced(), flag(false), reduced()]);
        d.actions.splice(nudge..nudge, again);
        true
    }),
    ("a mistake is made good: part back, new reference, proof, production", |d, rng| {
        d.actions.extend([flag(true), reduced()]);
        d.actions.push(Action::CutWire { stick_out_mm: 15.0 });
        let part = super::draft::nudge(&d.part.play, rng);
        let good = [
            Action::place_part(Pose::identity()),
            reduced(),
            flag(false),
            reduced(),
            Action::place_part(part),
            reduced(),
        ];
        d.actions.extend(good);
        d.session().state().last_run().is_some_and(|r| went_well(r))
    }),
    (
        "the same points are taught with the part lying elsewhere, and the reference is taken there",
        |d, _| {
            let place = a_little(d);
            for p in d.routine.points.iter_mut().filter(|p| p.name != HOME) {
                p.at = place.point(&p.at);
            }
            // Its limits lie where they were.
            if !clears(d) {
                return false;
            }
            let points = std::mem::take(&mut d.routine.points);
            let mut first = vec![Action::place_part(place)];
            first.extend(points.into_iter().map(|p| Action::Teach { point: p.name, at: p.at }));
            d.actions.splice(0..0, first);
            true
        },
    ),
    ("the wire is cut in a pause, and was bent until then", |d, _| {
        // Locked out, the wire carries no voltage: the run cannot go on to feel.
        if at(d, is_on) == 0 {
            return false;
        }
        let last = d.last_run();
        let bend = Vector3::new(1.0, 0.0, 0.0);
        d.actions.insert(last, Action::Plant { fault: Fault::WireBent { bend } });
        let by_hand = [
            Action::SetCell { state: CellState::LockedOut },
            Action::CutWire { stick_out_mm: 15.0 },
            READY,
        ];
        pause_in_the_last_run(d, 1, by_hand);
        true
    }),
    ("the part is moved in a pause before the first touch", |d, _| {
        // Locked out, the wire carries no voltage: the run cannot go on to feel.
        if at(d, is_on) == 0 {
            return false;
        }
        let nudge = d.nudge();
        let moved = d.actions.remove(nudge);
        pause_in_the_last_run(d, 1, [moved]);
        true
    }),
    ("a search is 10 degrees off square, on a face that is touched twice", |d, _| {
        let Some((a, _)) = pair(d).filter(|(a, _)| direction_of(d, *a).z.abs() < 0.5) else {
            return false;
        };
        set_reach(d, 45.0);
        turn_search(d, a, 10.0);
        d.session().state().runs.iter().all(|r| went_well(r))
    }),
    ("weld points are taught by hand, 0.3 mm beside the seam", |d, _| {
        let (start, end) = (point_of(d, at(d, is_start)), point_of(d, at(d, is_end)));
        d.point_mut(&start).z += 0.3;
        d.point_mut(&end).z -= 0.3;
        true
    }),
    ("the weld ends a little short of its seam", |d, _| {
        let (start, end) = (point_of(d, at(d, is_start)), point_of(d, at(d, is_end)));
        let along = *d.point_mut(&end) - *d.point_mut(&start);
        *d.point_mut(&end) -= along.normalize() * 3.0;
        clears(d) && d.session().state().runs.iter().all(|r| went_well(r))
    }),
    ("a weld point is corrected in a pause of a run that follows the part", |d, _| {
        let start = at(d, is_start);
        let name = point_of(d, start);
        let Action::PlacePart { part, bodies } = d.actions[d.nudge()].clone() else { return false };
        let at = Pose::from(part).point(d.point_mut(&name));
        pause_in_the_last_run(d, start, [Action::Teach { point: name, at }]);
        bodies.is_empty()
    }),
    ("a second pass goes back along the seam", |d, _| {
        let (start, end) = (point_of(d, at(d, is_start)), point_of(d, at(d, is_end)));
        let after = at(d, is_end) + 1;
        let approach = point_of(d, at(d, |a| goes(a, "approach")));
        d.insert(after, go(&approach, PathKind::Linear));
        d.insert(after, Instruction::WeldEnd { to: start });
        d.insert(after, Instruction::WeldStart { to: end });
        true
    }),
    ("home goes by another name", |d, _| {
        for point in d.routine.points.iter_mut().filter(|p| p.name == HOME) {
            point.name = "wait".into();
        }
        for step in &mut d.routine.steps {
            if let Some(name) = step.instruction.point_mut().filter(|name| *name == HOME) {
                *name = "wait".into();
            }
        }
        true
    }),
    ("the wire is trimmed before the first move home", |d, _| {
        d.insert(0, Instruction::TrimWire);
        true
    }),
    ("a weld point is corrected in a paused run that follows the part", |d, _| {
        let (start, follow) = (at(d, is_start), at(d, is_follow));
        let name = point_of(d, start);
        let Action::PlacePart { part, .. } = d.actions[d.nudge()].clone() else { return false };
        let at = Pose::from(part).point(d.point_mut(&name));
        pause_in_the_last_run(d, follow + 1, [Action::Teach { point: name, at }]);
        true
    }),
    ("the arc is on where the part was taught, after a good proof run", |d, _| {
        let nudge = d.nudge();
        d.actions.insert(nudge, run(RunSpeed::Reduced, true));
        if trims_first(d) {
            d.session().state().last_run().is_some_and(|r| went_well(r))
        } else {
            d.find(is_trim).is_some()
        }
    }),
    ("every weld point is taught anew on the moved part, and so is the reference", |d, rng| {
        let nudge = d.nudge();
        // Turned, a face that is touched once would be felt askew.
        let part = Pose::from_parts(UnitQuaternion::identity(), a_little(d).translation());
        d.actions[nudge] = Action::place_part(part);
        let names: Vec<String> =
            d.routine.weld_points().into_iter().map(ToOwned::to_owned).collect();
        d.actions.truncate(nudge + 1);
        for point in names {
            let at = part.point(d.point_mut(&point));
            d.actions.push(Action::Teach { point, at });
        }
        d.actions.extend([flag(true), reduced(), flag(false), reduced()]);
        let next = super::draft::nudge(&d.part.play, rng);
        d.actions.extend([Action::place_part(next), reduced()]);
        d.session().state().runs.iter().all(|r| went_well(r))
    }),
];

/// A little away from the drawn place, as the fixture lets it lie.
fn a_little(d: &Draft) -> Pose {
    let some = |freedom, by| if d.may().contains(freedom) { by } else { 0.0 };
    Pose::planar(some(Freedoms::X, 0.4), some(Freedoms::Y, -0.3), some(Freedoms::TURN, 0.002))
}
