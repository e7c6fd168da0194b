//! How every skill stands: passes in a row, mastery, and when it is due again.

use super::days::today;
use crate::app::dom::{View, el};
use crate::app::i18n::{Key, format, text};
use nudgeproof::coach::{MASTERY_PARTS, MASTERY_PASSES};
use nudgeproof::lesson::Due;

/// One skill: boxes for its passes in a row, and the same in words.
pub(crate) fn skill_row(due: &Due) -> View {
    let passes = due.in_a_row.min(MASTERY_PASSES);
    let boxes = "■".repeat(passes) + &"□".repeat(MASTERY_PASSES - passes);
    let now = today();
    let mut words = format(Key::PassesOf, &[&passes.to_string(), &MASTERY_PASSES.to_string()]);
    if due.mastered {
        words = text(Key::Mastered).into();
    } else if passes == MASTERY_PASSES && due.parts < MASTERY_PARTS {
        words = format!("{words}, {}", text(Key::OnOnePart));
    }
    let when = match due.last {
        None => text(Key::NeverPractised).into(),
        Some(_) if due.due <= now => text(Key::DueNow).into(),
        Some(_) => format(Key::DueIn, &[&(due.due - now).to_string()]),
    };
    el("li")
        .class("skill")
        .class_if("mastered", due.mastered)
        .test_id(format!("skill-{}", due.skill.name()))
        .attr("data-in-a-row", due.in_a_row.to_string())
        .child(el("span").class("skill-name").text(due.skill.label()))
        .child(el("span").class("boxes").attr("aria-hidden", "true").text(boxes))
        .child(el("span").text(words))
        .child(el("span").class("fine").text(when))
}
