//! Taking hold of things on the sheet: one pointer, from press to release. Releasing does it,
//! Escape or a lost pointer takes it back.

use super::SheetView;
use crate::app::live::Var;
use crate::app::logic::projection::Spot;
use wasm_bindgen::JsCast;

/// A drag under way: the place it started, and what was taken hold of as it then was.
#[derive(Clone, Copy)]
pub(super) struct Grip<T: Copy + Send + Sync + 'static> {
    view: SheetView,
    held: Var<Option<(Spot, T)>>,
}

impl<T: Copy + Send + Sync + 'static> Grip<T> {
    pub(super) fn new(view: SheetView) -> Self {
        Self { view, held: Var::new(None) }
    }

    /// Whether something is held, tracked.
    pub(super) fn holds(&self) -> bool {
        self.held.read().is_some()
    }

    /// Takes hold.
    pub(super) fn press(&self, event: &web_sys::PointerEvent, thing: T) {
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

    /// How far the pointer has come since it took hold, pixels, and what it holds.
    pub(super) fn drag(&self, event: &web_sys::PointerEvent) -> Option<(Spot, Spot, T)> {
        let (from, thing) = self.held.get_untracked()?;
        Some((from, self.view.spot(event), thing))
    }

    /// Lets go; what was held, if anything was.
    pub(super) fn release(&self) -> Option<T> {
        let (_, thing) = self.held.get_untracked()?;
        self.held.set(None);
        Some(thing)
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
