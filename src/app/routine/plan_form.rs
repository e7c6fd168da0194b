use crate::app::desk::desk;
use crate::app::field::NumberField;
use crate::app::live::memo;
use crate::app::words::{Word, say};
use leptos::prelude::*;
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::ProbePlan;
use nudgeproof::session::Action;

/// The words for what a part may have done.
pub(crate) fn freedoms_name(f: Freedoms) -> &'static str {
    say(match f {
        Freedoms::SlideOne => Word::SlideOne,
        Freedoms::SlideTwo => Word::SlideTwo,
        Freedoms::SlideTurn => Word::SlideTurn,
        Freedoms::SlideThree => Word::SlideThree,
        Freedoms::SlideThreeTurn => Word::SlideThreeTurn,
        Freedoms::SlideTilt => Word::SlideTilt,
    })
}

fn change(name: &str, edit: impl FnOnce(&mut ProbePlan)) {
    let desk = desk();
    let found = desk.peek().routine.plan(name).cloned();
    let Some(mut plan) = found else { return };
    edit(&mut plan);
    desk.act(Action::SetPlan { plan });
}

/// The reference flag of a plan, in plain sight beside the step that begins its probing.
#[component]
pub(super) fn FlagSwitch(
    /// Name of the plan.
    plan: Signal<String>,
) -> impl IntoView {
    let desk = desk();
    let on = move || desk.routine().plan(&plan.read()).is_some_and(|p| p.reference);
    let flip = move |_| {
        let now = on();
        change(&plan.read_untracked(), |p| p.reference = !now);
        desk.tell(say(if now { Word::FlagNowOff } else { Word::FlagNowOn }).into());
    };
    view! {
        <button type="button" class="flag" role="switch" data-testid="plan-reference"
            aria-checked=move || on().to_string() on:click=flip aria-label=say(Word::ReferenceFlag)>
            <svg class="flag-sign" viewBox="0 0 16 16" aria-hidden="true">
                <path d="M4 15V2M4 2.500h9l-2.500 3l2.500 3H4"/>
            </svg>
            <span>{move || say(if on() { Word::FlagOn } else { Word::FlagOff })}</span>
        </button>
    }
}

/// The settings of a plan.
#[component]
pub(super) fn PlanForm(
    /// Name of the plan.
    name: String,
) -> impl IntoView {
    let desk = desk();
    let name = StoredValue::new(name);
    let plan = memo(move || name.with_value(|n| desk.routine().plan(n).cloned()));
    let value = move |read: fn(&ProbePlan) -> f64| {
        Signal::derive(move || (*plan.read()).as_ref().map_or(0.0, read))
    };
    let edit = move |set: fn(&mut ProbePlan, f64)| {
        move |v: f64| name.with_value(|n| change(n, |p| set(p, v)))
    };
    let chosen = move |f: Freedoms| (*plan.read()).as_ref().is_some_and(|p| p.freedoms == f);
    view! {
        <div class="plan-form" data-testid="plan-form">
            <label class="pick">
                <span>{say(Word::PartMayHave)}</span>
                <select data-testid="plan-freedoms" on:change:target=move |event| {
                    let at: usize = event.target().value().parse().unwrap_or_default();
                    if let Some(f) = Freedoms::ALL.get(at) {
                        name.with_value(|n| change(n, |p| p.freedoms = *f));
                    }
                }>
                    {Freedoms::ALL.into_iter().enumerate().map(|(i, f)| view! {
                        <option value=i.to_string() selected=move || chosen(f)>{freedoms_name(f)}</option>
                    }).collect_view()}
                </select>
            </label>
            <NumberField label=say(Word::ProbingSpeed) unit="mm/s" decimals=0
                value=value(|p| p.speed_mm_s) commit=edit(|p, v| p.speed_mm_s = v) test_id="plan-speed"/>
            <NumberField label=say(Word::Reach) decimals=0
                value=value(|p| p.reach_mm) commit=edit(|p, v| p.reach_mm = v) test_id="plan-reach"/>
            <label class="pick">
                <span>{say(Word::FillsOffset)}</span>
                <input type="text" class="short" data-testid="plan-fills" autocomplete="off"
                    prop:value=move || (*plan.read()).as_ref().map(|p| p.fills.clone()).unwrap_or_default()
                    on:change:target=move |event| {
                        let text = event.target().value().trim().to_owned();
                        name.with_value(|n| change(n, |p| p.fills = text));
                    }/>
            </label>
        </div>
    }
}
