//! What the forecast reads from a routine.

use nudgeproof::cell::part_by_name;
use nudgeproof::forecast::{Lack, SeamForecast, WeldForecast, decisive_find};
use nudgeproof::geometry::{Point3, Vector3};
use nudgeproof::lesson::{Question, Stage, lessons, model_routine};
use nudgeproof::locate::{Freedom, Freedoms, LocateError};
use nudgeproof::routine::{Instruction, Routine, Step, StepId, Structure};
use nudgeproof::session::{Action, Header, Session};
use std::f64::consts::FRAC_1_SQRT_2;

fn example() -> Session {
    let text = include_str!("../cases/sessions/as-it-should-be.json");
    Session::from_json(text).expect("a session of ours")
}

/// What the chart says of the worse end is what a question about the spread wants.
#[test]
fn the_chart_answers_every_question_about_the_spread_rightly() {
    let mut asked = 0;
    for lesson in lessons() {
        let spread = |s: &Stage| match s.ask.as_ref().map(|ask| &ask.about) {
            Some(Question::Spread { choices }) => Some(choices.clone()),
            _ => None,
        };
        let of_stage = lesson.stages.iter().enumerate();
        for (stage, choices) in of_stage.filter_map(|(i, s)| Some((i + 1, spread(s)?))) {
            for seed in 0..40 {
                let solved = lesson.variant(seed).expect("any seed").solved();
                let solved = solved.expect("it can be done");
                let is_it =
                    |a: &Action| matches!(a, Action::Predict { stage: s, .. } if *s == stage);
                let at = solved.actions().iter().position(is_it);
                let at = at.unwrap_or_else(|| panic!("{}, seed {seed}: no answer", lesson.name));
                let Action::Predict { answer, .. } = solved.actions()[at] else { continue };
                let state = solved.state_before(at).expect("a state before it");
                let forecast = SeamForecast::of(&state);
                let across = forecast.welds[0].across().expect("a forecast");
                let shown = across[0].max(across[1]);
                let off = |i: &usize| (choices[*i] - shown).abs();
                let nearest = (0..choices.len()).min_by(|a, b| off(a).total_cmp(&off(b)));
                assert_eq!(nearest, Some(answer - 1), "{}, seed {seed}: ±{shown}", lesson.name);
                asked += 1;
            }
        }
    }
    assert!(asked >= 40, "only {asked} such questions");
}

#[test]
fn a_find_is_read_with_the_distance_to_each_contact() {
    let finds = SeamForecast::of(example().state()).finds;
    let [find] = &finds[..] else { panic!("one find, found {}", finds.len()) };
    assert_eq!(find.touches.len(), 4, "four touches");
    for t in &find.touches {
        // Taught 16 mm before the face; the wire of 1.2 mm touches with its side.
        let d = t.distance().expect("it touches");
        assert!((d - 15.4).abs() < 1e-6, "{}: {d} mm", t.point);
    }
}

#[test]
fn the_ellipse_holds_what_the_solver_says_across_the_wire() {
    let session = example();
    let state = session.state();
    for end in SeamForecast::of(state).ends() {
        // The seam runs along X, so across it is the ellipse's extent along Y. The part stays on
        // the table, and the torch leans by 45°.
        let [a, b, angle] = end.ellipse;
        let y = libm::hypot(a * libm::sin(angle), b * libm::cos(angle));
        let across = y * FRAC_1_SQRT_2;
        assert!((across - end.across).abs() < 1e-9, "{across} and {}", end.across);
    }
}

#[test]
fn the_weld_is_forecast_by_the_place_it_follows() {
    use Instruction::{Follow, WeldEnd, WeldStart};
    let find = |place: &str| Instruction::Find { place: place.into(), may: Freedoms::X };
    let weld = |place: &str| {
        [
            find("part"),
            find("left-end"),
            Follow { place: place.into() },
            WeldStart { to: "a".into() },
            WeldEnd { to: "b".into() },
            find("left-end"),
        ]
    };
    let decides = |place: &str| {
        let steps = weld(place).into_iter().zip(1..);
        let steps = steps.map(|(instruction, n)| Step { id: StepId(n), instruction });
        let routine = Routine { steps: steps.collect(), ..Routine::default() };
        let structure = Structure::of(&routine);
        decisive_find(&structure, structure.welds.first())
    };
    assert_eq!(decides("left-end"), Some(1), "the last before the weld");
    assert_eq!(decides("part"), Some(0), "the one of its place");
    assert_eq!(decides("elsewhere"), None, "its place is not found");
}

/// The routine of the example with only these of its steps that feel.
fn with_feels(keep: &[&str]) -> (Session, Routine) {
    let session = example();
    let mut routine = Routine::clone(&session.state().routine);
    routine.steps.retain(|step| match &step.instruction {
        Instruction::Feel { from, .. } => keep.contains(&from.as_str()),
        _ => true,
    });
    (session, routine)
}

#[test]
fn each_weld_of_a_part_with_places_is_forecast_by_its_own() {
    let part = part_by_name("bench-frame").expect("it is there");
    let routine = model_routine(&part);
    let mut session = Session::new(Header::new(part, 1)).expect("a part");
    session.act(Action::LoadRoutine { routine: routine.clone() }).expect("a routine");
    let state = session.state();
    let whole = SeamForecast::of(state);
    let seams: Vec<_> = whole.welds.iter().map(|w| w.seam.as_str()).collect();
    assert_eq!(seams, ["left seam", "right seam"]);
    let at = |w: &WeldForecast| w.ends.as_ref().expect("a forecast").each_ref().map(|end| end.at.x);
    assert_eq!(whole.welds.iter().map(at).collect::<Vec<_>>(), [[100.0, 220.0], [1780.0, 1900.0]]);
    // Two touches of 0.1 mm on the front of each foot, read twice: 0.1 mm across on the level.
    for weld in &whole.welds {
        for across in weld.across().expect("a forecast") {
            assert!((across - 0.3 * FRAC_1_SQRT_2).abs() < 0.05, "{across}");
        }
    }
    // Without its touches the right one alone has none.
    let mut less = routine;
    let on_right = |s: &Step| matches!(&s.instruction, Instruction::Feel { face, .. } if face.starts_with("right "));
    less.steps.retain(|s| !on_right(s));
    let less = SeamForecast::of_routine(state, &less);
    assert_eq!(less.welds[0], whole.welds[0], "the left one is as it was");
    assert!(less.welds[1].ends.is_err() && less.lacks(), "{:?}", less.welds[1].ends);
}

#[test]
fn what_is_lacking_is_told_in_short() {
    let lack = |keep: &[&str]| {
        let (session, routine) = with_feels(keep);
        let mut welds = SeamForecast::of_routine(session.state(), &routine).welds;
        welds.remove(0).ends.expect_err("no forecast").lack
    };
    assert_eq!(lack(&["south-1"]), Lack::Touches(2), "three unknowns");
    assert_eq!(lack(&["south-1", "west-1"]), Lack::Touches(1), "one more");
    let free = LocateError::FreeTranslation { direction: Vector3::new(0.1, -0.9, 0.0) };
    assert_eq!(Lack::from(&free), Lack::Of(Freedom::Y), "nothing holds Y");
    let axis = LocateError::FreeRotation { about: Point3::origin(), axis: -Vector3::z() };
    assert_eq!(Lack::from(&axis), Lack::Of(Freedom::Turn), "nothing holds the turn");
}
