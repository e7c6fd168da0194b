use crate::app::dom::{View, button, el, pick, svg, typed};
use crate::app::field::NumberField;
use crate::app::i18n::{Key, text};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::ProbePlan;
use nudgeproof::session::Action;

/// The words for what a part may have done.
pub(crate) fn freedoms_name(f: Freedoms) -> &'static str {
    text(match f {
        Freedoms::SlideOne => Key::SlideOne,
        Freedoms::SlideTwo => Key::SlideTwo,
        Freedoms::SlideTurn => Key::SlideTurn,
        Freedoms::SlideThree => Key::SlideThree,
        Freedoms::SlideThreeTurn => Key::SlideThreeTurn,
        Freedoms::SlideTilt => Key::SlideTilt,
    })
}

fn change(name: &str, edit: impl FnOnce(&mut ProbePlan)) {
    let workspace = workspace();
    let found = workspace.state_untracked().routine.plan(name).cloned();
    let Some(mut plan) = found else { return };
    edit(&mut plan);
    workspace.act(Action::SetPlan { plan });
}

/// The reference flag of a plan, in plain sight beside the step that begins its probing.
pub(super) fn flag_switch(plan: Signal<String>) -> View {
    let workspace = workspace();
    let on = move || workspace.routine().plan(&plan.read()).is_some_and(|p| p.reference);
    let flip = move || {
        let now = on();
        change(&plan.read_untracked(), |p| p.reference = !now);
        workspace.notify(text(if now { Key::FlagNowOff } else { Key::FlagNowOn }).into());
    };
    button("plan-reference")
        .class("flag")
        .attr("role", "switch")
        .attr("aria-checked", move || on().to_string())
        .click(flip)
        .attr("aria-label", Key::ReferenceFlag)
        .child(
            svg("svg")
                .class("flag-sign")
                .attr("viewBox", "0 0 16 16")
                .attr("aria-hidden", "true")
                .child(svg("path").attr("d", "M4 15V2M4 2.500h9l-2.500 3l2.500 3H4")),
        )
        .child(el("span").text(move || if on() { Key::FlagOn } else { Key::FlagOff }))
}

/// The settings of a plan.
pub(super) fn plan_form(name: String) -> View {
    let workspace = workspace();
    let name = Signal::stored(name);
    let plan = Memo::new(move |_| name.with(|n| workspace.routine().plan(n).cloned()));
    let value =
        move |read: fn(&ProbePlan) -> f64| move || (*plan.read()).as_ref().map_or(0.0, read);
    let edit =
        move |set: fn(&mut ProbePlan, f64)| move |v: f64| name.with(|n| change(n, |p| set(p, v)));
    let chosen = move |f: Freedoms| (*plan.read()).as_ref().is_some_and(|p| p.freedoms == f);
    el("div")
        .class("plan-form")
        .test_id("plan-form")
        .child(
            pick(Key::PartMayHave).child(
                el("select")
                    .test_id("plan-freedoms")
                    .on("change", move |event: web_sys::Event| {
                        let at: usize = event_target_value(&event).parse().unwrap_or_default();
                        if let Some(f) = Freedoms::ALL.get(at) {
                            name.with(|n| change(n, |p| p.freedoms = *f));
                        }
                    })
                    .children(Freedoms::ALL.into_iter().enumerate().map(|(i, f)| {
                        el("option")
                            .attr("value", i.to_string())
                            .attr("selected", move || chosen(f))
                            .text(freedoms_name(f))
                    })),
            ),
        )
        .child(
            NumberField::new(
                "plan-speed",
                text(Key::ProbingSpeed),
                value(|p| p.speed_mm_s),
                edit(|p, v| p.speed_mm_s = v),
            )
            .unit("mm/s")
            .decimals(0)
            .view(),
        )
        .child(
            NumberField::new(
                "plan-reach",
                text(Key::Reach),
                value(|p| p.reach_mm),
                edit(|p, v| p.reach_mm = v),
            )
            .decimals(0)
            .view(),
        )
        .child(
            pick(Key::FillsOffset).child(
                typed("plan-fills", move |text| {
                    name.with(|n| change(n, |p| p.fills = text));
                })
                .class("short")
                .value(move || {
                    (*plan.read()).as_ref().map(|p| p.fills.clone()).unwrap_or_default()
                }),
            ),
        )
}
