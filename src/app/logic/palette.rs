//! What the palette offers, and the actions that put it into the routine.

use super::point_names::{numbered, plain};
use nudgeproof::cell::Part;
use nudgeproof::geometry::{Point3, Vector3};
use nudgeproof::routine::{Corner, HOME, Instruction, PathKind, ProbePlan, Routine};
use nudgeproof::session::Action;

/// A button of the palette: one step, or two that belong together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Piece {
    Home,
    BeginProbing,
    Arrive,
    FinishProbing,
    Clear,
    Follow,
    Approach,
    WeldStart,
    WeldEnd,
    Retreat,
    StopFollowing,
}

impl Piece {
    /// In the order a routine usually has them.
    pub(crate) const ALL: [Self; 11] = [
        Self::Home,
        Self::BeginProbing,
        Self::Arrive,
        Self::Clear,
        Self::FinishProbing,
        Self::Follow,
        Self::Approach,
        Self::WeldStart,
        Self::WeldEnd,
        Self::Retreat,
        Self::StopFollowing,
    ];

    /// Its part of the names for tests.
    pub(crate) fn id(self) -> &'static str {
        match self {
            Self::Home => "home",
            Self::BeginProbing => "begin-probing",
            Self::Arrive => "arrive",
            Self::FinishProbing => "finish-probing",
            Self::Clear => "clear",
            Self::Follow => "follow",
            Self::Approach => "approach",
            Self::WeldStart => "weld-start",
            Self::WeldEnd => "weld-end",
            Self::Retreat => "retreat",
            Self::StopFollowing => "stop-following",
        }
    }

    /// Whether it teaches a point where the torch is.
    pub(crate) fn teaches(self, routine: &Routine) -> bool {
        match self {
            Self::Home => routine.point(HOME).is_none(),
            Self::BeginProbing | Self::FinishProbing | Self::Follow | Self::StopFollowing => false,
            _ => true,
        }
    }
}

/// Name of the plan that a routine without one gets.
pub(super) const DEFAULT_PLAN: &str = "A";
/// Name of the offset that this plan fills.
pub(super) const DEFAULT_OFFSET: &str = "A";

/// Where a piece is put into the routine, and with what.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Placing<'a> {
    pub(crate) routine: &'a Routine,
    /// Tip of the wire, work frame, mm.
    pub(crate) torch: Point3<f64>,
    /// Place of the new step in the routine, from 0.
    pub(crate) at: usize,
    /// Direction of a probe step, unit vector.
    pub(crate) aim: Vector3<f64>,
    /// Face that a probe step is meant for.
    pub(crate) face: &'a str,
}

impl Placing<'_> {
    /// The actions that put a piece there, and how many steps they add.
    pub(crate) fn actions(&self, piece: Piece) -> (Vec<Action>, usize) {
        let offset =
            self.routine.plans.last().map_or(DEFAULT_OFFSET, |p| p.fills.as_str()).to_owned();
        match piece {
            Piece::Home => {
                let mut out = Vec::new();
                if self.routine.point(HOME).is_none() {
                    out.push(self.teach(HOME));
                }
                out.push(self.add(0, travel(HOME, PathKind::Joint)));
                (out, 1)
            }
            Piece::BeginProbing => {
                let mut out = Vec::new();
                let plan =
                    self.routine.plans.first().map_or(DEFAULT_PLAN, |p| p.name.as_str()).to_owned();
                if self.routine.plans.is_empty() {
                    out.push(Action::SetPlan {
                        plan: ProbePlan::new(DEFAULT_PLAN, DEFAULT_OFFSET),
                    });
                }
                out.push(self.add(0, Instruction::BeginProbing { plan }));
                (out, 1)
            }
            Piece::Arrive => {
                let name = numbered(self.routine, self.face);
                let probe = Instruction::Probe {
                    from: name.clone(),
                    direction: self.aim,
                    face: self.face.to_owned(),
                };
                let arrival = travel(&name, PathKind::Joint);
                (vec![self.teach(&name), self.add(0, arrival), self.add(1, probe)], 2)
            }
            Piece::FinishProbing => (vec![self.add(0, Instruction::FinishProbing)], 1),
            Piece::Clear => {
                let name = numbered(self.routine, "clear");
                (vec![self.teach(&name), self.add(0, travel(&name, PathKind::Linear))], 1)
            }
            Piece::Follow => (vec![self.add(0, Instruction::Follow { offset })], 1),
            Piece::StopFollowing => (vec![self.add(0, Instruction::StopFollowing)], 1),
            Piece::Approach => self.point_step("approach", |to| travel(&to, PathKind::Joint)),
            Piece::Retreat => self.point_step("retreat", |to| travel(&to, PathKind::Linear)),
            Piece::WeldStart => self.point_step("weld-start", |to| Instruction::WeldStart { to }),
            Piece::WeldEnd => self.point_step("weld-end", |to| Instruction::WeldEnd { to }),
        }
    }

    fn point_step(&self, stem: &str, act: impl Fn(String) -> Instruction) -> (Vec<Action>, usize) {
        let name = plain(self.routine, stem);
        (vec![self.teach(&name), self.add(0, act(name.clone()))], 1)
    }

    fn teach(&self, point: &str) -> Action {
        Action::Teach { point: point.into(), at: self.torch }
    }

    fn add(&self, further: usize, step: Instruction) -> Action {
        Action::AddStep { at: Some(self.at + further), step }
    }
}

/// The box that a part fills on the plan, mm: along X and along Y.
pub(crate) fn part_box(part: &Part) -> ([f64; 2], [f64; 2]) {
    let corners = part.bodies.iter().flat_map(|b| &b.outline.corners).map(|c| c.at);
    corners.fold(([f64::MAX, f64::MIN], [f64::MAX, f64::MIN]), |(x, y), c| {
        ([x[0].min(c.x), x[1].max(c.x)], [y[0].min(c.y), y[1].max(c.y)])
    })
}

/// A move with a full stop at its end.
pub(super) fn travel(to: &str, path: PathKind) -> Instruction {
    Instruction::Move { to: to.into(), path, corner: Corner::FullStop }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::routine::TaughtPoint;

    fn placing(routine: &Routine) -> Placing<'_> {
        let torch = Point3::new(-16.0, 35.0, 5.0);
        Placing { routine, torch, at: 0, aim: Vector3::x(), face: "west" }
    }

    #[test]
    fn arrival_and_probe_share_one_new_point() {
        let routine = Routine::default();
        let (actions, steps) = placing(&routine).actions(Piece::Arrive);
        assert_eq!(steps, 2, "arrival and probe step");
        let points: Vec<_> = actions
            .iter()
            .filter_map(|a| match a {
                Action::Teach { point, .. } => Some(point.as_str()),
                Action::AddStep { step, .. } => step.point(),
                _ => None,
            })
            .collect();
        assert_eq!(points, ["west-1", "west-1", "west-1"], "taught, arrived at, searched from");
    }

    #[test]
    fn a_second_home_step_does_not_teach_home_again() {
        let mut routine = Routine::default();
        assert_eq!(placing(&routine).actions(Piece::Home).0.len(), 2, "teach and go");
        let at = Point3::new(1.0, 2.0, 3.0);
        routine.points.push(TaughtPoint { name: HOME.into(), at });
        assert_eq!(placing(&routine).actions(Piece::Home).0.len(), 1, "only go");
    }
}
