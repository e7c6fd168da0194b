//! What a find has found, where it stands still: where the reference lay, then by how much the part has
//! moved since. The path that goes along with it is drawn with the run.

use super::contact_view::Touches;
use super::run_shown::RunShown;
use super::shapes::label;
use super::sheet_view::SheetView;
use crate::app::i18n::{Key, text};
use crate::app::logic::describe;
use crate::app::logic::dimension::arrow_head;
use crate::app::logic::playback::Sight;
use crate::app::logic::run_marks::free_line;
use crate::app::logic::svg_path::{body_plan, d};
use crate::app::workspace::workspace;
use kurbo::{Line, Shape, Size};
use leptos::prelude::*;
use nudgeproof::geometry::{Point3, Pose};
use nudgeproof::routine::SolutionOutcome;

/// Shorter offsets have no arrow, pixels.
const LEAST: f64 = 1.0;

/// How much wider the letters of its words are than those of the drawing.
pub(super) const WIDER: f64 = 1.4;
/// Height of a line of them, in mean letters of the drawing.
const LINE: f64 = 3.0;

/// The scene of a find.
#[component]
pub(super) fn FindScene(run: RunShown, touches: Touches) -> impl IntoView {
    let workspace = workspace();
    let view = expect_context::<SheetView>();
    let sight = Memo::new(move |_| run.scene.get().map(|scene| scene.sight));
    let solution = Memo::new(move |_| sight.get().and_then(Sight::solution));
    let moved = Memo::new(move |_| matches!(sight.get(), Some(Sight::Arrow(_) | Sight::Path(_))));
    let reference = move || view.reference.get().unwrap_or_default();
    let outlines = move || {
        let (part, pose, plan) = (workspace.part(), reference(), view.projection().plan);
        let outline =
            |body| view! { <path class="reference" d=d(&body_plan(body, &pose, &plan)) /> };
        part.bodies.iter().map(outline).collect_view()
    };
    // Words on the part, clear of numbers and names.
    let words = move |lines: Vec<String>| {
        let (part, layout) = (workspace.part(), view.layout.read());
        let plan = &layout.projection.plan;
        let bodies =
            part.bodies.iter().map(|b| body_plan(b, &view.pose.get(), plan).bounding_box());
        let all = bodies.reduce(|a, b| a.union(b)).unwrap_or_default();
        let longest = lines.iter().map(|line| line.chars().count()).max().unwrap_or_default();
        let line = layout.letter * LINE;
        let size = Size::new(longest as f64 * layout.letter * WIDER, line * lines.len() as f64);
        let first = free_line(&all, size, &touches.taken())
            - (0.0, (lines.len() as f64 - 1.0) * line / 2.0);
        let one = |(text, i)| label("label", first + (0.0, f64::from(i) * line), "middle", text);
        lines.into_iter().zip(0..).map(one).collect_view()
    };
    // The offset that was found, and what it is called.
    let found = move || {
        let log = run.log.get()?;
        let solution = log.solutions.get(solution.get()?)?;
        let SolutionOutcome::Found { offset, .. } = &solution.outcome else { return None };
        let (slides, rotations) = describe::offset(&solution.place, solution.may, offset);
        Some((*offset, [Some(slides), rotations].into_iter().flatten().collect()))
    };
    let arrow = move || {
        let (offset, lines) = found()?;
        let plan = view.projection().plan;
        let [from, to] = origin(&reference(), &offset).map(|p| plan.point(&p));
        let line = Line::new(from, to);
        let arrow = (line.length() > LEAST).then(|| {
            view! {
                <path class="offset" pathLength="1" d=d(&line) />
                <path class="offset-head" d=d(&arrow_head(from, to, 8.0)) />
            }
        });
        Some(view! { <g class="arrow">{arrow} {words(lines)}</g> })
    };
    let learned = move || words(vec![text(Key::ReferenceLearned).into()]);
    view! {
        <Show when=move || solution.get().is_some()>
            <g class="find" data-testid="find-scene">
                {outlines}
                <Show when=move || moved.get()>{arrow}</Show>
                <Show when=move || {
                    matches!(sight.get(), Some(Sight::Learned(_)))
                }>{learned}</Show>
            </g>
        </Show>
    }
}

/// Where the origin lay in the reference, and where the offset takes it.
pub(super) fn origin(reference: &Pose, offset: &Pose) -> [Point3<f64>; 2] {
    let before = reference.point(&Point3::origin());
    [before, offset.point(&before)]
}
