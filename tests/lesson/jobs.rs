//! The model routine of every part that comes along does its job: all parts, whether offered or held back,
//! anywhere within their play.

use nudgeproof::cell::{CellSettings, Noise, OwnMotions, Part, held_back_parts, parts};
use nudgeproof::coach;
use nudgeproof::geometry::Pose;
use nudgeproof::lesson::{lesson_files, model_routine, plain_routine};
use nudgeproof::routine::{EventKind, Instruction, PART_PLACE, Routine, RunLog, RunSpeed};
use nudgeproof::session::{Action, Header, Session};

fn every_part() -> impl Iterator<Item = Part> {
    parts().into_iter().chain(held_back_parts())
}

fn run(speed: RunSpeed, arc: bool) -> Action {
    Action::Run { speed, arc, steps: None }
}

fn slow() -> Action {
    run(RunSpeed::Reduced, false)
}

/// Reference and proof on the part as drawn.
fn proved(part: &Part, settings: CellSettings) -> Session {
    let mut header = Header::new(part.clone(), 3);
    header.settings = settings;
    let mut session = Session::new(header).expect("a part that can be used");
    let load = Action::LoadRoutine { routine: model_routine(part) };
    let flag = |on| Action::SetReference { on };
    session.act_all([load, flag(true), slow(), flag(false), slow()]).expect("two runs");
    for run in &session.state().runs {
        assert!(run.landed(), "{}, run {}: {:?}", part.name, run.number, run.stop());
    }
    session
}

/// Puts part and bodies there, with the cell locked out.
fn lies((pose, own): &(Pose, OwnMotions), session: &Session) -> Vec<Action> {
    let bodies = own.iter().map(|(name, motion)| (name.clone(), (*motion).into())).collect();
    session.state().by_hand([Action::PlacePart { part: (*pose).into(), bodies }])
}

fn last(session: &Session) -> &RunLog {
    session.state().last_run().expect("a run")
}

fn bent(run: &RunLog) -> bool {
    run.events.iter().any(|e| matches!(e.what, EventKind::WireBent { .. }))
}

#[test]
fn the_model_routine_lands_wherever_the_part_lies_and_nothing_is_hit() {
    for part in every_part() {
        let name = &part.name;
        // Without scatter, so that what is left is the way it is found.
        let silent =
            CellSettings { sigma_mm: 1e-6, scan_s: 0.0, latency_s: 0.0, ..CellSettings::default() };
        let proved = proved(&part, silent);
        let mut places = part.extremes();
        places.extend((0..20).map(|i| part.nudge(&mut Noise::new(5, 0, i))));
        for place in &places {
            let mut session = proved.clone();
            let actions = lies(place, &session);
            session.act_all(actions).expect("it is moved");
            session.act_all([slow(), run(RunSpeed::Full, true)]).expect("two runs");
            for log in session.state().runs.iter().skip(2) {
                assert!(log.landed(), "{name} at {place:?}: {:?} {:?}", log.welds, log.stop());
                assert!(!bent(log), "{name} at {place:?}: {:?}", log.events);
                assert_eq!(log.welds.len(), part.seams.len(), "{name}: every seam");
            }
            // An upright wire that leans on the edge of a tilted face is off by tip depth × tan(tilt).
            let most = 1e-3 + 13.0 * libm::tan(part.play.tilt_deg.to_radians());
            let worst = last(&session).worst_miss().expect("it welds").abs();
            assert!(worst < most, "{name} at {place:?}: {worst} mm");
        }
    }
}

#[test]
fn the_coach_has_nothing_to_say_about_it() {
    for part in every_part() {
        let mut session = proved(&part, CellSettings::default());
        let found = coach::check_routine(session.state());
        assert!(found.is_empty(), "{}: {found:?}", part.name);
        let place = part.nudge(&mut Noise::new(8, 0, 1));
        let actions = lies(&place, &session);
        session.act_all(actions).expect("it is moved");
        session.act_all([slow(), run(RunSpeed::Full, true)]).expect("two runs");
        let review = coach::review(&session);
        assert!(review.findings.is_empty(), "{}: {:?}", part.name, review.findings);
        assert!(last(&session).landed(), "{}: {:?}", part.name, last(&session).welds);
        assert_eq!(review.score.total, 100, "{}: {:?}", part.name, review.score);
    }
}

/// Whether the weld of this routine misses on the part there, or is never made: the run stops or strikes.
fn misses(part: &Part, routine: Routine, place: &(Pose, OwnMotions)) -> bool {
    let mut session = Session::new(Header::new(part.clone(), 3)).expect("a part that can be used");
    let load = Action::LoadRoutine { routine };
    let flag = |on| Action::SetReference { on };
    session.act_all([load, flag(true), slow(), flag(false)]).expect("a reference run");
    let actions = lies(place, &session);
    session.act_all(actions).expect("it is moved");
    session.act(run(RunSpeed::Full, true)).expect("a run");
    !last(&session).landed()
}

#[test]
fn a_weld_that_is_not_carried_misses() {
    for part in every_part() {
        for place in part.extremes() {
            assert!(misses(&part, plain_routine(&part), &place), "{} at {place:?}", part.name);
        }
    }
}

/// Where bodies lie otherwise than drawn, the place that does not see them is not enough.
#[test]
fn only_the_place_that_owns_the_seam_carries_its_weld() {
    let mut with_places = 0;
    for part in every_part() {
        if part.fine_places().is_empty() {
            continue;
        }
        with_places += 1;
        let mut coarse = model_routine(&part);
        for step in &mut coarse.steps {
            if let Instruction::Follow { place } = &mut step.instruction {
                *place = PART_PLACE.into();
            }
        }
        let own = part.extremes().into_iter().map(|(_, own)| own).find(|own| !own.is_empty());
        let place = (Pose::identity(), own.expect("a body that moves by itself"));
        assert!(misses(&part, coarse, &place), "{}: the feet have moved", part.name);
        assert!(!misses(&part, model_routine(&part), &place), "{}: and are found", part.name);
    }
    assert!(with_places > 0, "a part with a place for each end");
}

/// Held back: in the last lesson alone, so that its part is new to who comes to it.
#[test]
fn held_back_parts_are_drawn_by_the_last_lesson_alone() {
    let held_back: Vec<String> = held_back_parts().into_iter().map(|p| p.name).collect();
    assert!(held_back.len() >= 4, "{held_back:?}");
    assert!(parts().iter().all(|p| !held_back.contains(&p.name)), "on no list");
    let drawn = |l: &nudgeproof::lesson::LessonFile| {
        std::iter::once(&l.part).chain(&l.other_parts).cloned().collect::<Vec<_>>()
    };
    let mut last = Vec::new();
    for file in lesson_files() {
        let names = drawn(file);
        if file.name == "unseen-part" {
            last = names;
            assert!(file.draws_held_back(), "it draws them");
        } else {
            let shown = names.iter().find(|name| held_back.contains(name));
            assert_eq!(shown, None, "{} draws a part that is held back", file.name);
        }
    }
    last.sort();
    let mut all = held_back;
    all.sort();
    assert_eq!(last, all, "the last lesson draws all of them, and no other");
}
