use crate::app::controls::{Icon, LabelledField, NumberField, Select, TextField};
use crate::app::i18n::{Key, text};
use crate::app::logic::number::Quantity;
use crate::app::workspace::{Workspace, workspace};
use leptos::prelude::*;
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::ProbePlan;
use nudgeproof::session::Action;

/// What a part may have done, in words.
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

/// A plan of the routine on the workspace.
#[derive(Clone, Copy)]
struct PlanHandle {
    name: Signal<String>,
    plan: Memo<Option<ProbePlan>>,
    workspace: Workspace,
}

impl PlanHandle {
    fn new(workspace: Workspace, name: Signal<String>) -> Self {
        let plan = Memo::new(move |_| workspace.routine().plan(&name.read()).cloned());
        Self { name, plan, workspace }
    }

    /// Reads from the plan, tracked; the default while there is no plan of this name.
    fn read<T: Default>(self, of: impl FnOnce(&ProbePlan) -> T) -> T {
        self.plan.read().as_ref().map(of).unwrap_or_default()
    }

    /// Changes the plan.
    fn change(self, edit: impl FnOnce(&mut ProbePlan)) {
        let routine = &self.workspace.state_untracked().routine;
        let Some(mut plan) = routine.plan(&self.name.read_untracked()).cloned() else { return };
        edit(&mut plan);
        self.workspace.act(Action::SetPlan { plan });
    }
}

/// The reference flag of a plan: a switch in the row of the step that begins its probing.
#[component]
pub(super) fn ReferenceFlag(
    /// Name of the plan.
    #[prop(into)]
    plan: Signal<String>,
) -> impl IntoView {
    let workspace = workspace();
    let plan = PlanHandle::new(workspace, plan);
    let on = Memo::new(move |_| plan.read(|p| p.reference));
    let flip = move |_| {
        let flag = !on.get_untracked();
        plan.change(|p| p.reference = flag);
        workspace.notify(text(if flag { Key::FlagNowOn } else { Key::FlagNowOff }).into());
    };
    view! {
        <button
            type="button"
            class="flag"
            data-testid="plan-reference"
            role="switch"
            aria-checked=move || on.get().to_string()
            aria-label=text(Key::ReferenceFlag)
            on:click=flip
        >
            <Icon class="flag-sign" d="M4 15V2M4 2.500h9l-2.500 3l2.500 3H4" />
            <span>{move || text(if on.get() { Key::FlagOn } else { Key::FlagOff })}</span>
        </button>
    }
}

/// The settings of a plan.
#[component]
pub(super) fn PlanForm(
    /// Name of the plan.
    #[prop(into)]
    plan: Signal<String>,
) -> impl IntoView {
    let plan = PlanHandle::new(workspace(), plan);
    // The names differ, so a name is also the value of its choice.
    let freedoms =
        Freedoms::ALL.map(|f| (freedoms_name(f).to_owned(), freedoms_name(f).to_owned()));
    let set_freedoms = move |name: String| {
        if let Some(f) = Freedoms::ALL.into_iter().find(|f| freedoms_name(*f) == name) {
            plan.change(|p| p.freedoms = f);
        }
    };
    view! {
        <div class="plan-form" data-testid="plan-form">
            <LabelledField name=text(Key::PartMayHave)>
                <Select
                    test_id="plan-freedoms"
                    options=freedoms.to_vec()
                    value=move || plan.read(|p| freedoms_name(p.freedoms).to_owned())
                    on_change=set_freedoms
                />
            </LabelledField>
            <NumberField
                test_id="plan-speed"
                label=text(Key::ProbingSpeed)
                quantity=Quantity::Speed
                decimals=0
                value=move || plan.read(|p| p.speed_mm_s)
                on_commit=move |speed| plan.change(|p| p.speed_mm_s = speed)
            />
            <NumberField
                test_id="plan-reach"
                label=text(Key::Reach)
                decimals=0
                value=move || plan.read(|p| p.reach_mm)
                on_commit=move |reach| plan.change(|p| p.reach_mm = reach)
            />
            <LabelledField name=text(Key::FillsOffset)>
                <TextField
                    test_id="plan-fills"
                    class="short"
                    value=move || plan.read(|p| p.fills.clone())
                    on_commit=move |offset| plan.change(|p| p.fills = offset)
                />
            </LabelledField>
        </div>
    }
}
