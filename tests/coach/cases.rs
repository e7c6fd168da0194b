//! One case file a rule: the smallest session that triggers it, and the nearest one that does not.
//! What is right and wrong is the catalogue's wording (common practice, no source).
//!
//! Every case goes on from `start.json`, with the flag on and the part where the points were taught.
//! Its steps, by their ids:
//!
//! | id | step | id | step |
//! |---|---|---|---|
//! | 1 | go to home | 10 | find part (X, Y, turn) |
//! | 2 | sensing on | 11 | follow part |
//! | 3 | feel +Y from south-1 | 12 | go to approach |
//! | 4 | feel +Y from south-2 | 13 | weld from weld-start |
//! | 5 | go to clear-1 | 14 | weld to weld-end |
//! | 6 | feel +X from west-1 | 15 | go to retreat |
//! | 7 | feel +X from west-2 | 16 | stop following |
//! | 8 | go to clear-2 | 17 | trim the wire |
//! | 9 | sensing off | 18 | go to home |

use crate::sentences::still_metric;
use crate::support::{file, session, text_of};
use nudgeproof::cell::FixturePlay;
use nudgeproof::coach::{self, Finding, RuleName};
use nudgeproof::io::from_json;
use nudgeproof::session::{Action, Session};
use nudgeproof::text::Words;
use serde::Deserialize;
use serde::de::DeserializeOwned;
use std::collections::BTreeSet;
use std::fs;

pub(crate) const FOLDER: &str = "tests/cases/coach";

/// What the code block of a section says, if there is such a section.
fn block<T: DeserializeOwned>(text: &str, section: &str) -> Option<T> {
    let from = text.find(&format!("## {section}"))?;
    let block = text[from..].split("```").nth(1).expect("a code block");
    let json = block.strip_prefix("json").expect("a block of JSON");
    Some(from_json(json).unwrap_or_else(|e| panic!("{section}: {e}")))
}

/// A body of the part that moves by itself and carries the seam.
#[derive(Deserialize)]
struct OwnPlay {
    name: String,
    play: FixturePlay,
}

/// The rules that are broken after the actions of a section.
fn found(text: &str, section: &str) -> Vec<Finding> {
    let mut session = session("coach/start.json");
    if let Some(own) = block::<OwnPlay>(text, "The body that moves by itself") {
        let mut header = session.header().clone();
        let body = header.part.bodies.iter_mut().find(|b| b.name == own.name).expect("a body");
        body.play = Some(own.play);
        header.part.seams[0].body = Some(own.name);
        session = Session::replay(header, session.actions().iter().cloned()).expect("it replays");
    }
    let actions: Vec<Action> =
        block(text, section).unwrap_or_else(|| panic!("no section {section}"));
    for action in actions {
        let name = action.name();
        session.act(action).unwrap_or_else(|e| panic!("{name}: {e}"));
    }
    coach::review(&session).findings
}

#[test]
fn every_rule_has_its_case_and_every_case_holds() {
    let mut wrong = Vec::new();
    for rule in coach::RULES {
        let text = text_of(&format!("{FOLDER}/{}.md", rule.name));
        let with = found(&text, "Triggers it");
        let without = found(&text, "Does not");
        let named: BTreeSet<RuleName> = with.iter().map(|f| f.rule).collect();
        if !named.contains(&rule.name) {
            wrong.push(format!("{}: not triggered, but {named:?}", rule.name));
        }
        if named.len() > 1 {
            println!("{}: also {named:?}", rule.name);
        }
        for f in with.iter().filter(|f| f.rule == rule.name) {
            println!("{}: {} {:?}", f.rule, f.message, f.cost);
            wrong.extend(still_metric(&f.message).map(|text| format!("in inches: {text}")));
        }
        for f in without {
            wrong.push(format!("{}: nothing is wrong, but {}: {}", rule.name, f.rule, f.message));
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn no_case_is_left_over() {
    let known: BTreeSet<String> = coach::RULES.iter().map(|r| format!("{}.md", r.name)).collect();
    let files = fs::read_dir(file(FOLDER)).expect("the folder");
    let names = files.map(|f| f.expect("a file").file_name().to_string_lossy().into_owned());
    let left: Vec<_> = names.filter(|n| n != "start.json" && !known.contains(n)).collect();
    assert!(left.is_empty(), "no rule of that name: {left:?}");
}

/// Every page has the same headings, in the same order, and three hints stand beside it.
#[test]
fn every_rule_is_a_page() {
    let headings =
        ["What it asks", "Why", "What it costs", "Example", "Better", "Where it comes from"];
    let mut names = BTreeSet::new();
    for rule in coach::RULES {
        let got: Vec<_> = rule.page.lines().filter_map(|l| l.strip_prefix("## ")).collect();
        assert_eq!(got, headings, "{}", rule.name);
        let words = Words::default();
        let (title, hints) = (rule.name.title(words), rule.name.hints(words));
        assert_eq!(rule.page.lines().next(), Some(&*format!("# {title}")), "{}", rule.name);
        assert!(hints.iter().all(|h| h.len() > 20), "{}: {hints:?}", rule.name);
        assert!(hints[0].ends_with('?'), "{}: the first hint asks", rule.name);
        assert!(names.insert(rule.name), "{} stands twice", rule.name);
        assert_eq!(coach::rule(rule.name).name, rule.name, "found by name");
        assert_eq!(rule.name.to_string().parse(), Ok(rule.name), "read as it is written");
    }
}

/// Words that the sheet and the lessons do not use.
#[test]
fn the_coach_speaks_plainly() {
    let jargon = [
        "schedule",
        "probe",
        "probing",
        "arrival",
        "register",
        "program ",
        "frame shift",
        "TCP",
        "waypoint",
        "null space",
        "residuals",
        "covariance",
        "sigma",
        " pose",
        "vector",
    ];
    for rule in coach::RULES {
        let (texts, words) = (rule.name, Words::default());
        let said = [texts.title(words), texts.asks(words), rule.page.to_owned()];
        for text in said.into_iter().chain(texts.hints(words)) {
            for word in jargon {
                assert!(!text.contains(word), "{}: {word:?} in {text:?}", rule.name);
            }
        }
    }
}
