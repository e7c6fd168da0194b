//! A little drawing for each lesson, put together from a few pieces.

use super::part_thumbnail::PartThumbnail;
use leptos::prelude::*;
use nudgeproof::lesson::LessonFile;
use std::sync::Arc;

/// A piece of a drawing of 120 by 64 units. Places are X and Y from its top left corner; turns are in
/// degrees, clockwise as SVG has them.
#[derive(Debug, Clone, Copy)]
enum Piece {
    /// The part from above with its seam, shifted and turned from the middle of the drawing.
    Part(f64, f64, f64),
    /// The outline of the part in the middle of the drawing, where it was taught.
    Ghost,
    /// A weld that lies where it was taught, off the seam.
    Missed,
    /// A weld on the seam of a part that is shifted and turned like this.
    Landed(f64, f64, f64),
    /// A touch: the bar lies here, felt from the left where it is not turned.
    Touch(f64, f64, f64),
    /// A torch whose wire ends here, leaning like this.
    Torch(f64, f64, f64),
    /// A block from the side: its lower left corner, width, height, turn.
    Side(f64, f64, f64, f64, f64),
    /// The outline of such a block where it was taught.
    SideGhost(f64, f64, f64, f64, f64),
    /// The table, from the side.
    Table,
    /// A flag, its foot here; filled where it is on.
    Flag(f64, f64, bool),
    /// A step of a routine at this height; so long.
    Step(f64, f64),
    /// The rails beside the steps: sensing one thick line, follow a double one.
    SensingRail(f64, f64),
    FollowRail(f64, f64),
    /// Where a weld's end will lie: middle, half axes, turn.
    Spread(f64, f64, f64, f64, f64),
    /// The way something has moved, from here to there.
    Moved(f64, f64, f64, f64),
    /// A warning sign in the middle of its foot here.
    Warning(f64, f64),
    /// Something that goes round, about this point.
    Round(f64, f64),
    /// A number of a touch beside it.
    Dot(f64, f64),
}

use Piece::{
    Dot, Flag, FollowRail, Ghost, Landed, Missed, Moved, Part, Round, SensingRail, Side, SideGhost,
    Spread, Step, Table, Torch, Touch, Warning,
};

/// The pieces of the drawing of a lesson; none for a lesson that has no drawing of its own.
fn pieces(lesson: &str) -> &'static [Piece] {
    match lesson {
        "taught-path" => &[Ghost, Part(6.0, -4.0, -6.0), Missed],
        "wire-as-finger" => &[Table, Side(60.0, 48.0, 40.0, 12.0, 0.0), Torch(56.0, 40.0, 0.0)],
        "turn" => {
            &[Ghost, Part(0.0, -4.0, -10.0), Touch(47.0, 44.0, -90.0), Touch(80.0, 38.0, -90.0)]
        }
        "one-touch" => &[Ghost, Part(0.0, -7.0, 0.0), Touch(60.0, 44.0, -90.0)],
        "two-faces" => {
            &[Ghost, Part(7.0, -6.0, 0.0), Touch(43.0, 32.0, 0.0), Touch(72.0, 45.0, -90.0)]
        }
        "slide-and-turn" => &[
            Ghost,
            Part(6.0, -5.0, -7.0),
            Touch(41.0, 20.0, 0.0),
            Touch(43.0, 38.0, 0.0),
            Touch(54.0, 48.0, -97.0),
            Touch(78.0, 45.0, -97.0),
            Landed(6.0, -5.0, -7.0),
        ],
        "reference-and-proof" => &[
            Part(-22.0, 0.0, 0.0),
            Landed(-22.0, 0.0, 0.0),
            Flag(82.0, 30.0, true),
            Flag(82.0, 56.0, false),
        ],
        "what-follows" => &[
            SensingRail(8.0, 26.0),
            FollowRail(32.0, 50.0),
            Step(8.0, 34.0),
            Step(14.0, 46.0),
            Step(20.0, 40.0),
            Step(26.0, 50.0),
            Step(32.0, 38.0),
            Step(38.0, 46.0),
            Step(44.0, 42.0),
            Step(50.0, 30.0),
            Step(56.0, 34.0),
        ],
        "where-to-touch" => &[
            Part(0.0, 0.0, 0.0),
            Touch(36.0, 32.0, 0.0),
            Touch(72.0, 51.0, -90.0),
            Touch(79.0, 51.0, -90.0),
            Spread(44.0, 25.0, 10.0, 4.0, -75.0),
            Spread(76.0, 25.0, 4.5, 3.5, 0.0),
        ],
        "heights" => &[
            Table,
            SideGhost(26.0, 54.0, 68.0, 10.0, 0.0),
            Side(26.0, 48.0, 68.0, 10.0, 0.0),
            Touch(44.0, 38.0, 90.0),
            Torch(76.0, 38.0, 0.0),
        ],
        "slide-and-tilt" => &[
            Table,
            SideGhost(26.0, 54.0, 68.0, 11.0, 0.0),
            Side(27.0, 54.0, 68.0, 11.0, -7.0),
            Touch(38.0, 41.0, 83.0),
            Touch(80.0, 36.0, 83.0),
        ],
        "reading-an-offset" => &[Ghost, Part(9.0, -6.0, -7.0), Moved(36.0, 51.0, 47.0, 48.0)],
        "several-places" => &[
            Table,
            Side(8.0, 54.0, 104.0, 8.0, 0.0),
            Side(16.0, 46.0, 16.0, 7.0, 0.0),
            SideGhost(84.0, 46.0, 16.0, 7.0, 0.0),
            Side(88.0, 46.0, 16.0, 7.0, 0.0),
            Torch(13.0, 44.0, 0.0),
            Torch(107.0, 44.0, 0.0),
        ],
        "datum-of-the-seam" => &[
            Table,
            Side(20.0, 54.0, 80.0, 10.0, 0.0),
            SideGhost(42.0, 44.0, 36.0, 10.0, 0.0),
            Side(48.0, 44.0, 36.0, 10.0, 0.0),
            Touch(44.0, 40.0, 0.0),
        ],
        "sensing-circuit" => &[
            Table,
            Side(58.0, 50.0, 42.0, 12.0, 0.0),
            Torch(50.0, 46.0, 0.0),
            Touch(58.0, 44.0, 0.0),
            Warning(24.0, 46.0),
        ],
        "when-it-goes-wrong" => {
            &[Part(-10.0, 0.0, 0.0), Touch(26.0, 32.0, 0.0), Warning(96.0, 46.0)]
        }
        "unseen-part" => &[
            Ghost,
            Dot(50.0, 27.0),
            Dot(60.0, 27.0),
            Dot(70.0, 27.0),
            Touch(36.0, 38.0, 0.0),
            Touch(60.0, 51.0, -90.0),
        ],
        "forty-parts" => &[
            Moved(14.0, 52.0, 108.0, 52.0),
            Dot(20.0, 30.0),
            Dot(31.0, 36.0),
            Dot(42.0, 28.0),
            Dot(53.0, 34.0),
            Dot(64.0, 31.0),
            Dot(75.0, 37.0),
            Dot(86.0, 11.0),
            Warning(102.0, 30.0),
        ],
        "test" => {
            &[Ghost, Part(6.0, -4.0, -6.0), Dot(50.0, 36.0), Dot(60.0, 35.0), Dot(70.0, 34.0)]
        }
        "shift" => &[
            Moved(10.0, 52.0, 112.0, 52.0),
            Dot(16.0, 24.0),
            Dot(27.0, 30.0),
            Dot(38.0, 22.0),
            Dot(49.0, 28.0),
            Dot(60.0, 25.0),
            Dot(71.0, 31.0),
            Dot(82.0, 27.0),
            Dot(93.0, 8.0),
        ],
        "refresher" => &[Round(60.0, 32.0), Dot(50.0, 32.0), Dot(60.0, 32.0), Dot(70.0, 32.0)],
        _ => &[],
    }
}

/// The drawing of a lesson; of one without a drawing of its own, its part. Screen readers skip it.
#[component]
pub(super) fn LessonDrawing(
    #[prop(into)] name: String,
    /// Its file, where it has one.
    #[prop(optional)]
    file: Option<Arc<LessonFile>>,
) -> impl IntoView {
    let pieces = pieces(&name);
    if pieces.is_empty() {
        let part = file.and_then(|file| file.find_part(&file.part));
        return part.map(|part| view! { <PartThumbnail part /> }).into_any();
    }
    view! {
        <svg class="emblem" viewBox="0 0 120 64" aria-hidden="true">
            {pieces.iter().copied().map(drawn).collect_view()}
        </svg>
    }
    .into_any()
}

/// Shifted and turned about the middle of the drawing.
fn moved(dx: f64, dy: f64, turn: f64) -> String {
    format!("translate({dx} {dy}) rotate({turn} 60 32)")
}

fn drawn(piece: Piece) -> AnyView {
    match piece {
        Part(dx, dy, turn) => view! {
            <g transform=moved(dx, dy, turn)>
                <path class="body" d="M36 13h48v38h-48z" />
                <path class="seam" d="M44 25h32" />
            </g>
        }
        .into_any(),
        Ghost => view! { <path class="ghost" d="M36 13h48v38h-48z" /> }.into_any(),
        Missed => view! { <path class="bead missed" d="M44 25h32" /> }.into_any(),
        Landed(dx, dy, turn) => {
            view! { <path class="bead" transform=moved(dx, dy, turn) d="M44 25h32" /> }.into_any()
        }
        Touch(x, y, turn) => view! {
            <path
                class="touch"
                transform=format!("translate({x} {y}) rotate({turn})")
                d="M-12 0H-4M0-5V5M-4-3L0 0-4 3"
            />
        }
        .into_any(),
        Torch(x, y, lean) => view! {
            <g transform=format!("translate({x} {y}) rotate({lean})")>
                <path class="seam" d="M0 0V-12" />
                <path class="body" d="M-4-12h8l4-16h-16z" />
            </g>
        }
        .into_any(),
        Side(x, y, width, height, turn) => side("body", [x, y, width, height, turn]).into_any(),
        SideGhost(x, y, width, height, turn) => {
            side("ghost", [x, y, width, height, turn]).into_any()
        }
        Table => view! { <path class="table" d="M12 54.5H108" /> }.into_any(),
        Flag(x, y, on) => {
            let class = if on { "flag on" } else { "flag" };
            view! { <path class=class d=format!("M{x} {y}v-20h16l-4 5 4 5h-16") /> }.into_any()
        }
        Step(y, length) => view! { <path class="step" d=format!("M44 {y}h{length}") /> }.into_any(),
        SensingRail(from, to) => {
            view! { <path class="sensing" d=format!("M28 {from}V{to}") /> }.into_any()
        }
        FollowRail(from, to) => {
            view! { <path class="follow" d=format!("M34 {from}V{to}M38 {from}V{to}") /> }.into_any()
        }
        Spread(x, y, a, b, turn) => view! {
            <ellipse
                class="spread"
                transform=format!("translate({x} {y}) rotate({turn})")
                rx=a
                ry=b
            />
        }
        .into_any(),
        Moved(x0, y0, x1, y1) => {
            let turn = libm::atan2(y1 - y0, x1 - x0).to_degrees();
            view! {
                <path class="moved" d=format!("M{x0} {y0}L{x1} {y1}") />
                <path
                    class="moved"
                    transform=format!("translate({x1} {y1}) rotate({turn})")
                    d="M-5-3L0 0-5 3"
                />
            }
            .into_any()
        }
        Warning(x, y) => view! {
            <g transform=format!("translate({x} {y})")>
                <path class="warning" d="M-13 0L0-23 13 0z" />
                <path class="body" d="M0-15V-7M0-4V-2.5" />
            </g>
        }
        .into_any(),
        Round(x, y) => view! {
            <path
                class="moved"
                transform=format!("translate({x} {y})")
                d="M-21 6A22 22 0 1 0 -16-15M-16-15l-1 8M-16-15l8 1"
            />
        }
        .into_any(),
        Dot(x, y) => view! { <circle class="dot" cx=x cy=y r="2.5" /> }.into_any(),
    }
}

/// A block from the side: the place of its lower left corner, width, height, turn.
fn side(class: &'static str, [x, y, width, height, turn]: [f64; 5]) -> impl IntoView {
    view! {
        <path
            class=class
            transform=format!("translate({x} {y}) rotate({turn})")
            d=format!("M0 0h{width}v-{height}h-{width}z")
        />
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_lesson_of_the_course_has_a_drawing() {
        for lesson in nudgeproof::lesson::lessons() {
            assert!(!pieces(&lesson.name).is_empty(), "{}", lesson.name);
        }
    }
}
