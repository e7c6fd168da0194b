//! An attempt that is watched stands, after every step forth and back, as one that is looked at whole.

use nudgeproof::geometry::Vector3;
use nudgeproof::lesson::{ProgressTracker, lessons};
use nudgeproof::session::{Action, Session};
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;
use std::sync::Arc;

/// Something that is always possible and leads nowhere.
fn elsewhere(session: &Session) -> Action {
    Action::MoveTorch { to: session.state().torch + Vector3::z() }
}

#[test]
fn a_watched_attempt_stands_as_one_seen_whole() {
    let mut rng = Pcg64Mcg::seed_from_u64(1);
    let (mut went_back, mut finished) = (0, 0);
    for lesson in lessons() {
        let solved = lesson.solved().expect("every lesson can be solved");
        let mut session = lesson.start();
        let mut watched = ProgressTracker::new(Arc::new(lesson.clone()));
        let mut seen = |session: &Session| {
            let (progress, answers) = watched.standing(session);
            assert_eq!((progress, answers), lesson.standing(session), "{}", lesson.name);
            finished += usize::from(progress.finished());
        };
        seen(&session);
        while session.actions().len() < solved.actions().len() {
            // Another way from here, then back, unseen or seen; now and then some steps of the right way too.
            let back = rng.random_range(0..3).min(session.actions().len() - lesson.start_actions());
            (0..back).for_each(|_| assert!(session.undo(), "there is something to take back"));
            went_back += back;
            if rng.random_bool(0.5) {
                seen(&session);
            }
            let mut other = session.clone();
            other.act(elsewhere(&other)).expect("it can be done");
            if rng.random_bool(0.5) {
                seen(&other);
            }
            if rng.random_bool(0.5) {
                while session.redo() {}
            }
            for _ in 0..rng.random_range(2..5) {
                let Some(next) = solved.actions().get(session.actions().len()) else { break };
                session.act(next.clone()).expect("part of the solution");
            }
            seen(&session);
        }
        seen(&lesson.start());
        seen(&solved);
    }
    assert!(went_back > 50 && finished > lessons().len(), "{went_back}, {finished}");
}
