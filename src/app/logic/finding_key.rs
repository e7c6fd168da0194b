//! What a finding is about: what tells its card on the page from the others.

use nudgeproof::coach::{Finding, RuleName};
use nudgeproof::routine::StepId;

/// What a finding is about. Message and cost are left out: they may change while it stays.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(crate) struct FindingKey {
    rule: RuleName,
    step: Option<StepId>,
    point: Option<String>,
    run: Option<usize>,
    /// Bits of the moment in the run, s.
    time: Option<u64>,
    /// Number among the findings that are about the same, from 0.
    nth: usize,
}

/// The findings with their keys, all different, in their order.
pub(crate) fn keyed(findings: &[Finding]) -> Vec<(FindingKey, Finding)> {
    let mut all: Vec<(FindingKey, Finding)> = Vec::new();
    for f in findings {
        let time = f.time_s.map(f64::to_bits);
        let same = |(_, o): &&(FindingKey, Finding)| {
            (o.rule, o.step, &o.point, o.run, o.time_s.map(f64::to_bits))
                == (f.rule, f.step, &f.point, f.run, time)
        };
        let nth = all.iter().filter(same).count();
        let point = f.point.clone();
        let key = FindingKey { rule: f.rule, step: f.step, point, run: f.run, time, nth };
        all.push((key, f.clone()));
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::coach::{Cost, Severity};
    use nudgeproof::session::ActionError;

    fn finding(step: u32, message: &str) -> Finding {
        Finding {
            rule: RuleName::TouchHeight,
            weight: Severity::Misses,
            step: Some(StepId(step)),
            point: None,
            run: None,
            time_s: Some(1.5),
            message: ActionError::NoPoint(message.into()).said(),
            cost: Cost::default(),
            can_mend: false,
        }
    }

    fn keys(findings: &[Finding]) -> Vec<FindingKey> {
        keyed(findings).into_iter().map(|(key, _)| key).collect()
    }

    #[test]
    fn a_finding_keeps_its_key_when_its_words_change() {
        let (before, now) = (finding(1, "2 mm too high"), finding(1, "3 mm too high"));
        assert_eq!(keys(&[before]), keys(&[finding(2, "other"), now])[1..], "wherever it stands");
    }

    #[test]
    fn findings_about_the_same_have_different_keys() {
        let two = keys(&[finding(1, "a"), finding(1, "b"), finding(2, "a")]);
        assert_ne!(two[0], two[1], "the same step twice");
        assert_ne!(two[0], two[2], "another step");
        let later = Finding { time_s: Some(2.5), ..finding(1, "a") };
        assert_ne!(keys(&[later])[0], two[0], "another moment");
    }
}
