//! What the coach says: lengths in the unit asked for, names with their marks.

use crate::support::session;
use nudgeproof::coach::{self, Finding, Review, RuleName};
use nudgeproof::routine::{Instruction, StepId};
use nudgeproof::session::{Action, Session};
use nudgeproof::text::{Sentence, Units, Words};

const INCHES: Units = Units::Inches;

/// Everything said in a review.
fn said(review: &Review) -> Vec<&Sentence> {
    let score = [&review.score.weld, &review.score.method, &review.score.safety];
    let findings = review.findings.iter().flat_map(said_of);
    findings.chain(score.map(|part| &part.reason)).collect()
}

fn said_of(finding: &Finding) -> impl Iterator<Item = &Sentence> {
    [Some(&finding.message), finding.cost.event.as_ref()].into_iter().flatten()
}

/// What of a review is still metric where it should be in inches.
pub(crate) fn metric_in_inches(review: &Review) -> Vec<String> {
    said(review).into_iter().filter_map(still_metric).collect()
}

pub(crate) fn still_metric(sentence: &Sentence) -> Option<String> {
    let metric = sentence.to_string();
    let inches = sentence.text(Words { units: INCHES, ..Words::default() });
    let figures = metric.match_indices(" mm").map(|(end, _)| {
        let number = |c: char| c.is_ascii_digit() || c == '.';
        metric[..end].rsplit(|c| !number(c)).next().unwrap_or_default().to_owned()
    });
    // A length of nothing is the same in either unit; a step may have the number of a length.
    let kept = |figure: &String| {
        let zero = figure.chars().all(|c| c == '0' || c == '.');
        !zero && inches.contains(&format!(" {figure} in"))
    };
    let lengths = inches.matches(" in ").count() + inches.matches(" in.").count();
    // An inch before the word is read twice.
    let twice = inches.contains(" in in ");
    let wrong = twice || inches.contains(" mm") || figures.clone().any(|figure| kept(&figure));
    let lost = figures.count() > 0 && lengths == 0 && !inches.contains(" in");
    (wrong || lost).then_some(inches)
}

#[test]
fn a_metric_length_among_inches_is_seen() {
    let session = session("coach/start.json");
    let finding = with_reach(&session, 17.0);
    assert_eq!(still_metric(&finding.message), None, "{}", finding.message);
    assert!(finding.message.to_string().contains("17.0 mm"), "{}", finding.message);
}

/// The finding about a reach this short.
fn with_reach(session: &Session, reach_mm: f64) -> Finding {
    let mut session = session.clone();
    let step = Instruction::SensingOn { speed_mm_s: 20.0, reach_mm };
    session.act(Action::ChangeStep { id: StepId(2), step }).expect("changed");
    let findings = coach::review(&session).findings;
    let short = findings.into_iter().find(|f| f.rule == RuleName::ReachTooShort);
    short.expect("the reach is too short")
}

/// A reach a hair too short: both numbers have as many decimals as tell them apart.
#[test]
fn two_numbers_that_differ_never_look_alike() {
    let session = session("coach/start.json");
    let far = with_reach(&session, 17.0).message.to_string();
    let needed: f64 = far
        .split("search ")
        .nth(1)
        .and_then(|s| s.split(' ').next()?.parse().ok())
        .expect("a length");
    for units in [Units::Metric, INCHES] {
        let close = with_reach(&session, needed - 0.06).message;
        let text = close.text(Words { units, ..Words::default() });
        let numbers: Vec<f64> = text
            .split(' ')
            .filter(|word| word.contains('.'))
            .filter_map(|word| word.parse().ok())
            .collect();
        let [needed, reach] = numbers[..] else { panic!("two lengths: {text}") };
        assert!(needed > reach, "{text}");
    }
}

/// Names are marked, whatever they are: words, long ones, strange ones.
#[test]
fn a_name_cannot_be_read_as_a_word() {
    let long = "a point with a very long name that goes on and on ".repeat(4);
    let strange = "né “ {step} <b>";
    for name in ["and", "the other end", strange, long.trim()] {
        let mut session = session("coach/start.json");
        let rename = |from: &str| Action::RenamePoint { from: from.into(), to: name.into() };
        session.act(rename("south-1")).expect("renamed");
        let close = Action::Teach { point: name.into(), at: [280.0, -1.0, 5.0].into() };
        session.act(close).expect("taught");
        let findings = coach::check_routine(session.state());
        let finding = findings.iter().find(|f| f.rule == RuleName::StartTooClose);
        let message = finding.unwrap_or_else(|| panic!("{findings:?}")).message.to_string();
        assert!(message.contains(&format!("(feel from “{name}”)")), "{message}");
        assert!(message.contains("the “south” face"), "{message}");
    }
}

#[test]
fn texts_of_rules_are_in_inches_too() {
    let inches = Words { units: INCHES, ..Words::default() };
    let mut with_lengths = 0;
    for rule in coach::RULES {
        let texts = rule.name;
        let of = |words| {
            let one = [texts.title(words), texts.asks(words)];
            one.into_iter().chain(texts.hints(words)).collect::<Vec<_>>()
        };
        for (metric, inches) in of(Words::default()).into_iter().zip(of(inches)) {
            assert!(!inches.contains(" mm"), "{}: {inches}", rule.name);
            assert!(!inches.contains('{'), "{}: {inches}", rule.name);
            with_lengths += usize::from(metric.contains(" mm"));
        }
    }
    assert!(with_lengths >= 5, "only {with_lengths} texts with a length");
}
