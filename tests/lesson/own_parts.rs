//! Parts made from a template: whatever is typed within the limits, the model routine lands wherever the part
//! may lie, and nothing is hit; whatever is not, is named.

use nudgeproof::cell::{
    CellSettings, Dimension, Draft, DraftError, EdgeMade, Noise, OWN_NAME, Part, Template,
};
use nudgeproof::coach;
use nudgeproof::lesson::model_routine;
use nudgeproof::routine::{EventKind, RunLog, RunSpeed};
use nudgeproof::session::{Action, Header, Session};
use proptest::prelude::*;
use std::collections::BTreeMap;

fn run(speed: RunSpeed, arc: bool) -> Action {
    Action::Run { speed, arc, steps: None }
}

fn bent(run: &RunLog) -> bool {
    run.events.iter().any(|e| matches!(e.what, EventKind::WireBent { .. }))
}

/// A session after reference and proof on the part as drawn.
fn proved(part: &Part, settings: CellSettings) -> Session {
    let mut session =
        Session::new(Header { settings, ..Header::new(part.clone(), 3) }).expect("a part");
    let load = Action::LoadRoutine { routine: model_routine(part) };
    let flag = |on| Action::SetReference { on };
    let slow = run(RunSpeed::Reduced, false);
    session.act_all([load, flag(true), slow.clone(), flag(false), slow]).expect("two runs");
    session
}

/// Why the part's own job does not work somewhere within its play; nothing where it does.
pub(crate) fn trouble(part: &Part, nudges: u64) -> Option<String> {
    let silent =
        CellSettings { sigma_mm: 1e-6, scan_s: 0.0, latency_s: 0.0, ..CellSettings::default() };
    let proved = proved(part, silent);
    for run in &proved.state().runs {
        if !run.landed() || bent(run) {
            return Some(format!("run {} as drawn: {:?} {:?}", run.number, run.stop(), run.events));
        }
    }
    let mut places = part.extremes();
    places.extend((0..nudges).map(|i| part.nudge(&mut Noise::new(5, 0, i))));
    for (pose, _) in places {
        let mut session = proved.clone();
        let bodies = BTreeMap::default();
        let moved = session.state().by_hand([Action::PlacePart { part: pose.into(), bodies }]);
        session.act_all(moved).expect("it is moved");
        session
            .act_all([run(RunSpeed::Reduced, false), run(RunSpeed::Full, true)])
            .expect("two runs");
        for log in session.state().runs.iter().skip(2) {
            let miss = log.worst_miss().map_or(f64::MAX, f64::abs);
            if !log.landed() || bent(log) || (log.arc && miss > 1e-3) {
                return Some(format!("at {pose:?}: {miss} mm, {:?}\n{:?}", log.stop(), log.events));
            }
        }
    }
    None
}

/// A draft each of whose dimensions lies somewhere between its limits: at either end, or between.
fn any_draft() -> impl Strategy<Value = Draft> {
    let template = proptest::sample::select(Template::ALL);
    let share = prop_oneof![Just(0.0), Just(1.0), 0.0..1.0f64];
    let edges = proptest::sample::select(vec![EdgeMade::Machined, EdgeMade::Sawn]);
    let shares = proptest::collection::vec(share, 24);
    (template, shares, edges, any::<(bool, bool)>()).prop_map(
        |(template, shares, edges, clamps)| {
            let mut draft = Draft::new(template, "Drawn by chance");
            draft.edges = edges;
            (draft.north_clamp, draft.east_clamp) = clamps;
            for ((dimension, _), share) in template.dimensions().into_iter().zip(shares) {
                let [low, high] = draft.limits(dimension);
                assert!(low <= high, "{template:?}, {dimension:?}: {low} to {high} in {draft:?}");
                draft.set(dimension, low + share * (high - low));
            }
            draft
        },
    )
}

fn told(draft: &Draft) -> String {
    let values = draft.template.dimensions().into_iter();
    let told = values.map(|(d, _)| format!("{} = {}", d.id(), draft.value(d)));
    format!("{:?}: {}", draft.template, told.collect::<Vec<_>>().join(", "))
}

/// How many drafts are tried: `OWN_PARTS` says how many others.
fn cases() -> ProptestConfig {
    let cases = std::env::var("OWN_PARTS").ok().and_then(|n| n.parse().ok()).unwrap_or(48);
    ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() }
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn the_model_routine_of_any_part_within_the_limits_lands(draft in any_draft()) {
        let part = draft.part().unwrap_or_else(|e| panic!("{}: {e}", told(&draft)));
        let trouble = trouble(&part, 2);
        prop_assert!(trouble.is_none(), "{}\n{}", told(&draft), trouble.unwrap_or_default());
    }

    #[test]
    fn a_part_is_written_and_read_back_the_same(draft in any_draft()) {
        let part = draft.part().expect("within its limits");
        let text = part.to_toml();
        prop_assert_eq!(Part::from_toml(&text).expect("a part file"), part, "{}", text);
    }

    #[test]
    fn a_dimension_out_of_its_limits_is_named(draft in any_draft(), which in 0..24usize, above: bool) {
        let dimensions = draft.template.dimensions();
        let (dimension, _) = dimensions[which % dimensions.len()];
        let [low, high] = draft.limits(dimension);
        let mut wrong = draft;
        wrong.set(dimension, if above { high + 0.2 } else { low - 0.2 });
        let found = wrong.value(dimension);
        let expected = DraftError::Dimension { dimension, low, high, found };
        prop_assert!(wrong.errors().contains(&expected), "{:?}", wrong.errors());
        prop_assert!(wrong.part().is_err());
    }
}

#[test]
fn each_template_as_it_is_offered_does_its_whole_job() {
    for template in Template::ALL {
        let part = Draft::new(*template, "As offered").part().expect("common values");
        assert_eq!(trouble(&part, 20), None, "{template:?}");
        let mut session = proved(&part, CellSettings::default());
        let found = coach::check_routine(session.state());
        assert!(found.is_empty(), "{template:?}: {found:?}");
        let (pose, _) = part.nudge(&mut Noise::new(8, 0, 1));
        let bodies = BTreeMap::default();
        let moved = session.state().by_hand([Action::PlacePart { part: pose.into(), bodies }]);
        session.act_all(moved).expect("it is moved");
        session
            .act_all([run(RunSpeed::Reduced, false), run(RunSpeed::Full, true)])
            .expect("two runs");
        let review = coach::review(&session);
        assert!(review.findings.is_empty(), "{template:?}: {:?}", review.findings);
        assert_eq!(review.score.total, 100, "{template:?}: {:?}", review.score);
    }
}

#[test]
fn errors_say_which_dimension_and_what_was_expected() {
    let mut draft = Draft::new(Template::Rail, "Post foot");
    draft.set(Dimension::PieceLength, 500.0);
    let said = draft.part().expect_err("longer than its plate").to_string();
    // 400 mm of plate, 50 mm on the left, 20 mm on the right.
    assert_eq!(said, "piece-length: expected 60 to 330 mm, and found 500", "a length");
    draft.set(Dimension::PieceLength, 300.0);
    draft.set(Dimension::PlayTurn, 9.0);
    let said = draft.part().expect_err("too far").to_string();
    assert!(said.starts_with("play-turn: expected 0 to 1.81 degrees, and found 9"), "{said}");
    draft.set(Dimension::PlayTurn, 1.0);
    draft.set(Dimension::Length, f64::NAN);
    assert!(draft.part().is_err(), "not a number");
    draft.set(Dimension::Length, 400.0);
    draft.title = "  ".into();
    let said = draft.part().expect_err("no title").to_string();
    assert!(said.starts_with("title: expected"), "{said}");
}

#[test]
fn a_part_of_ones_own_has_a_name_that_no_part_of_the_program_has() {
    for template in Template::ALL {
        let part = Draft::new(*template, "Bench side").part().expect("common values");
        assert!(part.name.starts_with(OWN_NAME), "{}", part.name);
    }
}

#[test]
fn what_is_filled_in_is_written_and_read_back() {
    for template in Template::ALL {
        let mut draft = Draft::new(*template, "Own, \"60\"");
        draft.set(Dimension::Tolerance, 0.7);
        draft.east_clamp = false;
        let text = serde_json::to_string(&draft).expect("plain data");
        assert_eq!(serde_json::from_str::<Draft>(&text).expect("the same"), draft, "{text}");
        let fewer = text.replace(",\"tolerance\":0.7", "");
        assert_ne!(fewer, text, "every template has one");
        let read = serde_json::from_str::<Draft>(&fewer).expect("a number less");
        let common = Draft::new(*template, "").value(Dimension::Tolerance);
        assert!((read.value(Dimension::Tolerance) - common).abs() < 1e-12, "the common value");
    }
    let strange = r#"{"template":"rail","title":"","edges":"cut","north_clamp":true,"east_clamp":true,"values":{"depth":1.0}}"#;
    let why = serde_json::from_str::<Draft>(strange).expect_err("no such dimension").to_string();
    assert!(why.contains("depth"), "{why}");
}
