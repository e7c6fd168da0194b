//! What the torch in hand snaps to on the plan and in height, and what it then stands in line with.

use super::distances::nearest;
use nudgeproof::geometry::{Point2, Point3};
use nudgeproof::routine::{Instruction, Routine};

/// A thing on the plan that the torch stands in line with or on.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum OnPlan {
    /// It stands at an end of the seam.
    SeamEnd(Point3<f64>),
    /// It stands on the seam, whose ends these are.
    Seam([Point3<f64>; 2]),
    /// It has the same X as the start of this feel.
    SameX(Start),
    /// It has the same Y as the start of this feel.
    SameY(Start),
}

/// The start of a feel: name of the point and where it is, work frame, mm.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Start {
    pub(crate) name: String,
    pub(crate) at: Point3<f64>,
}

/// A height that the torch stands level with, mm above the table.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Level {
    Start(Start),
    Seam(f64),
    /// The middle of the height of the face that a feel would meet.
    MidFace(f64),
}

impl Level {
    pub(crate) fn height(&self) -> f64 {
        match self {
            Self::Start(start) => start.at.z,
            Self::Seam(z) | Self::MidFace(z) => *z,
        }
    }
}

/// Everything to snap to. Work frame, mm.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Snaps {
    seams: Vec<[Point3<f64>; 2]>,
    /// Where feels start, the last first.
    starts: Vec<Start>,
    /// Middle of the height of the face ahead.
    mid_face: Option<f64>,
}

/// Nearer than this counts as in line, mm: half of the last digit shown.
const IN_LINE: f64 = 0.05;

impl Snaps {
    /// The seams as they lie, the starts of the feels of a routine but for the point that is held, and
    /// the middle of the height of the face ahead, mm.
    pub(crate) fn new(
        seams: Vec<[Point3<f64>; 2]>,
        routine: &Routine,
        held: Option<&str>,
        mid_face: Option<f64>,
    ) -> Self {
        let mut starts: Vec<Start> = Vec::new();
        for step in routine.steps.iter().rev() {
            if let Instruction::Feel { from, .. } = &step.instruction
                && held != Some(from.as_str())
                && let Some(point) = routine.point(from)
                && starts.iter().all(|s| s.name != point.name)
            {
                starts.push(Start { name: point.name.clone(), at: point.at });
            }
        }
        Self { seams, starts, mid_face }
    }

    /// The seams as they lie.
    pub(crate) fn seams(&self) -> &[[Point3<f64>; 2]] {
        &self.seams
    }

    /// Where on the plan the torch goes that is dragged to `wanted`: what lies within `reach`, mm, else
    /// a whole millimetre.
    pub(crate) fn on_plan(&self, wanted: Point2<f64>, reach: f64) -> Point2<f64> {
        let ends = self.seams.iter().flatten().map(Point3::xy);
        let near = |p: &Point2<f64>| (p - wanted).norm() < reach;
        if let Some(end) = ends.filter(near).min_by(|a, b| by_distance(&wanted, a, b)) {
            return end;
        }
        let feet = self.seams.iter().map(|seam| foot(&wanted, seam));
        if let Some(foot) = feet.filter(near).min_by(|a, b| by_distance(&wanted, a, b)) {
            return foot;
        }
        let axis = |wanted: f64, of: fn(&Start) -> f64| {
            let near = self.starts.iter().map(of).filter(|v| (v - wanted).abs() < reach);
            let nearest = near.min_by(|a, b| (a - wanted).abs().total_cmp(&(b - wanted).abs()));
            nearest.unwrap_or_else(|| wanted.round())
        };
        Point2::new(axis(wanted.x, |s| s.at.x), axis(wanted.y, |s| s.at.y))
    }

    /// The height that something goes to that is dragged to `wanted`, mm: what lies within `reach`, else
    /// a multiple of `step`.
    pub(crate) fn height(&self, wanted: f64, reach: f64, step: f64) -> f64 {
        let near = self.levels().map(|level| level.height());
        let near = near.filter(|z| (z - wanted).abs() < reach);
        let nearest = near.min_by(|a, b| (a - wanted).abs().total_cmp(&(b - wanted).abs()));
        nearest.unwrap_or_else(|| ((wanted / step).round() * step).max(0.0))
    }

    /// The height to feel a side at, mm: that of the last feel, else the middle of a face as high as `top`.
    pub(crate) fn feel_height(&self, top: f64) -> f64 {
        self.starts.first().map_or(top / 2.0, |start| start.at.z)
    }

    /// The point of a seam nearest to `wanted` on the plan, an end of it where one lies within `reach`, mm.
    pub(crate) fn on_seam(&self, wanted: Point2<f64>, reach: f64) -> Option<Point3<f64>> {
        let off = |seam: &[Point3<f64>; 2]| (foot(&wanted, seam) - wanted).norm();
        let seam = self.seams.iter().min_by(|a, b| off(a).total_cmp(&off(b)))?;
        let at = foot(&wanted, seam);
        let near = |end: &&Point3<f64>| (end.xy() - at).norm() < reach;
        if let Some(end) = seam.iter().find(near) {
            return Some(*end);
        }
        let [from, to] = seam;
        let length = (to.xy() - from.xy()).norm().max(1e-12);
        Some(from + (to - from) * ((at - from.xy()).norm() / length))
    }

    /// What the torch stands in line with on the plan: its place at the seam, or the last feel on each
    /// axis. A point that it stands at is not in line with it.
    pub(crate) fn in_line(&self, torch: &Point3<f64>) -> Vec<OnPlan> {
        let at = torch.xy();
        for seam in &self.seams {
            if let Some(end) = seam.iter().find(|end| (end.xy() - at).norm() < IN_LINE) {
                return vec![OnPlan::SeamEnd(*end)];
            }
            if (foot(&at, seam) - at).norm() < IN_LINE {
                return vec![OnPlan::Seam(*seam)];
            }
        }
        let elsewhere = |s: &&Start| (s.at.xy() - at).norm() > IN_LINE;
        let same = |of: fn(&Point3<f64>) -> f64| {
            let on = move |s: &&Start| (of(&s.at) - of(torch)).abs() < IN_LINE;
            self.starts.iter().filter(elsewhere).find(on).cloned()
        };
        let same_x = same(|p| p.x).map(OnPlan::SameX);
        same_x.into_iter().chain(same(|p| p.y).map(OnPlan::SameY)).collect()
    }

    /// What the torch stands level with: the seam, an earlier feel, or the middle of the face.
    pub(crate) fn level(&self, torch: &Point3<f64>) -> Option<Level> {
        let elsewhere = |level: &Level| match level {
            Level::Start(start) => (start.at.xy() - torch.xy()).norm() > IN_LINE,
            Level::Seam(_) | Level::MidFace(_) => true,
        };
        let on = |level: &Level| (level.height() - torch.z).abs() < IN_LINE;
        self.levels().find(|level| on(level) && elsewhere(level))
    }

    fn levels(&self) -> impl Iterator<Item = Level> {
        // A seam that is not level has no height of its own.
        let level = |[from, to]: &[Point3<f64>; 2]| (from.z - to.z).abs() < IN_LINE;
        let seams = self.seams.iter().filter(move |s| level(s)).map(|s| Level::Seam(s[0].z));
        let starts = self.starts.iter().cloned().map(Level::Start);
        starts.chain(seams).chain(self.mid_face.map(Level::MidFace))
    }
}

fn by_distance(from: &Point2<f64>, a: &Point2<f64>, b: &Point2<f64>) -> std::cmp::Ordering {
    (a - from).norm().total_cmp(&(b - from).norm())
}

/// The point of a seam that is nearest on the plan.
fn foot(p: &Point2<f64>, [from, to]: &[Point3<f64>; 2]) -> Point2<f64> {
    let level = |p: &Point2<f64>| Point3::new(p.x, p.y, 0.0);
    nearest(&level(p), [level(&from.xy()), level(&to.xy())]).xy()
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::geometry::Vector3;
    use nudgeproof::routine::{PathKind, Step, StepId, TaughtPoint};

    /// A seam from (80, 160) to (360, 160) at 12, and two feels.
    fn snaps() -> Snaps {
        snaps_holding(None)
    }

    fn snaps_holding(held: Option<&str>) -> Snaps {
        let point =
            |name: &str, x, y| TaughtPoint { name: name.into(), at: Point3::new(x, y, 5.0) };
        let feel = |id, from: &str| Step {
            id: StepId(id),
            instruction: Instruction::Feel {
                from: from.into(),
                way: PathKind::Joint,
                direction: Vector3::x(),
                face: "west".into(),
            },
        };
        let routine = Routine {
            points: vec![point("west-1", -16.0, 35.5), point("west-2", -17.0, 215.0)],
            steps: vec![feel(1, "west-1"), feel(2, "west-2")],
        };
        let seam = [80.0, 360.0].map(|x| Point3::new(x, 160.0, 12.0));
        Snaps::new(vec![seam], &routine, held, Some(6.0))
    }

    #[test]
    fn a_dragged_torch_snaps_to_the_nearest_thing_within_reach() {
        let snaps = snaps();
        let at = |x, y| snaps.on_plan(Point2::new(x, y), 4.0);
        assert_eq!(at(82.0, 161.5), Point2::new(80.0, 160.0), "the end of the seam");
        assert_eq!(at(200.3, 162.0), Point2::new(200.3, 160.0), "the seam");
        assert_eq!(at(-15.4, 100.4), Point2::new(-16.0, 100.0), "in line with the nearer feel");
        assert_eq!(at(-18.4, 100.4), Point2::new(-17.0, 100.0), "the other");
        assert_eq!(at(-60.2, 36.9), Point2::new(-60.0, 35.5), "the same Y");
        assert_eq!(at(-60.4, 100.4), Point2::new(-60.0, 100.0), "nothing near: whole millimetres");
        assert_eq!(at(-15.4, 36.0), Point2::new(-16.0, 35.5), "the point itself");
        let held = snaps_holding(Some("west-1")).on_plan(Point2::new(-15.4, 100.4), 4.0);
        assert_eq!(held, Point2::new(-17.0, 100.0), "a point in hand is not in its own way");
        let none = snaps.on_plan(Point2::new(82.0, 161.5), 0.0);
        assert_eq!(none, Point2::new(82.0, 162.0), "no reach");
    }

    #[test]
    fn a_height_snaps_to_a_feel_the_seam_and_the_middle_of_the_face() {
        let snaps = snaps();
        assert_eq!(snaps.height(4.2, 1.0, 1.0), 5.0, "a feel");
        assert_eq!(snaps.height(6.4, 1.0, 1.0), 6.0, "the middle of the face");
        assert_eq!(snaps.height(12.7, 1.0, 1.0), 12.0, "the seam");
        assert_eq!(snaps.height(40.4, 1.0, 1.0), 40.0, "whole millimetres");
        assert_eq!(snaps.height(40.4, 1.0, 0.5), 40.5, "half ones");
        assert_eq!(snaps.height(-3.0, 1.0, 1.0), 0.0, "not into the table");
    }

    #[test]
    fn a_side_is_felt_at_the_height_of_the_last_feel_or_half_way_up() {
        assert_eq!(snaps().feel_height(12.0), 5.0, "that of west-2");
        assert_eq!(Snaps::default().feel_height(12.0), 6.0, "nothing felt yet");
    }

    #[test]
    fn a_place_beside_a_seam_is_told_as_one_on_it() {
        let sloped = [Point3::new(0.0, 0.0, 10.0), Point3::new(100.0, 0.0, 20.0)];
        let snaps = Snaps::new(vec![sloped], &Routine::default(), None, None);
        let at = |x, y| snaps.on_seam(Point2::new(x, y), 4.0).expect("a seam");
        assert!((at(50.0, 7.0) - Point3::new(50.0, 0.0, 15.0)).norm() < 1e-9, "beside its middle");
        assert_eq!(at(97.0, -3.0), sloped[1], "near its end");
        assert_eq!(at(-30.0, 0.0), sloped[0], "beyond its start");
        assert_eq!(Snaps::default().on_seam(Point2::origin(), 4.0), None, "no seam");
    }

    #[test]
    fn the_torch_is_in_line_with_what_stands_elsewhere() {
        let snaps = snaps();
        let in_line = |x, y| snaps.in_line(&Point3::new(x, y, 5.0));
        let name = |found: &OnPlan| match found {
            OnPlan::SameX(start) => format!("X of {}", start.name),
            OnPlan::SameY(start) => format!("Y of {}", start.name),
            OnPlan::SeamEnd(_) => "end".into(),
            OnPlan::Seam(_) => "seam".into(),
        };
        let names = |x, y| in_line(x, y).iter().map(name).collect::<Vec<_>>();
        assert_eq!(names(-16.0, 100.0), ["X of west-1"], "one axis");
        assert_eq!(names(-16.0, 215.0), ["X of west-1", "Y of west-2"], "both");
        assert!(names(-16.0, 35.5).is_empty(), "not with itself");
        assert_eq!(names(80.0, 160.0), ["end"], "at an end of the seam");
        assert_eq!(names(200.0, 160.0), ["seam"], "on it");
        assert!(names(-50.0, 100.0).is_empty(), "with nothing");
    }

    #[test]
    fn the_torch_is_level_with_what_stands_elsewhere() {
        let snaps = snaps();
        let level = |x, y, z| snaps.level(&Point3::new(x, y, z));
        let west_2 = Start { name: "west-2".into(), at: Point3::new(-17.0, 215.0, 5.0) };
        assert_eq!(level(-16.0, 100.0, 5.0), Some(Level::Start(west_2)), "the last feel");
        assert_eq!(level(-16.0, 100.0, 12.0), Some(Level::Seam(12.0)), "the seam");
        assert_eq!(level(-16.0, 100.0, 6.0), Some(Level::MidFace(6.0)), "the middle of the face");
        assert_eq!(level(-16.0, 100.0, 8.0), None, "nothing");
    }
}
