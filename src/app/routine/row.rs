use super::editor::Editor;
use super::glyph;
use super::plan_form::FlagSwitch;
use crate::app::desk::desk;
use crate::app::live::{Live, memo, when};
use crate::app::logic::describe::{self, Bit};
use crate::app::logic::rails::{Margin, Rail};
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::routine::{Act, StepId};
use nudgeproof::session::Action;
use wasm_bindgen::JsCast;

/// One step: its two rails, its sentence, and, while it is selected, its editor.
#[component]
pub(super) fn StepRow(
    /// The step.
    id: StepId,
    /// The margin of the whole routine.
    margins: Live<Vec<Margin>>,
    /// What the coach notices about steps while the routine is built.
    marks: Live<Vec<(StepId, &'static str, String)>>,
    /// The step that is being dragged.
    dragging: RwSignal<Option<StepId>>,
) -> impl IntoView {
    let desk = desk();
    let index = memo(move || desk.routine().index_of(id));
    let act = memo(move || {
        let routine = desk.routine();
        routine.index_of(id).map(|i| routine.steps[i].act.clone())
    });
    let margin =
        memo(move || index.get().and_then(|i| margins.read().get(i).copied()).unwrap_or_default());
    let selected = memo(move || desk.cursor.get() == Some(id));
    let mark = memo(move || {
        let marks = marks.read();
        marks.iter().find(|m| m.0 == id).map(|m| (m.1, m.2.clone()))
    });
    let count = move || desk.routine().steps.len();
    let move_to = move |to: usize| {
        if to < desk.peek().routine.steps.len() && desk.act(Action::MoveStep { id, to }) {
            desk.tell(tell(Word::StepMoved, &[&(to + 1).to_string()]));
        }
    };
    let shift = move |by: isize| {
        if let Some(to) = index.get_untracked().and_then(|i| i.checked_add_signed(by)) {
            move_to(to);
        }
    };
    let delete = move || {
        if desk.act(Action::DeleteStep { id }) {
            desk.cursor.set(None);
            desk.tell(say(Word::StepDeleted).into());
        }
    };
    let by_key = move |event: web_sys::KeyboardEvent| {
        match (event.key().as_str(), event.alt_key()) {
            ("ArrowUp", true) => shift(-1),
            ("ArrowDown", true) => shift(1),
            ("ArrowUp", false) => focus_row(&event, false),
            ("ArrowDown", false) => focus_row(&event, true),
            ("Delete", _) => delete(),
            ("Escape", _) => desk.cursor.set(None),
            _ => return,
        }
        event.prevent_default();
    };
    let rail = |which: &'static str, pick: fn(Margin) -> Rail| {
        view! {
            <span class=move || format!("rail {which} {}", pick(margin.get()).class()) aria-hidden="true"></span>
        }
    };
    let is_begin = move || matches!(act.get(), Some(Act::BeginProbing { .. }));
    view! {
        <li
            class="step"
            data-testid=move || format!("step-{}", index.get().map_or(0, |i| i + 1))
            class:selected=move || selected.get()
            class:home-carried=move || margin.get().home_carried
            class:dragged=move || dragging.get() == Some(id)
            draggable="true"
            on:dragstart=move |_| dragging.set(Some(id))
            on:dragend=move |_| dragging.set(None)
            on:dragover=move |event| event.prevent_default()
            on:drop=move |event| {
                event.prevent_default();
                let (from, to) = (dragging.get_untracked(), index.get_untracked());
                dragging.set(None);
                if let (Some(from), Some(to)) = (from.filter(|f| *f != id), to) {
                    desk.act(Action::MoveStep { id: from, to });
                }
            }
        >
            <div class="row">
                {rail("probing", |m| m.probing)}
                {rail("follow", |m| m.follow)}
                <button
                    type="button"
                    class="sentence"
                    data-testid="step-select"
                    aria-expanded=move || selected.get().to_string()
                    on:click=move |_| desk.cursor.update(|c| *c = (*c != Some(id)).then_some(id))
                    on:keydown=by_key
                >
                    {move || act.get().map(|a| glyph::step(&a))}
                    <span class="words">{move || act.get().map(|a| sentence(&a))}</span>
                    <span class="visually-hidden">{move || spoken(margin.get())}</span>
                </button>
                {move || mark.get().map(|(rule, message)| { let title = message.clone(); view! {
                    <span class="quiet-mark" data-testid=format!("mark-{rule}") title=title>
                        <span aria-hidden="true">"!"</span>
                        <span class="visually-hidden">{message}</span>
                    </span>
                } })}
                {when(move || margin.get().home_carried, move || view! {
                    <span class="carried-mark" data-testid="home-carried">{say(Word::HomeRides)}</span>
                }.into_any())}
                {when(is_begin, move || view! {
                    <FlagSwitch plan=Signal::derive(move || match act.get() {
                        Some(Act::BeginProbing { plan }) => plan,
                        _ => String::new(),
                    })/>
                }.into_any())}
            </div>
            {when(move || selected.get(), move || view! {
                <div class="step-editor">
                    <div class="row-tools">
                        <button type="button" data-testid="step-up"
                            disabled=move || index.get() == Some(0)
                            on:click=move |_| shift(-1)>{say(Word::MoveUp)}</button>
                        <button type="button" data-testid="step-down"
                            disabled=move || index.get().is_some_and(|i| i + 1 >= count())
                            on:click=move |_| shift(1)>{say(Word::MoveDown)}</button>
                        <button type="button" class="danger" data-testid="step-delete"
                            on:click=move |_| delete()>{say(Word::Delete)}</button>
                    </div>
                    <Editor id=id act=act/>
                </div>
            }.into_any())}
        </li>
    }
}

fn sentence(act: &Act) -> Vec<AnyView> {
    describe::step(act)
        .into_iter()
        .map(|bit| match bit {
            Bit::Text(t) => t.into_any(),
            Bit::Name(t) => view! { <b>{t}</b> }.into_any(),
        })
        .collect()
}

/// What the rails say, for those who cannot see them.
fn spoken(m: Margin) -> String {
    let mut out = String::new();
    if m.probing == Rail::Inside {
        out.push_str(say(Word::InsideProbing));
    }
    if m.follow == Rail::Inside {
        out.push_str(say(Word::InsideFollow));
    }
    out
}

/// Focuses the sentence of the next or the previous step.
fn focus_row(event: &web_sys::KeyboardEvent, next: bool) {
    let row = event
        .current_target()
        .and_then(|t| t.dyn_into::<web_sys::Element>().ok())
        .and_then(|e| e.closest("li").ok().flatten());
    let other = row
        .and_then(|r| if next { r.next_element_sibling() } else { r.previous_element_sibling() });
    let target = other
        .and_then(|r| r.query_selector(".sentence").ok().flatten())
        .and_then(|e| e.dyn_into::<web_sys::HtmlElement>().ok());
    if let Some(target) = target {
        // Focus can only fail on an element that is gone.
        let _ = target.focus();
    }
}
