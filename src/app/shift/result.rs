use super::stored;
use super::work::{number_of_day, shift_work};
use crate::app::i18n::{Key, format, text};
use crate::app::lessons::today;
use crate::app::logic::shift_words::about_trouble;
use crate::app::place::Place;
use leptos::prelude::*;
use nudgeproof::shift::{SCRAP_MINUTES, ShiftTally};

/// What a line of the result counts.
type Count = fn(&ShiftTally) -> u32;

const LINES: [(Key, Count); 6] = [
    (Key::ResultGood, |t| t.good as u32),
    (Key::ResultScrap, |t| t.scrap as u32),
    (Key::ResultAside, |t| t.set_aside as u32),
    (Key::ResultStops, |t| t.needless_stops as u32),
    (Key::ResultLooks, |t| t.needless_looks as u32),
    (Key::ResultMinutes, |t| t.cost_minutes()),
];

/// How the shift of a day came out, and what can be done next.
#[component]
pub(super) fn ShiftResult() -> impl IntoView {
    let work = shift_work();
    let number = work.number.get_untracked();
    let shift = work.shift.read_untracked();
    let (yours, best) = (shift.tally(), work.best());
    let over = yours.cost_minutes().saturating_sub(best.cost_minutes());
    let personal = stored::keep_best(over).map(|before| {
        if over <= before {
            text(Key::ResultRecord).to_owned()
        } else {
            format(Key::ResultPersonal, &[&before.to_string()])
        }
    });
    let headline = above_best(over);
    let today = number_of_day(today());
    view! {
        <div class="shift-now" role="status" data-testid="shift-result">
            <p class="kick">{text(Key::ShiftOver)}</p>
            <p class="headline">{headline}</p>
            <p>{personal}</p>
            <div class="row-tools">
                <button
                    type="button"
                    class="run-button"
                    data-testid="shift-another"
                    on:click=move |_| work.begin_another()
                >
                    {text(Key::ShiftAnother)}
                </button>
                <button
                    type="button"
                    data-testid="shift-again"
                    on:click=move |_| work.begin(number)
                >
                    {text(Key::ShiftAgain)}
                </button>
                {(number != today)
                    .then(|| {
                        view! {
                            <button
                                type="button"
                                data-testid="shift-today"
                                on:click=move |_| work.begin(today)
                            >
                                {text(Key::ShiftToday)}
                            </button>
                        }
                    })}
                <a class="button" href=Place::Lessons.hash()>
                    {text(Key::PlaceLessons)}
                </a>
            </div>
        </div>
        <ShiftSum best />
    }
}

/// How many minutes more than the best possible.
fn above_best(minutes: u32) -> String {
    match minutes {
        0 => text(Key::ResultBest).to_owned(),
        over => format(Key::ResultAbove, &[&over.to_string()]),
    }
}

/// How a shift came out, beside the best that could have been made of it, and what was wrong.
#[component]
pub(super) fn ShiftSum(best: ShiftTally) -> impl IntoView {
    let work = shift_work();
    let shift = work.shift.read_untracked();
    let yours = shift.tally();
    let over = yours.cost_minutes().saturating_sub(best.cost_minutes());
    let counts = [yours.alarms, yours.decisions_at_alarms].map(|n| n.to_string());
    let alarms = format(Key::ResultAlarms, &counts.each_ref().map(String::as_str));
    let line = |(name, count): (Key, Count)| {
        view! {
            <tr>
                <th scope="row">{text(name)}</th>
                <td>{count(&yours)}</td>
                <td>{count(&best)}</td>
            </tr>
        }
    };
    let troubles = shift.troubles().iter().map(|trouble| {
        let [what, shows] = about_trouble(trouble, shift.parts());
        view! {
            <li>
                <b>{what}</b>
                " "
                {shows}
            </li>
        }
    });
    let none = shift.troubles().is_empty().then(|| view! { <li>{text(Key::NoTrouble)}</li> });
    // Elsewhere this stands above, with what can be done next.
    let headline = work.is_taught().then(|| {
        view! {
            <div class="shift-now" role="status" data-testid="shift-result">
                <p class="kick">{text(Key::ShiftOver)}</p>
                <p class="headline">{above_best(over)}</p>
            </div>
        }
    });
    view! {
        {headline}
        <div class="shift-sum">
            <table>
                <thead>
                    <tr>
                        <td></td>
                        <th scope="col">{text(Key::ResultYours)}</th>
                        <th scope="col">{text(Key::ResultPossible)}</th>
                    </tr>
                </thead>
                <tbody>{LINES.map(line)}</tbody>
            </table>
            <p data-testid="shift-alarms">{alarms}</p>
            <p class="fine">{format(Key::ResultNote, &[&SCRAP_MINUTES.to_string()])}</p>
        </div>
        <div class="shift-troubles">
            <h2>{text(Key::WhatWasWrong)}</h2>
            <ul data-testid="troubles">{troubles.collect_view()} {none}</ul>
        </div>
    }
}
