use super::SheetView;
use super::detail_view::window;
use crate::app::dom::{View, several, svg};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::describe::run_kind;
use crate::app::logic::layout::{Layout, Rect};
use crate::app::logic::number::{length_unit, letters, signed_length, unit, unit_mm};
use crate::app::logic::shown::{Verdict, verdict};
use crate::app::logic::svg_path::boxed;
use crate::app::logic::svg_writer::{Lettering, SvgWriter};
use crate::app::logic::{projection::ScreenPoint, scale};
use crate::app::workspace::workspace;
use leptos::prelude::*;

/// Hatches and clips.
pub(super) fn definitions() -> View {
    let layout = expect_context::<SheetView>().layout;
    svg("defs").html(move || layout.with(definitions_of))
}

/// The hatches that the classes of the style sheet fill with.
pub(crate) const HATCHES: &str = "\
<pattern id=\"hatch\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">\
<path class=\"hatch\" d=\"M0 0V5\"/></pattern>\
<pattern id=\"cross-hatch\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">\
<path class=\"hatch\" d=\"M0 0V6M0 0H6\"/></pattern>";

fn definitions_of(l: &Layout) -> String {
    let mut out = HATCHES.to_owned();
    let clips = [("plan", l.plan), ("side", l.side)].map(|(name, r)| (name.to_owned(), r));
    let details = (0..3).map(|i| (format!("detail-{i}"), window(&l.details[i])));
    for (name, r) in clips.into_iter().chain(details) {
        let mut m = SvgWriter::default();
        m.rect("", &r);
        out.extend(["<clipPath id=\"clip-", &name, "\">", &m.finish(), "</clipPath>"]);
    }
    out
}

/// Border with zones (ISO 5457), the lines between the views, scale bar, labels of the views.
pub(super) fn frame() -> View {
    let layout = expect_context::<SheetView>().layout;
    svg("g").html(move || layout.with(frame_of))
}

fn frame_of(l: &Layout) -> String {
    let mut m = SvgWriter::default();
    m.path("paper", &boxed(&Rect::new(0.0, 0.0, l.width, l.height)));
    m.path("frame", &boxed(&l.frame)).path("divider", &boxed(&l.side));
    for r in &l.details {
        m.path("divider", &boxed(r));
    }
    for (s, letter) in zone_marks(l) {
        m.text("zone", s, &letter);
    }
    m.text("view-name", ScreenPoint::new(l.plan.x + 12.0, l.plan.y + 18.0), text(Key::Plan));
    let side = ScreenPoint::new(l.side.right() - 34.0, l.side.y + 16.0);
    m.text("view-name end", side, text(Key::Elevation));
    scale_bar(&mut m, l);
    m.finish()
}

fn scale_bar(m: &mut SvgWriter, l: &Layout) {
    let per_unit = l.projection.px(unit_mm());
    let long = scale::bar(per_unit, 90.0);
    let px = long * per_unit;
    let (x, y, half) = (l.plan.right() - px - 84.0, l.plan.bottom() - 10.0, px / 2.0);
    m.path("bar", &format!("M{x} {y}v-5h{px}v5m-{half} 0v-5"));
    m.path("bar-fill", &format!("M{x} {}v5h{half}v-5z", y - 5.0));
    m.text("", ScreenPoint::new(x + px + 5.0, y), &format!("{long} {}", unit()));
    let (ox, oy) = (x + 2.0, y - 18.0);
    m.open("axes", &[])
        .path("", &format!("M{ox} {oy}h24m-4 -3l4 3l-4 3M{ox} {oy}v-24m-3 4l3 -4l3 4"))
        .text("", ScreenPoint::new(ox + 27.0, oy + 4.0), "X")
        .text("", ScreenPoint::new(ox - 4.0, oy - 28.0), "Y")
        .close();
}

/// Letters down both sides, numbers along top and bottom.
fn zone_marks(l: &Layout) -> Vec<(ScreenPoint, String)> {
    if l.narrow {
        return Vec::new();
    }
    let (across, down) = (6_u8, 4_u8);
    let (w, h) = (l.frame.w / f64::from(across), l.frame.h / f64::from(down));
    let mut out = Vec::new();
    for i in 0..across {
        let x = l.frame.x + (f64::from(i) + 0.5) * w;
        let text = (i + 1).to_string();
        out.push((ScreenPoint::new(x, l.frame.y - 4.0), text.clone()));
        out.push((ScreenPoint::new(x, l.frame.bottom() + 12.0), text));
    }
    for i in 0..down {
        let y = l.frame.y + (f64::from(i) + 0.5) * h + 4.0;
        let text = char::from(b'A' + i).to_string();
        out.push((ScreenPoint::new(l.frame.x / 2.0, y), text.clone()));
        out.push((ScreenPoint::new(l.frame.right() + l.frame.x / 2.0, y), text));
    }
    out
}

/// One cell of the title block: its name, its share of the block (left, top, width, height), its
/// name for tests.
type Slot = (Key, [f64; 4], &'static str);

const SLOTS: [Slot; 5] = [
    (Key::TitlePart, [0.0, 0.0, 1.0, 0.21], "title-part"),
    (Key::TitleUnits, [0.0, 0.21, 0.5, 0.19], "title-units"),
    (Key::TitleScale, [0.5, 0.21, 0.5, 0.19], "title-scale"),
    (Key::TitleTolerance, [0.0, 0.4, 0.5, 0.19], "title-tolerance"),
    (Key::TitleRun, [0.5, 0.4, 0.5, 0.19], "title-run"),
];
/// Where the verdict stands, as share of the block's height.
const VERDICT_TOP: f64 = 0.59;

/// Part, units, scale, tolerance, run and verdict.
pub(super) fn title_block() -> View {
    let workspace = workspace();
    let layout = expect_context::<SheetView>().layout;
    let slots = move || {
        let (part, l) = (workspace.part(), layout.get());
        let tolerance = part.seams.first().map_or(0.0, |s| s.tolerance_mm);
        let run = workspace.shown_run();
        let values = [
            part.title.clone(),
            format(Key::UnitsMm, &[]),
            scale::nominal(l.projection.scale),
            format!("± {}", length_unit(tolerance, 1)),
            run.map_or("–".into(), |r| format!("{} · {}", r.number, run_kind(r.kind))),
        ];
        slots_of(&l.title, &values)
    };
    let judged = Memo::new(move |_| {
        let playback = workspace.at_beat().map(|(_, p)| p);
        verdict(workspace.shown_run().as_deref(), playback.as_ref())
    });
    several().child(svg("g").test_id("title-block").html(slots)).child(
        svg("g")
            .class(move || format!("verdict {}", verdict_key(&judged.read())))
            .test_id("verdict")
            .attr("data-verdict", move || verdict_key(&judged.read()))
            .html(move || verdict_sign_and_words(&layout.read().title, &judged.read())),
    )
}

fn slots_of(title: &Rect, values: &[String; 5]) -> String {
    let mut m = SvgWriter::default();
    m.path("frame", &boxed(title));
    for ((name, [x, y, w, h], test_id), value) in SLOTS.iter().zip(values) {
        let (x, y) = (title.x + x * title.w, title.y + y * title.h);
        let r = Rect::new(x, y, w * title.w, h * title.h);
        m.path("divider", &boxed(&r));
        m.text("slot-name", ScreenPoint::new(r.x + 6.0, r.y + 12.0), text(*name));
        let size = letters(value, r.w - 12.0, 13.0);
        let attributes = &[("data-testid", *test_id)];
        let how = Lettering { class: "slot-value", size, attributes };
        m.lettering(how, ScreenPoint::new(r.x + 6.0, r.bottom() - 7.0), value);
    }
    m.finish()
}

fn verdict_sign_and_words(title: &Rect, v: &Verdict) -> String {
    let top = title.y + title.h * VERDICT_TOP;
    let mid = f64::midpoint(top, title.bottom());
    let (head, below) = verdict_text(v);
    let mut m = SvgWriter::default();
    m.path("verdict-back", &boxed(&Rect::new(title.x, top, title.w, title.bottom() - top)));
    m.path("verdict-sign", &verdict_sign(v, ScreenPoint::new(title.x + 24.0, mid)));
    let mut line = |class: &str, most: f64, dy: f64, text: &str| {
        let how = Lettering { class, size: letters(text, title.w - 54.0, most), attributes: &[] };
        m.lettering(how, ScreenPoint::new(title.x + 46.0, mid + dy), text);
    };
    let (head_most, below_most) = ((title.h / 9.0).max(19.0), (title.h / 15.0).max(12.0));
    line("verdict-head", head_most, -2.0, &head);
    line("verdict-below", below_most, below_most + 4.0, &below);
    m.finish()
}

fn verdict_key(v: &Verdict) -> &'static str {
    match v {
        Verdict::None => "none",
        Verdict::Running => "running",
        Verdict::Paused => "paused",
        Verdict::Stopped(_) => "stopped",
        Verdict::OnSeam(_) => "on-seam",
        Verdict::Missed(_) => "missed",
        Verdict::NoWeld => "no-weld",
    }
}

/// Verdict and what stands under it.
fn verdict_text(v: &Verdict) -> (String, String) {
    let plain = |a: Key, b: Key| (text(a).to_owned(), text(b).to_owned());
    match v {
        Verdict::None => plain(Key::VerdictNone, Key::VerdictNoneBelow),
        Verdict::Running => plain(Key::VerdictRunning, Key::VerdictRunningBelow),
        Verdict::Paused => plain(Key::VerdictPaused, Key::VerdictPausedBelow),
        Verdict::Stopped(why) => (text(Key::VerdictStopped).into(), why.clone()),
        Verdict::OnSeam(miss) => {
            (text(Key::VerdictOnSeam).into(), format(Key::WorstMiss, &[&signed_length(*miss, 2)]))
        }
        Verdict::Missed(miss) => {
            (text(Key::VerdictMissed).into(), format(Key::WorstMiss, &[&signed_length(*miss, 2)]))
        }
        Verdict::NoWeld => plain(Key::VerdictNoWeld, Key::VerdictNoWeldBelow),
    }
}

/// A tick, a cross, a bar, an hourglass: told by shape before colour.
fn verdict_sign(v: &Verdict, at: ScreenPoint) -> String {
    let (x, y) = (at.x, at.y);
    match v {
        Verdict::OnSeam(_) => format!("M{} {y}l7 8l13 -17", x - 10.0),
        Verdict::Missed(_) => format!("M{} {}l18 18m0 -18l-18 18", x - 9.0, y - 9.0),
        Verdict::Stopped(_) => {
            format!("M{} {}h9l7 7v9l-7 7h-9l-7 -7v-9zm4.500 5v9m0 4v1", x - 4.5, y - 11.5)
        }
        Verdict::Running => format!("M{} {}l15 9l-15 9z", x - 6.0, y - 9.0),
        Verdict::Paused => format!("M{} {}v16m9 -16v16", x - 4.5, y - 8.0),
        Verdict::None | Verdict::NoWeld => format!("M{} {y}h18", x - 9.0),
    }
}
