//! Taking hold of things on the sheet: one pointer, from press to release. Releasing does it,
//! Escape or a lost pointer takes it back.

use super::SheetView;
use crate::app::dom::View;
use crate::app::logic::projection::ScreenPoint;
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use web_sys::PointerEvent;

/// A drag under way: the place it started, and what was taken hold of as it then was.
#[derive(Clone, Copy)]
pub(super) struct Grip<T: Copy + Send + Sync + 'static> {
    view: SheetView,
    held: RwSignal<Option<(ScreenPoint, T)>>,
}

impl<T: Copy + Send + Sync + 'static> Grip<T> {
    pub(super) fn new(view: SheetView) -> Self {
        Self { view, held: RwSignal::new(None) }
    }

    /// Whether something is held, tracked.
    pub(super) fn holds(&self) -> bool {
        self.held.read().is_some()
    }

    /// Takes hold.
    pub(super) fn press(&self, event: &PointerEvent, thing: T) {
        if event.button() != 0 {
            return;
        }
        event.prevent_default();
        event.stop_propagation();
        if let Some(element) =
            event.current_target().and_then(|t| t.dyn_into::<web_sys::SvgElement>().ok())
        {
            // Without capture the drag still works while the pointer stays over the grip.
            let _ = element.set_pointer_capture(event.pointer_id());
            let _ = element.focus();
        }
        self.held.set(Some((self.view.spot(event), thing)));
    }

    /// Lets go; what was held, if anything was.
    pub(super) fn release(&self) -> Option<T> {
        let (_, thing) = self.held.get_untracked()?;
        self.held.set(None);
        Some(thing)
    }

    /// What happens to what is held, on the element that is taken hold of: `drag` is told where the
    /// pointer took hold, where it is, pixels, and what it holds; `drop` and `back` what was held.
    pub(super) fn moves(
        self,
        element: View,
        drag: impl Fn(ScreenPoint, ScreenPoint, T) + 'static,
        drop: impl Fn(T) + 'static,
        back: impl Fn(T) + 'static,
    ) -> View {
        element
            .on("pointermove", move |event: PointerEvent| {
                if let Some((from, thing)) = self.held.get_untracked() {
                    drag(from, self.view.spot(&event), thing);
                }
            })
            .on("pointerup", move |_: PointerEvent| {
                if let Some(thing) = self.release() {
                    drop(thing);
                }
            })
            .on("pointercancel", move |_: PointerEvent| {
                if let Some(thing) = self.release() {
                    back(thing);
                }
            })
    }
}

/// How far a key moves something up, mm: by a step or, with Shift, by a fine one.
pub(super) fn height_key(event: &web_sys::KeyboardEvent, [step, fine]: [f64; 2]) -> Option<f64> {
    let step = if event.shift_key() { fine } else { step };
    match event.key().as_str() {
        "ArrowUp" | "PageUp" => Some(step),
        "ArrowDown" | "PageDown" => Some(-step),
        _ => None,
    }
}

/// The step of an arrow key: mm, or tenths of it with Shift.
pub(super) fn arrow(event: &web_sys::KeyboardEvent) -> Option<(f64, f64)> {
    match event.key().as_str() {
        "ArrowLeft" => Some((-1.0, 0.0)),
        "ArrowRight" => Some((1.0, 0.0)),
        "ArrowUp" => Some((0.0, 1.0)),
        "ArrowDown" => Some((0.0, -1.0)),
        _ => None,
    }
}
