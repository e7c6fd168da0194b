//! What is written is read back the same, and an error names line, column and key.

use nudgeproof::cell::{
    Body, Bump, BumpKind, EdgeMade, FAULT_NAMES, Fault, FixturePlay, Look, MadeEdge, Mend,
    PlateSide, held_back_parts, parts,
};
use nudgeproof::coach::RuleName;
use nudgeproof::geometry::{Point3, PoseFile, Vector3};
use nudgeproof::io::{from_json, from_toml, to_json, toml_position};
use nudgeproof::lesson::{
    Axis, FaultTemplate, Goal, LessonFile, LessonKind, LookAt, Question, ScriptedAction,
    ShiftPoint, StartRoutine, WhichRun, lesson_files,
};
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::{
    Instruction, PART_PLACE, PathKind, Routine, RunKind, RunSpeed, Step, StepId, StepKind, Stop,
    TaughtPoint,
};
use nudgeproof::session::{
    Action, CellState, Certainty, Evidence, NOTHING_WRONG, NamedCause, Reading,
};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use std::fmt::Debug;

/// Every text must be refused with a message that starts as said; all that are not are told at once.
#[track_caller]
fn refused(cases: &[(&str, &str)], error: impl Fn(&str) -> String) {
    let said = cases.iter().map(|(text, says)| (text, says, error(text)));
    let wrong = said.filter(|(_, says, said)| !said.starts_with(*says));
    let wrong: Vec<_> =
        wrong.map(|(text, says, said)| format!("{text}\n  {says}\n  {said}")).collect();
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

fn back<T: Serialize + DeserializeOwned + PartialEq + Debug>(all: impl IntoIterator<Item = T>) {
    let all: Vec<T> = all.into_iter().collect();
    let text = to_json(&all);
    assert_eq!(from_json::<Vec<T>>(&text).as_ref(), Ok(&all), "{text}");
}

#[test]
fn bare_names_are_read_as_they_are_written() {
    use StepKind::{
        Approach, Feel, Find, Follow, Home, Retreat, SensingOff, SensingOn, StopFollowing,
        TrimWire, Via, WeldEnd, WeldStart, WeldThrough,
    };
    back((0..64).map(Freedoms::from_bits_truncate));
    back([PlateSide::Left, PlateSide::Right]);
    back([PathKind::Joint, PathKind::Linear]);
    back([Stop::Full, Stop::Round(12.5)]);
    back([RunSpeed::Reduced, RunSpeed::Full]);
    back([RunKind::Reference, RunKind::Proof, RunKind::Dry, RunKind::Production, RunKind::Plain]);
    back([Home, Approach, Retreat, Via, SensingOn, Feel, SensingOff, Find]);
    back([Follow, StopFollowing, WeldStart, WeldThrough, WeldEnd, TrimWire]);
    back([CellState::Ready, CellState::LockedOut]);
    back([EdgeMade::Machined, EdgeMade::Cut, EdgeMade::Sawn, EdgeMade::Rolled]);
    back([BumpKind::Tack, BumpKind::Burr]);
    back([WhichRun::Next, WhichRun::Last]);
    back([LessonKind::Guided, LessonKind::Drill, LessonKind::Refresher]);
    back([StartRoutine::Blank, StartRoutine::Plain, StartRoutine::Worked]);
    back([LookAt::Sheet, LookAt::Routine, LookAt::Step, LookAt::Run, LookAt::Nudge]);
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
        ScriptedAction::DryRun,
        ScriptedAction::Nudge,
    ]);
    back([
        ScriptedAction::PutBack,
        ScriptedAction::CutWire,
        ScriptedAction::PlantEarly,
        ScriptedAction::Plant,
        ScriptedAction::NameCause,
    ]);
    back([ScriptedAction::LastRun, ScriptedAction::Look, ScriptedAction::Repair]);
    back(Look::all());
    back(Mend::all());
    back(Reading::all());
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
        Question::TouchFace { touch },
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
    let find = Goal::Find { place: PART_PLACE.into(), may: Some(Freedoms::PLAN) };
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
        Goal::Proved,
        Goal::InOrder(vec![StepKind::Feel]),
        Goal::Feels(vec![2, 1]),
        find,
        Goal::ReferenceFlag(true),
        Goal::CellReady,
        ran,
        bare,
        Goal::Missed,
        Goal::ReferenceOverwritten,
        Goal::Stopped,
        Goal::PartMoved,
        Goal::PartInPlace,
        Goal::RoutineQuiet,
        Goal::Without(RuleName::NoClearMove),
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
        Fault::TackOnEdge { body: "plate".into(), edge: 1, from_mm: 2.0, to_mm: 30.5, out_mm: 1.5 },
        Fault::ClampMoved { clamp: "left".into(), dx: 3.0, dy: 4.0 },
        Fault::WorkLeadOff,
        Fault::SpatterBridge,
        Fault::OutOfSquare { lean_deg: -1.5 },
        Fault::WireBent { bend: Vector3::new(1.0, 2.0, -0.25) },
        Fault::StickOutChanged { stick_out_mm: 18.0 },
        Fault::SensingSpeedChanged { speed_mm_s: 40.0 },
        Fault::PartSlipsMidRun { slip: pose },
        Fault::ReferenceOnMovedPart { part: pose },
        Fault::WrongPart { part: "bench-slat".into() },
        Fault::UntrimmedWire { stick_out_mm: 16.5 },
        Fault::TipWorn { wear_mm: 1.25 },
        Fault::RoughEdge { body: "plate".into(), edge: 1, made: EdgeMade::Rolled },
        Fault::LooseUpright { body: "rail".into(), dx: 0.0, dy: -2.0 },
        Fault::WornClamp { away: pose },
    ]);
}

#[test]
fn what_a_drill_may_plant_is_read_as_it_is_written() {
    let within = [0.5, 1.5];
    back([
        FaultTemplate::PaintedEdge { depth_mm: within },
        FaultTemplate::TackOnEdge { out_mm: within },
        FaultTemplate::ClampMoved {},
        FaultTemplate::WorkLeadOff {},
        FaultTemplate::SpatterBridge {},
        FaultTemplate::OutOfSquare { lean_deg: within },
        FaultTemplate::WireBent { bend_mm: within },
        FaultTemplate::SensingSpeedChanged { speed_mm_s: within },
        FaultTemplate::PartSlipsMidRun { slip_mm: within },
        FaultTemplate::ReferenceOnMovedPart { away_mm: within },
        FaultTemplate::WrongPart { on: "bench-side".into(), part: "bench-slat".into() },
        FaultTemplate::UntrimmedWire { off_mm: within },
        FaultTemplate::TipWorn { wear_mm: within },
        FaultTemplate::RoughEdge { made: EdgeMade::Sawn },
        FaultTemplate::LooseUpright { moved_mm: within },
        FaultTemplate::WornClamp { plays: within },
    ]);
}

#[test]
fn a_body_is_read_as_it_is_written_with_all_that_it_may_say() {
    let mut body = parts()[0].bodies[0].clone();
    body.play = Some(FixturePlay { dx: 1.0, ..FixturePlay::default() });
    body.edges = vec![MadeEdge { edge: 2, made: EdgeMade::Rolled }];
    let (from_mm, to_mm, out_mm) = (1.0, 2.0, 0.5);
    body.bumps = vec![Bump { kind: BumpKind::Burr, edge: 1, from_mm, to_mm, out_mm }];
    back::<Body>([body]);
}

#[test]
fn every_part_and_lesson_that_comes_along_is_read_as_it_is_written() {
    back(parts());
    back(held_back_parts());
    back(lesson_files().map(|l| LessonFile::clone(l)));
}

#[test]
fn every_action_is_read_as_it_is_written() {
    let at = Point3::new(0.1, -2.0, 1e-7);
    let step = || Instruction::Feel {
        from: "a".into(),
        way: PathKind::Joint,
        direction: Vector3::y(),
        face: "south".into(),
    };
    let part = PoseFile { dx: 0.25, turn_deg: -1.5, ..PoseFile::default() };
    let routine = Routine {
        points: vec![TaughtPoint { name: "home".into(), at }],
        steps: vec![
            Step { id: StepId(3), instruction: step() },
            Step { id: StepId(4), instruction: Instruction::SensingOff },
        ],
    };
    let all = [
        Action::AddStep { at: None, step: step() },
        Action::AddStep { at: Some(2), step: Instruction::StopFollowing },
        Action::AddStep { at: None, step: Instruction::sensing_on() },
        Action::AddStep { at: None, step: Instruction::SensingOff },
        Action::AddStep { at: None, step: Instruction::WeldThrough { to: "a".into() } },
        Action::AddStep { at: None, step: Instruction::TrimWire },
        Action::AddStep {
            at: None,
            step: Instruction::Find { place: PART_PLACE.into(), may: Freedoms::PLAN },
        },
        Action::AddStep {
            at: None,
            step: Instruction::Move {
                to: "a".into(),
                way: PathKind::Linear,
                stop: Stop::Round(4.0),
            },
        },
        Action::ChangeStep { id: StepId(3), step: Instruction::Follow { place: "a".into() } },
        Action::DeleteStep { id: StepId(3) },
        Action::MoveStep { id: StepId(3), to: 0 },
        Action::Teach { point: "a".into(), at },
        Action::RenamePoint { from: "a".into(), to: "b".into() },
        Action::DeletePoint { point: "a".into() },
        Action::SetReference { on: true },
        Action::SetCell { state: CellState::LockedOut },
        Action::LoadRoutine { routine },
        Action::MoveTorch { to: at },
        Action::place_part(part),
        Action::PlacePart { part, bodies: [("rail".into(), part)].into() },
        Action::Run { speed: RunSpeed::Full, arc: true, steps: Some(4) },
        Action::Resume { steps: None },
        Action::Abort,
        Action::CutWire { stick_out_mm: 15.0 },
        Action::Plant { fault: Fault::OutOfSquare { lean_deg: 1.0 } },
        Action::ClearFaults,
        Action::ClearFault { fault: "wire-bent".into() },
        Action::Predict { stage: 1, answer: 2, certainty: None },
        Action::Predict { stage: 1, answer: 2, certainty: Some(Certainty::FairlySure) },
        Action::Name {
            causes: vec![
                NamedCause { cause: NOTHING_WRONG.into(), by: None },
                NamedCause { cause: "wire-bent".into(), by: Some(Evidence::Look(Look::WireTip)) },
                NamedCause {
                    cause: "work-lead-off".into(),
                    by: Some(Evidence::Reading { run: 4, what: Reading::Searches }),
                },
            ],
        },
        Action::Look { at: Look::Square },
        Action::Mend { by: Mend::CleanEdge },
        Action::Conceal { part },
        Action::Reveal,
        Action::PlantInSecret { fault: Fault::WorkLeadOff },
        Action::MoveInSecret { part, bodies: [("rail".into(), part)].into() },
        Action::ClearInSecret { fault: "work-lead-off".into() },
        Action::Hint { rule: "no-clear-move".into(), hint_level: 3 },
        Action::Mended { rule: "no-clear-move".into() },
    ];
    for action in &all {
        let written = serde_json::to_value(action).expect("it can be written");
        assert_eq!(written["action"], action.name(), "{written}");
    }
    back(all);
}

#[test]
fn a_fault_bears_the_same_name_everywhere() {
    for (fault, name) in [
        (Fault::WireBent { bend: Vector3::x() }, "wire-bent"),
        (Fault::WrongPart { part: "bin-door".into() }, "wrong-part"),
    ] {
        assert_eq!(fault.name(), name);
        assert!(FAULT_NAMES.contains(&name), "{name}");
        assert_eq!(serde_json::to_value(&fault).expect("it can be written")["fault"], name);
    }
    assert_eq!(FaultTemplate::ClampMoved {}.name(), FAULT_NAMES[2]);
}

#[test]
fn an_error_in_json_names_line_column_and_key() {
    let error = |text: &str| from_json::<Vec<Fault>>(text).expect_err("it is broken").to_string();
    refused(
        &[
            ("[", "line 1, column 1: expected `]`, and found the end of the text"),
            ("{}", "line 1, column 0: expected a list, and found an object"),
            (
                "[3]",
                "line 1, column 2: [0]: expected an object with the key `fault`, and found the number 3",
            ),
            ("[{}]", "line 1, column 3: [0]: missing key `fault`"),
            (
                r#"[{"fault": 1.5}]"#,
                "line 1, column 14: [0].fault: expected a name in quotes, and found the number 1.5",
            ),
            (
                r#"[{"fault": "rust"}]"#,
                "line 1, column 17: [0].fault: expected one of `painted-edge`",
            ),
            (r#"[{"fault": "out-of-square"}]"#, "line 1, column 27: [0]: missing key `lean_deg`"),
            (
                r#"[{"fault": "out-of-square", "lean_deg": 1, "by": 2}]"#,
                "line 1, column 47: [0].by: unknown key `by`, expected `lean_deg`",
            ),
            (
                "[{\"fault\": \"wire-bent\", \"bend\": [1, 2, 3]},\n {\"fault\": \"wire-bent\", \"bend\": [1, \"a\", 3]}]",
                "line 2, column 39: [1].bend[1]: expected a number, and found the text \"a\"",
            ),
            (
                r#"[{"bend": [1, "a", 3], "fault": "wire-bent"}]"#,
                "line 1, column 44: [0]: bend[1]: expected a number, and found the text \"a\"",
            ),
            (
                r#"[{"fault": "wire-bent", "bend": [1, 2]}]"#,
                "line 1, column 39: [0].bend: expected a list of 3, and found 2",
            ),
            (
                r#"[{"fault": "wire-bent", "bend": [1, 2, 3, 4]}]"#,
                "line 1, column 45: [0].bend: expected a list of 3, and found 4",
            ),
            (
                r#"[{"fault": "painted-edge", "body": "a", "edge": -1, "from_mm": 0, "to_mm": 1, "depth_mm": 1}]"#,
                "line 1, column 50: [0].edge: expected a whole number from 0, and found the number -1",
            ),
            (
                r#"[{"fault": "out-of-square", "lean_deg": null}]"#,
                "line 1, column 44: [0].lean_deg: expected a number, and found null",
            ),
            ("[1e400]", "line 1, column 6: [0]: expected a number up to 1.8e308"),
            ("[] []", "line 1, column 4: expected the end of the text, and found more"),
        ],
        error,
    );
}

#[test]
fn an_unknown_key_is_refused_beside_every_tag() {
    for name in ["abort", "clear_faults", "reveal"] {
        let action = from_json::<Action>(&format!(r#"{{"action": "{name}"}}"#)).expect(name);
        assert_eq!(action.name(), name);
    }
    let error = |text: &str| from_json::<Action>(text).expect_err("unknown key").without_line();
    refused(
        &[
            (r#"{"action": "abort", "why": 1}"#, "why: unknown key `why`, expected no more keys"),
            (r#"{"why": 1, "action": "abort"}"#, "unknown key `why`, expected no more keys"),
            (
                r#"{"action": "clear_faults", "why": 1}"#,
                "why: unknown key `why`, expected no more keys",
            ),
            (
                r#"{"action": "reveal", "action": "abort"}"#,
                "action: unknown key `action`, expected no more keys",
            ),
            (r#"{"action": "resume", "why": 1}"#, "why: unknown key `why`, expected `steps`"),
            (
                r#"{"action": "add_step", "step": {"do": "follow", "place": "a", "id": 1}}"#,
                "step.id: unknown key `id`, expected `place`",
            ),
            (
                r#"{"action": "add_step", "step": {"do": "find", "may": ["x"], "flag": true}}"#,
                "step.flag: unknown key `flag`, expected `place` or `may`",
            ),
        ],
        error,
    );
}

#[test]
fn a_step_is_its_id_beside_what_it_does_in_any_order() {
    let step = Step { id: StepId(7), instruction: Instruction::WeldStart { to: "a".into() } };
    for text in [
        r#"{"id": 7, "do": "weld_start", "to": "a"}"#,
        r#"{"do": "weld_start", "id": 7, "to": "a"}"#,
        r#"{"to": "a", "do": "weld_start", "id": 7}"#,
    ] {
        assert_eq!(from_json::<Step>(text).as_ref(), Ok(&step), "{text}");
    }
    let error = |text: &str| from_json::<Step>(text).expect_err("it is broken").without_line();
    refused(
        &[
            (r#"{"do": "weld_start", "to": "a"}"#, "missing key `id`"),
            (
                r#"{"id": -7, "do": "weld_start", "to": "a"}"#,
                "id: expected a whole number from 0 to 4294967295, and found the number -7",
            ),
            (
                r#"{"id": 7, "id": 8, "do": "weld_start", "to": "a"}"#,
                "expected each key once, and found `id` again",
            ),
            (
                r#"{"id": 7, "do": "weld_start", "to": 3}"#,
                "to: expected text in quotes, and found the number 3",
            ),
            (
                r#"{"id": 7, "do": "weld_start", "to": "a", "from": "b"}"#,
                "from: unknown key `from`, expected `to`",
            ),
            (
                r#"{"id": 7, "do": "sensing_off", "to": "a"}"#,
                "to: unknown key `to`, expected no more keys",
            ),
        ],
        error,
    );
}

/// What a lesson may hold of each kind of value.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(dead_code, reason = "only errors are looked at")]
struct Sample {
    #[serde(default)]
    number: f64,
    #[serde(default)]
    pose: PoseFile,
    #[serde(default)]
    play: Option<FixturePlay>,
    #[serde(default)]
    goal: Goal,
    #[serde(default)]
    steps: Vec<Step>,
    #[serde(default)]
    solution: Vec<Action>,
}

#[test]
fn an_error_in_toml_names_line_column_and_key() {
    let error = |text: &str| from_toml::<Sample>(text).expect_err("it is broken").to_string();
    refused(
        &[
            ("number = ", "line 1, column 10: expected text in quotes, a number, true or false"),
            ("number = one", "line 1, column 10: expected text in quotes, a number, true or false"),
            ("number = 1\nnumber = 2", "line 2, column 1: expected each key once"),
            ("number = 1 goal = 2", "line 1, column 17: expected a new line before the next key"),
            ("number = nan", "line 1, column 10: expected a finite number, and found nan"),
            (
                "[pose]\ndx = 1\ndy = -inf",
                "line 3, column 6: expected a finite number, and found -inf",
            ),
            ("number = 1e999", "line 1, column 10: expected a finite number, and found 1e999"),
            (
                "# ü\nnumber = \"a\"",
                "line 2, column 10: number: expected a number, and found the text \"a\"",
            ),
            ("[pose]\ndx = 1\n[[steps]]", "line 3, column 1: steps[0]: missing key `do`"),
            (
                "[pose]\ndx = 1\nbx = 2",
                "line 3, column 1: pose.bx: unknown key `bx`, expected one of `dx`",
            ),
            ("goal = \"fly\"", "line 1, column 8: goal: expected one of `answered`"),
            (
                "goal = { all = [\"part_moved\",\n  { ran = { arc = 1 } }] }",
                "line 2, column 19: goal.all[1].ran.arc: expected true or false, and found the number 1",
            ),
            (
                "goal = { ran = { bow = 1 } }",
                "line 1, column 16: goal.ran: unknown key bow, expected one of kind, speed, arc, landed",
            ),
            (
                "[play]\nabout = [1, 2, 3, 4]",
                "line 2, column 9: play.about: expected a list of 3, and found 4",
            ),
        ],
        error,
    );
    let error =
        from_toml::<Sample>("number = 1\r\n[pose]\r\ndx = \"a\"").expect_err("it is broken");
    assert_eq!((error.line, error.column), (3, 6), "with line ends of Windows");
}

#[test]
fn an_error_inside_a_tagged_step_or_action_names_its_own_place() {
    let error = |text: &str| from_toml::<Sample>(text).expect_err("it is broken").to_string();
    refused(
        &[
            (
                "[[steps]]\nid = 1\ndo = \"move\"\nto = \"home\"\nway = \"air\"",
                "line 5, column 7: steps[0].way: expected `joint` or `linear`",
            ),
            (
                "steps = [\n  { id = 1, do = \"sensing_off\" },\n  { id = 2, do = \"weld_start\", to = 4 },\n]",
                "line 3, column 37: steps[1].to: expected text in quotes, and found the number 4",
            ),
            (
                "steps = [{ id = 1, do = \"fly\" }]",
                "line 1, column 25: steps[0].do: expected one of `move`",
            ),
            (
                "[[steps]]\nid = 1\ndo = \"sensing_off\"\nnow = true",
                "line 4, column 1: steps[0].now: unknown key `now`, expected no more keys",
            ),
            (
                "[[solution]]\naction = \"abort\"\n[[solution]]\naction = \"teach\"\npoint = \"a\"\nat = [1, 2,\n  \"x\"]",
                "line 7, column 3: solution[1].at[2]: expected a number, and found the text \"x\"",
            ),
            (
                "[[solution]]\naction = \"plant\"\nfault = { fault = \"out-of-square\", lean_deg = true }",
                "line 3, column 47: solution[0].fault.lean_deg: expected a number, and found true",
            ),
            // Keys before the tag cannot be read before it: line and column are those of the step.
            (
                "[[steps]]\nto = 4\nid = 1\ndo = \"weld_start\"",
                "line 1, column 1: steps[0]: to: expected text in quotes, and found the number 4",
            ),
        ],
        error,
    );
}

#[test]
fn the_position_of_a_value_is_found_by_its_path() {
    let text = "name = \"x\"\n[[stages]]\nsay = \"a\"\n[[stages]]\nsay = \"b\"\nhints = [\"a\",\n  \"b\"]\n[stages.goal]\nran = { arc = true }\n";
    for (path, expected) in [
        ("name", (1, 8)),
        ("stages[1].say", (5, 7)),
        ("stages[1].hints[1]", (7, 3)),
        ("stages[1].goal.ran.arc", (9, 15)),
        ("stages[0].title", (2, 1)),
        ("routine", (1, 1)),
    ] {
        assert_eq!(toml_position(text, path), Some(expected), "{path}");
    }
    assert_eq!(toml_position("name = ", "name"), None, "not TOML");
}

#[test]
fn a_whole_number_out_of_range_is_refused_with_its_place() {
    for digits in ["9007199254740993", "9223372036854775808", "18446744073709551615"] {
        assert_eq!(from_json::<u64>(digits).ok(), digits.parse().ok(), "to the last digit");
    }
    let error = |text: &str| from_json::<Vec<u64>>(text).expect_err("not that").to_string();
    refused(
        &[
            (
                "[18446744073709551616]",
                "line 1, column 21: [0]: expected a whole number from 0, and found the number 1.8446744073709552e+19",
            ),
            (
                "[-3]",
                "line 1, column 3: [0]: expected a whole number from 0, and found the number -3",
            ),
            (
                "[2251799813685248.5]",
                "line 1, column 19: [0]: expected a whole number from 0, and found the number 2251799813685248.5",
            ),
        ],
        error,
    );
}
