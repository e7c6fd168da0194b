use crate::app::controls::{Icon, LabelledField, NumberField, TextField};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::number::Quantity;
use crate::app::logic::told::Told;
use crate::app::workspace::{Workspace, workspace};
use leptos::prelude::*;
use nudgeproof::locate::{Freedom, Freedoms};
use nudgeproof::routine::ProbePlan;
use nudgeproof::session::Action;

/// What a part may have done, in words: "X, Y, turn".
pub(crate) fn freedoms_name(freedoms: Freedoms) -> String {
    freedoms.list().map(freedom_name).collect::<Vec<_>>().join(", ")
}

fn freedom_name(freedom: Freedom) -> &'static str {
    text(match freedom {
        Freedom::X => Key::FreeX,
        Freedom::Y => Key::FreeY,
        Freedom::Height => Key::FreeHeight,
        Freedom::Turn => Key::FreeTurn,
        Freedom::TiltX => Key::TiltX,
        Freedom::TiltY => Key::TiltY,
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
    view! {
        <div class="plan-form" data-testid="plan-form">
            <FreedomBoxes plan />
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

/// Six boxes for what the part may have done, and under them whether the touches tell it.
#[component]
fn FreedomBoxes(plan: PlanHandle) -> impl IntoView {
    let each = |freedom: Freedom| {
        let test_id = match freedom {
            Freedom::X => "may-x",
            Freedom::Y => "may-y",
            Freedom::Height => "may-height",
            Freedom::Turn => "may-turn",
            Freedom::TiltX => "may-tilt-x",
            Freedom::TiltY => "may-tilt-y",
        };
        view! {
            <label class="freedom">
                <input
                    type="checkbox"
                    data-testid=test_id
                    prop:checked=move || plan.read(|p| p.freedoms.has(freedom))
                    on:change=move |_| plan.change(|p| p.freedoms.toggle(freedom.into()))
                />
                {freedom_name(freedom)}
            </label>
        }
    };
    let told = Memo::new(move |_| {
        let (routine, name) = (plan.workspace.routine(), plan.name.read());
        Told::of(&routine, &name)
    });
    view! {
        <fieldset class="freedoms" data-testid="plan-freedoms">
            <legend>{text(Key::PartMayHave)}</legend>
            {Freedom::ALL.map(each)}
        </fieldset>
        <p class="fine" data-testid="plan-told">
            {move || told_text(told.get())}
        </p>
    }
}

/// "3 unknown · 4 touches · 1 to spare".
fn told_text(told: Told) -> String {
    let counts = |n: usize, one, many| format(if n == 1 { one } else { many }, &[&n.to_string()]);
    let unknown = counts(told.unknown, Key::OneUnknown, Key::Unknowns);
    let touches = counts(told.touches, Key::OneTouch, Key::Touches);
    let rest = if !told.unseen.is_empty() {
        format(Key::NothingSees, &[&freedoms_name(told.unseen)])
    } else if told.touches < told.unknown {
        format(Key::TouchesMissing, &[&(told.unknown - told.touches).to_string()])
    } else {
        format(Key::TouchesToSpare, &[&(told.touches - told.unknown).to_string()])
    };
    [unknown, touches, rest].join(" · ")
}
