//! What can be dragged on the drawing of a part: its dimensions, and touches along their faces.

use super::rehearsal::Rehearsal;
use crate::app::keys::{self, Scope};
use crate::app::logic::part_drawing::PartViews;
use crate::app::logic::taken::Taken;
use kurbo::{Point, Vec2};
use leptos::{ev, html, prelude::*};
use nudgeproof::cell::{Dimension, Draft, Part};
use nudgeproof::forecast::with_touch_moved;
use nudgeproof::geometry::Vector2;
use std::sync::Arc;
use wasm_bindgen::JsCast;
use web_sys::{Element, PointerEvent, SvgElement};

/// What a pointer takes hold of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Grip {
    /// A touch of the layout, from 0.
    Touch(usize),
    /// A dimension, and which way its end goes, pixels a millimetre.
    Dimension(Dimension, Vec2),
}

/// What is held, where it was taken hold of, and what was drawn then. The drawing keeps its scale until it is
/// let go: what is dragged stays under the pointer.
#[derive(Debug, Clone, PartialEq)]
struct Held {
    grip: Grip,
    from: Point,
    views: PartViews,
    part: Arc<Part>,
    draft: Draft,
    taken: Option<Taken>,
}

/// The drags on one drawing. One of them may be under way.
#[derive(Clone, Copy)]
pub(super) struct Grips {
    rehearsal: Rehearsal,
    /// What the drawing stands in: it hears the pointer while the drawing is made anew.
    holder: NodeRef<html::Div>,
    held: RwSignal<Option<Held>>,
}

impl Grips {
    pub(super) fn new(holder: NodeRef<html::Div>) -> Self {
        let here = Self { rehearsal: Rehearsal::here(), holder, held: RwSignal::new(None) };
        let keys = window_event_listener(ev::keydown, move |event| {
            if keys::command(Scope::Drag, &event).is_some() {
                here.put_back();
            }
        });
        on_cleanup(move || keys.remove());
        here
    }

    /// The views that the drawing keeps while something is dragged.
    pub(super) fn kept_views(self) -> Option<PartViews> {
        self.held.with(|held| held.as_ref().map(|held| held.views))
    }

    /// Takes hold of something that is drawn so.
    pub(super) fn take(self, event: &PointerEvent, grip: Grip, views: PartViews) {
        let part = self.rehearsal.part.get_untracked();
        let (Some(holder), Some(part), 0) = (self.holder.get_untracked(), part, event.button())
        else {
            return;
        };
        event.prevent_default();
        // Without it the drag still works while the pointer stays over the drawing.
        let _ = holder.set_pointer_capture(event.pointer_id());
        let taken = event.current_target().and_then(|t| t.dyn_into::<SvgElement>().ok());
        if let Some(taken) = taken {
            // The keys go on where the pointer was.
            let _ = taken.focus();
        }
        if let Grip::Dimension(dimension, _) = grip {
            self.rehearsal.at_hand.set(Some(dimension));
        }
        let (from, draft) = (at(&holder, event), self.rehearsal.draft.get_untracked());
        let taken = self.rehearsal.taken.get_untracked();
        self.held.set(Some(Held { grip, from, views, part, draft, taken }));
    }

    /// Moves what is held.
    pub(super) fn follow(self, event: &PointerEvent) {
        let Some(holder) = self.holder.get_untracked() else { return };
        let Some(Held { grip, from, views, part, draft, .. }) = self.held.get_untracked() else {
            return;
        };
        let by = at(&holder, event) - from;
        match grip {
            Grip::Touch(n) => {
                let by = views.plan.vector_back(by);
                self.move_touch(&part, n, by);
            }
            Grip::Dimension(dimension, pull) => {
                let pulled = draft.value(dimension) + by.dot(pull) / pull.hypot2();
                let [low, high] = draft.limits(dimension);
                let finest = if high < FINE_MM { 0.5 } else { 1.0 };
                let value = ((pulled / finest).round() * finest).clamp(low, high.max(low));
                if self.rehearsal.draft.with_untracked(|d| d.value(dimension) != value) {
                    self.rehearsal.draft.update(|d| d.set(dimension, value));
                }
            }
        }
    }

    /// Moves a touch of a part along its face, if it lands there.
    pub(super) fn move_touch(self, part: &Part, n: usize, by: Vector2<f64>) {
        if let Some(moved) = with_touch_moved(part, n, by)
            && self.rehearsal.part.get_untracked().as_deref() != Some(&moved)
        {
            self.rehearsal.lay_touches(moved);
        }
    }

    /// Lets go: what is held stays where it is.
    pub(super) fn let_go(self) {
        if self.held.with_untracked(Option::is_some) {
            self.held.set(None);
            self.rehearsal.at_hand.set(None);
        }
    }

    /// Lets go, and puts what was held back where it was.
    pub(super) fn put_back(self) {
        let Some(Held { grip, draft, taken, .. }) = self.held.get_untracked() else { return };
        match grip {
            Grip::Touch(_) => self.rehearsal.taken.set(taken),
            Grip::Dimension(..) => self.rehearsal.draft.set(draft),
        }
        self.let_go();
    }
}

/// A dimension that can be no longer goes in halves of a millimetre, mm.
const FINE_MM: f64 = 25.0;

/// Where the pointer is on what stands in an element, pixels.
fn at(holder: &Element, event: &PointerEvent) -> Point {
    let corner = holder.get_bounding_client_rect();
    Point::new(f64::from(event.client_x()) - corner.x(), f64::from(event.client_y()) - corner.y())
}
