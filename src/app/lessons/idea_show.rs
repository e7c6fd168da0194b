//! The whole idea in ten seconds, as three pictures side by side: a taught weld lands; the part is
//! nudged, and it misses; four touches find the part, and it lands.
//!
//! What is drawn are the three pictures as they end. The style sheet plays how they come about, once,
//! while they have the class `playing`; so no frame runs any code of the page.

use crate::app::i18n::{Key, format, text};
use crate::app::logic::dimension::arrow_head;
use crate::app::logic::idea::{
    Idea, IdeaTouch, OwnLine, PICTURE, matrix, on_drawing, picture_plan,
};
use crate::app::logic::number::{length, signed_length};
use crate::app::logic::projection::PlanProjection;
use crate::app::logic::svg_path::{body_plan, d, hundredth, polyline, translate};
use crate::app::screen;
use crate::app::sheet::{circle, label, rect};
use crate::app::storage;
use kurbo::{Line, Point, Rect, Vec2};
use leptos::prelude::*;
use nudgeproof::cell::{Body, Part, Seam};
use nudgeproof::geometry::Pose;
use nudgeproof::routine::WeldTrace;

/// The setting that tells that the ten seconds have been played in this browser.
const SEEN: &str = "idea";
/// Name, in the style sheet, of the animation that takes as long as all of it.
const WHOLE: &str = "idea-time";

/// The three pictures, and the button that plays or skips. They play by themselves if they have never
/// been played in this browser. For those who asked for less motion they stand still.
#[component]
pub(super) fn IdeaShow(
    /// Whether they may play by themselves.
    by_itself: bool,
) -> impl IntoView {
    let still = screen::less_motion();
    let idea = RwSignal::new(None::<Idea>);
    let playing = RwSignal::new(false);
    let play = move || {
        // Where nothing can be stored it plays at the next visit too.
        let _ = storage::set_setting(SEEN, "seen");
        playing.set(true);
    };
    let plays = by_itself && !still && storage::setting(SEEN).is_none();
    // The page is painted first: it answers while the runs of the pictures are still to come.
    screen::after_paint(move || {
        // The learner may have left this place meanwhile.
        if idea.is_disposed() {
            return;
        }
        idea.set(Idea::play());
        if plays {
            play();
        }
    });
    let skip_or_play = move |_| if playing.get_untracked() { playing.set(false) } else { play() };
    let over = move |event: web_sys::AnimationEvent| {
        if event.animation_name() == WHOLE {
            playing.set(false);
        }
    };
    let heads = [
        (Key::IdeaTaught, text(Key::IdeaLands).to_owned(), true),
        (Key::IdeaNudged, String::new(), false),
        (Key::IdeaFound, text(Key::IdeaLands).to_owned(), true),
    ];
    let panels = heads.into_iter().enumerate().map(|(i, (title, verdict, landed))| {
        let verdict = move || match idea.read().as_ref() {
            Some(idea) if !landed => misses_by(&idea.missed),
            _ => verdict.clone(),
        };
        view! {
            <li class=format!("idea-{}", i + 1) data-testid=format!("idea-{}", i + 1)>
                <div class="idea-picture">
                    {move || idea.get().map(|idea| view! { <Picture idea number=i /> })}
                </div>
                <p class="idea-caption">
                    <span class="idea-number" aria-hidden="true">
                        {i + 1}
                    </span>
                    <b>{text(title)}</b>
                    <span class="idea-verdict" class:landed=landed>
                        {verdict}
                    </span>
                </p>
            </li>
        }
    });
    view! {
        <div
            class="idea"
            class:playing=playing
            data-testid="idea"
            data-playing=move || playing.get().to_string()
            data-drawn=move || idea.read().is_some().to_string()
            on:animationend=over
        >
            <ol class="idea-panels">{panels.collect_view()}</ol>
            <span class="idea-time" aria-hidden="true"></span>
            {(!still)
                .then(|| {
                    view! {
                        <button
                            type="button"
                            class="quiet idea-play"
                            data-testid="idea-play"
                            on:click=skip_or_play
                        >
                            {move || {
                                text(if playing.get() { Key::IdeaSkip } else { Key::IdeaAgain })
                            }}
                        </button>
                    }
                })}
        </div>
    }
}

fn misses_by(weld: &WeldTrace) -> String {
    format(Key::IdeaMisses, &[&length(weld.worst_mm.abs(), 0)])
}

/// One of the pictures.
#[component]
fn Picture(
    idea: Idea,
    /// Which, from 0.
    number: usize,
) -> impl IntoView {
    let plan = picture_plan(&idea.part);
    let [width, height] = PICTURE;
    let clamp = |clamp: &Body| {
        view! { <path class="fixture" d=d(&body_plan(clamp, &Pose::identity(), &plan)) /> }
    };
    let nudged = matrix(on_drawing(&idea.nudged, &plan));
    let content = match number {
        0 => view! {
            {part(&idea.part, &plan)}
            {weld(&idea.taught, number, &plan)}
        }
        .into_any(),
        1 => view! {
            {outline(&idea.part, &plan)}
            <g class="nudging" transform=nudged>
                {part(&idea.part, &plan)}
            </g>
            {nudge_arrow()}
            {weld(&idea.missed, number, &plan)}
            {miss(&idea, &plan)}
        }
        .into_any(),
        _ => view! {
            {outline(&idea.part, &plan)}
            <g transform=nudged>{part(&idea.part, &plan)}</g>
            {path_carried(&idea, &plan)}
            {idea.touches.iter().enumerate().map(|(i, t)| touch(i + 1, t, &plan)).collect_view()}
            {weld(&idea.landed, number, &plan)}
        }
        .into_any(),
    };
    view! {
        <svg viewBox=format!("0 0 {width} {height}") aria-hidden="true">
            {idea.part.clamps.iter().map(clamp).collect_view()}
            {content}
        </svg>
    }
}

/// The part as it is drawn.
fn part(part: &Part, plan: &PlanProjection) -> impl IntoView + use<> {
    let body = |(i, body): (usize, &Body)| {
        let class = if i == 0 { "body" } else { "body plate" };
        view! { <path class=class d=d(&body_plan(body, &Pose::identity(), plan)) /> }
    };
    let seam = |seam: &Seam| {
        view! { <path class="seam" d=d(&polyline([seam.from, seam.to].map(|p| plan.point(&p)))) /> }
    };
    view! {
        {part.bodies.iter().enumerate().map(body).collect_view()}
        {part.seams.iter().map(seam).collect_view()}
    }
}

/// The outline of the part where it was taught.
fn outline(part: &Part, plan: &PlanProjection) -> impl IntoView + use<> {
    let body = |body: &Body| {
        view! { <path class="ghost" d=d(&body_plan(body, &Pose::identity(), plan)) /> }
    };
    part.bodies.iter().map(body).collect_view()
}

/// A weld, and the torch at its end.
fn weld(weld: &WeldTrace, picture: usize, plan: &PlanProjection) -> impl IntoView + use<> {
    let [from, to] = &weld.wire;
    let line = OwnLine::new(from, to, plan);
    let (id, end) = (format!("idea-weld-{picture}"), Point::new(line.length, 0.0));
    let class = if weld.landed { "bead" } else { "bead missed" };
    view! {
        <g class="welding" transform=matrix(line.frame)>
            <clipPath id=id.clone()>
                {rect("grows", &Rect::new(-5.0, -5.0, line.length + 5.0, 5.0))}
            </clipPath>
            <path class=class clip-path=format!("url(#{id})") d=d(&Line::new(Point::ORIGIN, end)) />
            <g class="torch" transform=translate(end)>
                {circle("nozzle", Point::ORIGIN, 10.0)}
                {circle("wire", Point::ORIGIN, 2.5)}
            </g>
        </g>
    }
}

/// The arrow that nudges the part from the left.
fn nudge_arrow() -> impl IntoView {
    let (from, tip) = (Point::new(6.0, PICTURE[1] / 2.0), Point::new(36.0, PICTURE[1] / 2.0));
    view! {
        <g class="nudge-arrow">
            <path class="arrow" d=d(&Line::new(from, tip)) />
            <path class="arrow-head" d=d(&arrow_head(from, tip, 10.0)) />
        </g>
    }
}

/// How far the weld misses, at its worse end.
fn miss(idea: &Idea, plan: &PlanProjection) -> impl IntoView + use<> {
    let weld = &idea.missed;
    let end = plan.point(&weld.wire[1]) + Vec2::new(8.0, 34.0);
    view! { <g class="miss">{label("", end, "end", signed_length(weld.worst_mm, 1))}</g> }
}

/// The path as it was taught, carried along by the offset that was found.
fn path_carried(idea: &Idea, plan: &PlanProjection) -> impl IntoView + use<> {
    let taught = polyline(idea.taught.wire.map(|p| plan.point(&p)));
    view! {
        <g class="carrying" transform=matrix(on_drawing(&idea.offset, plan))>
            <path class="way" d=d(&taught) />
        </g>
    }
}

/// A touch: its search as an arrow, a bar where the wire touched, its number, and how much farther
/// along it reads than in the reference run.
fn touch(number: usize, touch: &IdeaTouch, plan: &PlanProjection) -> impl IntoView + use<> {
    let line = OwnLine::new(&touch.from, &touch.contact, plan);
    let start = Point::new(-line.length, 0.0);
    // Inside the part; beside a search up the page, where the next one's would be in its way.
    let beside = if line.along.x.abs() > 0.5 { line.along * 18.0 } else { Vec2::new(16.0, 11.0) };
    let at = line.end + beside;
    let reading = at + Vec2::new(13.0, 5.0);
    let frame = matrix(line.frame * kurbo::Affine::translate((line.length, 0.0)));
    view! {
        <g class=format!("touch touch-{number}")>
            <g transform=frame>
                <g class="feels">
                    <path class="search" d=d(&Line::new(start, Point::new(-5.0, 0.0))) />
                    <path class="search-head" d=d(&arrow_head(start, Point::ORIGIN, 8.0)) />
                </g>
                <path class="bar" d="M0-9V9" />
            </g>
            <g class="reads">
                {circle("disc", at, 8.0)}
                <text class="count" text-anchor="middle" x=hundredth(at.x) y=hundredth(at.y + 4.0)>
                    {number}
                </text>
                {label("reading", reading, "start", signed_length(touch.later_mm, 1))}
            </g>
        </g>
    }
}
