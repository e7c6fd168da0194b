use super::work::shift_work;
use crate::app::i18n::{Key, format, text};
use crate::app::logic::shift_chart::{SHIFT_CHART, ShiftChart};
use crate::app::logic::shift_words::FollowedShown;
use crate::app::logic::svg_path::d;
use leptos::prelude::*;
use nudgeproof::shift::{Followed, first_parts};

/// A chart for each number that is followed over the shift.
#[component]
pub(super) fn ShiftCharts() -> impl IntoView {
    let work = shift_work();
    let followed = Memo::new(move |_| Followed::of(&work.shift.read().part().play));
    view! {
        <div class="shift-rows" data-testid="shift-charts">
            <For each=move || followed.get() key=|what| what.id() let:what>
                <ShiftRow what />
            </For>
            <p class="fine">
                {move || {
                    let first = first_parts(work.shift.read().parts()).to_string();
                    format(Key::ShiftLimits, &[&first])
                }}
            </p>
        </div>
    }
}

#[component]
fn ShiftRow(what: Followed) -> impl IntoView {
    let work = shift_work();
    let drawn = move || {
        let shift = work.shift.read();
        let (values, limits) = (shift.values(what), shift.limits(what));
        let waits = shift.now().is_some();
        let usual = what.usual(&shift.part().play);
        ShiftChart::new(&values, limits, (shift.parts(), waits), usual)
    };
    let limits = move || {
        let [low, high] = work.shift.read().limits(what)?;
        Some(match what {
            Followed::Agreement => format(Key::ShiftUpTo, &[&what.number(high)]),
            _ => format(Key::ShiftFromTo, &[&what.number(low), &what.number(high)]),
        })
    };
    let last = move || {
        let value = work.shift.read().values(what).last().copied().flatten();
        value.map_or_else(|| text(Key::ShiftNoValue).to_owned(), |v| what.says(v))
    };
    let marks = move || {
        let chart = drawn();
        view! {
            {chart.now.map(|now| view! { <path class="waits" d=d(&now) /> })}
            <path class="limit" d=d(&chart.limits) />
            <path class="values" d=d(&chart.line) />
            <path class="dots" d=d(&chart.within) />
            <path class="dots outside" d=d(&chart.outside) />
        }
    };
    view! {
        <figure class="shift-row" data-testid=format!("chart-{}", what.id())>
            <figcaption>
                <b>{what.name()}</b>
                <span class="last">{last}</span>
                <span class="fine">{limits}</span>
            </figcaption>
            <svg
                viewBox=format!("0 0 {} {}", SHIFT_CHART.width, SHIFT_CHART.height)
                preserveAspectRatio="none"
                aria-hidden="true"
            >
                {marks}
            </svg>
        </figure>
    }
}
