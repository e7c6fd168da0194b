//! What to practise again, and when.

use super::catalogue::{lesson_file, lesson_files};
use super::file::{LessonFile, LessonKind};
use super::lesson::{Lesson, split_name};
use super::record::LessonRecord;
use super::score::PASS_SCORE;
use crate::coach::{Mastery, Skill};
use serde::Serialize;
use std::sync::Arc;

/// Days until a skill is due again, after so many passes of it on different days: a day, a week, a
/// month, three months, and then half a year. Of the gain of a practice half is gone after about half
/// a year in tasks of accuracy (from memory).
pub const REVIEW_INTERVALS_DAYS: [u32; 5] = [1, 7, 30, 90, 180];
/// How many items a refresher has, and how long it may take, minutes.
pub const REFRESHER_ITEMS: usize = 3;
/// Longest refresher, minutes.
pub const REFRESHER_MINUTES: u32 = 5;

/// The state of a skill on a day, and when it is due.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Due {
    /// The skill.
    pub skill: Skill,
    /// Whether the coach calls it mastered.
    pub mastered: bool,
    /// Unaided passes in a row.
    pub in_a_row: usize,
    /// Different parts among them.
    pub parts: usize,
    /// Day of the last practice.
    pub last: Option<u32>,
    /// Day it is due; today if it was never practised or the last attempt failed.
    pub due: u32,
}

/// Every skill on the day `today`, the one that needs practice most first: due before not due, then
/// weaker first, then the one practised longest ago.
pub fn due(records: &[LessonRecord], today: u32) -> Vec<Due> {
    let mut records: Vec<&LessonRecord> = records.iter().filter(|r| r.day <= today).collect();
    records.sort_by_key(|record| record.day);
    let mut levels = Mastery::default();
    for record in &records {
        levels.add(&record.attempt, |skill| practises(&record.lesson, skill));
    }
    let estimates = levels.estimates();
    let mut all: Vec<Due> = Skill::ALL
        .into_iter()
        .map(|skill| {
            let of_skill: Vec<_> = records.iter().filter(|r| practises(&r.lesson, skill)).collect();
            let last = of_skill.last().map(|r| r.day);
            let mut days: Vec<u32> = of_skill
                .iter()
                .rev()
                .take_while(|r| r.score >= PASS_SCORE)
                .map(|r| r.day)
                .collect();
            days.dedup();
            let due = match (last, days.len()) {
                (Some(day), n) if n > 0 => {
                    day + REVIEW_INTERVALS_DAYS[(n - 1).min(REVIEW_INTERVALS_DAYS.len() - 1)]
                }
                _ => today,
            };
            let of = estimates.iter().find(|e| e.skill == skill);
            let (mastered, in_a_row, parts) =
                of.map_or((false, 0, 0), |e| (e.mastered, e.in_a_row, e.parts));
            Due { skill, mastered, in_a_row, parts, last, due }
        })
        .collect();
    let rank = |d: &Due| (d.due > today, d.mastered, d.in_a_row, d.last, d.skill);
    all.sort_by_key(rank);
    all
}

/// Whether a lesson, or a single stage of one, practises a skill.
pub(super) fn practises(name: &str, skill: Skill) -> bool {
    let (lesson, stage) = split_name(name);
    let Some(lesson) = lesson_file(lesson) else { return false };
    match stage {
        Some(n) => lesson.stages.get(n).is_some_and(|s| s.skill() == Some(skill)),
        None => lesson.stages.iter().any(|s| s.skill() == Some(skill)),
    }
}

/// A short mixed round for `today`: single stages of other lessons, each an attempt of its own with
/// everything before it done, on parts and in places drawn from `seed`. The weakest and most overdue
/// skills first, no lesson twice, at most five minutes together.
///
/// The same records, day and seed always give the same round.
pub fn refresher(records: &[LessonRecord], today: u32, seed: u64) -> Vec<Lesson> {
    let met = |l: &LessonFile| records.iter().any(|r| split_name(&r.lesson).0 == l.name);
    // Its parts must be new in the lesson itself.
    let kept_for_later = |l: &LessonFile| l.draws_held_back() && !met(l);
    let mut items: Vec<Lesson> = Vec::new();
    let mut taken: Vec<&str> = Vec::new();
    let mut left = f64::from(REFRESHER_MINUTES);
    for (k, due) in due(records, today).iter().enumerate() {
        // Stages of this skill, rotated by the seed; those of lessons already taken come first.
        let mut stages: Vec<(&Arc<LessonFile>, usize)> = Vec::new();
        let may = |l: &&Arc<LessonFile>| l.kind != LessonKind::Refresher && !kept_for_later(l);
        for lesson in lesson_files().filter(may) {
            let of_skill = |i: &usize| lesson.stages[*i].skill() == Some(due.skill);
            stages.extend((0..lesson.stages.len()).filter(of_skill).map(|i| (lesson, i)));
        }
        let n = stages.len().max(1);
        stages.rotate_left((seed.wrapping_add(today.into()) % n as u64) as usize);
        stages.sort_by_key(|(lesson, _)| !met(lesson));
        for (lesson, stage) in stages {
            if items.len() == REFRESHER_ITEMS || taken.contains(&lesson.name.as_str()) {
                continue;
            }
            let seed = seed.wrapping_mul(31).wrapping_add(k as u64 + 1);
            let item = Lesson::of_file(lesson, seed).and_then(|l| l.single_stage(stage));
            let Ok(item) = item else {
                continue;
            };
            let Ok(solved) = item.solved() else { continue };
            let takes = item.minutes_of(&solved);
            if takes > left {
                continue;
            }
            left -= takes;
            taken.push(&lesson.name);
            items.push(item);
            break;
        }
    }
    items
}
