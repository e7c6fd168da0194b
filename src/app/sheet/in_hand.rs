//! What can be known before a run: from the routine as it stands, and from what is in the learner's
//! hand.

use super::sheet_view::SheetView;
use crate::app::lessons::Course;
use crate::app::logic::aim::Aim;
use crate::app::logic::distances::{Ahead, Metal, ahead, to_line};
use crate::app::logic::forecast_marks::{ForecastMarks, texts};
use crate::app::logic::labels::{BesideSeam, PlanLabels};
use crate::app::logic::layout::nearest;
use crate::app::logic::route_marks::feel_numbers;
use crate::app::logic::shown::on_part;
use crate::app::logic::snap::Snaps;
use crate::app::logic::with_feel::with_feel;
use crate::app::workspace::{Workspace, workspace};
use kurbo::Vec2;
use leptos::prelude::*;
use nudgeproof::cell::{Cell, CellSettings, Part, Seam};
use nudgeproof::forecast::SeamForecast;
use nudgeproof::geometry::Point3;
use nudgeproof::routine::{DEFAULT_REACH_MM, Instruction, RouteLeg, Routine, TaughtPoint, route};
use std::sync::Arc;

/// What is in hand, the torch or a taught point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Held {
    /// Where it is held, work frame, mm.
    pub(super) at: Point3<f64>,
    /// The direction of the feel from there.
    pub(super) aim: Aim,
    /// It is the torch, away from every taught point.
    pub(super) new_place: bool,
}

/// A taught point that is being dragged: its name, and where it is held, work frame, mm.
pub(super) type HeldPoint = RwSignal<Option<(String, Point3<f64>)>>;

/// What the views of the sheet share about the time before a run.
#[derive(Clone, Copy)]
pub(super) struct InHand {
    pub(super) point: HeldPoint,
    /// The point that is dragged, else the torch; `None` while a run is on show, and where the torch
    /// rests.
    pub(super) held: Memo<Option<Held>>,
    /// The part where it was taught.
    pub(super) taught: Memo<DrawnCell>,
    /// What a feel from what is in hand would meet.
    pub(super) ahead: Memo<Option<Ahead>>,
    /// Its distance from the nearest seam, mm.
    pub(super) to_seam: Memo<Option<f64>>,
    pub(super) metal: Memo<Arc<Metal>>,
    pub(super) snaps: Memo<Snaps>,
    /// The way of the routine, a point that is dragged where it is held.
    pub(super) route: Memo<Arc<Vec<RouteLeg>>>,
    pub(super) forecast_marks: Memo<Vec<Option<ForecastMarks>>>,
    /// All that is named on the plan.
    pub(super) labels: Memo<PlanLabels>,
}

/// A cell with nothing wrong in it, shared; one is like another only if it is the same.
#[derive(Clone)]
pub(super) struct DrawnCell(pub(super) Option<Arc<Cell>>);

impl PartialEq for DrawnCell {
    fn eq(&self, other: &Self) -> bool {
        match (&self.0, &other.0) {
            (Some(a), Some(b)) => Arc::ptr_eq(a, b),
            (a, b) => a.is_none() && b.is_none(),
        }
    }
}

impl DrawnCell {
    fn new(part: &Part, settings: &CellSettings) -> Self {
        Self(Cell::new(part, settings, &[]).ok().map(Arc::new))
    }

    /// The same cell after a change.
    fn with(&self, change: impl FnOnce(&mut Cell)) -> Self {
        Self(self.0.as_ref().map(|cell| {
            let mut cell = Cell::clone(cell);
            change(&mut cell);
            Arc::new(cell)
        }))
    }
}

impl InHand {
    pub(super) fn new(view: SheetView) -> Self {
        let workspace = workspace();
        let point = HeldPoint::new(None);
        let routine = Memo::new(move |_| {
            let routine = workspace.routine();
            match point.get() {
                Some((name, at)) => with_point(&routine, &name, at),
                None => routine,
            }
        });
        let held = Memo::new(move |_| in_hand(workspace, point));
        let settings = Memo::new(move |_| workspace.state().settings);
        let drawn = Memo::new(move |_| DrawnCell::new(&workspace.part(), &settings.get()));
        let reference = move || view.reference.get().unwrap_or_default();
        let taught = Memo::new(move |_| drawn.read().with(|cell| cell.place_part(reference())));
        let as_it_lies = Memo::new(move |_| {
            drawn.read().with(|cell| {
                cell.place_part(view.pose.get());
                cell.place_bodies(&view.own_motions.read());
            })
        });
        let ahead = Memo::new(move |_| {
            let Held { at, aim, .. } = held.get()?;
            ahead(as_it_lies.read().0.as_deref()?, &at, aim)
        });
        let metal = Memo::new(move |_| {
            Arc::new(Metal::new(&workspace.part(), &view.pose.get(), &view.own_motions.read()))
        });
        let seams = Memo::new(move |_| {
            let (part, pose, own) = (workspace.part(), view.pose.get(), view.own_motions.get());
            let placed = |seam: &Seam| {
                let pose = on_part(&pose, &own, seam.body.as_deref());
                [seam.from, seam.to].map(|p| pose.point(&p))
            };
            part.seams.iter().map(placed).collect::<Vec<_>>()
        });
        let to_seam = Memo::new(move |_| {
            let at = held.get()?.at;
            seams.read().iter().map(|seam| to_line(&at, *seam)).min_by(f64::total_cmp)
        });
        let snaps = Memo::new(move |_| {
            let top = ahead.with(|ahead| metal.read().top(&ahead.as_ref()?.body));
            let held = point.with(|held| held.as_ref().map(|(name, _)| name.clone()));
            Snaps::new(seams.get(), &workspace.routine(), held.as_deref(), top.map(|z| z / 2.0))
        });
        let legs = Memo::new(move |_| {
            let cell = taught.get();
            Arc::new(cell.0.map_or_else(Vec::new, |cell| route(&routine.read(), &cell)))
        });
        let forecast = Memo::new(move |_| Arc::new(SeamForecast::of(&workspace.state())));
        let forecast_marks = Memo::new(move |_| {
            let with = forecast_in_hand(workspace, routine, point, held, ahead);
            ForecastMarks::all(&forecast.read(), with.as_ref(), &view.projection().plan)
        });
        // There is none in the show of the idea.
        let course = use_context::<Course>();
        let labels = Memo::new(move |_| {
            let (state, plan) = (workspace.state(), view.projection().plan);
            let marks = forecast_marks.read();
            // Why there is no forecast tells how a run will end.
            let quiet = course.is_some_and(|course| course.standing.read().quiet);
            let texts = texts(&marks, &forecast.read(), &state.routine);
            let lines = state.part.seams.iter().map(|seam| seam.at(&reference()));
            let beside = texts.iter().zip(lines).enumerate().filter_map(|(n, (texts, seam))| {
                let marks = marks.get(n).and_then(Option::as_ref);
                let ends = match marks {
                    None if quiet => return None,
                    Some(marks) => [0, 1].map(|i| marks.ends[i].at),
                    None => [seam.from, seam.to].map(|p| plan.point(&p)),
                };
                let plate = plan.vector(&seam.across).normalize();
                Some(BesideSeam { ends, plate, texts })
            });
            let beside: Vec<_> = beside.collect();
            let numbers = legs.with(|legs| feel_numbers(legs, &plan));
            let (cursor, part) = (workspace.cursor.get(), workspace.part());
            view.layout
                .with(|l| PlanLabels::new(&routine.read(), cursor, &part, &numbers, &beside, l))
        });
        let route = legs;
        Self { point, held, taught, ahead, to_seam, metal, snaps, route, forecast_marks, labels }
    }
}

/// Nearer to something than this, on the sheet, what is in hand snaps to it, pixels.
const SNAP: f64 = 6.0;
/// The same in height, where things lie closer together.
const SNAP_IN_HEIGHT: f64 = 3.0;

impl InHand {
    /// Where on the plan something goes that is dragged from `start` by so many pixels; for handlers.
    pub(super) fn on_plan(
        &self,
        view: &SheetView,
        start: Point3<f64>,
        by: Vec2,
        snaps: bool,
    ) -> Point3<f64> {
        let layout = view.layout.get_untracked();
        let plan = &layout.projection.plan;
        let wanted = plan.point_back(nearest(&layout.plan, plan.point(&start) + by));
        let reach = if snaps { SNAP / plan.scale } else { 0.0 };
        let at = self.snaps.with_untracked(|snaps| snaps.on_plan(wanted, reach));
        Point3::new(at.x, at.y, start.z)
    }

    /// The height to feel a side of the part at, mm; for handlers.
    pub(super) fn feel_height(&self, workspace: Workspace) -> f64 {
        let base = workspace.state_untracked().part.bodies.first().map_or(0.0, |b| b.z[1]);
        self.snaps.with_untracked(|snaps| snaps.feel_height(base))
    }

    /// The height that something goes to that is dragged down from `start` by so many pixels, in steps
    /// of so many mm; for handlers.
    pub(super) fn in_height(
        &self,
        view: &SheetView,
        start: Point3<f64>,
        down: f64,
        (snaps, step): (bool, f64),
    ) -> Point3<f64> {
        let elevation = view.layout.read_untracked().projection.elevation;
        let wanted = elevation.height_back(elevation.height(start.z) + down);
        let reach = if snaps { SNAP_IN_HEIGHT / elevation.low_scale } else { 0.0 };
        let z = self.snaps.with_untracked(|snaps| snaps.height(wanted, reach, step));
        Point3::new(start.x, start.y, z)
    }
}

fn in_hand(workspace: Workspace, point: HeldPoint) -> Option<Held> {
    if let Some((name, at)) = point.get() {
        let routine = workspace.routine();
        let feels = routine.steps.iter().find_map(|step| match &step.instruction {
            Instruction::Feel { from, direction, .. } if *from == name => {
                Some(Aim::nearest(direction))
            }
            _ => None,
        });
        let aim = feels.unwrap_or_else(|| workspace.aim.get());
        return Some(Held { at, aim, new_place: false });
    }
    let at = workspace.hand.get();
    let rests = (at - workspace.part().rest).norm() < 1e-6;
    let held = workspace.playback.run().is_none() && !rests;
    let taught = |p: &TaughtPoint| (p.at - at).norm() < 1e-6;
    let new_place = !workspace.routine().points.iter().any(taught);
    held.then(|| Held { at, aim: workspace.aim.get(), new_place })
}

fn with_point(routine: &Routine, name: &str, at: Point3<f64>) -> Arc<Routine> {
    let mut routine = routine.clone();
    if let Some(point) = routine.points.iter_mut().find(|p| p.name == name) {
        point.at = at;
    }
    Arc::new(routine)
}

/// The forecast with what is in hand: with the point where it is dragged to, or with a feel from where
/// the torch is held, if that would meet the part.
fn forecast_in_hand(
    workspace: Workspace,
    routine: Memo<Arc<Routine>>,
    point: HeldPoint,
    held: Memo<Option<Held>>,
    ahead: Memo<Option<Ahead>>,
) -> Option<SeamForecast> {
    let state = workspace.state();
    if point.read().is_some() {
        return Some(SeamForecast::of_routine(&state, &routine.read()));
    }
    let Held { at, aim, .. } = held.get().filter(|held| held.new_place)?;
    ahead.read().as_ref().filter(|ahead| ahead.on_part && ahead.distance <= DEFAULT_REACH_MM)?;
    let with = with_feel(&state.routine, workspace.cursor.get(), at, aim)?;
    Some(SeamForecast::of_routine(&state, &with))
}
