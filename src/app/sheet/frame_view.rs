use super::shapes::lettering;
use super::sheet_view::SheetView;
use crate::app::i18n::{Key, text};
use crate::app::logic::number::unit;
use crate::app::logic::sheet_frame::{ScaleBar, zone_marks};
use crate::app::logic::svg_path::{d, translate};
use kurbo::{Point, Rect};
use leptos::prelude::*;

/// Border with zones (ISO 5457), the lines between the views and their names, scale bar.
#[component]
pub(super) fn SheetFrame() -> impl IntoView {
    let layout = expect_context::<SheetView>().layout;
    let frame = move || {
        let l = layout.get();
        let zone = |(at, name): (Point, char)| lettering("zone", at, name);
        let divider = |r| view! { <path class="divider" d=d(&r) /> };
        let plan_name = Point::new(l.plan.x0 + 12.0, l.plan.y0 + 18.0);

        view! {
            <path class="paper" d=d(&Rect::new(0.0, 0.0, l.width, l.height)) />
            <path class="frame" d=d(&l.frame) />
            {divider(l.elevation)}
            {zone_marks(&l).into_iter().map(zone).collect_view()}
            {lettering("view-name", plan_name, text(Key::Plan))}
            {scale_bar(ScaleBar::new(&l))}
        }
    };
    view! { <g>{frame}</g> }
}

fn scale_bar(bar: ScaleBar) -> impl IntoView {
    view! {
        <path class="bar" d=d(&bar.bar) />
        <path class="bar-fill" d=d(&bar.filled) />
        {lettering("", bar.text, format!("{} {}", bar.length, unit()))}
        <g class="axes" transform=translate(bar.axes)>
            <path d="M0 0h24m-4 -3l4 3l-4 3M0 0v-24m-3 4l3 -4l3 4" />
            {lettering("", Point::new(27.0, 4.0), "X")}
            {lettering("", Point::new(-4.0, -28.0), "Y")}
        </g>
    }
}
