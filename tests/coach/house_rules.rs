//! The house rules of a school: their file, and what the coach then says.

use crate::support::{AS_IT_SHOULD_BE, HOME_RIDES_ALONG, session};
use nudgeproof::coach::{self, RuleName, house_rules_to_json, read_house_rules};
use nudgeproof::geometry::PoseFile;
use nudgeproof::routine::RunSpeed;
use nudgeproof::session::{Action, CellState, HouseRules, Session};
use std::sync::Arc;

const BY_HAND: &str = r#"
format = "nudgeproof-house-rules"
format_version = 1
name = "Harbour Street school"
off = ["no-home-end", "untrimmed-wire"]
touches_agree_mm = 0.5
"#;

fn house(off: &[RuleName]) -> Option<Arc<HouseRules>> {
    let (name, off) = ("Harbour Street school".into(), off.to_vec());
    Some(Arc::new(HouseRules { name, off, touches_agree_mm: None }))
}

fn rules(session: &Session) -> Vec<RuleName> {
    coach::review(session).findings.iter().map(|f| f.rule).collect()
}

#[test]
fn a_file_is_read_as_it_is_written() {
    let rules = read_house_rules("ours.toml", BY_HAND).expect("read");
    assert_eq!(rules.off, [RuleName::NoHomeEnd, RuleName::UntrimmedWire]);
    assert_eq!(rules.touches_agree_mm, Some(0.5));
    let again = read_house_rules("ours.json", &house_rules_to_json(&rules));
    assert_eq!(again.expect("read"), rules);
}

#[test]
fn what_is_wrong_with_a_file_is_named_with_its_place() {
    let refused = |from: &str, to: &str, expected: &[&str]| {
        assert!(BY_HAND.contains(from), "the case changes nothing: {from}");
        let why = read_house_rules("ours.toml", &BY_HAND.replace(from, to));
        let why = why.expect_err(to).to_string();
        for part in expected {
            assert!(why.contains(part), "{why:?} names {part:?}");
        }
    };
    refused("nudgeproof-house-rules", "nudgeproof-session", &["format", "nudgeproof-house-rules"]);
    refused("format_version = 1", "format_version = 2", &["format_version", "expected 1"]);
    refused("no-home-end", "no-home-endd", &["line 5", "off[0]", "no-home-endd"]);
    refused("no-home-end", "untrimmed-wire", &["off", "untrimmed-wire", "once"]);
    refused("no-home-end", "entered-live-cell", &["off", "entered-live-cell", "keeps people safe"]);
    refused("Harbour Street school", " ", &["name", "school or shop"]);
    refused("= 0.5", "= 0.05", &["touches_agree_mm", "0.3 to 5", "0.05"]);
    refused("= 0.5", "= nan", &["line 6", "finite number"]);
    refused("touches_agree_mm", "touch_agree_mm", &["line 6", "touch_agree_mm"]);
}

#[test]
fn a_session_carries_the_house_rules_it_was_made_under() {
    let made = session(AS_IT_SHOULD_BE).under(house(&[RuleName::NoHomeEnd])).expect("played");
    let read = Session::from_json(&made.to_json()).expect("read");
    assert_eq!(read.header(), made.header());
    assert_eq!(read.actions(), made.actions());
    let broken = made.to_json().replace("\"Harbour Street school\"", "\"\"");
    let why = Session::from_json(&broken).expect_err("no name").to_string();
    assert!(why.contains("house_rules") && why.contains("name"), "{why}");
}

#[test]
fn what_was_one_gesture_is_still_taken_back_as_one() {
    let mut made = session(AS_IT_SHOULD_BE);
    let before = made.actions().len();
    let cell = |state| Action::SetCell { state };
    made.act_all([cell(CellState::LockedOut), cell(CellState::Ready)]).expect("played");
    let mut judged = made.under(house(&[RuleName::NoHomeEnd])).expect("played");
    assert!(judged.undo());
    assert_eq!(judged.actions().len(), before);
    assert_eq!(judged.actions(), session(AS_IT_SHOULD_BE).actions());
}

/// The last step, which goes home, is deleted: slipshod, and nothing comes of it at the seam.
fn without_the_last_move_home() -> Session {
    let whole = session(AS_IT_SHOULD_BE);
    let mut routine = whole.state().routine.as_ref().clone();
    let home = routine.steps.iter().rposition(|s| s.instruction.is_home()).expect("it goes home");
    routine.steps.remove(home);
    let mut session = Session::new(whole.header().clone()).expect("a session");
    let run = |speed, arc| Action::Run { speed, arc, steps: None };
    let cell = |state| Action::SetCell { state };
    let actions = [
        Action::LoadRoutine { routine },
        Action::SetReference { on: true },
        run(RunSpeed::Reduced, false),
        Action::SetReference { on: false },
        run(RunSpeed::Reduced, false),
        cell(CellState::LockedOut),
        Action::place_part(PoseFile { dx: 3.0, dy: -2.0, turn_deg: 1.0, ..PoseFile::default() }),
        cell(CellState::Ready),
        run(RunSpeed::Reduced, false),
        run(RunSpeed::Full, true),
    ];
    session.act_all(actions).expect("played");
    session
}

#[test]
fn what_a_house_does_not_ask_for_is_no_finding_and_costs_no_points() {
    let by_catalogue = without_the_last_move_home();
    assert_eq!(rules(&by_catalogue), [RuleName::NoHomeEnd]);
    let by_house = by_catalogue.under(house(&[RuleName::NoHomeEnd])).expect("played");
    assert_eq!(rules(&by_house), []);
    let score = |s: &Session| coach::review(s).score.total;
    assert!(score(&by_house) > score(&by_catalogue));
    // Judged by the catalogue again, it is as it was.
    assert_eq!(rules(&by_house.under(None).expect("played")), [RuleName::NoHomeEnd]);
}

#[test]
fn a_mistake_that_shows_at_the_seam_is_told_whatever_the_house_asks_for() {
    let session = session(HOME_RIDES_ALONG);
    let by_house = session.under(house(&[RuleName::HomeFollowsPart])).expect("played");
    assert_eq!(rules(&by_house), [RuleName::HomeFollowsPart]);
    // While a routine is written nothing has come of it; but a lesson about a rule goes by the catalogue.
    let quiet = |s: &Session| coach::check_routine(s.state()).is_empty();
    assert!(!quiet(&session) && quiet(&by_house));
    assert!(coach::breaks(by_house.state(), RuleName::HomeFollowsPart));
}

#[test]
fn a_rule_that_keeps_people_safe_holds_in_every_house() {
    let mut session = session(AS_IT_SHOULD_BE).under(house(&[RuleName::EnteredLiveCell]));
    let session = session.as_mut().expect("played");
    session.act(Action::place_part(PoseFile { dx: 1.0, ..PoseFile::default() })).expect("pushed");
    assert!(rules(session).contains(&RuleName::EnteredLiveCell), "{:?}", rules(session));
}

#[test]
fn a_house_may_ask_touches_to_agree_better_than_chance() {
    let whole = session(AS_IT_SHOULD_BE);
    let worst = |s: &Session| {
        let run = s.state().last_run().expect("a run");
        let (fit, _) = run.found().expect("found");
        fit.residuals.iter().fold(0.0_f64, |most, r| most.max(r.abs()))
    };
    let limit = worst(&whole);
    let asks = |mm: f64| {
        let rules =
            HouseRules { name: "Harbour".into(), off: Vec::new(), touches_agree_mm: Some(mm) };
        whole.under(Some(Arc::new(rules))).expect("played")
    };
    assert_eq!(rules(&asks(limit + 0.01)), []);
    assert_eq!(rules(&asks(limit - 0.01)), [RuleName::DisagreementIgnored]);
}
