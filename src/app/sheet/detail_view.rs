use super::shapes::{circle, lettering, rect, sized_lettering};
use super::sheet_view::SheetView;
use crate::app::i18n::{Key, text};
use crate::app::logic::describe::{miss_text, offset};
use crate::app::logic::detail::{DetailView, OffsetDetail, PlacedSeam, SeamDetail, window};
use crate::app::logic::dimension::{Dimension, arrow_head};
use crate::app::logic::layout::SheetLayout;
use crate::app::logic::nudge::Nudge;
use crate::app::logic::number::{letters, signed_length};
use crate::app::logic::shown::on_part;
use crate::app::logic::shown::{self, found_offset, weld_made};
use crate::app::logic::svg_path::d;
use crate::app::panels::{Detail, panels};
use crate::app::workspace::workspace;
use kurbo::{Point, Rect};
use leptos::prelude::*;
use nudgeproof::cell::{Seam, SeamMiss};
use nudgeproof::geometry::{Point3, Pose};
use nudgeproof::routine::Solution;

/// A torch or a taught point this near to the end of the seam is shown beside it, mm.
const NEAR: f64 = 25.0;
/// A shorter miss has no arrow, pixels.
const LEAST_MISS: f64 = 2.0;

/// The magnified detail that is open, if one is: the offset at the origin, or an end of the weld.
#[component]
pub(super) fn OpenDetail() -> impl IntoView {
    let panels = panels();
    move || {
        panels.detail.get().map(|detail| match detail {
            Detail::Offset => view! { <OffsetDetailView /> }.into_any(),
            Detail::WeldStart => view! { <SeamDetailView end=0 /> }.into_any(),
            Detail::WeldEnd => view! { <SeamDetailView end=1 /> }.into_any(),
        })
    }
}

/// Ground, letter, title, magnification and the window itself.
fn head(r: &Rect, detail: Detail, view: &DetailView) -> AnyView {
    let (y, title) = (r.y0 + 16.0, text(detail.title()));
    let size = letters(title, r.width() - 62.0, 13.0);
    let (title_at, scale_at) = (Point::new(r.x0 + 22.0, y), Point::new(r.x1 - 8.0, y));
    view! {
        {rect("detail-ground", r)}
        {lettering("detail-letter", Point::new(r.x0 + 8.0, y), detail.letter())}
        {sized_lettering("detail-title", title_at, Some(size), title.into())}
        {lettering("detail-scale", scale_at, format!("× {}", view.times))}
        {rect("glass", &view.window)}
    }
    .into_any()
}

/// Largest letters of a note, pixels.
const NOTE_SIZE: f64 = 13.0;

/// Where the note under the window stands.
fn note_place(r: &Rect) -> Point {
    Point::new(r.center().x, r.y1 - 9.0)
}

fn note_size(text: &str, r: &Rect, largest: f64) -> f64 {
    letters(text, r.width() - 8.0, largest)
}

fn quiet_note(r: &Rect, key: Key) -> AnyView {
    let size = note_size(text(key), r, NOTE_SIZE);
    sized_lettering("detail-note quiet", note_place(r), Some(size), text(key).into()).into_any()
}

fn dimension(dimension: &Dimension, text: String) -> impl IntoView + use<> {
    let Dimension { witness: [first, second], shaft, heads: [from, to], text: at } = *dimension;
    view! {
        <g class="dimension">
            <path d=d(&first) />
            <path d=d(&second) />
            <path d=d(&shaft) />
            <path class="head" d=d(&from) />
            <path class="head" d=d(&to) />
            {lettering("", at, text)}
        </g>
    }
}

#[component]
fn OffsetDetailView() -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let found = Memo::new(move |_| {
        let (log, t) = workspace.shown_so_far()?;
        let (found, pose) = found_offset(&log, t)?;
        Some(offset_lines(found, &pose, view.layout.read().narrow()))
    });
    let drawing = move || {
        let (l, now) = (view.layout.get(), view.pose.get());
        let reference = view.reference.get().unwrap_or_default();
        let r = l.detail;
        let detail = OffsetDetail::new(window(&r), l.projection.plan.scale, &reference, &now);
        let moved = Nudge::of(&(now * reference.inverse()));
        let dimensions = detail.moved.iter().zip([moved.dx, moved.dy]);
        let dimensions = dimensions
            .map(|(d, mm)| d.as_ref().map(|d| dimension(d, signed_length(mm, 1))))
            .collect_view();
        view! {
            {head(&r, Detail::Offset, &detail.view)}
            <g clip-path="url(#clip-detail)">
                <path class="axes-before" d=d(&detail.before) />
                <path class="axes-now" d=d(&detail.now) />
                {dimensions}
            </g>
            {match found.get() {
                Some(lines) => offset_note(&l, lines),
                None => quiet_note(&r, Key::OffsetNotFound),
            }}
        }
    };
    view! {
        <g class="detail" data-testid="open-offset">
            {drawing}
        </g>
    }
}

/// The offset that was found, in one line or two: a turn stands in the first where there is room.
fn offset_lines(solution: &Solution, pose: &Pose, narrow: bool) -> Vec<String> {
    let (slides, rotations) = offset(&solution.place, solution.may, pose);
    match rotations {
        // Three numbers side by side would be too small to read on a phone.
        Some(turn) if !narrow && !solution.may.tilts() => vec![[slides, turn].join(", ")],
        rotations => [Some(slides), rotations].into_iter().flatten().collect(),
    }
}

/// Two lines stand in smaller letters where one stands otherwise.
fn offset_note(l: &SheetLayout, lines: Vec<String>) -> AnyView {
    let r = l.detail;
    let (largest, ups) = match lines.len() {
        2 if l.narrow() => (10.5, [14.0, 4.0]),
        2 => (9.5, [14.0, 4.0]),
        _ => (NOTE_SIZE, [9.0, 0.0]),
    };
    let size = lines.iter().map(|text| note_size(text, &r, largest)).fold(largest, f64::min);
    let line = |(text, up): (String, f64)| {
        sized_lettering("", Point::new(r.center().x, r.y1 - up), Some(size), text)
    };
    view! {
        <g class="detail-note" data-testid="open-offset-found">
            {lines.into_iter().zip(ups).map(line).collect_view()}
        </g>
    }
    .into_any()
}

/// What there is to see at one end of the seam.
#[derive(Debug, Clone, PartialEq)]
struct SeamEnd {
    seam: PlacedSeam,
    /// The finished weld: the wire at this end, work frame, mm, and its miss.
    welded: Option<(Point3<f64>, SeamMiss)>,
    /// Otherwise where the weld point is taught, or where the torch is.
    planned: Point3<f64>,
    wire_mm: f64,
}

/// The detail of weld start (0) or weld end (1).
#[component]
fn SeamDetailView(end: usize) -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let welded = Memo::new(move |_| {
        let (log, t) = workspace.shown_so_far()?;
        weld_made(&log, t, end).map(|w| (w.seam.clone(), w.wire[end], w.miss[end]))
    });
    let seen = Memo::new(move |_| {
        // The seam of the part that is drawn: once a wrong part is revealed, its own.
        let part = workspace.part();
        let taught = shown::weld_points(&workspace.routine())[end];
        let (name, welded) = match welded.get() {
            Some((name, wire, miss)) => (Some(name), Some((wire, miss))),
            None => (None, None),
        };
        let of_weld = part.seams.iter().find(|seam| Some(&seam.name) == name.as_ref());
        Some(SeamEnd {
            seam: placed_seam(of_weld.or(part.seams.first())?, &view),
            welded,
            planned: taught.unwrap_or_else(|| view.torch_at_rest.get()),
            wire_mm: workspace.state().settings.wire_mm,
        })
    });
    let drawing = move || seen.get().map(|seen| view.layout.with(|l| seam_detail(&seen, end, l)));
    let test_id = ["open-start", "open-end"][end];
    view! {
        <g class="detail" data-testid=test_id>
            {drawing}
        </g>
    }
}

/// The seam where the body that carries it is drawn.
fn placed_seam(seam: &Seam, view: &SheetView) -> PlacedSeam {
    let pose = on_part(&view.pose.get(), &view.own_motions.read(), seam.body.as_deref());
    PlacedSeam::new(seam, &pose)
}

fn seam_detail(seen: &SeamEnd, end: usize, l: &SheetLayout) -> impl IntoView + use<> {
    let r = l.detail;
    let shown_end = seen.welded.map_or(end, |(wire, _)| seen.seam.nearer_end(&wire));
    // Before there is a weld, only a point near the end of the seam is worth showing.
    let near = (seen.planned - seen.seam.ends()[shown_end]).xy().norm() < NEAR;
    let wire = seen.welded.map(|(wire, _)| wire).or(near.then_some(seen.planned));
    let scale = l.projection.plan.scale;
    let detail = SeamDetail::new(window(&r), scale, &seen.seam, shown_end, wire, seen.wire_mm);
    let ring = if seen.welded.is_some() { "wire-ring" } else { "wire-ring planned" };
    let miss = detail.miss.filter(|line| line.length() > LEAST_MISS && seen.welded.is_some());
    let miss = miss.map(|line| {
        view! {
            <g class="dimension miss">
                <path d=d(&line) />
                <path class="head" d=d(&arrow_head(line.p0, line.p1, 6.0)) />
            </g>
        }
    });
    view! {
        {head(&r, Detail::ENDS[end], &detail.view)}
        <g clip-path="url(#clip-detail)">
            <path class="body plate" d=d(&detail.plate) />
            {detail.limits.map(|limit| view! { <path class="limit" d=d(&limit) /> })}
            <path class="seam" d=d(&detail.seam) />
            {detail.wire.map(|wire| circle(ring, wire.center, wire.radius))}
            {miss}
        </g>
        {match seen.welded {
            Some((_, miss)) => miss_note(&r, &miss, seen.seam.tolerance_mm),
            None => quiet_note(&r, Key::NotWelded),
        }}
    }
}

/// The miss in numbers, with its verdict as a sign.
fn miss_note(r: &Rect, miss: &SeamMiss, tolerance: f64) -> AnyView {
    let class = if miss.lands(tolerance) { "detail-note good" } else { "detail-note bad" };
    let text = miss_text(miss, tolerance);
    let size = note_size(&text, r, NOTE_SIZE);
    sized_lettering(class, note_place(r), Some(size), text).into_any()
}
