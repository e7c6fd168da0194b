//! A magnifying glass beside what has just happened: a touch against that of the reference, or the origin
//! against where it was. It goes when the torch moves on, and is left out where there is no room.

use super::contact_view::Touches;
use super::find_view::origin;
use super::run_shown::RunShown;
use super::shapes::{circle, label};
use super::sheet_view::SheetView;
use crate::app::i18n::{Key, format, text};
use crate::app::logic::dimension::{Dimension, arrow_head};
use crate::app::logic::glass::{Glass, GlassWords, covered};
use crate::app::logic::number::signed_length;
use crate::app::logic::playback::Sight;
use crate::app::logic::svg_path::{body_plan, d, polyline};
use crate::app::logic::touch_report::TouchReport;
use crate::app::workspace::workspace;
use kurbo::{Line, Point};
use leptos::prelude::*;
use nudgeproof::geometry::{Point3, Vector3};
use nudgeproof::routine::{SearchOutcome, SolutionOutcome};

/// What the glass shows.
#[derive(Debug, Clone, PartialEq)]
struct Compared {
    /// Where it was in the reference, and where it is now, work frame, mm.
    points: [Point3<f64>; 2],
    title: Title,
}

#[derive(Debug, Clone, PartialEq)]
enum Title {
    /// The touch of this number, felt along this direction; how much further on it is, mm.
    Touch {
        number: usize,
        along: Vector3<f64>,
        mm: f64,
    },
    Offset,
}

#[component]
pub(super) fn GlassOnPlan(run: RunShown, touches: Touches) -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let compared = Memo::new(move |_| {
        let (sight, log) = (run.scene.get()?.sight, run.log.get()?);
        if let Sight::Contact(i) = sight {
            let search = log.searches.get(i)?;
            let SearchOutcome::Touch { reading, .. } = search.outcome else { return None };
            let Some(TouchReport::FurtherOn { mm, reference }) =
                touches.reports.read().get(i).copied()
            else {
                return None;
            };
            let along = search.direction;
            // On the plan there is nothing to see of one that goes down.
            let level = along.z.abs() < 0.5;
            let title = Title::Touch { number: i + 1, along, mm };
            return level.then_some(Compared { points: [reference, reading], title });
        }
        let SolutionOutcome::Found { offset, .. } = &log.solutions.get(sight.solution()?)?.outcome
        else {
            return None;
        };
        let reference = view.reference.get().unwrap_or_default();
        Some(Compared { points: origin(&reference, offset), title: Title::Offset })
    });
    let glass = Memo::new(move |_| {
        let compared = compared.get()?;
        let (layout, part) = (view.layout.get(), workspace.part());
        let poses = [view.pose.get(), view.reference.get().unwrap_or_default()];
        let taken = covered(&part, &poses, &touches.words.read(), &layout);
        let [before, now] = &compared.points;
        let glass = Glass::place([before, now], &layout.projection.plan, &layout.drawing, &taken)?;
        Some((glass, compared))
    });
    let outlines = move |glass: &Glass| {
        let (part, now) = (workspace.part(), view.pose.get());
        let reference = view.reference.get().unwrap_or_default();
        let outline = |class, pose| {
            let one =
                |body| view! { <path class=class d=d(&body_plan(body, &pose, &glass.plan)) /> };
            part.bodies.iter().map(one).collect_view()
        };
        view! { {outline("body", now)} <g class="ghost">{outline("", reference)}</g> }
    };
    let drawing = move || {
        let (glass, compared) = glass.get()?;
        let times = glass.times.to_string();
        let title = match &compared.title {
            Title::Touch { number, .. } => format(Key::GlassTouch, &[&number.to_string(), &times]),
            Title::Offset => format(Key::GlassOffset, &[&times]),
        };
        let title_at = glass.center - (0.0, glass.radius + 6.0);
        let wire = glass.plan.px(workspace.state().settings.wire_mm / 2.0);
        Some(view! {
            <g class="glass-on-plan" data-testid="glass">
                <clipPath id="clip-glass">{circle("", glass.center, glass.radius)}</clipPath>
                <path class="leader" d=d(&glass.leader) />
                {circle("paper-round", glass.center, glass.radius)}
                <g clip-path="url(#clip-glass)">
                    {outlines(&glass)}
                    {match compared.title {
                        Title::Touch { along, mm, .. } => {
                            touch(&glass, &compared.points, &along, mm, wire).into_any()
                        }
                        Title::Offset => offset(&glass, &compared.points).into_any(),
                    }}
                </g>
                {circle("rim", glass.center, glass.radius)}
                <g data-testid="glass-title">{label("label", title_at, "middle", title)}</g>
            </g>
        })
    };
    view! { {drawing} }
}

/// Where the wire touched in the reference and where it touches now, and how far apart that is.
fn touch(
    glass: &Glass,
    points: &[Point3<f64>; 2],
    along: &Vector3<f64>,
    mm: f64,
    wire: f64,
) -> impl IntoView + use<> {
    let [before, now] = points.map(|p| glass.plan.point(&p));
    let way = glass.plan.vector(along).normalize() * glass.radius * 2.0;
    let words = GlassWords::new(glass, before, now, glass.plan.vector(along));
    let dimension = words.level.and_then(|level| Dimension::new(before, now, level, words.upright));
    let word =
        |(at, anchor): (Point, &'static str), key| label("label", at, anchor, text(key).into());
    view! {
        <path class="way searched" d=d(&polyline([now - way, now])) />
        {circle("wire-ring planned", before, wire)}
        {circle("wire-ring", now, wire)}
        {words.beside.map(|[before, now]| {
            view! {
                {word(before, Key::GlassReference)}
                {word(now, Key::GlassNow)}
            }
        })}
        {dimension.map(|dimension| dimension_view(&dimension, signed_length(mm, 1)))}
    }
}

fn dimension_view(dimension: &Dimension, text: String) -> impl IntoView + use<> {
    let Dimension { witness, shaft, heads, text: at } = *dimension;
    let lines = witness.into_iter().chain([shaft]).map(|line| d(&line)).collect::<String>();
    view! {
        <g class="dimension">
            <path d=lines />
            <path class="head" d=heads.map(|head| d(&head)).concat() />
            {label("label", at, "middle", text)}
        </g>
    }
}

/// The way of the origin from where it was to where the offset takes it.
fn offset(glass: &Glass, points: &[Point3<f64>; 2]) -> impl IntoView + use<> {
    let [before, now] = points.map(|p| glass.plan.point(&p));
    let line = Line::new(before, now);
    (line.length() > 4.0).then(|| {
        view! {
            <path class="offset" pathLength="1" d=d(&line) />
            <path class="offset-head" d=d(&arrow_head(before, now, 10.0)) />
        }
    })
}
