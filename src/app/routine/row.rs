use super::row_focus::{RowFocus, delete_step, scroll_to};
use super::step_handle::StepHandle;
use super::step_icon::step_icon;
use crate::app::controls::Icon;
use crate::app::i18n::{Key, Segment, format, say, text};
use crate::app::keys::{self, KeyCommand, Scope};
use crate::app::lessons::{Course, course};
use crate::app::logic::describe;
use crate::app::logic::fold::Fold;
use crate::app::logic::number::signed_length;
use crate::app::logic::rails::{Margin, Rail, StepPlace};
use crate::app::screen;
use crate::app::workspace::{Workspace, workspace};
use leptos::ev::{DragEvent, KeyboardEvent};
use leptos::html::Li;
use leptos::prelude::*;
use leptos::reactive::computed::Selector;
use nudgeproof::coach::{Finding, RuleName};
use nudgeproof::routine::{Instruction, StepId};
use nudgeproof::session::Action;
use std::collections::HashMap;

/// A finding of the coach at a step, shown in the row as a sign only.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct QuietMark {
    step: StepId,
    rule: RuleName,
    message: String,
}

impl QuietMark {
    /// Those of all steps; none while a prediction is asked for. Tracked.
    pub(super) fn all(workspace: Workspace, course: Course) -> Vec<Self> {
        if course.standing.read().quiet {
            return Vec::new();
        }
        let of_step =
            |f: &Finding| Some(Self { step: f.step?, rule: f.rule, message: say(&f.message) });
        workspace.review.marks().read().iter().filter_map(of_step).collect()
    }
}

/// One step: its two rails, its sentence, and, while it is selected, its editor.
#[component]
pub(super) fn StepRow(
    id: StepId,
    /// Where each step stands in the routine.
    places: Memo<HashMap<StepId, StepPlace>>,
    /// The rows of groups that are folded.
    folds: Memo<HashMap<StepId, Fold>>,
    marks: Memo<Vec<QuietMark>>,
    /// How much further along than in the reference each feel of the run on show touched, mm.
    later: Memo<HashMap<StepId, f64>>,
    /// The step that is being dragged to another place.
    dragged: RwSignal<Option<StepId>>,
    /// The step under way in the run on show.
    running: Selector<Option<StepId>>,
    selected: Selector<Option<StepId>>,
) -> impl IntoView {
    let workspace = workspace();
    let place = Memo::new(move |_| places.read().get(&id).copied());
    let margin = Memo::new(move |_| place.get().map(|p| p.margin).unwrap_or_default());
    let step = StepHandle::new(workspace, id, move || place.get().map(|p| p.index));
    let mark = Memo::new(move |_| marks.read().iter().find(|m| m.step == id).cloned());
    let running = Memo::new(move |_| running.selected(&Some(id)));
    let selected = Memo::new(move |_| selected.selected(&Some(id)));
    let value = Memo::new(move |_| later.read().get(&id).copied());
    // The step under way stays in view. Once it is painted the page is laid out, and scrolling costs little.
    let line = NodeRef::<Li>::new();
    Effect::new(move || {
        if running.get()
            && let Some(line) = line.get_untracked()
        {
            screen::after_paint(move || scroll_to(&line));
        }
    });
    let fold = Memo::new(move |_| folds.read().get(&id).copied());
    let more = move || match fold.get()? {
        Fold::Head(more) => Some(format(Key::StepsFolded, &[&more.to_string()])),
        Fold::Behind => None,
    };
    // While a prediction is asked for, nothing says what the follow rail brings about.
    let course = course();
    let quiet = Memo::new(move |_| course.standing.read().quiet);
    let carried = move || margin.get().home_carried && !quiet.get();
    let on_drop = move |event: DragEvent| {
        event.prevent_default();
        let (from, to) = (dragged.get_untracked(), step.index.get_untracked());
        dragged.set(None);
        if let (Some(from), Some(to)) = (from.filter(|from| *from != id), to) {
            workspace.act(Action::MoveStep { id: from, to });
        }
    };
    view! {
        <li
            node_ref=line
            class="step"
            class:selected=selected
            class:running=running
            class:home-carried=carried
            class:folded=move || fold.get() == Some(Fold::Behind)
            class:dragged=move || dragged.get() == Some(id)
            data-testid=move || format!("step-{}", step.index.get().map_or(0, |i| i + 1))
            draggable="true"
            on:dragstart=move |_| dragged.set(Some(id))
            on:dragend=move |_| dragged.set(None)
            on:dragover=move |event| event.prevent_default()
            on:drop=on_drop
        >
            <div class="row">
                <span
                    class=move || format!("rail sensing {}", margin.get().sensing.class())
                    aria-hidden="true"
                ></span>
                <span
                    class=move || format!("rail follow {}", margin.get().follow.class())
                    aria-hidden="true"
                ></span>
                <Sentence step margin running selected />
                {move || more().map(|more| view! { <span class="fold-count">{more}</span> })}
                <ShowLet some=mark let:mark>
                    <MarkSign mark />
                </ShowLet>
                <ShowLet some=value let:mm>
                    <span class="row-value" data-testid="later">{signed_length(mm, 1)}</span>
                </ShowLet>
                <Show when=carried>
                    <span class="carried-mark" data-testid="home-carried">
                        {text(Key::HomeRides)}
                    </span>
                </Show>
            </div>
        </li>
    }
}

/// The step in words: a button that opens and closes its editor.
#[component]
fn Sentence(
    step: StepHandle,
    margin: Memo<Margin>,
    running: Memo<bool>,
    selected: Memo<bool>,
) -> impl IntoView {
    let row_focus = expect_context::<RowFocus>();
    let focus_neighbour = move |by: isize| {
        if let Some(id) = step.neighbour(by) {
            row_focus.focus(id);
        }
    };
    let on_key = move |event: KeyboardEvent| match keys::command(Scope::Step, &event) {
        Some(KeyCommand::MoveStep(by)) => step.move_by(by.into()),
        Some(KeyCommand::GoToStep(by)) => focus_neighbour(by.into()),
        Some(KeyCommand::OpenStep) => step.toggle_selected(),
        Some(KeyCommand::CloseStep) => step.deselect(),
        Some(KeyCommand::DeleteStep) => delete_step(step, row_focus),
        _ => {}
    };
    let icon = Memo::new(move |_| (*step.instruction.read()).as_ref().map_or("", step_icon));
    // What the icon and the rails show.
    let hidden_words = move || {
        let face = match &*step.instruction.read() {
            Some(Instruction::Feel { face, .. }) => format(Key::OnFace, &[face]),
            _ => String::new(),
        };
        let way = step.instruction.read().as_ref().and_then(describe::way);
        face + &way.map(|way| format!(", {way}")).unwrap_or_default()
            + &rails_in_words(margin.get())
    };
    let words = move || step.instruction.read().as_ref().map(describe::step).unwrap_or_default();
    view! {
        <button
            type="button"
            class="sentence"
            data-testid="step-select"
            node_ref=row_focus.register(step.id)
            aria-expanded=move || selected.get().to_string()
            aria-current=move || running.get().then_some("step")
            on:click=move |_| step.toggle_selected()
            on:keydown=on_key
        >
            <Icon d=icon />
            <span class="words">{move || words().into_iter().map(segment).collect_view()}</span>
            <span class="visually-hidden">{hidden_words}</span>
        </button>
    }
}

/// The sign of a finding, with its message for the pointer and for screen readers.
#[component]
fn MarkSign(mark: QuietMark) -> impl IntoView {
    view! {
        <span
            class="quiet-mark"
            data-testid=format!("mark-{}", mark.rule)
            title=mark.message.clone()
        >
            <span aria-hidden="true">"!"</span>
            <span class="visually-hidden">{mark.message.clone()}</span>
        </span>
    }
}

fn segment(segment: Segment) -> AnyView {
    match segment {
        Segment::Text(text) => view! { <span>{text}</span> }.into_any(),
        Segment::Name(name) => view! { <b>{name}</b> }.into_any(),
    }
}

/// What the rails show, for screen readers.
fn rails_in_words(margin: Margin) -> String {
    let mut out = String::new();
    if margin.sensing == Rail::Inside {
        out.push_str(text(Key::InsideSensing));
    }
    if margin.follow == Rail::Inside {
        out.push_str(text(Key::InsideFollow));
    }
    out
}
