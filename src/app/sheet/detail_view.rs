use super::SheetView;
use crate::app::desk::desk;
use crate::app::logic::detail::{Datum, Glass, SeamEnd, SeamNow};
use crate::app::logic::dimension::{Dimension, arrow_head};
use crate::app::logic::layout::{Layout, Rect};
use crate::app::logic::markup::{Lettering, Markup};
use crate::app::logic::nudge::Nudge;
use crate::app::logic::number::{letters, signed};
use crate::app::logic::projection::Spot;
use crate::app::logic::shown::{found_offset, reference_pose, welds_until};
use crate::app::logic::{ink, shown};
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::cell::SeamMiss;
use nudgeproof::geometry::{Point3, Pose};

/// A torch or a taught point this near the end of the seam is shown beside it, mm.
const NEAR: f64 = 25.0;

/// Where the window of a detail stands in its box, between its title and its note.
pub(super) fn window(r: &Rect) -> Rect {
    Rect::new(r.x + 8.0, r.y + 22.0, r.w - 16.0, (r.h - 46.0).max(20.0))
}

/// The three magnified details: the shift at the datum corner, and both ends of the weld.
#[component]
pub(super) fn Details() -> impl IntoView {
    view! {
        <DatumDetail/>
        <EndDetail index=0/>
        <EndDetail index=1/>
    }
}

/// Letter, title, magnification and the window itself.
fn head(m: &mut Markup, r: &Rect, letter: &str, title: &str, glass: &Glass) {
    let y = r.y + 16.0;
    m.text("detail-letter", Spot::new(r.x + 8.0, y), letter);
    let size = letters(title, r.w - 62.0, 11.0);
    let how = Lettering { class: "detail-title", size, attributes: &[] };
    m.lettering(how, Spot::new(r.x + 22.0, y), title);
    m.text("detail-scale", Spot::new(r.right() - 8.0, y), &format!("× {}", glass.times));
    m.rect("glass", &glass.window);
}

/// The line under the window.
fn note(m: &mut Markup, r: &Rect, class: &str, text: &str, attributes: &[(&str, &str)]) {
    let size = letters(text, r.w - 8.0, 12.0);
    let how = Lettering { class, size, attributes };
    m.lettering(how, Spot::new(r.middle().x, r.bottom() - 9.0), text);
}

fn dimension(m: &mut Markup, d: &Dimension, text: &str) {
    let [a, b] = d.line;
    if a.distance(b) <= 0.5 {
        return;
    }
    let (oa, ob) = if d.outside {
        let out = |tip: Spot, other: Spot| tip.towards(other, -10.0 / tip.distance(other));
        (out(a, b), out(b, a))
    } else {
        (b, a)
    };
    m.open("dimension", &[])
        .path("", &ink::segment(d.witness[0][0], d.witness[0][1]))
        .path("", &ink::segment(d.witness[1][0], d.witness[1][1]))
        .path("", &ink::segment(oa, ob))
        .path("head", &ink::line(&arrow_head(oa, a, 6.0), true))
        .path("head", &ink::line(&arrow_head(ob, b, 6.0), true))
        .text("", d.text, text)
        .close();
}

/// Opens the group that is cut off at the window of detail `n`.
fn inside(m: &mut Markup, n: usize) {
    m.open("", &[("clip-path", &format!("url(#clip-detail-{n})"))]);
}

#[component]
fn DatumDetail() -> impl IntoView {
    let desk = desk();
    let view = expect_context::<SheetView>();
    let drawn = move || {
        let state = desk.state();
        let t = desk.on_show().map_or(f64::MAX, |(_, p)| p.t);
        let log = desk.shown_run();
        let found = log.as_ref().and_then(|log| found_offset(log, t)).map(|(s, pose)| {
            let n = Nudge::of(&pose);
            let numbers = [signed(n.dx, 2), signed(n.dy, 2), signed(n.turn_deg, 2)];
            tell(Word::OffsetFoundIs, &[&s.offset, &numbers[0], &numbers[1], &numbers[2]])
        });
        let reference = reference_pose(&state).unwrap_or_default();
        view.layout.with(|l| datum(l, &reference, &view.pose.get(), found.as_deref()))
    };
    view! { <g class="detail" data-testid="detail-offset" inner_html=drawn></g> }
}

fn datum(l: &Layout, reference: &Pose, now: &Pose, found: Option<&str>) -> String {
    let r = l.details[0];
    let d = Datum::new(window(&r), l.projection.scale, reference, now);
    let moved = Nudge::of(&(*now * reference.inverse()));
    let mut m = Markup::default();
    head(&mut m, &r, "O", say(Word::DetailOffset), &d.glass);
    inside(&mut m, 0);
    m.path("axes-before", &d.before).path("axes-now", &d.now);
    dimension(&mut m, &d.shifts[0], &signed(moved.dx, 1));
    dimension(&mut m, &d.shifts[1], &signed(moved.dy, 1));
    m.close();
    match found {
        Some(text) => note(&mut m, &r, "detail-note", text, &[("data-testid", "offset-found")]),
        None => note(&mut m, &r, "detail-note quiet", say(Word::OffsetNotFound), &[]),
    }
    m.finish()
}

/// What stands under the glass at one end of the seam.
struct End {
    index: usize,
    seam: SeamNow,
    /// The landed weld: its wire and its miss at this end.
    landed: Option<(Point3<f64>, SeamMiss)>,
    /// Otherwise where the weld point is taught, or where the torch is.
    planned: Point3<f64>,
    wire_mm: f64,
}

#[component]
fn EndDetail(index: usize) -> impl IntoView {
    let desk = desk();
    let view = expect_context::<SheetView>();
    let drawn = move || {
        let state = desk.state();
        let Some(seam) = state.part.seams.first() else { return String::new() };
        let t = desk.on_show().map_or(f64::MAX, |(_, p)| p.t);
        let log = desk.shown_run();
        let weld = log.as_ref().and_then(|log| welds_until(log, t).last());
        let taught = shown::weld_points(&state.routine)[index];
        let end = End {
            index,
            seam: SeamNow::new(seam, &view.pose.get()),
            landed: weld.map(|w| (w.wire[index], w.miss[index])),
            planned: taught.unwrap_or_else(|| view.torch.get()),
            wire_mm: state.settings.wire_mm,
        };
        view.layout.with(|l| end.draw(l))
    };
    let test_id = if index == 0 { "detail-start" } else { "detail-end" };
    view! { <g class="detail" data-testid=test_id inner_html=drawn></g> }
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
        let mut m = Markup::default();
        let (letter, title) = match self.index {
            0 => ("A", Word::DetailStart),
            _ => ("B", Word::DetailEnd),
        };
        head(&mut m, &r, letter, say(title), &d.glass);
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
                .path("", &ink::segment(a, b))
                .path("head", &ink::line(&arrow_head(a, b, 6.0), true))
                .close();
        }
        m.close();
        match self.landed {
            Some((_, miss)) => self.miss_note(&mut m, &r, &miss),
            None => note(&mut m, &r, "detail-note quiet", say(Word::NotWelded), &[]),
        }
        m.finish()
    }

    /// The miss in numbers, with its verdict as a sign.
    fn miss_note(&self, m: &mut Markup, r: &Rect, miss: &SeamMiss) {
        let allowed = self.seam.tolerance_mm;
        let good = miss.across_mm.abs() <= allowed && miss.height_mm.abs() <= allowed;
        let (sign, class) =
            if good { ("✓", "detail-note good") } else { ("✗", "detail-note bad") };
        let text = format!("{sign} {}", tell(Word::MissIs, &[&signed(miss.across_mm, 2)]));
        let test_id = if self.index == 0 { "seam-miss-start" } else { "seam-miss-end" };
        let value = miss.across_mm.to_string();
        note(m, r, class, &text, &[("data-testid", test_id), ("data-value", &value)]);
    }
}
