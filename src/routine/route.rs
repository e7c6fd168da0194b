//! The way that a routine asks the torch to go, before anything runs.

use super::log::LegKind;
use super::steps::{Instruction, PathKind, Routine, StepId, Stop};
use super::structure::Structure;
use crate::cell::{Cell, SearchResult};
use crate::geometry::{Point3, Vector3, polyline};

/// One stretch of the way that a routine asks for.
#[derive(Debug, Clone, PartialEq)]
pub struct RouteLeg {
    /// The step.
    pub step: StepId,
    /// What it is.
    pub kind: LegKind,
    /// Where the torch goes, work frame, mm; at least two points.
    pub path: Vec<Point3<f64>>,
    /// Whether the wire carries sensing voltage.
    pub senses: bool,
    /// Whether it rides with a place.
    pub follows: bool,
    /// A search that meets nothing within its reach.
    pub misses: bool,
}

/// The corner that a move leaves its path for: the point, and how far before it, mm.
pub(super) type Corner = Option<(Point3<f64>, f64)>;

/// The path from where the torch is, through a corner it may be rounding, to `to`.
pub(super) fn way(
    cell: &Cell,
    (torch, corner): (Point3<f64>, Corner),
    path: PathKind,
    to: Point3<f64>,
) -> Vec<Point3<f64>> {
    let leg = |from: Point3<f64>| match path {
        PathKind::Joint => cell.joint_path(&from, &to),
        PathKind::Linear => vec![from, to],
    };
    let Some((corner, round)) = corner else { return leg(torch) };
    let straight = leg(corner);
    let join = round.min(polyline::length(&straight) / 2.0);
    let mut way = polyline::rounding(torch, corner, polyline::point_at(&straight, join));
    way.extend(polyline::tail(&straight, join).into_iter().skip(1));
    way
}

/// A way that the torch leaves this far before its end, mm, but not before its middle; all of it where
/// `round` is 0.
pub(super) fn until_corner(way: Vec<Point3<f64>>, round: f64) -> Vec<Point3<f64>> {
    if round <= 0.0 {
        return way;
    }
    let length = polyline::length(&way);
    polyline::head(&way, (length - round).max(length / 2.0))
}

/// How far before its end a move to a point leaves its path, mm: a rounding needs a later step that
/// moves.
pub(super) fn rounding_of(routine: &Routine, index: usize) -> f64 {
    let moves_on = || routine.steps[index + 1..].iter().any(|s| s.instruction.moves());
    match &routine.steps[index].instruction {
        Instruction::Move { stop: Stop::Round(mm), .. } if moves_on() => *mm,
        _ => 0.0,
    }
}

/// The way of a routine from its first point on, as the runner drives it where the part lies in `cell`:
/// every offset is none, nothing is in the way, and each search ends where it meets something. Steps
/// whose points are not taught are left out.
pub fn route(routine: &Routine, cell: &Cell) -> Vec<RouteLeg> {
    let structure = Structure::of(routine);
    let mut route = Route { cell, torch: None, legs: Vec::new() };
    for (i, step) in routine.steps.iter().enumerate() {
        let taught = step.instruction.point().and_then(|name| routine.point(name));
        let to = match (&step.instruction, taught) {
            (Instruction::TrimWire, _) => cell.part().cutter(),
            (_, Some(taught)) => taught.at,
            (_, None) => continue,
        };
        let leg = RouteLeg {
            step: step.id,
            kind: LegKind::Travel,
            path: Vec::new(),
            senses: structure.sensing_at(i).is_some(),
            follows: structure.follow_at(i).is_some(),
            misses: false,
        };
        match &step.instruction {
            Instruction::Move { way, .. } => route.go(&leg, *way, to, rounding_of(routine, i)),
            Instruction::Feel { way, direction, .. } => {
                route.go(&leg, *way, to, 0.0);
                route.search(&leg, to, direction, structure.search_of(i).1);
            }
            Instruction::TrimWire => route.go(&leg, PathKind::Joint, to, 0.0),
            Instruction::WeldStart { .. } => {
                let leg = RouteLeg { kind: LegKind::ToWeld, ..leg };
                route.go(&leg, PathKind::Linear, to, 0.0);
            }
            Instruction::WeldThrough { .. } | Instruction::WeldEnd { .. } => {
                let leg = RouteLeg { kind: LegKind::Weld, ..leg };
                route.go(&leg, PathKind::Linear, to, 0.0);
            }
            Instruction::SensingOn { .. }
            | Instruction::SensingOff
            | Instruction::Find { .. }
            | Instruction::Follow { .. }
            | Instruction::StopFollowing => {}
        }
    }
    route.legs
}

/// A route as far as it is known.
struct Route<'a> {
    cell: &'a Cell,
    /// Where the torch is, work frame, mm, and the corner it is rounding; `None` before the first point.
    torch: Option<(Point3<f64>, Corner)>,
    legs: Vec<RouteLeg>,
}

impl Route<'_> {
    /// Goes to a point; with `round`, mm, the torch leaves the path that far before it.
    fn go(&mut self, leg: &RouteLeg, path: PathKind, to: Point3<f64>, round: f64) {
        let Some(from) = self.torch else {
            self.torch = Some((to, None));
            return;
        };
        let path = until_corner(way(self.cell, from, path, to), round);
        let end = path.last().copied().unwrap_or(to);
        self.torch = Some((end, (round > 0.0).then_some((to, round))));
        self.legs.push(RouteLeg { path, ..leg.clone() });
    }

    /// Searches from a point, at most `reach`, mm.
    fn search(&mut self, leg: &RouteLeg, from: Point3<f64>, direction: &Vector3<f64>, reach: f64) {
        let found = self.cell.search(&from, direction, reach);
        let travel = match &found {
            SearchResult::Touch(touch) => touch.travel,
            SearchResult::Nothing => reach,
            SearchResult::AlreadyTouching { .. } => 0.0,
            SearchResult::Collision(hit) => hit.along,
        };
        let to = from + direction * travel;
        self.torch = Some((to, None));
        let misses = !matches!(found, SearchResult::Touch(_));
        self.legs.push(RouteLeg {
            kind: LegKind::Search,
            path: vec![from, to],
            misses,
            ..leg.clone()
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cell::{CellSettings, parts};
    use crate::routine::{Memory, RunLog, RunOptions, Runner, Step, TaughtPoint};

    fn point(name: &str, at: [f64; 3]) -> TaughtPoint {
        TaughtPoint { name: name.into(), at: Point3::from(at) }
    }

    fn go(to: &str, way: PathKind, stop: Stop) -> Instruction {
        Instruction::Move { to: to.into(), way, stop }
    }

    fn feel(from: &str, direction: Vector3<f64>) -> Instruction {
        let face = "face".into();
        Instruction::Feel { from: from.into(), way: PathKind::Joint, direction, face }
    }

    fn routine(points: Vec<TaughtPoint>, steps: Vec<Instruction>) -> Routine {
        let step = |(instruction, id)| Step { id: StepId(id), instruction };
        Routine { points, steps: steps.into_iter().zip(1..).map(step).collect() }
    }

    fn cell() -> Cell {
        let part = parts().into_iter().find(|p| p.name == "bench-side").expect("a part");
        Cell::new(&part, &CellSettings::default(), &[]).expect("it can be used")
    }

    /// A routine with every kind of way: bowed, straight, rounded, felt, welded, to the cutter.
    fn example() -> Routine {
        let points = vec![
            point("home", [-120.0, -120.0, 120.0]),
            point("south", [350.0, -16.0, 5.0]),
            point("clear", [-40.0, -40.0, 60.0]),
            point("approach", [80.0, 140.0, 60.0]),
            point("a", [80.0, 160.0, 12.0]),
            point("b", [360.0, 160.0, 12.0]),
        ];
        let steps = vec![
            go("home", PathKind::Joint, Stop::Full),
            Instruction::sensing_on(),
            feel("south", Vector3::y()),
            Instruction::SensingOff,
            go("clear", PathKind::Linear, Stop::Round(20.0)),
            go("approach", PathKind::Joint, Stop::Full),
            Instruction::WeldStart { to: "a".into() },
            Instruction::WeldEnd { to: "b".into() },
            Instruction::TrimWire,
            go("home", PathKind::Joint, Stop::Full),
        ];
        routine(points, steps)
    }

    fn run(routine: &Routine, cell: &mut Cell) -> RunLog {
        let mut memory = Memory { reference_flag: true, ..Memory::default() };
        let mut runner = Runner::new(RunOptions::new(1, 1), cell, routine.points[0].at);
        runner.advance(routine, cell, &mut memory, None);
        RunLog::clone(runner.log())
    }

    #[test]
    fn the_route_is_what_a_run_drives() {
        let (routine, mut cell) = (example(), cell());
        let route = route(&routine, &cell);
        let log = run(&routine, &mut cell);
        assert!(log.finished(), "the run comes to its end: {:?}", log.events);
        // The run starts at the first point: its first leg is a way to where it is.
        let driven: Vec<_> = log.legs.iter().skip(1).collect();
        assert_eq!(route.len(), driven.len(), "as many legs");
        for (planned, driven) in route.iter().zip(driven) {
            assert_eq!(planned.step, driven.step, "of the same step");
            assert_eq!(planned.kind, driven.kind, "of the same kind");
            let length = polyline::length(&planned.path);
            // A search runs on by its delay, and the next leg begins there.
            let differ = (length - polyline::length(&driven.path)).abs();
            assert!(differ < 1.0, "step {:?}: {length} mm, {differ} mm off", planned.step);
            for (p, d) in planned.path.iter().zip(&driven.path) {
                assert!((p - d).norm() < 1.0, "step {:?}: {p} and {d}", planned.step);
            }
        }
    }

    #[test]
    fn a_joint_move_bows_away_from_the_base_and_a_linear_one_is_straight() {
        let between = |way| {
            let points = vec![point("a", [0.0, -20.0, 50.0]), point("b", [400.0, -20.0, 50.0])];
            let steps = vec![go("a", PathKind::Linear, Stop::Full), go("b", way, Stop::Full)];
            let legs = route(&routine(points, steps), &cell());
            let [leg] = &legs[..] else { panic!("one leg, found {legs:?}") };
            polyline::point_at(&leg.path, polyline::length(&leg.path) / 2.0).y
        };
        assert_eq!(between(PathKind::Linear), -20.0, "straight");
        // The base stands 1420 mm north of the middle: sagitta c²/8r = 14 mm, to the south.
        let bow = -20.0 - between(PathKind::Joint);
        assert!((13.0..15.0).contains(&bow), "bowed by {bow} mm");
    }

    #[test]
    fn a_search_ends_at_its_face_or_at_its_reach() {
        let searched = |from: [f64; 3]| {
            let steps = vec![Instruction::sensing_on(), feel("p", Vector3::y())];
            let legs = route(&routine(vec![point("p", from)], steps), &cell());
            let [leg] = &legs[..] else { panic!("the search alone, found {legs:?}") };
            assert!(leg.senses && leg.kind == LegKind::Search, "a search with sensing on");
            (polyline::length(&leg.path), leg.misses)
        };
        let (length, misses) = searched([350.0, -16.0, 5.0]);
        assert!((length - 15.4).abs() < 1e-6 && !misses, "the wire's side at the face: {length}");
        assert_eq!(searched([350.0, -116.0, 5.0]), (30.0, true), "its reach");
    }

    #[test]
    fn a_step_without_its_point_is_left_out() {
        let points = vec![point("a", [0.0, -20.0, 50.0]), point("b", [400.0, -20.0, 50.0])];
        let to = |name| go(name, PathKind::Linear, Stop::Full);
        let follow = Instruction::Follow { place: "part".into() };
        let legs = route(&routine(points, vec![to("a"), to("gone"), follow, to("b")]), &cell());
        let [leg] = &legs[..] else { panic!("one leg, found {legs:?}") };
        assert_eq!(leg.step, StepId(4), "from a to b");
        assert!(leg.follows && !leg.senses, "while a place is followed");
    }
}
