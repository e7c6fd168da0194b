//! The lesson about a shift: what is decided in it is kept in the session, and judged as a shift is.

use nudgeproof::lesson::{
    Lesson, LessonRecord, PASS_SCORE, ProgressTracker, Question, RecordBook, lesson, of_session,
};
use nudgeproof::session::{Action, Decision, LookAt, Session};
use nudgeproof::shift::{LOOK_MINUTES, SCRAP_MINUTES, STOP_MINUTES, Shift};
use std::sync::Arc;

fn attempt(seed: u64) -> Lesson {
    lesson("forty-parts").expect("it is there").variant(seed).expect("any seed")
}

/// The attempt done as its solution has it, but for what is decided where this says so.
fn done(attempt: &Lesson, mut other: impl FnMut(&Shift, Decision) -> Vec<Decision>) -> Session {
    let solved = attempt.solved().expect("it can be done");
    let mut session = attempt.start();
    for action in &solved.actions()[attempt.start_actions()..] {
        let Action::Decide { what } = action else {
            session.act(action.clone()).expect("as it should be done");
            continue;
        };
        let shift = attempt.shift(&session).expect("a shift");
        for what in other(&shift, *what) {
            session.act(Action::Decide { what }).expect("any decision");
        }
    }
    session
}

fn points(attempt: &Lesson, session: &Session) -> u8 {
    assert!(attempt.progress(session).finished(), "every part is done, and all is answered");
    attempt.score(session).total
}

#[test]
fn the_best_decisions_get_every_point_and_lose_what_the_shift_engine_says() {
    for seed in [35, 1, 2, 3] {
        let attempt = attempt(seed);
        let session = done(&attempt, |_, what| vec![what]);
        assert_eq!(points(&attempt, &session), 100, "seed {seed}");
        let shift = attempt.shift(&session).expect("a shift");
        assert_eq!(Some(shift.tally()), attempt.best_of_shift(), "seed {seed}");
        assert_eq!(shift.tally().scrap, 0, "seed {seed}: the best let no scrap through");
    }
}

/// One stop without cause is a pass, two are none; no scrap is let through by who passes.
#[test]
fn a_pass_is_a_shift_without_scrap_and_with_one_stop_without_cause_at_most() {
    let attempt = attempt(35);
    let stopping = |stops: usize| {
        let session = done(&attempt, |shift, what| {
            let early = shift.done().len() >= 9 && shift.done().len() < 9 + stops;
            vec![if early { Decision::Stop } else { what }]
        });
        let tally = attempt.shift(&session).expect("a shift").tally();
        assert_eq!((tally.needless_stops, tally.scrap), (stops, 0));
        points(&attempt, &session)
    };
    assert!(stopping(1) >= PASS_SCORE, "one");
    assert!(stopping(2) < PASS_SCORE, "two");
    let one_scrap = attempts_with_scrap();
    assert!(one_scrap > 0, "scrap was let through somewhere");
    const { assert!(SCRAP_MINUTES >= 2 * STOP_MINUTES, "scrap costs as much as two stops") };
}

/// How many of some attempts let scrap through when every part is welded that was found; none passes.
fn attempts_with_scrap() -> usize {
    let blind = |seed| {
        let attempt = attempt(seed);
        let session = done(&attempt, |shift, what| match what {
            Decision::GoOn => vec![what],
            // Looks are left out; a part that is not found cannot be welded.
            _ if shift.now().is_some_and(|felt| felt.offset.is_some()) => Vec::new(),
            _ => vec![what],
        });
        let tally = attempt.shift(&session).expect("a shift").tally();
        assert!(points(&attempt, &session) < PASS_SCORE, "seed {seed}: {tally:?}");
        tally.scrap
    };
    (1..8).map(blind).filter(|scrap| *scrap > 0).count()
}

#[test]
fn looking_at_everything_all_the_time_is_no_pass_either() {
    let attempt = attempt(35);
    let session = done(&attempt, |_, what| vec![Decision::Look(LookAt::Part), what]);
    let tally = attempt.shift(&session).expect("a shift").tally();
    assert!(tally.minutes >= 39 * LOOK_MINUTES, "{tally:?}");
    assert!(points(&attempt, &session) < PASS_SCORE, "{tally:?}");
}

#[test]
fn what_was_decided_comes_back_from_the_file_and_stays_when_undone_to() {
    let attempt = attempt(4);
    let session = done(&attempt, |_, what| vec![what]);
    let back = Session::from_json(&session.to_json()).expect("its own file");
    let again = of_session(&back).expect("it names its lesson");
    assert_eq!(again.decisions(&back), attempt.decisions(&session), "every decision");
    assert_eq!(again.score(&back), attempt.score(&session), "and what they come to");
    let floor = attempt.undo_floor(&session);
    assert!(matches!(session.actions()[floor - 1], Action::Decide { .. }), "no part comes back");
    let record = LessonRecord::of(&attempt, &session, 7);
    assert_eq!(record.shift, attempt.best_of_shift(), "the record has what the shift came to");
    assert_eq!((record.score, record.miss_mm), (100, None), "and no weld of the reference run");
    let book = RecordBook::of(std::slice::from_ref(&record)).to_json();
    assert_eq!(RecordBook::from_json(&book).expect("its own file").records, [record]);
}

#[test]
fn the_shift_waits_while_a_question_is_open() {
    let attempt = Arc::new(attempt(5));
    let mut watched = ProgressTracker::new(attempt.clone());
    let mut session = attempt.start();
    let mut waits = |session: &Session| {
        let (progress, answers) = watched.standing(session);
        let shift = attempt.shift(session).expect("a shift");
        attempt.waits_for_answer(progress.done, &answers, &shift)
    };
    for part in 0..8 {
        assert!(!waits(&session), "part {part}: nothing can be read yet");
        session.act(Action::Decide { what: Decision::GoOn }).expect("a decision");
    }
    assert!(waits(&session), "the limits are to be read");
    session.act(Action::Predict { stage: 1, answer: 1, certainty: None }).expect("an answer");
    assert!(waits(&session), "the next part is to be foretold");
    let sure = Some(nudgeproof::session::Certainty::Guessing);
    session.act(Action::Predict { stage: 2, answer: 1, certainty: sure }).expect("an answer");
    assert!(!waits(&session), "then it goes on");
}

/// The reading of the limit is that of the chart: mean and 2.66 mean moving ranges of the first eight
/// (NIST/SEMATECH e-Handbook, 6.3.2.2).
#[test]
fn the_limit_that_is_read_is_that_of_the_handbook() {
    for seed in 1..20 {
        let attempt = attempt(seed);
        let session = done(&attempt, |_, what| vec![what]);
        let shift = attempt.shift(&session).expect("a shift");
        let y: Vec<f64> = shift.felt().take(8).map(|f| f.shift.expect("found").y).collect();
        let mean = y.iter().sum::<f64>() / 8.0;
        let moving = y.windows(2).map(|w| (w[1] - w[0]).abs()).sum::<f64>() / 7.0;
        let upper = mean + 2.66 * moving;
        let ask = attempt.stages[0].ask.as_ref().expect("a question");
        let Question::UpperLimit { choices, .. } = &ask.about else { panic!("about a limit") };
        let right = attempt.answers(&session)[0].right.expect("it can be read");
        let off = |choice: &f64| (choice - upper).abs();
        let nearest = choices.iter().map(off).fold(f64::INFINITY, f64::min);
        assert!(off(&choices[right]) < nearest + 0.05, "seed {seed}: {upper}");
    }
}

#[test]
fn a_stage_of_a_shift_has_no_skill() {
    let text = include_str!("../../lessons/forty-parts.toml");
    let with_skill =
        text.replacen("look_at = \"charts\"", "look_at = \"charts\"\nskill = \"find_fault\"", 1);
    let why = Lesson::from_toml(&with_skill).expect_err("refused").to_string();
    assert!(why.contains("stage 1, key `skill`: expected none in a lesson about a shift"), "{why}");
    let no_reference = text.replacen("did = [\"reference_run\", \"proof_run\"]", "did = []", 1);
    let why = Lesson::from_toml(&no_reference).expect_err("refused").to_string();
    assert!(
        why.contains("key `start`: the shift cannot begin: place \"part\" has no reference"),
        "{why}"
    );
}
