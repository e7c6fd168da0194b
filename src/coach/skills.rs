use super::catalogue::rule;
use super::finding::Skill;
use super::review::Review;
use crate::session::{Action, Session};
use crate::text::RuleName;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// Number of unaided passes in a row that count as mastery.
pub const MASTERY_PASSES: usize = 3;
/// Least number of different parts among them.
pub const MASTERY_PARTS: usize = 2;

/// Record of one attempt at a job, for judging skills over several attempts.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Attempt {
    /// Name of the part.
    pub part: String,
    /// Whether the production weld landed.
    pub landed: bool,
    /// Whether a fault was planted.
    pub faults: bool,
    /// Rules with findings.
    pub findings: Vec<String>,
    /// Rules whose answer the coach showed (hint level 3) or mended, and names of skills whose task a
    /// lesson showed the answer to.
    pub aided: Vec<String>,
}

/// Level of a skill.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SkillEstimate {
    /// The skill.
    pub skill: Skill,
    /// Number of unaided passes in a row up to now.
    pub in_a_row: usize,
    /// Different parts among them.
    pub parts: usize,
    /// Whether the skill is mastered.
    pub mastered: bool,
}

impl Attempt {
    /// The record of a session and its review.
    pub fn of(session: &Session, review: &Review) -> Self {
        let state = session.state();
        let mut findings: Vec<String> =
            review.findings.iter().map(|f| f.rule.to_string()).collect();
        findings.sort();
        findings.dedup();
        let shown =
            state.hints.iter().filter(|(_, level)| *level >= 3).map(|(rule, _)| rule.clone());
        let planted = |a: &Action| matches!(a, Action::Plant { .. } | Action::PlantInSecret { .. });
        Self {
            part: session.header().part.name.clone(),
            landed: review.score.weld.points == review.score.weld.of,
            faults: session.actions().iter().any(planted),
            findings,
            aided: shown.chain(state.mended.iter().cloned()).collect(),
        }
    }

    /// Whether the attempt passes the skill; `None` if it says nothing about it.
    fn shows(&self, skill: Skill) -> Option<bool> {
        // Without a fault there is nothing to find.
        if skill == Skill::FindFault && !self.faults {
            return None;
        }
        let of_skill =
            |name: &String| name.parse::<RuleName>().is_ok_and(|name| rule(name).skill == skill);
        let shown = |name: &String| of_skill(name) || *name == skill.name();
        let clean = !self.findings.iter().any(of_skill) && !self.aided.iter().any(shown);
        // A missed weld passes no skill; a landed weld passes no skill that has findings.
        Some(self.landed && clean)
    }
}

/// How the skills stand after the attempts so far, which need not be kept.
#[derive(Debug, Clone, Default)]
pub struct Mastery {
    /// The row of passes of each skill, in the order of [`Skill::ALL`].
    rows: [PassesInARow; Skill::ALL.len()],
}

/// Unaided passes of one skill, one after the other.
#[derive(Debug, Clone, Default)]
struct PassesInARow {
    passes: usize,
    /// Names of the parts among them.
    parts: BTreeSet<String>,
}

impl Mastery {
    /// Counts the next attempt, for the skills that it practised.
    pub fn add(&mut self, attempt: &Attempt, practised: impl Fn(Skill) -> bool) {
        let rows = Skill::ALL.into_iter().zip(&mut self.rows);
        for (skill, row) in rows.filter(|(skill, _)| practised(*skill)) {
            match attempt.shows(skill) {
                Some(true) => {
                    row.passes += 1;
                    if !row.parts.contains(&attempt.part) {
                        row.parts.insert(attempt.part.clone());
                    }
                }
                Some(false) => *row = PassesInARow::default(),
                None => {}
            }
        }
    }

    /// Level of each skill: mastered after three unaided passes in a row on at least two parts.
    pub fn estimates(&self) -> Vec<SkillEstimate> {
        let estimate = |(skill, row): (Skill, &PassesInARow)| {
            let (in_a_row, parts) = (row.passes, row.parts.len());
            let mastered = in_a_row >= MASTERY_PASSES && parts >= MASTERY_PARTS;
            SkillEstimate { skill, in_a_row, parts, mastered }
        };
        Skill::ALL.into_iter().zip(&self.rows).map(estimate).collect()
    }
}

/// Level of each skill after several attempts, the oldest first.
pub fn mastery(attempts: &[Attempt]) -> Vec<SkillEstimate> {
    let mut all = Mastery::default();
    for attempt in attempts {
        all.add(attempt, |_| true);
    }
    all.estimates()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn attempt(part: &str, findings: &[&str]) -> Attempt {
        let findings = findings.iter().map(|s| (*s).to_owned()).collect();
        Attempt { part: part.into(), landed: true, faults: false, findings, aided: Vec::new() }
    }

    fn of(attempts: &[Attempt], skill: Skill) -> SkillEstimate {
        mastery(attempts)
            .into_iter()
            .find(|e| e.skill == skill)
            .expect("every skill has an estimate")
    }

    #[test]
    fn three_in_a_row_on_two_parts_is_mastery() {
        let all = [attempt("bench", &[]), attempt("bench", &[]), attempt("bin", &[])];
        assert!(of(&all, Skill::KeepFrame).mastered, "three passes on two parts");
        assert!(!of(&all[..2], Skill::KeepFrame).mastered, "two passes");
        let one_part = [all[0].clone(), all[1].clone(), all[1].clone()];
        assert!(!of(&one_part, Skill::KeepFrame).mastered, "one part only");
    }

    #[test]
    fn a_finding_breaks_the_row_of_its_own_skill_only() {
        let all =
            [attempt("bench", &[]), attempt("bin", &["home-follows-part"]), attempt("bin", &[])];
        assert_eq!(of(&all, Skill::KeepFrame).in_a_row, 1, "begins again after the finding");
        assert_eq!(of(&all, Skill::PlanTouches).in_a_row, 3, "another skill is not touched");
        assert_eq!(of(&all, Skill::FindFault).in_a_row, 0, "there was no fault to find");
    }
}
