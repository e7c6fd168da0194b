use super::SheetView;
use crate::app::desk::desk;
use crate::app::logic::describe::run_kind;
use crate::app::logic::layout::{Layout, Rect};
use crate::app::logic::number::{letters, mm, signed};
use crate::app::logic::shown::{Verdict, verdict};
use crate::app::logic::{ink, projection::Spot, scale};
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;

/// Hatches and clips.
#[component]
pub(super) fn Definitions() -> impl IntoView {
    let layout = expect_context::<SheetView>().layout;
    let clip = move |pick: fn(&Layout) -> Rect| {
        move |side: fn(&Rect) -> f64| layout.with(|l| side(&pick(l)))
    };
    let (plan, side) = (clip(|l| l.plan), clip(|l| l.side));
    view! {
        <defs>
            <pattern id="hatch" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
                <line class="hatch" x1="0" y1="0" x2="0" y2="5"/>
            </pattern>
            <pattern id="cross-hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
                <path class="hatch" d="M0 0V6M0 0H6"/>
            </pattern>
            <clipPath id="clip-plan">
                <rect x=move || plan(|r| r.x) y=move || plan(|r| r.y)
                    width=move || plan(|r| r.w) height=move || plan(|r| r.h)/>
            </clipPath>
            <clipPath id="clip-side">
                <rect x=move || side(|r| r.x) y=move || side(|r| r.y)
                    width=move || side(|r| r.w) height=move || side(|r| r.h)/>
            </clipPath>
        </defs>
    }
}

fn boxed(r: &Rect) -> String {
    let (a, b) = (Spot::new(r.x, r.y), Spot::new(r.right(), r.bottom()));
    ink::line(&[a, Spot::new(b.x, a.y), b, Spot::new(a.x, b.y)], true)
}

/// Border with zones (ISO 5457), the lines between the views, scale bar, labels of the views.
#[component]
pub(super) fn Frame() -> impl IntoView {
    let layout = expect_context::<SheetView>().layout;
    let lines = move || {
        layout.with(|l| {
            let mut d = boxed(&l.side);
            for r in &l.details {
                d.push_str(&boxed(r));
            }
            d
        })
    };
    let zones = move || layout.with(zone_marks);
    let bar = move || {
        layout.with(|l| {
            let length = scale::bar_mm(l.projection.scale, 90.0);
            let px = l.projection.px(length);
            (Spot::new(l.plan.right() - px - 52.0, l.plan.bottom() - 10.0), px, length)
        })
    };
    view! {
        <path class="paper" d=move || layout.with(|l| boxed(&Rect::new(0.0, 0.0, l.width, l.height)))/>
        <path class="frame" d=move || layout.with(|l| boxed(&l.frame))/>
        <path class="divider" d=lines/>
        {move || zones().into_iter().map(|(s, letter)| view! {
            <text class="zone" x=s.x y=s.y>{letter}</text>
        }).collect_view()}
        <text class="view-name" x=move || layout.read().plan.x + 12.0 y=move || layout.read().plan.y + 18.0>
            {say(Word::Plan)}
        </text>
        <text class="view-name end" x=move || layout.read().side.right() - 34.0 y=move || layout.read().side.y + 16.0>
            {say(Word::Elevation)}
        </text>
        {move || {
            let (s, px, length) = bar();
            let half = px / 2.0;
            view! {
                <g class="scale-bar">
                    <path class="bar" d=format!("M{} {}v-5h{}v5m{} 0v-5", s.x, s.y, px, -half)/>
                    <path class="bar-fill" d=format!("M{} {}v5h{}v-5z", s.x, s.y - 5.0, half)/>
                    <text x=s.x + px + 5.0 y=s.y>{format!("{length} mm")}</text>
                </g>
            }
        }}
        <g class="axes">
            {move || {
                let (s, _, _) = bar();
                let o = Spot::new(s.x + 2.0, s.y - 18.0);
                view! {
                    <path d=format!("M{x} {y}h24m-4 -3l4 3l-4 3M{x} {y}v-24m-3 4l3 -4l3 4", x = o.x, y = o.y)/>
                    <text x=o.x + 27.0 y=o.y + 4.0>"X"</text>
                    <text x=o.x - 4.0 y=o.y - 28.0>"Y"</text>
                }
            }}
        </g>
    }
}

/// Letters down both sides, numbers along top and bottom.
fn zone_marks(l: &Layout) -> Vec<(Spot, String)> {
    if l.narrow {
        return Vec::new();
    }
    let (across, down) = (6_u8, 4_u8);
    let (w, h) = (l.frame.w / f64::from(across), l.frame.h / f64::from(down));
    let mut out = Vec::new();
    for i in 0..across {
        let x = l.frame.x + (f64::from(i) + 0.5) * w;
        let text = (i + 1).to_string();
        out.push((Spot::new(x, l.frame.y - 4.0), text.clone()));
        out.push((Spot::new(x, l.frame.bottom() + 12.0), text));
    }
    for i in 0..down {
        let y = l.frame.y + (f64::from(i) + 0.5) * h + 4.0;
        let text = char::from(b'A' + i).to_string();
        out.push((Spot::new(l.frame.x / 2.0, y), text.clone()));
        out.push((Spot::new(l.frame.right() + l.frame.x / 2.0, y), text));
    }
    out
}

/// One cell of the title block.
#[derive(Clone, Copy)]
struct Slot {
    name: Word,
    /// Share of the block: left, top, width, height.
    place: [f64; 4],
    test_id: &'static str,
}

const SLOTS: [Slot; 5] = [
    Slot { name: Word::TitlePart, place: [0.0, 0.0, 1.0, 0.21], test_id: "title-part" },
    Slot { name: Word::TitleUnits, place: [0.0, 0.21, 0.5, 0.19], test_id: "title-units" },
    Slot { name: Word::TitleScale, place: [0.5, 0.21, 0.5, 0.19], test_id: "title-scale" },
    Slot { name: Word::TitleTolerance, place: [0.0, 0.4, 0.5, 0.19], test_id: "title-tolerance" },
    Slot { name: Word::TitleRun, place: [0.5, 0.4, 0.5, 0.19], test_id: "title-run" },
];
/// Where the verdict stands, as share of the block's height.
const VERDICT_TOP: f64 = 0.59;

/// Part, units, scale, tolerance, run and verdict.
#[component]
pub(super) fn TitleBlock() -> impl IntoView {
    let desk = desk();
    let layout = expect_context::<SheetView>().layout;
    let value = move |slot: Slot| match slot.name {
        Word::TitlePart => desk.part().title.clone(),
        Word::TitleUnits => say(Word::UnitsMm).into(),
        Word::TitleScale => scale::nominal(layout.read().projection.scale),
        Word::TitleTolerance => {
            let tolerance = desk.part().seams.first().map_or(0.0, |s| s.tolerance_mm);
            format!("± {} mm", mm(tolerance, 1))
        }
        _ => desk.shown_run().map_or_else(
            || "–".to_owned(),
            |log| format!("{} · {}", log.number, run_kind(log.kind)),
        ),
    };
    let judged = Memo::new(move |_| {
        let on_show = desk.on_show();
        let playback = on_show.map(|(_, p)| p);
        verdict(desk.shown_run().as_deref(), playback.as_ref())
    });
    view! {
        <g data-testid="title-block">
        <path class="frame" d=move || layout.with(|l| boxed(&l.title))/>
        {SLOTS.map(|slot| {
            let at = move || layout.with(|l| {
                let [x, y, w, h] = slot.place;
                Rect::new(l.title.x + x * l.title.w, l.title.y + y * l.title.h, w * l.title.w, h * l.title.h)
            });
            view! {
                <path class="divider" d=move || boxed(&at())/>
                <text class="slot-name" x=move || at().x + 6.0 y=move || at().y + 12.0>{say(slot.name)}</text>
                {move || {
                    let (r, text) = (at(), value(slot));
                    let size = letters(&text, r.w - 12.0, 13.0);
                    view! {
                        <text class="slot-value" data-testid=slot.test_id font-size=size
                            x=r.x + 6.0 y=r.bottom() - 7.0>{text}</text>
                    }
                }}
            }
        }).collect_view()}
        </g>
        <g
            data-testid="verdict"
            data-verdict=move || verdict_key(&judged.get())
            class=move || format!("verdict {}", verdict_key(&judged.get()))
        >
            {move || {
                let (r, v) = (layout.read().title, judged.get());
                let top = r.y + r.h * VERDICT_TOP;
                let mid = f64::midpoint(top, r.bottom());
                let (head, below) = verdict_text(&v);
                view! {
                    <path class="verdict-back" d=boxed(&Rect::new(r.x, top, r.w, r.bottom() - top))/>
                    <path class="verdict-sign" d=verdict_sign(&v, Spot::new(r.x + 24.0, mid))/>
                    <text class="verdict-head" font-size=letters(&head, r.w - 54.0, 19.0)
                        x=r.x + 46.0 y=mid - 2.0>{head.clone()}</text>
                    <text class="verdict-below" font-size=letters(&below, r.w - 54.0, 12.0)
                        x=r.x + 46.0 y=mid + 16.0>{below.clone()}</text>
                }
            }}
        </g>
    }
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
pub(crate) fn verdict_text(v: &Verdict) -> (String, String) {
    let plain = |a: Word, b: Word| (say(a).to_owned(), say(b).to_owned());
    match v {
        Verdict::None => plain(Word::VerdictNone, Word::VerdictNoneBelow),
        Verdict::Running => plain(Word::VerdictRunning, Word::VerdictRunningBelow),
        Verdict::Paused => plain(Word::VerdictPaused, Word::VerdictPausedBelow),
        Verdict::Stopped(why) => (say(Word::VerdictStopped).into(), why.clone()),
        Verdict::OnSeam(miss) => {
            (say(Word::VerdictOnSeam).into(), tell(Word::WorstMiss, &[&signed(*miss, 2)]))
        }
        Verdict::Missed(miss) => {
            (say(Word::VerdictMissed).into(), tell(Word::WorstMiss, &[&signed(*miss, 2)]))
        }
        Verdict::NoWeld => plain(Word::VerdictNoWeld, Word::VerdictNoWeldBelow),
    }
}

/// A tick, a cross, a bar, an hourglass: told by shape before colour.
fn verdict_sign(v: &Verdict, at: Spot) -> String {
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
