use super::SheetView;
use crate::app::desk::desk;
use crate::app::logic::detail::{Datum, Glass, SeamEnd, SeamNow};
use crate::app::logic::dimension::{Dimension, arrow_head};
use crate::app::logic::layout::Rect;
use crate::app::logic::nudge::Nudge;
use crate::app::logic::number::{letters, signed};
use crate::app::logic::projection::Spot;
use crate::app::logic::shown::{found_offset, reference_pose, welds_until};
use crate::app::logic::{ink, shown};
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::cell::SeamMiss;
use nudgeproof::geometry::Point3;

/// Where the window of a detail stands in its box, between its title and its note.
fn window(r: &Rect) -> Rect {
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

fn head(r: &Rect, letter: &str, title: String, glass: &Glass) -> impl IntoView + use<> {
    let size = letters(&title, r.w - 62.0, 11.0);
    view! {
        <text class="detail-letter" x=r.x + 8.0 y=r.y + 16.0>{letter.to_owned()}</text>
        <text class="detail-title" font-size=size x=r.x + 22.0 y=r.y + 16.0>{title}</text>
        <text class="detail-scale" x=r.right() - 8.0 y=r.y + 16.0>{format!("× {}", glass.times)}</text>
        <rect class="glass" x=glass.window.x y=glass.window.y width=glass.window.w height=glass.window.h/>
    }
}

fn dimension(d: &Dimension, text: String) -> impl IntoView + use<> {
    let [a, b] = d.line;
    let (arrows, line) = if d.outside {
        let out =
            |tip: Spot, other: Spot| tip.towards(other, -10.0 / tip.distance(other).max(1e-6));
        let (oa, ob) = (out(a, b), out(b, a));
        let heads = [arrow_head(oa, a, 6.0), arrow_head(ob, b, 6.0)];
        (heads, ink::segment(oa, ob))
    } else {
        ([arrow_head(b, a, 6.0), arrow_head(a, b, 6.0)], ink::segment(a, b))
    };
    let shown = a.distance(b) > 0.5;
    shown.then(|| {
        view! {
            <g class="dimension">
                <path d=ink::segment(d.witness[0][0], d.witness[0][1])/>
                <path d=ink::segment(d.witness[1][0], d.witness[1][1])/>
                <path d=line/>
                <path class="head" d=ink::line(&arrows[0], true)/>
                <path class="head" d=ink::line(&arrows[1], true)/>
                <text x=d.text.x y=d.text.y>{text}</text>
            </g>
        }
    })
}

#[component]
fn DatumDetail() -> impl IntoView {
    let desk = desk();
    let view = expect_context::<SheetView>();
    let clip = move || window(&view.layout.read().details[0]);
    view! {
        <clipPath id="clip-detail-0">
            <rect x=move || clip().x y=move || clip().y width=move || clip().w height=move || clip().h/>
        </clipPath>
        <g class="detail" data-testid="detail-offset">
            {move || {
                let l = view.layout.get();
                let r = l.details[0];
                let centre = r.middle();
                let reference = reference_pose(&desk.state()).unwrap_or_default();
                let now = view.pose.get();
                let d = Datum::new(window(&r), l.projection.scale, &reference, &now);
                let moved = Nudge::of(&(now * reference.inverse()));
                let log = desk.shown_run();
                let t = desk.on_show().map_or(f64::MAX, |(_, p)| p.t);
                let found = log.as_ref().and_then(|log| found_offset(log, t)).map(|(s, pose)| {
                    let n = Nudge::of(&pose);
                    let text = tell(Word::OffsetFoundIs, &[
                        &s.offset, &signed(n.dx, 2), &signed(n.dy, 2), &signed(n.turn_deg, 2),
                    ]);
                    let size = letters(&text, r.w - 8.0, 12.0);
                    view! { <text class="detail-note" data-testid="offset-found" font-size=size x=centre.x y=r.bottom() - 9.0>{text}</text> }
                });
                let none = found.is_none().then(|| view! {
                    <text class="detail-note quiet" font-size="11" x=centre.x y=r.bottom() - 9.0>{say(Word::OffsetNotFound)}</text>
                });
                view! {
                    {head(&r, "O", say(Word::DetailOffset).into(), &d.glass)}
                    <g clip-path="url(#clip-detail-0)">
                        <path class="axes-before" d=d.before.clone()/>
                        <path class="axes-now" d=d.now.clone()/>
                        {dimension(&d.shifts[0], signed(moved.dx, 1))}
                        {dimension(&d.shifts[1], signed(moved.dy, 1))}
                    </g>
                    {found}
                    {none}
                }
            }}
        </g>
    }
}

#[component]
fn EndDetail(index: usize) -> impl IntoView {
    let desk = desk();
    let view = expect_context::<SheetView>();
    let clip = move || window(&view.layout.read().details[index + 1]);
    let clip_id = format!("clip-detail-{}", index + 1);
    let clip_url = format!("url(#{clip_id})");
    let test_id = if index == 0 { "detail-start" } else { "detail-end" };
    // The landed weld, if one is finished by the moment shown: its wire and its miss at this end.
    let landed = move || -> Option<(Point3<f64>, SeamMiss, bool)> {
        let log = desk.shown_run()?;
        let t = desk.on_show().map_or(f64::MAX, |(_, p)| p.t);
        let weld = welds_until(&log, t).last()?.clone();
        Some((weld.wire[index], weld.miss[index], weld.landed))
    };
    // Otherwise where the taught weld point is, or the torch.
    let planned = move || {
        let routine = desk.routine();
        let taught = shown::weld_points(&routine)[index];
        taught.unwrap_or_else(|| view.torch.get())
    };
    view! {
        <clipPath id=clip_id>
            <rect x=move || clip().x y=move || clip().y width=move || clip().w height=move || clip().h/>
        </clipPath>
        <g class="detail" data-testid=test_id>
            {move || {
                let l = view.layout.get();
                let r = l.details[index + 1];
                let centre = r.middle();
                let state = desk.state();
                let seam = SeamNow::new(state.part.seams.first()?, &view.pose.get());
                let landed = landed();
                let wire = landed.as_ref().map_or_else(planned, |(w, _, _)| *w);
                let end = match landed {
                    Some(_) => seam.nearer_end(&wire),
                    None => index,
                };
                let wire_mm = state.settings.wire_mm;
                let d = SeamEnd::new(window(&r), l.projection.scale, &seam, end, Some(wire), wire_mm);
                let title = say(if index == 0 { Word::DetailStart } else { Word::DetailEnd });
                let note = landed.map(|(_, miss, _)| {
                    let inside = miss.across_mm.abs() <= seam.tolerance_mm
                        && miss.height_mm.abs() <= seam.tolerance_mm;
                    let sign = if inside { "✓" } else { "✗" };
                    let text = format!("{sign} {}", tell(Word::MissIs, &[&signed(miss.across_mm, 2)]));
                    let size = letters(&text, r.w - 8.0, 12.0);
                    let class = if inside { "detail-note good" } else { "detail-note bad" };
                    view! {
                        <text class=class font-size=size data-testid=if index == 0 { "seam-miss-start" } else { "seam-miss-end" }
                            data-value=miss.across_mm.to_string()
                            x=centre.x y=r.bottom() - 9.0>{text}</text>
                    }
                });
                let quiet = note.is_none().then(|| view! {
                    <text class="detail-note quiet" font-size="11" x=centre.x y=r.bottom() - 9.0>{say(Word::NotWelded)}</text>
                });
                let across = landed.and(d.miss).filter(|[a, b]| a.distance(*b) > 2.0).map(|[a, b]| {
                    view! {
                        <g class="dimension miss">
                            <path d=ink::segment(a, b)/>
                            <path class="head" d=ink::line(&arrow_head(a, b, 6.0), true)/>
                        </g>
                    }
                });
                let letter = if index == 0 { "A" } else { "B" };
                Some(view! {
                    {head(&r, letter, title.to_owned(), &d.glass)}
                    <g clip-path=clip_url.clone()>
                        <path class="body plate" d=d.plate.clone()/>
                        <path class="limit" d=d.limits[0].clone()/>
                        <path class="limit" d=d.limits[1].clone()/>
                        <path class="seam" d=d.seam.clone()/>
                        {d.wire.map(|(s, radius)| view! {
                            <circle class="wire-ring" class:planned=landed.is_none() cx=s.x cy=s.y r=radius/>
                        })}
                        {across}
                    </g>
                    {note}
                    {quiet}
                })
            }}
        </g>
    }
}
