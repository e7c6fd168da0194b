//! Circles, rectangles and texts of a drawing.

use crate::app::logic::svg_path::hundredth;
use kurbo::{Point, Rect};
use leptos::prelude::*;

pub(crate) fn circle(class: &'static str, at: Point, radius: f64) -> impl IntoView {
    view! { <circle class=class cx=hundredth(at.x) cy=hundredth(at.y) r=hundredth(radius) /> }
}

pub(crate) fn rect(class: &'static str, r: &Rect) -> impl IntoView + use<> {
    view! {
        <rect
            class=class
            x=hundredth(r.x0)
            y=hundredth(r.y0)
            width=hundredth(r.width())
            height=hundredth(r.height())
        />
    }
}

/// A text at a point. It begins there unless the style sheet anchors its class otherwise.
pub(crate) fn lettering(class: &'static str, at: Point, text: impl Into<String>) -> impl IntoView {
    sized_lettering(class, at, None, text.into())
}

/// The same with the size of its letters, pixels; without, the style sheet sets it.
pub(crate) fn sized_lettering(
    class: &'static str,
    at: Point,
    size: Option<f64>,
    text: String,
) -> impl IntoView {
    view! {
        <text class=class x=hundredth(at.x) y=hundredth(at.y) font-size=size.map(hundredth)>
            {text}
        </text>
    }
}

/// A text over lines: the style sheet gives its class a halo of paper. `anchor` is `start`,
/// `middle` or `end`.
pub(crate) fn label(
    class: &'static str,
    at: Point,
    anchor: &'static str,
    text: String,
) -> impl IntoView {
    view! {
        <text class=class x=hundredth(at.x) y=hundredth(at.y) text-anchor=anchor>
            {text}
        </text>
    }
}
