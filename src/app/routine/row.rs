use super::editor::editor;
use super::glyph;
use super::plan_form::flag_switch;
use crate::app::dom::{View, button, el, several, when};
use crate::app::i18n::{Key, Segment, format, text};
use crate::app::logic::describe;
use crate::app::logic::rails::{Margin, Rail};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::routine::{Instruction, StepId};
use nudgeproof::session::Action;
use wasm_bindgen::JsCast;

/// One step: its two rails, its sentence, and, while it is selected, its editor.
pub(super) fn step_row(
    id: StepId,
    margins: Memo<Vec<Margin>>,
    marks: Memo<Vec<(StepId, &'static str, String)>>,
    dragging: RwSignal<Option<StepId>>,
) -> View {
    let workspace = workspace();
    let index = Memo::new(move |_| workspace.routine().index_of(id));
    let act = Memo::new(move |_| {
        let routine = workspace.routine();
        routine.index_of(id).map(|i| routine.steps[i].instruction.clone())
    });
    let margin = Memo::new(move |_| {
        index.get().and_then(|i| margins.read().get(i).copied()).unwrap_or_default()
    });
    let selected = Memo::new(move |_| workspace.cursor.get() == Some(id));
    let mark = Memo::new(move |_| {
        let marks = marks.read();
        marks.iter().find(|m| m.0 == id).map(|m| (m.1, m.2.clone()))
    });
    let count = move || workspace.routine().steps.len();
    let move_to = move |to: usize| {
        if to < workspace.state_untracked().routine.steps.len()
            && workspace.act(Action::MoveStep { id, to })
        {
            workspace.notify(format(Key::StepMoved, &[&(to + 1).to_string()]));
        }
    };
    let shift = move |by: isize| {
        if let Some(to) = index.get_untracked().and_then(|i| i.checked_add_signed(by)) {
            move_to(to);
        }
    };
    let delete = move || {
        if workspace.act(Action::DeleteStep { id }) {
            workspace.cursor.set(None);
            workspace.notify(text(Key::StepDeleted).into());
        }
    };
    let by_key = move |event: web_sys::KeyboardEvent| {
        match (event.key().as_str(), event.alt_key()) {
            ("ArrowUp", true) => shift(-1),
            ("ArrowDown", true) => shift(1),
            ("ArrowUp", false) => focus_row(&event, false),
            ("ArrowDown", false) => focus_row(&event, true),
            ("Delete", _) => delete(),
            ("Escape", _) => workspace.cursor.set(None),
            _ => return,
        }
        event.prevent_default();
    };
    let rail = |which: &'static str, pick: fn(Margin) -> Rail| {
        el("span")
            .class(move || format!("rail {which} {}", pick(margin.get()).class()))
            .attr("aria-hidden", "true")
    };
    let is_begin = move || matches!(act.get(), Some(Instruction::BeginProbing { .. }));
    el("li")
        .class("step")
        .test_id(move || format!("step-{}", index.get().map_or(0, |i| i + 1)))
        .class_if("selected", move || selected.get())
        .class_if("home-carried", move || margin.get().home_carried)
        .class_if("dragged", move || dragging.get() == Some(id))
        .attr("draggable", "true")
        .on("dragstart", move |_: web_sys::DragEvent| dragging.set(Some(id)))
        .on("dragend", move |_: web_sys::DragEvent| dragging.set(None))
        .on("dragover", move |event: web_sys::DragEvent| event.prevent_default())
        .on("drop", move |event: web_sys::DragEvent| {
            event.prevent_default();
            let (from, to) = (dragging.get_untracked(), index.get_untracked());
            dragging.set(None);
            if let (Some(from), Some(to)) = (from.filter(|f| *f != id), to) {
                workspace.act(Action::MoveStep { id: from, to });
            }
        })
        .child(
            el("div")
                .class("row")
                .child(rail("probing", |m| m.probing))
                .child(rail("follow", |m| m.follow))
                .child(
                    button("step-select")
                        .class("sentence")
                        .attr("aria-expanded", move || selected.get().to_string())
                        .click(move || {
                            workspace.cursor.update(|c| *c = (*c != Some(id)).then_some(id))
                        })
                        .on("keydown", by_key)
                        .child(move || act.get().map(|a| glyph::step(&a)))
                        .child(
                            el("span")
                                .class("words")
                                .child(move || act.get().map(|a| sentence(&a))),
                        )
                        .child(
                            el("span").class("visually-hidden").text(move || spoken(margin.get())),
                        ),
                )
                .child(move || {
                    mark.get().map(|(rule, message)| {
                        let title = message.clone();
                        el("span")
                            .class("quiet-mark")
                            .test_id(format!("mark-{rule}"))
                            .attr("title", title)
                            .child(el("span").attr("aria-hidden", "true").text("!"))
                            .child(el("span").class("visually-hidden").text(message))
                    })
                })
                .child(when(
                    move || margin.get().home_carried,
                    move || {
                        el("span")
                            .class("carried-mark")
                            .test_id("home-carried")
                            .text(Key::HomeRides)
                    },
                ))
                .child(when(is_begin, move || {
                    flag_switch(Signal::derive(move || match act.get() {
                        Some(Instruction::BeginProbing { plan }) => plan,
                        _ => String::new(),
                    }))
                })),
        )
        .child(when(
            move || selected.get(),
            move || {
                el("div")
                    .class("step-editor")
                    .child(
                        el("div")
                            .class("row-tools")
                            .child(
                                button("step-up")
                                    .attr("disabled", move || index.get() == Some(0))
                                    .click(move || shift(-1))
                                    .text(Key::MoveUp),
                            )
                            .child(
                                button("step-down")
                                    .attr("disabled", move || {
                                        index.get().is_some_and(|i| i + 1 >= count())
                                    })
                                    .click(move || shift(1))
                                    .text(Key::MoveDown),
                            )
                            .child(
                                button("step-delete")
                                    .class("danger")
                                    .click(delete)
                                    .text(Key::Delete),
                            ),
                    )
                    .child(editor(id, act))
            },
        ))
}

fn sentence(act: &Instruction) -> Vec<View> {
    describe::step(act)
        .into_iter()
        .map(|bit| match bit {
            Segment::Text(t) => several().text(t),
            Segment::Name(t) => el("b").text(t),
        })
        .collect()
}

/// What the rails say, for those who cannot see them.
fn spoken(m: Margin) -> String {
    let mut out = String::new();
    if m.probing == Rail::Inside {
        out.push_str(text(Key::InsideProbing));
    }
    if m.follow == Rail::Inside {
        out.push_str(text(Key::InsideFollow));
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
