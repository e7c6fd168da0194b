//! The forecast at both ends of each weld on the plan: known before anything runs, and live while a touch
//! is in hand.

use super::in_hand::InHand;
use super::shapes::label;
use super::sheet_view::SheetView;
use crate::app::i18n::{self, Key, text};
use crate::app::logic::forecast_marks::EndMark;
use crate::app::logic::labels::SeamWords;
use crate::app::logic::overlays::forecast_corner;
use crate::app::logic::svg_path::{d, hundredth};
use kurbo::Vec2;
use leptos::prelude::*;

/// The ellipses and limits at the ends of each weld, and what they come to in words; where there is no
/// forecast, why.
#[component]
pub(super) fn ForecastOnPlan() -> impl IntoView {
    let view = expect_context::<SheetView>();
    let hand = expect_context::<InHand>();
    let ends = move || {
        let all = hand.forecast_marks.get().into_iter().flatten();
        all.flat_map(|marks| marks.ends).map(end_mark).collect_view()
    };
    let words = move || {
        let (all, labels) = (hand.forecast_marks.read(), hand.labels.read());
        let of_weld = |(weld, said): (usize, &Vec<SeamWords>)| {
            let marks = all.get(weld).and_then(Option::as_ref);
            let one = |(i, said): (usize, &SeamWords)| {
                let end = marks.map(|marks| (&marks.ends[i], marks.tolerance_mm));
                end_words(said, end, weld, i)
            };
            said.iter().enumerate().map(one).collect_view()
        };
        labels.seams.iter().enumerate().map(of_weld).collect_view()
    };
    let note = move || {
        let all: Vec<_> = hand.forecast_marks.get().into_iter().flatten().collect();
        let times = all.first()?.times;
        let corner = view.layout.with(forecast_corner);
        let second = all.iter().flat_map(|m| &m.ends).any(|end| end.without.is_some());
        Some(view! {
            {label("label note", corner, "start", i18n::format(Key::ForecastDrawn, &[&times.to_string()]))}
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

/// What is said at end `i` of a weld, from 0: its forecast, with what is allowed, mm, or why there is none.
fn end_words(
    said: &SeamWords,
    end: Option<(&EndMark, f64)>,
    weld: usize,
    i: usize,
) -> impl IntoView + use<> {
    let SeamWords { text, at } = said.clone();
    let class = match end.map(|(end, allowed)| end.across_with.unwrap_or(end.across) <= allowed) {
        Some(true) => "label forecast-words good",
        Some(false) => "label forecast-words bad",
        None => "label forecast-words",
    };
    let test_id = match (end, weld) {
        (None, _) => "forecast-none".to_owned(),
        (Some(_), 0) => ["forecast-a", "forecast-b"][i].to_owned(),
        (Some(_), n) => format!("forecast-{}-{}", ["a", "b"][i], n + 1),
    };
    view! {
        <text
            class=class
            data-testid=test_id
            data-across=end.map(|(end, _)| end.across)
            data-in-hand=end.and_then(|(end, _)| end.across_with)
            x=hundredth(at.x)
            y=hundredth(at.y)
            text-anchor="middle"
        >
            {text}
        </text>
    }
}

/// The ellipse at one end of a weld, and the limits it has to stay within.
pub(crate) fn end_mark(end: EndMark) -> impl IntoView {
    view! {
        {end.strip.map(|limit| view! { <path class="limit" d=d(&limit) /> })}
        {end.without.map(|without| view! { <path class="forecast-ellipse without" d=d(&without) /> })}
        <path class="forecast-ellipse" d=d(&end.ellipse) />
    }
}
