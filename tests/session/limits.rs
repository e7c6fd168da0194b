//! What a session may hold, and what it costs: the same whether a person does it or a file says it.

use nudgeproof::cell::{Fault, Part, part_by_name};
use nudgeproof::geometry::{Outline, Point3};
use nudgeproof::io::limits;
use nudgeproof::io::to_json;
use nudgeproof::lesson::lessons;
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::{Instruction, PathKind, Routine, RunSpeed, Step, StepId, TaughtPoint};
use nudgeproof::session::{Action, Header, Session};

fn session() -> Session {
    let part = part_by_name("bench-side").expect("it comes with the program");
    Session::new(Header::new(part, 7)).expect("a session")
}

/// A session file on the part `bench-side` with these actions.
fn file(actions: &[Action]) -> String {
    let actions: Vec<_> = actions.iter().map(to_json).collect();
    format!(
        r#"{{"format": "nudgeproof-session", "format_version": 2, "part": "bench-side", "actions": [{}]}}"#,
        actions.join(", ")
    )
}

/// The last of these actions is refused, done by a person and read from a file.
#[track_caller]
fn refused(actions: &[Action], says: &str) {
    let mut s = session();
    let (last, before) = actions.split_last().expect("an action");
    for action in before {
        s.act(action.clone()).expect("within the limits");
    }
    let why = s.act(last.clone()).expect_err("one too many");
    assert_eq!(why.to_string(), says, "done by a person");
    let why = Session::from_json(&file(actions)).expect_err("one too many");
    let expected = format!("action {} ({}): {says}", actions.len(), last.name());
    assert_eq!(why.to_string(), expected, "read from a file");
}

fn feel(face: &str) -> Instruction {
    Instruction::Feel {
        from: "a".into(),
        way: PathKind::Joint,
        direction: [1.0, 0.0, 0.0].into(),
        face: face.into(),
    }
}

fn steps(n: usize, instruction: &Instruction) -> Vec<Step> {
    let step = |id| Step { id: StepId(id as u32), instruction: instruction.clone() };
    (1..=n).map(step).collect()
}

fn load(routine: Routine) -> Action {
    Action::LoadRoutine { routine }
}

#[test]
fn a_routine_has_limits() {
    let stop = Instruction::StopFollowing;
    let of_steps = |n| Routine { steps: steps(n, &stop), ..Routine::default() };
    let full = load(of_steps(400));
    let add = Action::AddStep { at: None, step: stop.clone() };
    refused(&[full, add], "a routine holds at most 400 steps, not 401");
    refused(&[load(of_steps(3000))], "a routine holds at most 400 steps, not 3000");

    let of_feels = |n| load(Routine { steps: steps(n, &feel("a")), ..Routine::default() });
    let add = Action::AddStep { at: Some(0), step: feel("a") };
    refused(&[of_feels(100), add], "a routine holds at most 100 feels, not 101");
    refused(&[of_feels(101)], "a routine holds at most 100 feels, not 101");

    let teach = |n: usize| Action::Teach { point: format!("p{n}"), at: Point3::origin() };
    let points = |n| (0..n).map(|i| TaughtPoint { name: format!("p{i}"), at: Point3::origin() });
    let of_points = |n| load(Routine { points: points(n).collect(), ..Routine::default() });
    refused(&[of_points(500), teach(500)], "a routine holds at most 500 points, not 501");
    refused(&[of_points(501)], "a routine holds at most 500 points, not 501");
}

#[test]
fn a_name_has_a_limit_wherever_it_is_given() {
    let long = "é".repeat(201);
    let says = "a name holds at most 200 characters, not 201";
    let at = Point3::origin();
    let teach = Action::Teach { point: long.clone(), at };
    refused(&[teach], says);
    let short = Action::Teach { point: "a".into(), at };
    refused(&[short, Action::RenamePoint { from: "a".into(), to: long.clone() }], says);
    let find = Instruction::Find { place: long.clone(), may: Freedoms::PLAN };
    refused(&[Action::AddStep { at: None, step: find }], says);
    refused(&[Action::Hint { rule: long.clone(), hint_level: 1 }], says);
    refused(&[Action::Mended { rule: long.clone() }], says);
    let face = feel(&long);
    refused(&[Action::AddStep { at: None, step: face }], says);
    let step = Instruction::Follow { place: long.clone() };
    refused(&[load(Routine { steps: steps(1, &step), ..Routine::default() })], says);

    let part = part_by_name("bench-side").expect("it comes with the program");
    let named = Header { learner: Some(long), ..Header::new(part, 7) };
    assert_eq!(Session::new(named).expect_err("too long").to_string(), says, "the learner's");
    let fits = Action::Teach { point: "é".repeat(200), at };
    session().act(fits).expect("characters are counted, not bytes");
}

#[test]
fn the_steps_of_all_runs_have_a_limit() {
    let routine = Routine { steps: steps(400, &Instruction::StopFollowing), ..Routine::default() };
    let run = Action::Run { speed: RunSpeed::Full, arc: false, steps: None };
    let mut actions = vec![load(routine)];
    actions.extend(vec![run; 51]);
    let says = "a session holds at most 20000 steps done in all its runs, not 20400";
    refused(&actions, says);
    // Going on with a paused run counts as well.
    let pause = Action::Run { speed: RunSpeed::Full, arc: false, steps: Some(0) };
    actions.truncate(50);
    actions.push(pause);
    actions.extend(vec![Action::Resume { steps: Some(0) }; 400]);
    refused(&actions, "a session holds at most 20000 steps done in all its runs, not 20001");
}

#[test]
fn planted_faults_have_limits() {
    let plant = Action::Plant { fault: Fault::OutOfSquare { lean_deg: 0.0 } };
    refused(&vec![plant.clone(); 51], "a cell holds at most 50 faults at a time, not 51");
    let mut actions: Vec<_> =
        (0..2000).flat_map(|_| [plant.clone(), Action::ClearFaults]).collect();
    actions.push(plant);
    refused(&actions, "a session holds at most 2000 faults planted in it, not 2001");
}

#[test]
fn a_session_and_a_file_have_limits() {
    let hint = Action::Hint { rule: "no-clear-move".into(), hint_level: 1 };
    let mut s = session();
    for _ in 0..limits::ACTIONS.most {
        s.act(hint.clone()).expect("within the limit");
    }
    let says = "a session holds at most 100000 actions, not 100001";
    assert_eq!(s.act(hint.clone()).expect_err("one too many").to_string(), says);
    assert!(s.undo(), "what is there can be undone");
    s.act(hint.clone()).expect("and there is room for one again");

    let read = Session::from_json(&file(&vec![hint; 100_001])).expect_err("one too many");
    assert_eq!(read.to_string(), format!("key `actions`: {says}"));
    let huge = " ".repeat(33 * 1024 * 1024);
    let read = Session::from_json(&huge).expect_err("too large");
    assert_eq!(read.to_string(), "top level: a file holds at most 32768 KiB, not 33792");
}

#[test]
fn a_part_has_limits() {
    let part = part_by_name("bench-side").expect("it comes with the program");
    let says = |part: Part| part.check().expect_err("too much").to_string();

    let mut many = part.clone();
    many.seams = vec![many.seams[0].clone(); 101];
    assert_eq!(says(many), "seams: each list of a part holds at most 100 entries, not 101");

    // Bodies and clamps of corners that are each within their own limit.
    let mut fine = part.clone();
    let polygon = |n: usize| {
        let angles = (0..n).map(|i| i as f64 / n as f64 * std::f64::consts::TAU);
        let corners: Vec<_> = angles.map(|a| [libm::cos(a), libm::sin(a)]).collect();
        Outline::sharp(&corners)
    };
    let edges: usize =
        [&part.bodies, &part.clamps].into_iter().flatten().map(|b| b.outline.corners.len()).sum();
    for body in ["one", "two", "three"] {
        let mut round = part.bodies[0].clone();
        (round.name, round.outline, round.holes) = (body.into(), polygon(700), Vec::new());
        fine.bodies.push(round);
    }
    assert_eq!(
        says(fine),
        format!(
            "bodies and clamps: a part holds at most 2000 edges, with rounded corners split, not {}",
            2100 + edges
        )
    );

    let mut long = part;
    long.clamps[0].name = "c".repeat(201);
    assert_eq!(says(long), "clamps[0].name: a name holds at most 200 characters, not 201");
}

/// The solution of no lesson comes near a limit.
#[test]
fn real_use_is_far_below_the_limits() {
    for lesson in lessons() {
        let solved = lesson.solved().expect("it can be solved");
        let routine = &solved.state().routine;
        let feels =
            routine.steps.iter().filter(|s| matches!(s.instruction, Instruction::Feel { .. }));
        let run: usize = solved.state().runs.iter().map(|r| r.legs.len()).sum();
        for (limit, used) in [
            (&limits::ACTIONS, solved.actions().len()),
            (&limits::STEPS_RUN, run),
            (&limits::STEPS, routine.steps.len()),
            (&limits::FEELS, feels.count()),
            (&limits::POINTS, routine.points.len()),
            (&limits::STAGES, lesson.stages.len()),
        ] {
            assert!(used * 5 <= limit.most, "{}: {used}, {limit:?}", lesson.name);
        }
    }
}

/// Heap in use at its greatest over this many actions and writing them as a file, bytes.
fn heap_of(actions: usize) -> u64 {
    let mut s = session();
    let heap = allocation_counter::measure(|| {
        for n in 0..actions {
            let action = match n % 5 {
                0 => Action::Teach { point: format!("p{}", n % 40), at: s.state().torch },
                1 => Action::MoveTorch { to: Point3::new(n as f64 % 100.0, 0.0, 300.0) },
                2 => Action::AddStep { at: None, step: Instruction::SensingOff },
                3 => Action::DeleteStep { id: s.state().routine.steps[0].id },
                _ => Action::Hint { rule: "no-clear-move".into(), hint_level: 1 },
            };
            s.act(action).expect("within the limits");
        }
        s.to_json();
    });
    heap.bytes_max
}

#[test]
fn memory_grows_with_the_number_of_actions_and_no_faster() {
    let (some, more) = (heap_of(20_000), heap_of(40_000));
    assert!(more < 2 * some + some / 4, "{some} B for 20 000 actions, {more} B for 40 000");
    let at_the_limit = more * 5 / 2;
    assert!(at_the_limit < 200_000_000, "{at_the_limit} B for 100 000 actions");
}

#[test]
fn an_action_late_in_a_session_allocates_no_more_than_an_early_one() {
    let mut s = session();
    let mut at = |actions: usize| {
        while s.actions().len() < actions {
            let n = s.actions().len();
            let at = Point3::new(n as f64 % 100.0, 0.0, 300.0);
            s.act(Action::Teach { point: format!("p{}", n % 40), at }).expect("it can be done");
        }
        // The middle one of 51: now and then a list moves to a larger place.
        let mut each: Vec<u64> = (0..51)
            .map(|n| {
                let at = Point3::new(f64::from(n), 0.0, 300.0);
                let teach = Action::Teach { point: "p1".into(), at };
                let heap = allocation_counter::measure(|| {
                    s.act(teach).expect("it can be done");
                });
                heap.bytes_total
            })
            .collect();
        each.sort_unstable();
        each[25]
    };
    let (early, late) = (at(200), at(2000));
    assert!(late < 2 * early, "{early} B after 200 actions, {late} B after 2000");
}
