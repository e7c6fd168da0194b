use super::SheetView;
use crate::app::dom::{View, several, svg};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::detail::{Datum, DetailView, SeamEnd, SeamNow};
use crate::app::logic::dimension::{Dimension, arrow_head};
use crate::app::logic::layout::{Layout, Rect};
use crate::app::logic::nudge::Nudge;
use crate::app::logic::number::{letters, signed, signed_length};
use crate::app::logic::projection::ScreenPoint;
use crate::app::logic::shown::{found_offset, welds_until};
use crate::app::logic::svg_writer::{Lettering, SvgWriter};
use crate::app::logic::{shown, svg_path};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::cell::SeamMiss;
use nudgeproof::geometry::{Point3, Pose};
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::Solution;

/// A torch or a taught point this near the end of the seam is shown beside it, mm.
const NEAR: f64 = 25.0;

/// Where the window of a detail stands in its box, between its title and its note.
pub(super) fn window(r: &Rect) -> Rect {
    Rect::new(r.x + 8.0, r.y + 22.0, r.w - 16.0, (r.h - 46.0).max(20.0))
}

/// The three magnified details: the shift at the datum corner, and both ends of the weld.
pub(super) fn details() -> View {
    several().child(datum_detail()).child(end_detail(0)).child(end_detail(1))
}

/// Letter, title, magnification and the window itself.
fn head(m: &mut SvgWriter, r: &Rect, letter: &str, title: &str, glass: &DetailView) {
    let y = r.y + 16.0;
    m.text("detail-letter", ScreenPoint::new(r.x + 8.0, y), letter);
    let size = letters(title, r.w - 62.0, 11.0);
    let how = Lettering { class: "detail-title", size, attributes: &[] };
    m.lettering(how, ScreenPoint::new(r.x + 22.0, y), title);
    m.text("detail-scale", ScreenPoint::new(r.right() - 8.0, y), &format!("× {}", glass.times));
    m.rect("glass", &glass.window);
}

/// The line under the window.
fn note(m: &mut SvgWriter, r: &Rect, class: &str, text: &str, attributes: &[(&str, &str)]) {
    let size = letters(text, r.w - 8.0, 12.0);
    let how = Lettering { class, size, attributes };
    m.lettering(how, ScreenPoint::new(r.middle().x, r.bottom() - 9.0), text);
}

fn dimension(m: &mut SvgWriter, d: &Dimension, text: &str) {
    let [a, b] = d.line;
    if a.distance(b) <= 0.5 {
        return;
    }
    let (oa, ob) = if d.outside {
        let out =
            |tip: ScreenPoint, other: ScreenPoint| tip.towards(other, -10.0 / tip.distance(other));
        (out(a, b), out(b, a))
    } else {
        (b, a)
    };
    m.open("dimension", &[])
        .path("", &svg_path::segment(d.witness[0][0], d.witness[0][1]))
        .path("", &svg_path::segment(d.witness[1][0], d.witness[1][1]))
        .path("", &svg_path::segment(oa, ob))
        .path("head", &svg_path::line(&arrow_head(oa, a, 6.0), true))
        .path("head", &svg_path::line(&arrow_head(ob, b, 6.0), true))
        .text("", d.text, text)
        .close();
}

/// Opens the group that is cut off at the window of detail `n`.
fn inside(m: &mut SvgWriter, n: usize) {
    m.open("", &[("clip-path", &format!("url(#clip-detail-{n})"))]);
}

fn datum_detail() -> View {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let found = Memo::new(move |_| {
        let (log, t) = workspace.shown_so_far()?;
        found_offset(&log, t).map(|(s, pose)| offset_text(s, &pose, view.layout.read().narrow))
    });
    let drawn = move || {
        let reference = view.reference.get().unwrap_or_default();
        view.layout.with(|l| datum(l, &reference, &view.pose.get(), (*found.read()).as_ref()))
    };
    svg("g").class("detail").test_id("detail-offset").html(drawn)
}

/// What was found, in one line or two: the numbers that were looked for, no others.
fn offset_text(solution: &Solution, pose: &Pose, narrow: bool) -> [String; 2] {
    let n = Nudge::of(pose);
    let [x, y, z] = [n.dx, n.dy, n.dz].map(|v| signed_length(v, 2));
    let turn = || format(Key::FoundTurn, &[&signed(n.turn_deg, 2)]);
    let flat = format(Key::FoundFlat, &[&solution.offset, &x, &y]);
    let high = format(Key::FoundHigh, &[&solution.offset, &x, &y, &z]);
    match solution.freedoms {
        Freedoms::SlideOne | Freedoms::SlideTwo => [flat, String::new()],
        // Three numbers side by side would be too small to read on a phone.
        Freedoms::SlideTurn if narrow => [flat, turn().trim_start_matches(", ").to_owned()],
        Freedoms::SlideTurn => [flat + &turn(), String::new()],
        Freedoms::SlideThree => [high, String::new()],
        Freedoms::SlideThreeTurn => [high + &turn(), String::new()],
        Freedoms::SlideTilt => {
            let tilts = [n.tilt_x_deg, n.tilt_y_deg].map(|v| signed(v, 2));
            [high, format(Key::FoundTilts, &[&signed(n.turn_deg, 2), &tilts[0], &tilts[1]])]
        }
    }
}

fn datum(l: &Layout, reference: &Pose, now: &Pose, found: Option<&[String; 2]>) -> String {
    let r = l.details[0];
    let d = Datum::new(window(&r), l.projection.scale, reference, now);
    let moved = Nudge::of(&(*now * reference.inverse()));
    let mut m = SvgWriter::default();
    head(&mut m, &r, "O", text(Key::DetailOffset), &d.glass);
    inside(&mut m, 0);
    m.path("axes-before", &d.before).path("axes-now", &d.now);
    dimension(&mut m, &d.shifts[0], &signed_length(moved.dx, 1));
    dimension(&mut m, &d.shifts[1], &signed_length(moved.dy, 1));
    m.close();
    match found {
        Some([text, more]) => {
            // Two lines stand in smaller letters where one stands otherwise.
            let one = [(9.0, text)];
            let two = [(14.0, text), (4.0, more)];
            let most_of_two = if l.narrow { 10.5 } else { 9.5 };
            let (most, lines) =
                if more.is_empty() { (12.0, &one[..]) } else { (most_of_two, &two[..]) };
            let fits = |(_, text): &(f64, &String)| letters(text, r.w - 8.0, most);
            let size = lines.iter().map(fits).fold(most, f64::min);
            m.open("detail-note", &[("data-testid", "offset-found")]);
            for (up, text) in lines {
                let how = Lettering { class: "", size, attributes: &[] };
                m.lettering(how, ScreenPoint::new(r.middle().x, r.bottom() - up), text);
            }
            m.close();
        }
        None => note(&mut m, &r, "detail-note quiet", text(Key::OffsetNotFound), &[]),
    }
    m.finish()
}

/// What stands under the glass at one end of the seam.
#[derive(Debug, Clone, PartialEq)]
struct End {
    index: usize,
    seam: SeamNow,
    /// The landed weld: its wire and its miss at this end.
    landed: Option<(Point3<f64>, SeamMiss)>,
    /// Otherwise where the weld point is taught, or where the torch is.
    planned: Point3<f64>,
    wire_mm: f64,
}

fn end_detail(index: usize) -> View {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let landed = Memo::new(move |_| {
        let (log, t) = workspace.shown_so_far()?;
        welds_until(&log, t).last().map(|w| (w.wire[index], w.miss[index]))
    });
    let end = Memo::new(move |_| {
        // The seam of the part that is drawn: once a wrong part is revealed, its own.
        let part = workspace.part();
        let taught = shown::weld_points(&workspace.routine())[index];
        Some(End {
            index,
            seam: SeamNow::new(part.seams.first()?, &view.pose.get()),
            landed: landed.get(),
            planned: taught.unwrap_or_else(|| view.torch_told.get()),
            wire_mm: workspace.state().settings.wire_mm,
        })
    });
    let drawn = move || {
        view.layout.with(|l| (*end.read()).as_ref().map_or_else(String::new, |end| end.draw(l)))
    };
    let test_id = if index == 0 { "detail-start" } else { "detail-end" };
    svg("g").class("detail").test_id(test_id).html(drawn)
}

impl End {
    fn draw(&self, l: &Layout) -> String {
        let r = l.details[self.index + 1];
        let end = self.landed.map_or(self.index, |(wire, _)| self.seam.nearer_end(&wire));
        // Before there is a weld, only what is near the seam's end is worth a look.
        let near = (self.planned - self.seam.ends[end]).xy().norm() < NEAR;
        let wire = self.landed.map(|(w, _)| w).or(near.then_some(self.planned));
        let scale = l.projection.scale;
        let d = SeamEnd::new(window(&r), scale, &self.seam, end, wire, self.wire_mm);
        let mut m = SvgWriter::default();
        let (letter, title) = match self.index {
            0 => ("A", Key::DetailStart),
            _ => ("B", Key::DetailEnd),
        };
        head(&mut m, &r, letter, text(title), &d.glass);
        inside(&mut m, self.index + 1);
        m.path("body plate", &d.plate)
            .path("limit", &d.limits[0])
            .path("limit", &d.limits[1])
            .path("seam", &d.seam);
        if let Some((s, radius)) = d.wire {
            let planned = self.landed.is_none();
            m.circle(if planned { "wire-ring planned" } else { "wire-ring" }, s, radius);
        }
        if let Some([a, b]) =
            d.miss.filter(|[a, b]| a.distance(*b) > 2.0).filter(|_| self.landed.is_some())
        {
            m.open("dimension miss", &[])
                .path("", &svg_path::segment(a, b))
                .path("head", &svg_path::line(&arrow_head(a, b, 6.0), true))
                .close();
        }
        m.close();
        match self.landed {
            Some((_, miss)) => self.miss_note(&mut m, &r, &miss),
            None => note(&mut m, &r, "detail-note quiet", text(Key::NotWelded), &[]),
        }
        m.finish()
    }

    /// The miss in numbers, with its verdict as a sign.
    fn miss_note(&self, m: &mut SvgWriter, r: &Rect, miss: &SeamMiss) {
        let allowed = self.seam.tolerance_mm;
        let good = miss.across_mm.abs() <= allowed && miss.height_mm.abs() <= allowed;
        let (sign, class) =
            if good { ("✓", "detail-note good") } else { ("✗", "detail-note bad") };
        let (across, height) = (signed_length(miss.across_mm, 2), signed_length(miss.height_mm, 2));
        let high = miss.height_mm.abs() > allowed;
        let word = if high { Key::MissHigh } else { Key::MissIs };
        let text = format!("{sign} {}", format(word, &[&across, &height]));
        let test_id = if self.index == 0 { "seam-miss-start" } else { "seam-miss-end" };
        let value = miss.across_mm.to_string();
        note(m, r, class, &text, &[("data-testid", test_id), ("data-value", &value)]);
    }
}
