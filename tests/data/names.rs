//! What is written is read back the same: the names and keys of the readers are those of the writers.

use nudgeproof::cell::{Fault, PlateSide, parts};
use nudgeproof::data::{FromData, from_text, to_text};
use nudgeproof::geometry::{PoseFile, Vector3};
use nudgeproof::lesson::{
    Axis, FaultTemplate, Goal, LessonKind, LookAt, Question, ScriptedAction, ShiftPoint,
    StartRoutine, WhichRun, lessons,
};
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::{Corner, PathKind, RunKind, RunSpeed, StepKind};
use serde::Serialize;
use std::fmt::Debug;

fn back<T: Serialize + FromData + PartialEq + Debug>(all: impl IntoIterator<Item = T>) {
    let all: Vec<T> = all.into_iter().collect();
    let text = to_text(&all);
    assert_eq!(from_text::<Vec<T>>(&text).as_ref(), Ok(&all), "{text}");
}

#[test]
fn bare_names_are_read_as_they_are_written() {
    use StepKind::{
        Approach, Arrival, BeginProbing, FinishProbing, Follow, Home, Probe, Retreat,
        StopFollowing, Via, WeldEnd, WeldStart,
    };
    back(Freedoms::ALL);
    back([PlateSide::Left, PlateSide::Right]);
    back([PathKind::Joint, PathKind::Linear]);
    back([Corner::FullStop, Corner::Blend(12.5)]);
    back([RunSpeed::Reduced, RunSpeed::Full]);
    back([RunKind::Reference, RunKind::Proof, RunKind::Production, RunKind::Plain]);
    back([Home, Arrival, Approach, Retreat, Via, BeginProbing, Probe, FinishProbing]);
    back([Follow, StopFollowing, WeldStart, WeldEnd]);
    back([WhichRun::Next, WhichRun::Last]);
    back([LessonKind::Guided, LessonKind::Drill, LessonKind::Refresher]);
    back([StartRoutine::Blank, StartRoutine::Plain, StartRoutine::Worked]);
    back([LookAt::Sheet, LookAt::Routine, LookAt::Plan, LookAt::Run, LookAt::Nudge]);
    back([LookAt::Readings, LookAt::Coach]);
    back([
        ScriptedAction::Build,
        ScriptedAction::BuildPlain,
        ScriptedAction::Answer,
        ScriptedAction::ReferenceRun,
        ScriptedAction::ProofRun,
    ]);
    back([
        ScriptedAction::ProductionRun,
        ScriptedAction::TrialRun,
        ScriptedAction::FlagOn,
        ScriptedAction::FlagOff,
        ScriptedAction::Nudge,
    ]);
    back([
        ScriptedAction::PutBack,
        ScriptedAction::Straighten,
        ScriptedAction::PlantEarly,
        ScriptedAction::Plant,
        ScriptedAction::NameCause,
    ]);
    back([ScriptedAction::Repair]);
    back([Axis::X, Axis::Y]);
    back([ShiftPoint::Origin, ShiftPoint::WeldStart, ShiftPoint::WeldEnd]);
}

#[test]
fn variants_with_keys_are_read_as_they_are_written() {
    let (choices, touch) = (vec![0.5, -3.0], 2);
    back([
        Question::MissSide,
        Question::MissSize { choices: choices.clone() },
        Question::MissHeight { choices: choices.clone() },
        Question::TouchSide { touch },
        Question::SearchLength { touch, choices: choices.clone() },
        Question::FailingTouch { touches: 4 },
        Question::RunEnds,
        Question::Shift { axis: Axis::Y, at: ShiftPoint::WeldEnd, choices: choices.clone() },
        Question::Turn { choices: choices.clone() },
        Question::HomeOff { choices: choices.clone() },
        Question::Agreement,
        Question::Spread { choices },
        Question::Reference,
    ]);
    let plan = Goal::Plan {
        freedoms: Some(Freedoms::SlideTurn),
        reference: Some(true),
        reach_mm: Some(30.0),
    };
    let ran = Goal::Ran {
        kind: Some(RunKind::Proof),
        speed: Some(RunSpeed::Full),
        arc: Some(true),
        landed: Some(false),
    };
    let bare = Goal::Ran { kind: None, speed: None, arc: None, landed: None };
    let all = [
        Goal::Answered,
        Goal::CauseNamed,
        Goal::Mended,
        Goal::InOrder(vec![StepKind::Probe]),
        Goal::Touches(vec![2, 1]),
        plan,
        ran,
        bare,
        Goal::Missed,
        Goal::ReferenceOverwritten,
        Goal::Stopped,
        Goal::PartMoved,
        Goal::PartInPlace,
        Goal::RoutineQuiet,
        Goal::Without("no-arrival".into()),
        Goal::Not(Box::new(Goal::PartMoved)),
    ];
    back(all.clone());
    back([Goal::All(all.to_vec()), Goal::Any(all.to_vec())]);
}

#[test]
fn tagged_objects_are_read_as_they_are_written() {
    let pose = PoseFile { dx: 1.0, dy: -2.0, turn_deg: 0.5, ..PoseFile::default() };
    back([
        Fault::PaintedEdge {
            body: "plate".into(),
            edge: 1,
            from_mm: 2.0,
            to_mm: 30.5,
            depth_mm: 0.8,
        },
        Fault::ClampMoved { clamp: "left".into(), dx: 3.0, dy: 4.0 },
        Fault::OutOfSquare { lean_deg: -1.5 },
        Fault::WireBent { bend: Vector3::new(1.0, 2.0, -0.25) },
        Fault::StickOutChanged { stick_out_mm: 18.0 },
        Fault::ProbingSpeedChanged { speed_mm_s: 40.0 },
        Fault::PartSlipsMidRun { slip: pose },
        Fault::ReferenceOnMovedPart { part: pose },
        Fault::WrongPart { part: "bench-slat".into() },
    ]);
}

#[test]
fn what_a_drill_may_plant_is_read_as_it_is_written() {
    let within = [0.5, 1.5];
    back([
        FaultTemplate::PaintedEdge { depth_mm: within },
        FaultTemplate::ClampMoved {},
        FaultTemplate::OutOfSquare { lean_deg: within },
        FaultTemplate::StickOutChanged { longer_mm: within },
        FaultTemplate::ProbingSpeedChanged { speed_mm_s: within },
        FaultTemplate::PartSlipsMidRun { slip_mm: within },
        FaultTemplate::ReferenceOnMovedPart { away_mm: within },
        FaultTemplate::WrongPart { on: "bench-side".into(), part: "bench-slat".into() },
    ]);
}

#[test]
fn every_part_and_lesson_that_comes_along_is_read_as_it_is_written() {
    back(parts());
    back(lessons().iter().map(|l| l.file().clone()));
}

#[test]
fn an_error_names_the_place_and_what_was_expected() {
    let error = |text: &str| from_text::<Vec<Fault>>(text).expect_err("it is broken").to_string();
    for (text, says) in [
        ("[", "line 1, column 1: EOF while parsing a list"),
        ("{}", "invalid type: map, expected a sequence"),
        ("[3]", "[0]: invalid type: integer `3`, expected a map"),
        ("[{}]", "[0]: missing field `fault`"),
        (r#"[{"fault": 1.5}]"#, "[0].fault: invalid type: floating point `1.5`, expected a string"),
        (r#"[{"fault": "rust"}]"#, "[0]: unknown variant `rust`, expected one of `painted-edge`"),
        (r#"[{"fault": "out-of-square"}]"#, "[0]: missing field `lean_deg`"),
        (
            r#"[{"fault": "out-of-square", "lean_deg": 1, "by": 2}]"#,
            "[0]: unknown field `by`, expected `lean_deg`",
        ),
        (
            r#"[{"fault": "wire-bent", "bend": [1, 2, 3]}, {"fault": "wire-bent", "bend": [1, "a", 3]}]"#,
            r#"[1].bend[1]: invalid type: string "a", expected a finite number"#,
        ),
        (
            r#"[{"fault": "wire-bent", "bend": [1, 2]}]"#,
            "[0].bend: invalid length 2, expected an array of length 3",
        ),
        (
            r#"[{"fault": "painted-edge", "body": "a", "edge": -1, "from_mm": 0, "to_mm": 1, "depth_mm": 1}]"#,
            "[0].edge: invalid type: integer `-1`, expected usize",
        ),
    ] {
        let said = error(text);
        assert!(said.starts_with(says), "{text}: {said}");
    }
}

#[test]
fn a_whole_number_is_called_one_whatever_its_size() {
    let error = |text: &str| from_text::<Vec<u64>>(text).expect_err("not that").to_string();
    let name = |text: &str| from_text::<String>(text).expect_err("not that").to_string();
    // 2⁵³ + 1, 2⁶³, 2⁶⁴ − 1: to the last digit. From 2⁶⁴ on, and below −2⁶³, about.
    for digits in ["9007199254740993", "9223372036854775808", "18446744073709551615"] {
        let says = format!("invalid type: integer `{digits}`, expected a string");
        assert_eq!(name(digits), says);
        assert!(from_text::<u64>(digits).is_ok(), "{digits}");
    }
    let says = "[0]: invalid type: integer of about `18446744073709552000`, expected u64";
    assert_eq!(error("[18446744073709551616]"), says);
    let said = error("[-9223372036854775809]");
    assert!(said.starts_with("[0]: invalid type: integer of about `-92233720368547"), "{said}");
    let says = "[0]: invalid type: floating point `2251799813685248.5`, expected u64";
    assert_eq!(error("[2251799813685248.5]"), says);
}
