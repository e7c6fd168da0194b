//! Where the torch ran into something, and with what.

use super::SheetView;
use crate::app::dom::{Part, svg};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::layout::Rect;
use crate::app::logic::projection::{Projection, ScreenPoint};
use crate::app::logic::svg_writer::SvgWriter;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::cell::TorchPart;
use nudgeproof::geometry::Point3;
use nudgeproof::routine::EventKind;
use std::fmt::Write as _;

/// A burst with eight rays round the place.
fn burst(s: ScreenPoint) -> String {
    let mut d = String::new();
    for i in 0..16_u8 {
        let (angle, r) =
            (f64::from(i) * 22.5_f64.to_radians(), if i % 2 == 0 { 11.0 } else { 5.0 });
        let letter = if i == 0 { 'M' } else { 'L' };
        let (x, y) = (s.x + r * angle.cos(), s.y + r * angle.sin());
        // Writing into a string cannot fail.
        let _ = write!(d, "{letter}{x:.1} {y:.1}");
    }
    d.push('Z');
    d
}

/// The crash of the run on show, once it has happened.
pub(super) fn crash_plan() -> impl Part {
    mark(Projection::plan, |v| v.layout.read().plan, true)
}

/// The same from the front.
pub(super) fn crash_side() -> impl Part {
    mark(Projection::side, |v| v.layout.read().side, false)
}

fn mark(
    spot: fn(&Projection, &Point3<f64>) -> ScreenPoint,
    inside: fn(&SheetView) -> Rect,
    named: bool,
) -> impl Part {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let crash = Memo::new(move |_| {
        let (log, t) = workspace.shown_so_far()?;
        log.events.iter().rev().find_map(|e| match &e.what {
            EventKind::Crash { hit_by, body, at } if e.time <= t + 1e-9 => {
                Some((*hit_by, body.clone(), *at))
            }
            _ => None,
        })
    });
    move || {
        let (hit_by, body, at) = crash.get()?;
        let s = spot(&view.projection(), &at);
        let mut m = SvgWriter::default();
        m.path("", &burst(s));
        if named {
            let who = text(match hit_by {
                TorchPart::Wire => Key::TheWire,
                TorchPart::Nozzle => Key::TheNozzle,
            });
            let text = format(Key::CrashHere, &[who, &body]);
            let wide = text.chars().count() as f64 * 7.0 + 16.0;
            let left = s.x + wide > inside(&view).right();
            let (x, anchor) = if left { (s.x - 14.0, "end") } else { (s.x + 14.0, "start") };
            m.label("label", ScreenPoint::new(x, s.y - 8.0), &text, anchor);
        }
        let test_id = if named { "crash" } else { "crash-side" };
        Some(svg("g").class("crash").test_id(test_id).html(m.finish()))
    }
}
