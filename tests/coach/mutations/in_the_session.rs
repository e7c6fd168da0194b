//! Single mistakes in the session, each with the rule that names it.

use super::change::{
    Mutation, READY, along_face, and, any_feel, at, direction_of, drop_all, far_off,
    feels_from_above, flag, go, is_end, is_find, is_home, is_start, is_trim, m, pair,
    pause_in_the_last_run, point_of, reduced, run, sensing, trims_first, turns, weld,
};
use super::draft::{Draft, went_well};
use super::rng::Rng;
use nudgeproof::cell::Fault;
use nudgeproof::coach::RuleName as R;
use nudgeproof::geometry::{Pose, Vector3};
use nudgeproof::locate::{Fit, chi2_limit};
use nudgeproof::routine::{Instruction, PathKind, RunLog, RunSpeed, Search, SearchOutcome};
use nudgeproof::session::Action;

/// Single mistakes in what is done with a correct routine.
pub(crate) const IN_THE_SESSION: &[Mutation] = &[
    m("no reference run", R::NoReferenceRun, |d, _| {
        let reference = d.run(0);
        d.actions.remove(reference);
        true
    }),
    m("the flag is never turned on", R::NoReferenceRun, |d, _| {
        d.actions.retain(|a| !matches!(a, Action::SetReference { .. }));
        true
    }),
    m("the flag is never turned off", R::ReferenceFlagLeftOn, |d, _| {
        d.actions.retain(|a| *a != flag(false));
        true
    }),
    m("the flag goes off one run late", R::ReferenceFlagLeftOn, |d, _| {
        let proof = d.run(1);
        d.actions.swap(proof, proof - 1);
        true
    }),
    m("the flag goes on again on the moved part", R::ReferenceRetakenOnMovedPart, |d, _| {
        let last = d.last_run();
        d.actions.insert(last, flag(true));
        true
    }),
    m(
        "the reference is taken again on the moved part, then production",
        R::ReferenceRetakenOnMovedPart,
        |d, _| {
            let last = d.last_run();
            d.actions.splice(last..last, [flag(true), reduced(), flag(false)]);
            true
        },
    ),
    m(
        "the flag goes on in a pause before the find, on the moved part",
        R::ReferenceRetakenOnMovedPart,
        |d, _| {
            let (last, find) = (d.last_run(), at(d, is_find));
            d.actions[last] =
                Action::Run { speed: RunSpeed::Reduced, arc: false, steps: Some(find) };
            d.actions.extend([flag(true), Action::Resume { steps: None }]);
            true
        },
    ),
    m("the part is moved before the reference run", R::ReferenceAwayFromTaught, |d, _| {
        let nudge = d.nudge();
        let moved = d.actions.remove(nudge);
        d.actions.insert(0, moved);
        true
    }),
    m(
        "the reference run is made on a moved part that is then put back",
        R::ReferenceAwayFromTaught,
        |d, _| {
            let (reference, moved) = (d.run(0), d.actions[d.nudge()].clone());
            let back = Action::place_part(Pose::identity());
            d.actions.insert(reference + 1, back);
            d.actions.insert(reference, moved);
            true
        },
    ),
    m("somebody moved the part for the reference run", R::ReferenceAwayFromTaught, |d, _| {
        let Action::PlacePart { part, .. } = d.actions[d.nudge()].clone() else { return false };
        d.actions.insert(0, Action::Plant { fault: Fault::ReferenceOnMovedPart { part } });
        true
    }),
    m("no proof run", R::NoProofRun, |d, _| {
        let proof = d.run(1);
        d.actions.remove(proof);
        true
    }),
    m("the part is moved before the proof run", R::NoProofRun, |d, _| {
        let (proof, nudge) = (d.run(1), d.nudge());
        let moved = d.actions.remove(nudge);
        d.actions.insert(proof, moved);
        true
    }),
    m("the first run on a moved part has the arc on", R::ArcOnFirstMovedPart, |d, _| {
        let nudge = d.nudge();
        d.actions.truncate(nudge + 1);
        d.actions.push(run(RunSpeed::Reduced, true));
        d.session().state().last_run().is_some_and(|r| went_well(r))
    }),
    m("the dry run is given up before the weld", R::ArcOnFirstMovedPart, |d, _| {
        weld(d);
        let (dry, start) = (d.nudge() + 1, at(d, is_start));
        let part_of_it = Action::Run { speed: RunSpeed::Reduced, arc: false, steps: Some(start) };
        d.actions.splice(dry..=dry, [part_of_it, Action::Abort]);
        true
    }),
    m(
        "a new reference and a new proof, and the part then is welded at once",
        R::ArcOnFirstMovedPart,
        |d, _| {
            weld(d);
            let moved = d.actions[d.nudge()].clone();
            let back = Action::place_part(Pose::identity());
            d.actions.extend([back, flag(true), reduced(), flag(false), reduced()]);
            d.actions.extend([moved, run(RunSpeed::Reduced, true)]);
            // The arc leaves a ball.
            trims_first(d) || d.find(is_trim).is_some()
        },
    ),
    m("the first run is at full speed", R::FirstRunTooFast, |d, _| {
        let first = d.run(0);
        d.actions[first] = run(RunSpeed::Full, false);
        true
    }),
    m("a way point is added, and the next run is at full speed", R::FirstRunTooFast, |d, _| {
        let nudge = d.nudge();
        let at = d.part.rest + Vector3::new(5.0, 5.0, 5.0);
        let after_home = d.find(is_home).expect("home") + 1;
        let step = go("new", PathKind::Joint);
        let edits = [
            Action::Teach { point: "new".into(), at },
            Action::AddStep { at: Some(after_home), step },
        ];
        d.actions.splice(nudge..nudge, edits);
        d.actions.truncate(d.nudge() + 1);
        d.actions.push(run(RunSpeed::Full, false));
        true
    }),
    m("the arc is on in the reference run", R::ArcInTrial, |d, _| {
        let first = d.run(0);
        d.actions[first] = run(RunSpeed::Reduced, true);
        true
    }),
    m("the arc is on in the proof run", R::ArcInTrial, |d, _| {
        let proof = d.run(1);
        d.actions[proof] = run(RunSpeed::Reduced, true);
        true
    }),
    m("the part is moved in a cell that is ready to run", R::EnteredLiveCell, |d, _| {
        let nudge = d.nudge();
        d.actions.insert(nudge, READY);
        true
    }),
    m(
        "the part is moved in a pause, in a cell that is ready to run",
        R::EnteredLiveCell,
        |d, _| {
            let nudge = d.nudge();
            let moved = d.actions.remove(nudge);
            pause_in_the_last_run(d, 1, [READY, moved]);
            true
        },
    ),
    m("the wire is cut in a cell that is ready to run", R::EnteredLiveCell, |d, _| {
        let nudge = d.nudge();
        d.actions.splice(nudge..nudge, [READY, Action::CutWire { stick_out_mm: 15.0 }]);
        true
    }),
    m("the part is put back in a cell that is ready to run", R::EnteredLiveCell, |d, _| {
        d.actions.extend([READY, Action::place_part(Pose::identity())]);
        true
    }),
    m("an edge is cleaned in a cell that is ready to run", R::EnteredLiveCell, |d, _| {
        let nudge = d.nudge();
        let fault = Fault::WorkLeadOff;
        let clear = Action::ClearFault { fault: fault.name().into() };
        d.actions.splice(nudge..nudge, [Action::Plant { fault }, READY, clear]);
        true
    }),
    m("the part is moved between its touches and its weld", R::PartMovedMidRun, |d, rng| {
        let (last, found) = (d.last_run(), at(d, is_find) + 1);
        let moved = super::draft::nudge(&d.part.play, rng);
        d.actions[last] = Action::Run { speed: RunSpeed::Reduced, arc: false, steps: Some(found) };
        d.actions.push(Action::place_part(moved));
        d.actions.push(Action::Resume { steps: None });
        true
    }),
    m("the part slips in the production run", R::PartMovedMidRun, |d, _| {
        let last = d.last_run();
        // Along the seam, and across it less than the nozzle is clear of the plate.
        let line = d.part.seams[0].at(&Pose::identity());
        let by = line.along * 2.0 - line.across * 1.5;
        let slip = Pose::planar(by.x, by.y, 0.0).into();
        d.actions.insert(last, Action::Plant { fault: Fault::PartSlipsMidRun { slip } });
        true
    }),
    m(
        "the point of a feel is taught beside it after the reference run",
        R::FeelEditedAfterReference,
        |d, rng| {
            let (_, teach) = feel_beside(d, rng);
            let nudge = d.nudge();
            d.actions.insert(nudge, teach);
            true
        },
    ),
    and(
        "the direction of a feel is changed after the reference run",
        R::FeelEditedAfterReference,
        // Of a face that is touched once.
        &[R::SearchNotSquare],
        |d, rng| {
            let feel = any_feel(d, rng);
            let id = d.routine.steps[feel].id;
            let mut step = d.act(feel).clone();
            if let Instruction::Feel { direction, .. } = &mut step {
                *direction = (*direction + along_face(direction) * 0.03).normalize();
            }
            let nudge = d.nudge();
            d.actions.insert(nudge, Action::ChangeStep { id, step });
            true
        },
    ),
    m(
        "the sensing speed is changed after the reference run",
        R::FeelEditedAfterReference,
        |d, _| {
            let (nudge, faster) = (d.nudge(), sensing(d, 50.0, 30.0));
            d.actions.splice(nudge..nudge, faster);
            true
        },
    ),
    m("one feel more after the reference run", R::FeelEditedAfterReference, |d, _| {
        let Some((_, b)) = pair(d) else { return false };
        let step = d.act(b).clone();
        let nudge = d.nudge();
        d.actions.insert(nudge, Action::AddStep { at: Some(b), step });
        true
    }),
    m("somebody changed the sensing speed", R::FeelEditedAfterReference, |d, _| {
        let nudge = d.nudge();
        let fault = Fault::SensingSpeedChanged { speed_mm_s: 50.0 };
        d.actions.insert(nudge, Action::Plant { fault });
        true
    }),
    and(
        "somebody changed the sensing speed to more than the wire stands",
        R::FeelEditedAfterReference,
        &[R::WireBentAndUsed],
        |d, _| {
            let nudge = d.nudge();
            let fault = Fault::SensingSpeedChanged { speed_mm_s: 80.0 };
            d.actions.insert(nudge, Action::Plant { fault });
            true
        },
    ),
    m("the wire is never trimmed, and the next part is felt", R::UntrimmedWire, |d, rng| {
        drop_all(d, is_trim);
        weld(d);
        let part = super::draft::nudge(&d.part.play, rng);
        d.actions.extend([Action::place_part(part), reduced()]);
        true
    }),
    m("the wire is cut to another length", R::StickOutChanged, |d, _| {
        if !feels_from_above(d) || trims_first(d) {
            return false;
        }
        let nudge = d.nudge();
        drop_all(d, is_trim);
        d.actions.insert(nudge, Action::CutWire { stick_out_mm: 13.0 });
        true
    }),
    m("somebody changed the stick-out", R::StickOutChanged, |d, _| {
        if !feels_from_above(d) || trims_first(d) {
            return false;
        }
        let nudge = d.nudge();
        d.actions
            .insert(nudge, Action::Plant { fault: Fault::StickOutChanged { stick_out_mm: 16.5 } });
        true
    }),
    m("the wire is bent, and used", R::WireBentAndUsed, |d, _| {
        if trims_first(d) {
            return false;
        }
        let nudge = d.nudge();
        let bend = Vector3::new(1.2, 0.8, 0.0);
        d.actions.insert(nudge, Action::Plant { fault: Fault::WireBent { bend } });
        true
    }),
    m("a search that found nothing is taken out", R::NoTouchIgnored, |d, _| {
        let Some((_, b)) = pair(d) else { return false };
        if d.feels().len() <= d.may().count() {
            return false;
        }
        // Somebody has put the part far off for one run: the search finds nothing.
        let Some((away, nudged)) = far_off(d) else { return false };
        let direction = direction_of(d, b);
        let first = d.feels().into_iter().find(|&i| direction_of(d, i) == direction);
        let id = d.routine.steps[first.unwrap_or(b)].id;
        let extra = [away, reduced(), nudged, Action::DeleteStep { id }, reduced()];
        d.actions.truncate(d.nudge());
        d.actions.extend(extra);
        true
    }),
    m("a search finds nothing, and is made again and again", R::NoTouchIgnored, |d, _| {
        let Some((away, nudged)) = far_off(d) else { return false };
        d.actions.truncate(d.nudge());
        d.actions.extend([away, reduced(), reduced(), reduced(), nudged, reduced()]);
        true
    }),
    // A part at the limit of its play seems to lie beyond it.
    and(
        "the proof run finds paint that came after the reference",
        R::ProofOffsetIgnored,
        &[R::OffsetBeyondPlay],
        |d, _| {
            if d.part.name != "bench-side" || !turns(d) {
                return false;
            }
            let proof = d.run(1);
            let paint = painted_side();
            d.actions.insert(proof, Action::Plant { fault: paint });
            let session = d.session();
            let touched = |s: &Search| matches!(&s.outcome, SearchOutcome::Touch { normal, .. } if normal.y < -0.9);
            let runs = &session.state().runs;
            runs.iter().all(|r| went_well(r)) && runs[0].searches.iter().any(touched)
        },
    ),
    m("paint on an edge, and welded all the same", R::DisagreementIgnored, |d, _| {
        if d.part.name != "bench-side" || d.feels().len() != 4 || !turns(d) {
            return false;
        }
        let paint = Fault::PaintedEdge {
            body: "side plate".into(),
            edge: 3,
            from_mm: 200.0,
            to_mm: 245.0,
            depth_mm: 2.2,
        };
        weld_after(d, Action::Plant { fault: paint });
        let session = d.session();
        let run = session.state().last_run().cloned();
        run.is_some_and(|r| r.finished() && r.found().is_some_and(|(fit, _)| !fit.consistent))
    }),
    m(
        "the part is out of square since the reference run, and welded all the same",
        R::DisagreementIgnored,
        |d, rng| {
            if d.feels().len() != 4 || !turns(d) {
                return false;
            }
            let lean_deg = if rng.coin() { 1.2 } else { -1.2 };
            weld_after(d, Action::Plant { fault: Fault::OutOfSquare { lean_deg } });
            let session = d.session();
            let run = session.state().last_run().cloned();
            // By more than chance, or the weld is lost.
            run.is_some_and(|r| {
                let beyond = |fit: &Fit| fit.chi2 > 3.0 * chi2_limit(fit.redundancy);
                r.finished()
                    && r.found()
                        .is_some_and(|(fit, _)| !fit.consistent && (beyond(fit) || !r.landed()))
            })
        },
    ),
    m("the part lies further off than the fixture allows", R::OffsetBeyondPlay, |d, _| {
        let play = d.part.play;
        if play.dx == 0.0 || play.dy == 0.0 || !d.may().is_planar() {
            return false;
        }
        let nudge = d.nudge();
        // What a touched body may stray by itself is no fault of the part's.
        let own = d.part.bodies.iter().filter_map(|b| b.play).map(|p| p.dx.max(p.dy));
        let beyond = 2.0 + own.fold(0.0, f64::max);
        let off = Pose::planar(play.dx + beyond, -play.dy - beyond, 0.0);
        d.actions[nudge] = Action::place_part(off);
        // Further off, it may be run into: then there is no offset to be doubted.
        d.session().state().last_run().is_some_and(|r| went_well(r))
    }),
    m(
        "the part is welded further off than the fixture allows, and the next one lies well",
        R::OffsetBeyondPlay,
        |d, rng| {
            let play = d.part.play;
            let loose = d.part.bodies.iter().any(|b| b.play.is_some());
            if play.dx == 0.0 || play.dy == 0.0 || !d.may().is_planar() || loose {
                return false;
            }
            weld(d);
            let last = d.last_run();
            let off = Pose::planar(play.dx + 2.0, -play.dy - 2.0, 0.0);
            d.actions.insert(last, Action::place_part(off));
            let next = super::draft::nudge(&play, rng);
            d.actions.extend([Action::place_part(next), reduced()]);
            let trimmed = d.find(is_trim).is_some();
            trimmed && d.session().state().runs.iter().all(|r| went_well(r))
        },
    ),
    m("a weld point is corrected on the moved part", R::PointCorrectedOnMovedPart, |d, _| {
        let Some(teach) = weld_start_on_moved_part(d) else { return false };
        let last = d.last_run();
        d.actions.insert(last, teach);
        true
    }),
    m(
        "a weld point is corrected in a pause on the moved part",
        R::PointCorrectedOnMovedPart,
        |d, _| {
            let Some(teach) = weld_start_on_moved_part(d) else { return false };
            pause_in_the_last_run(d, 1, [teach]);
            true
        },
    ),
    m(
        "the point of a feel is taught beside it in a pause",
        R::FeelEditedAfterReference,
        |d, rng| {
            let (_, teach) = feel_beside(d, rng);
            pause_in_the_last_run(d, 1, [teach]);
            true
        },
    ),
    m(
        "the point of a feel is taught beside it in a pause of the reference run, after its touch",
        R::FeelEditedAfterReference,
        |d, rng| {
            let (feel, teach) = feel_beside(d, rng);
            let first = d.run(0);
            d.actions[first] =
                Action::Run { speed: RunSpeed::Reduced, arc: false, steps: Some(feel + 1) };
            d.actions.insert(first + 1, Action::Resume { steps: None });
            d.actions.insert(first + 1, teach);
            true
        },
    ),
    m("the wire is bent in a pause, and used", R::WireBentAndUsed, |d, _| {
        if trims_first(d) {
            return false;
        }
        let bend = Vector3::new(1.2, 0.8, 0.0);
        pause_in_the_last_run(d, 1, [Action::Plant { fault: Fault::WireBent { bend } }]);
        true
    }),
    m("paint along a whole side, and welded beside the seam", R::UnexplainedMiss, |d, _| {
        if d.part.name != "bench-side" || !turns(d) {
            return false;
        }
        let paint = painted_side();
        let nudge = d.nudge();
        d.actions[nudge] = Action::place_part(Pose::planar(1.0, -1.0, 0.01));
        weld_after(d, Action::Plant { fault: paint });
        let session = d.session();
        let run = session.state().last_run().cloned();
        run.is_some_and(|r| {
            r.finished() && !r.landed() && r.found().is_some_and(|(fit, _)| fit.consistent)
        })
    }),
    m(
        "a weld point is taught on the moved part under a new name",
        R::PointCorrectedOnMovedPart,
        |d, _| {
            let start = at(d, is_start);
            let (name, id) = (point_of(d, start), d.routine.steps[start].id);
            let Action::PlacePart { part, .. } = d.actions[d.nudge()].clone() else { return false };
            let at = Pose::from(part).point(d.point_mut(&name));
            let step = Instruction::WeldStart { to: "new".into() };
            let last = d.last_run();
            let edits =
                [Action::Teach { point: "new".into(), at }, Action::ChangeStep { id, step }];
            d.actions.splice(last..last, edits);
            true
        },
    ),
    m(
        "a weld point is renamed and taught anew on the moved part",
        R::PointCorrectedOnMovedPart,
        |d, _| {
            let Some(Action::Teach { point: name, at }) = weld_start_on_moved_part(d) else {
                return false;
            };
            let last = d.last_run();
            let to = "corrected".to_owned();
            let edits = [
                Action::RenamePoint { from: name, to: to.clone() },
                Action::Teach { point: to, at },
            ];
            d.actions.splice(last..last, edits);
            true
        },
    ),
    // The touches are then looked at with the part turned, where they are not square.
    and(
        "every weld point is taught anew on the moved part",
        R::PointCorrectedOnMovedPart,
        &[R::SearchNotSquare],
        |d, _| {
            let Action::PlacePart { part, .. } = d.actions[d.nudge()].clone() else { return false };
            let names: Vec<String> =
                d.routine.weld_points().into_iter().map(ToOwned::to_owned).collect();
            let last = d.last_run();
            for point in names {
                let at = Pose::from(part).point(d.point_mut(&point));
                d.actions.insert(last, Action::Teach { point, at });
            }
            true
        },
    ),
    m("the part is bumped while the weld is taught", R::PointCorrectedOnMovedPart, |d, rng| {
        let bumped = super::draft::nudge(&d.part.play, rng);
        let end = at(d, is_end);
        let name = point_of(d, end);
        let at = bumped.point(d.point_mut(&name));
        let back = Action::place_part(Pose::identity());
        let bump = Action::place_part(bumped);
        d.actions.splice(0..0, [bump, Action::Teach { point: name, at }, back]);
        true
    }),
    m(
        "touches that disagree in two runs, the second a trial as well",
        R::DisagreementIgnored,
        |d, rng| {
            if d.feels().len() != 4 || !turns(d) {
                return false;
            }
            let lean_deg = if rng.coin() { 1.2 } else { -1.2 };
            let nudge = d.nudge();
            d.actions.insert(nudge, Action::Plant { fault: Fault::OutOfSquare { lean_deg } });
            d.actions.truncate(nudge + 2);
            d.actions.extend([reduced(), reduced()]);
            let session = d.session();
            let disagree = |n: usize| {
                let run = session.state().runs.get(n);
                run.is_some_and(|r| {
                    // By more than chance lets two runs in a row.
                    let beyond = |fit: &Fit| fit.chi2 > 1.5 * chi2_limit(fit.redundancy);
                    r.finished() && r.found().is_some_and(|(fit, _)| beyond(fit))
                })
            };
            disagree(2) && disagree(3)
        },
    ),
    m(
        "touches that disagreed where it was welded, and the next part lands",
        R::DisagreementIgnored,
        |d, rng| {
            if d.feels().len() != 4 || !turns(d) || trims_first(d) || d.find(is_trim).is_none() {
                return false;
            }
            let lean_deg = if rng.coin() { 1.2 } else { -1.2 };
            weld_after(d, Action::Plant { fault: Fault::OutOfSquare { lean_deg } });
            let next = super::draft::nudge(&d.part.play, rng);
            d.actions.extend([Action::ClearFaults, Action::place_part(next), reduced()]);
            let session = d.session();
            let runs = &session.state().runs;
            let disagrees = |r: &RunLog| r.found().is_some_and(|(fit, _)| !fit.consistent);
            // By more than chance.
            let beyond = |r: &RunLog| {
                r.found().is_some_and(|(fit, _)| fit.chi2 > 3.0 * chi2_limit(fit.redundancy))
            };
            runs.get(3).is_some_and(|r| r.finished() && (beyond(r) || disagrees(r) && !r.landed()))
                && runs.get(4).is_some_and(|r| r.finished() && !disagrees(r))
        },
    ),
];

/// The moved part is welded after a dry run, and between the two something is done.
fn weld_after(d: &mut Draft, what: Action) {
    weld(d);
    let last = d.last_run();
    d.actions.insert(last, what);
}

/// Paint along the whole south side of the bench's plate.
fn painted_side() -> Fault {
    Fault::PaintedEdge {
        body: "side plate".into(),
        edge: 0,
        from_mm: 0.0,
        to_mm: 400.0,
        depth_mm: 1.5,
    }
}

/// Teaches the weld start where it lies on the part once that has been moved.
fn weld_start_on_moved_part(d: &mut Draft) -> Option<Action> {
    let start = at(d, is_start);
    let point = point_of(d, start);
    let Action::PlacePart { part, .. } = d.actions[d.nudge()].clone() else { return None };
    let at = Pose::from(part).point(d.point_mut(&point));
    Some(Action::Teach { point, at })
}

/// A feel, and the action that teaches its point 1 mm beside its place, along the face.
fn feel_beside(d: &mut Draft, rng: &mut Rng) -> (usize, Action) {
    let feel = any_feel(d, rng);
    let point = point_of(d, feel);
    let at = *d.point_mut(&point) + along_face(&direction_of(d, feel)) * 1.0;
    (feel, Action::Teach { point, at })
}
