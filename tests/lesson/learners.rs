//! Learners of three kinds, simulated: one who acts at random passes nothing, one who follows the method
//! passes everything, and one who makes a common mistake is told of it.

use nudgeproof::cell::FAULT_NAMES;
use nudgeproof::coach::{RuleName, review};
use nudgeproof::geometry::PoseFile;
use nudgeproof::lesson::{
    Calibration, Lesson, LessonRecord, PASS_SCORE, RecordBook, Tally, WhichRun, lesson, lessons,
    records_to_csv,
};
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::{Instruction, PathKind, RunSpeed, Stop};
use nudgeproof::session::{Action, CellState, Certainty, Decision, LookAt, NamedCause, Session};
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;

/// How many attempts at each lesson are made at random, and how many actions each has.
const ATTEMPTS: u64 = 4;
const ACTIONS: usize = 120;

fn any<T: Clone>(rng: &mut Pcg64Mcg, of: &[T]) -> Option<T> {
    (!of.is_empty()).then(|| of[rng.random_range(0..of.len())].clone())
}

/// Something that can be done on the page.
fn at_random(lesson: &Lesson, session: &Session, rng: &mut Pcg64Mcg) -> Option<Action> {
    let state = session.state();
    let stage = lesson.progress(session).done;
    let steps: Vec<_> = state.routine.steps.iter().map(|s| s.id).collect();
    let points: Vec<_> = state.routine.points.iter().map(|p| p.name.clone()).collect();
    let play = &state.part.play;
    if lesson.shift_at_start().is_some() && rng.random_bool(0.8) {
        let looks: Vec<_> = LookAt::all().collect();
        let what = match rng.random_range(0..8) {
            0 => Decision::Stop,
            1 => Decision::Look(any(rng, &looks)?),
            _ => Decision::GoOn,
        };
        return Some(Action::Decide { what });
    }
    Some(match rng.random_range(0..12) {
        0 | 1 => {
            let ask = lesson.stages.get(stage)?.ask.as_ref()?;
            let answer = 1 + rng.random_range(0..ask.choices().len());
            let certainty =
                (ask.run == WhichRun::Next).then(|| any(rng, &Certainty::ALL)).flatten();
            Action::Predict { stage: stage + 1, answer, certainty }
        }
        2..=4 => {
            let speed = if rng.random() { RunSpeed::Reduced } else { RunSpeed::Full };
            Action::Run { speed, arc: rng.random(), steps: None }
        }
        5 => Action::SetReference { on: rng.random() },
        6 => {
            let state = if rng.random() { CellState::Ready } else { CellState::LockedOut };
            Action::SetCell { state }
        }
        7 => {
            let mut within = |limit: f64| limit * rng.random_range(-1.0..1.0);
            let (dx, dy, dz) = (within(play.dx), within(play.dy), within(play.dz));
            let turn_deg = within(play.turn_deg);
            Action::place_part(PoseFile { dx, dy, dz, turn_deg, ..PoseFile::default() })
        }
        8 => {
            let point = any(rng, &points)?;
            let kinds = [
                Instruction::sensing_on(),
                Instruction::SensingOff,
                Instruction::Find { place: "part".into(), may: Freedoms::PLAN },
                Instruction::Follow { place: "part".into() },
                Instruction::StopFollowing,
                Instruction::TrimWire,
                Instruction::Move { to: point, way: PathKind::Joint, stop: Stop::Full },
            ];
            let at = Some(rng.random_range(0..=steps.len()));
            Action::AddStep { at, step: any(rng, &kinds)? }
        }
        9 => Action::MoveStep { id: any(rng, &steps)?, to: rng.random_range(0..steps.len()) },
        10 => Action::DeleteStep { id: any(rng, &steps)? },
        _ if !lesson.causes().is_empty() => {
            let fault = any(rng, FAULT_NAMES)?.to_owned();
            if rng.random() {
                Action::Name { causes: vec![NamedCause { cause: fault, by: None }] }
            } else {
                Action::ClearFault { fault }
            }
        }
        _ => Action::CutWire { stick_out_mm: 15.0 },
    })
}

#[test]
fn whoever_acts_at_random_passes_no_lesson() {
    for lesson in lessons() {
        // Of each its own, so that what happens here does not depend on the lessons before.
        let mut rng = Pcg64Mcg::seed_from_u64(lesson.seed);
        for seed in 0..ATTEMPTS {
            let attempt = lesson.variant(seed).expect("any seed");
            let mut session = attempt.start();
            let mut done = 0;
            for _ in 0..ACTIONS {
                let action = at_random(&attempt, &session, &mut rng);
                // What cannot be done is not done, as on the page.
                done += usize::from(action.is_some_and(|a| session.act(a).is_ok()));
            }
            assert!(done > ACTIONS / 4, "{}: hardly anything was done", lesson.name);
            let score = attempt.score(&session).total;
            assert!(score < PASS_SCORE, "{}, seed {seed}: passed with {score}", lesson.name);
        }
    }
}

/// The solution of an attempt, with every prediction changed.
fn with_predictions(attempt: &Lesson, to: impl Fn(usize, usize) -> (usize, Certainty)) -> Session {
    let solved = attempt.solved().expect("it can be done");
    let mut session = attempt.start();
    for action in &solved.actions()[attempt.start_actions()..] {
        let action = match action {
            Action::Predict { stage, answer, certainty: Some(_) } => {
                let ask = attempt.stages[stage - 1].ask.as_ref().expect("it asks");
                let (answer, certainty) = to(*answer, ask.choices().len());
                Action::Predict { stage: *stage, answer, certainty: Some(certainty) }
            }
            other => other.clone(),
        };
        session.act(action).expect("it can be done");
    }
    session
}

#[test]
fn whoever_follows_the_method_passes_every_lesson_however_the_predictions_come_out() {
    let mut predicted = 0;
    for lesson in lessons() {
        for seed in [lesson.seed, 3, 4] {
            let attempt = lesson.variant(seed).expect("any seed");
            let wrong = with_predictions(&attempt, |right, n| (right % n + 1, Certainty::Guessing));
            assert!(attempt.progress(&wrong).finished(), "{}, seed {seed}", lesson.name);
            assert_eq!(attempt.score(&wrong).total, 100, "{}, seed {seed}", lesson.name);
            let said = attempt.calibration(&attempt.answers(&wrong));
            assert_eq!((said.guessing.right, said.certain), (0, Tally::default()), "all guessed");
            predicted += said.guessing.said;
        }
    }
    assert!(predicted > 20, "only {predicted} predictions in the course");
}

#[test]
fn a_record_keeps_how_sure_each_prediction_was() {
    let lesson = lesson("reference-and-proof").expect("it is there");
    let solved = lesson.solved().expect("it can be done");
    let record = LessonRecord::of(lesson, &solved, 5);
    let two = Tally { said: 2, right: 2 };
    let expected = Calibration { certain: two, ..Calibration::default() };
    assert_eq!(record.predictions, expected, "both right, and both certain");
    let file = RecordBook::of(std::slice::from_ref(&record)).to_json();
    assert_eq!(
        RecordBook::from_json(&file).map(|book| book.records).expect("its own file"),
        std::slice::from_ref(&record),
        "kept in the file"
    );
    let csv = records_to_csv(&[record]);
    let lines: Vec<Vec<_>> = csv.lines().map(|line| line.split(',').collect()).collect();
    let column = lines[0].iter().position(|head| *head == "certain_said").expect("a column");
    assert_eq!(lines[1][column..column + 2], ["2", "2"], "and in the table: {csv}");
}

/// The commonest mistakes by our own judgement, each with the lesson that is about it (common practice, no
/// source).
const MISTAKES: [(RuleName, &str); 13] = [
    (RuleName::NoReferenceRun, "one-touch"),
    (RuleName::ArcOnFirstMovedPart, "one-touch"),
    (RuleName::UntrimmedWire, "one-touch"),
    (RuleName::TooFewTouches, "two-faces"),
    (RuleName::NoProofRun, "reference-and-proof"),
    (RuleName::ReferenceFlagLeftOn, "reference-and-proof"),
    (RuleName::ReferenceRetakenOnMovedPart, "slide-and-turn"),
    (RuleName::SensingOnWhileWelding, "slide-and-turn"),
    (RuleName::HomeFollowsPart, "what-follows"),
    (RuleName::ShortBaseline, "where-to-touch"),
    (RuleName::DatumNotOfTheSeam, "several-places"),
    (RuleName::TouchesNeverUsed, "several-places"),
    (RuleName::DatumNotOfTheSeam, "datum-of-the-seam"),
];

#[test]
fn whoever_makes_a_common_mistake_is_told_so_in_the_lesson_about_it() {
    for (rule, name) in MISTAKES {
        let lesson = lesson(name).expect("it is there");
        assert!(lesson.rules.contains(&rule), "{name} is about {rule}");
        for seed in 0..4 {
            let attempt = lesson.variant(seed).expect("any seed");
            let session = attempt.with_mistake(rule).expect("it can be made");
            let told = review(&session).findings.iter().any(|f| f.rule == rule);
            assert!(told, "{name}, seed {seed}: nobody says {rule}");
        }
    }
}
