//! How well a skill is mastered: passes in a row, and when it is due again.

use super::days::today;
use crate::app::i18n::{Key, format, text};
use leptos::prelude::*;
use nudgeproof::coach::{MASTERY_PARTS, MASTERY_PASSES};
use nudgeproof::lesson::Due;

/// One skill: boxes for its passes in a row, and the same in words.
#[component]
pub(crate) fn SkillRow(due: Due) -> impl IntoView {
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
        Some(_) => due_in(due.due.saturating_sub(now)),
    };
    view! {
        <li
            class="skill"
            class:mastered=due.mastered
            data-testid=format!("skill-{}", due.skill.name())
            data-in-a-row=due.in_a_row.to_string()
        >
            <span class="skill-name">{due.skill.label()}</span>
            <span class="boxes" aria-hidden="true">{boxes}</span>
            <span>{words}</span>
            <span class="fine">{when}</span>
        </li>
    }
}

fn due_in(days: u32) -> String {
    match days {
        0 => text(Key::DueNow).into(),
        1 => text(Key::DueInOneDay).into(),
        _ => format(Key::DueIn, &[&days.to_string()]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_day_is_a_day() {
        assert_eq!([0, 1, 2].map(due_in), ["Due now", "Due in 1 day", "Due in 2 days"]);
    }
}
