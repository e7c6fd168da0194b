use super::charts::ShiftCharts;
use super::decisions::Decisions;
use super::plan::ShiftPlan;
use crate::app::i18n::{Key, text};
use leptos::prelude::*;

/// The part that waits, the charts of the parts so far, and what can be decided; once the shift is over, its
/// result.
#[component]
pub(super) fn PartsSoFar(over: Memo<bool>, #[prop(into)] result: ViewFn) -> impl IntoView {
    view! {
        <section class="shift-plan" aria-label=text(Key::ShiftPlan)>
            <ShiftPlan />
        </section>
        <section class="shift-charts" aria-labelledby="so-far">
            <h2 id="so-far">{text(Key::ShiftSoFar)}</h2>
            <ShiftCharts />
        </section>
        <section class="shift-foot" aria-label=text(Key::ShiftDecide)>
            <Show when=move || !over.get() fallback=result>
                <Decisions />
            </Show>
        </section>
    }
}
