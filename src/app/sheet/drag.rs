//! Dragging things on the sheet: one pointer, from press to release. Releasing drops what is
//! dragged; Escape or a lost pointer takes it back.

use super::sheet_view::SheetView;
use crate::app::keys::{self, KeyCommand, Scope};
use crate::app::playback_state::set_if_changed;
use kurbo::Point;
use leptos::attr::Attribute;
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use web_sys::{KeyboardEvent, PointerEvent, TouchEvent};

/// A drag that may be under way. `T` is what is dragged, as it was when it was taken hold of.
pub(super) struct Drag<T: Send + Sync + 'static> {
    view: SheetView,
    /// Where the pointer took hold, and of what.
    held: RwSignal<Option<(Point, T)>>,
    /// Whether a key is held down that lets it go anywhere.
    free: RwSignal<bool>,
}

impl<T: Send + Sync + 'static> Clone for Drag<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T: Send + Sync + 'static> Copy for Drag<T> {}

impl<T: Copy + Send + Sync + 'static> Drag<T> {
    pub(super) fn new() -> Self {
        Self { view: expect_context(), held: RwSignal::new(None), free: RwSignal::new(false) }
    }

    /// Whether something is held, tracked.
    pub(super) fn holds(&self) -> bool {
        self.held.read().is_some()
    }

    /// Whether it snaps to what is near, which a key held down prevents; for handlers.
    pub(super) fn snaps(&self) -> bool {
        !self.free.get_untracked()
    }

    /// Whether something is held that a key lets go anywhere, tracked.
    pub(super) fn is_free(&self) -> bool {
        self.free.get() && self.holds()
    }

    /// The listeners of the element that is dragged. `start` returns what a press takes hold of, or
    /// `None`; `follow` gets where the pointer took hold, where it is now, and what it holds; `drop`
    /// and `cancel` get what was held.
    pub(super) fn listeners(
        self,
        start: impl Fn(&PointerEvent) -> Option<T> + 'static,
        follow: impl Fn(Point, Point, T) + 'static,
        drop: impl Fn(T) + 'static,
        cancel: impl Fn(T) + Clone + 'static,
    ) -> impl Attribute {
        let cancel_by_key = cancel.clone();
        view! {
            <{..}
                on:pointerdown=move |event: PointerEvent| {
                    if event.button() == 0 && let Some(thing) = start(&event) {
                        self.take_hold(&event, thing);
                    }
                }
                on:pointermove=move |event: PointerEvent| {
                    if let Some((from, thing)) = self.held.get_untracked() {
                        set_if_changed(self.free, event.alt_key() || event.ctrl_key());
                        follow(from, self.view.pointer(&event), thing);
                    }
                }
                on:pointerup=move |_: PointerEvent| {
                    if let Some(thing) = self.let_go() {
                        drop(thing);
                    }
                }
                on:pointercancel=move |_: PointerEvent| {
                    if let Some(thing) = self.let_go() {
                        cancel(thing);
                    }
                }
                on:keydown=move |event: KeyboardEvent| {
                    if self.held.with_untracked(Option::is_none) {
                        return;
                    }
                    if keys::command(Scope::Snap, &event).is_some() {
                        set_if_changed(self.free, true);
                    } else if keys::command(Scope::Drag, &event).is_some()
                        && let Some(thing) = self.let_go()
                    {
                        cancel_by_key(thing);
                    }
                }
            />
        }
    }

    fn take_hold(&self, event: &PointerEvent, thing: T) {
        event.prevent_default();
        event.stop_propagation();
        let target = event.current_target().and_then(|t| t.dyn_into::<web_sys::SvgElement>().ok());
        if let Some(element) = target {
            // Without capture the drag still works while the pointer stays over the element.
            let _ = element.set_pointer_capture(event.pointer_id());
            let _ = element.focus();
        }
        self.free.set(false);
        self.held.set(Some((self.view.pointer(event), thing)));
    }

    fn let_go(&self) -> Option<T> {
        let (_, thing) = self.held.get_untracked()?;
        self.held.set(None);
        Some(thing)
    }
}

/// A finger on a grip moves the grip and not the page. Not every browser obeys the style sheet's
/// `touch-action` inside a drawing.
pub(crate) fn keep_page_still(event: TouchEvent) {
    event.prevent_default();
}

/// How far a key moves something up, mm: by a step or, with Shift, by a fine one.
pub(super) fn height_key(event: &KeyboardEvent, [step, fine]: [f64; 2]) -> Option<f64> {
    let Some(KeyCommand::Move([_, _, up])) = keys::command(Scope::Height, event) else {
        return None;
    };
    Some(f64::from(up) * if event.shift_key() { fine } else { step })
}
