//! What lies over the views of the sheet, or stands on them for good: words keep off it.

use super::layout::{SheetFormat, SheetLayout};
use super::sheet_frame::ScaleBar;
use super::words::Words;
use crate::app::i18n::{Key, format};
use kurbo::{Point, Rect, Shape};

/// Size of the drawers over the plan, with the name of the view before them, pixels.
const DRAWERS: [f64; 2] = [300.0, 32.0];
/// Size of the tabs over the plan of a phone, pixels.
const PHONE_TABS: [f64; 2] = [136.0, 46.0];
/// Width of the tabs over the elevation, with the scale of heights right of them, pixels.
const DESK_TABS: f64 = 252.0;
/// Height of these tabs, pixels.
pub(crate) const STRIP_TABS: f64 = 25.0;

/// On the plan: its name, what the forecast says about itself, scale bar and axes, drawers, tabs, cards.
pub(crate) fn over_plan(l: &SheetLayout) -> Vec<Rect> {
    let plan = &l.plan;
    let corner = |[w, h]: [f64; 2]| Rect { x1: plan.x0 + w, y1: plan.y0 + h, ..*plan };
    let name = corner([l.letter * 11.0, l.letter * 4.0]);
    let mut over = vec![name, forecast_note(l), scale_bar(l)];
    match l.format {
        SheetFormat::Desk => {
            over.extend([corner(DRAWERS), Rect { x0: l.drawing.x1, ..*plan }]);
        }
        SheetFormat::Phone => {
            let [w, h] = PHONE_TABS;
            over.push(Rect { x0: plan.x1 - w, y1: plan.y0 + h, ..*plan });
        }
        SheetFormat::Projector => {}
    }
    over
}

/// Where the note on the forecast begins, in the lower left corner.
pub(crate) fn forecast_corner(l: &SheetLayout) -> Point {
    Point::new(l.plan.x0 + 12.0, l.plan.y1 - 10.0)
}

/// Its two lines.
fn forecast_note(l: &SheetLayout) -> Rect {
    let at = forecast_corner(l);
    let line = Words::new(&format(Key::ForecastDrawn, &["50"]), at, "start").room(l.letter);
    Rect { y0: line.y0 - 13.0, ..line }
}

fn scale_bar(l: &SheetLayout) -> Rect {
    let bar = ScaleBar::new(l);
    let text = Words::new("1000 mm", bar.text, "start").room(l.letter);
    let axes = Rect::from_points(bar.axes - (10.0, 42.0), bar.axes + (40.0, 10.0));
    bar.bar.bounding_box().union(text).union(axes)
}

/// On the elevation: tabs.
pub(crate) fn over_elevation(l: &SheetLayout) -> Vec<Rect> {
    let view = &l.elevation;
    match l.format {
        SheetFormat::Desk => {
            vec![Rect { x0: view.x1 - DESK_TABS, y1: view.y0 + STRIP_TABS, ..*view }]
        }
        SheetFormat::Projector | SheetFormat::Phone => Vec::new(),
    }
}
