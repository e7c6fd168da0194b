//! The forecast at both ends of the weld on the plan: known before anything runs, and live while a touch
//! is in hand.

use super::in_hand::InHand;
use super::shapes::label;
use super::sheet_view::SheetView;
use crate::app::i18n::{Key, format, text};
use crate::app::logic::forecast_marks::EndMark;
use crate::app::logic::labels::SeamWords;
use crate::app::logic::overlays::forecast_corner;
use crate::app::logic::svg_path::{d, hundredth};
use kurbo::Vec2;
use leptos::prelude::*;

/// The ellipses and limits at the ends of the weld, and what they come to in words; where there is no
/// forecast, why.
#[component]
pub(super) fn ForecastOnPlan() -> impl IntoView {
    let view = expect_context::<SheetView>();
    let hand = expect_context::<InHand>();
    let ends = move || {
        let marks = hand.forecast_marks.get()?;
        Some(marks.ends.into_iter().map(end_mark).collect_view())
    };
    let words = move || {
        let good = hand.forecast_marks.with(|marks| {
            let inside = |end: &EndMark, allowed| end.across_with.unwrap_or(end.across) <= allowed;
            marks.as_ref().map(|m| [0, 1].map(|i| inside(&m.ends[i], m.tolerance_mm)))
        });
        let across = hand.forecast_marks.with(|marks| {
            marks.as_ref().map(|m| [0, 1].map(|i| (m.ends[i].across, m.ends[i].across_with)))
        });
        let said = hand.labels.with(|labels| labels.seam.clone());
        let one = |(i, SeamWords { text, at }): (usize, SeamWords)| {
            let class = match good.map(|good| good[i]) {
                Some(true) => "label forecast-words good",
                Some(false) => "label forecast-words bad",
                None => "label forecast-words",
            };
            let numbers = across.map(|across| across[i]);
            view! {
                <text
                    class=class
                    data-testid=good.map_or("forecast-none", |_| ["forecast-a", "forecast-b"][i])
                    data-across=numbers.map(|(now, _)| now)
                    data-in-hand=numbers.and_then(|(_, with)| with)
                    x=hundredth(at.x)
                    y=hundredth(at.y)
                    text-anchor="middle"
                >
                    {text}
                </text>
            }
        };
        said.into_iter().enumerate().map(one).collect_view()
    };
    let note = move || {
        let marks = hand.forecast_marks.get()?;
        let corner = view.layout.with(forecast_corner);
        let second = marks.ends.iter().any(|end| end.without.is_some());
        Some(view! {
            {label("label note", corner, "start", format(Key::ForecastDrawn, &[&marks.times.to_string()]))}
            {second
                .then(|| {
                    let above = corner - Vec2::new(0.0, 13.0);
                    label("label note", above, "start", text(Key::ForecastDashed).into())
                })}
        })
    };
    view! {
        <g class="forecast" data-testid="forecast">
            {ends}
            {words}
            {note}
        </g>
    }
}

fn end_mark(end: EndMark) -> impl IntoView {
    view! {
        {end.strip.map(|limit| view! { <path class="limit" d=d(&limit) /> })}
        {end.without.map(|without| view! { <path class="forecast-ellipse without" d=d(&without) /> })}
        <path class="forecast-ellipse" d=d(&end.ellipse) />
    }
}
