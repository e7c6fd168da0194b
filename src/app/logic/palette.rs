//! From a press on the palette to the actions it stands for.

use super::names::{numbered, plain};
use nudgeproof::cell::Part;
use nudgeproof::geometry::{Point3, Vector3};
use nudgeproof::routine::{Corner, HOME, Instruction, PathKind, ProbePlan, Routine};
use nudgeproof::session::Action;

/// What the palette offers.
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

    /// Its name in addresses of page elements.
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

    /// Whether it teaches the place of the torch.
    pub(crate) fn teaches(self, routine: &Routine) -> bool {
        match self {
            Self::Home => routine.point(HOME).is_none(),
            Self::BeginProbing | Self::FinishProbing | Self::Follow | Self::StopFollowing => false,
            _ => true,
        }
    }
}

/// Name of the plan, and of the offset it fills, that a routine without one gets.
const PLAN: &str = "A";
const OFFSET: &str = "A";

/// Where and how a piece is put into the routine.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Placing<'a> {
    pub(crate) routine: &'a Routine,
    /// Where the torch stands, work frame, mm.
    pub(crate) torch: Point3<f64>,
    /// Place of the new step, from 0.
    pub(crate) at: usize,
    /// For a probe step: its direction and the face it is meant for.
    pub(crate) aim: Vector3<f64>,
    pub(crate) face: &'a str,
}

impl Placing<'_> {
    /// The actions that put it there, and how many steps they add.
    pub(crate) fn actions(&self, piece: Piece) -> (Vec<Action>, usize) {
        let offset = self.routine.plans.last().map_or(OFFSET, |p| p.fills.as_str()).to_owned();
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
                let plan = self.routine.plans.first().map_or(PLAN, |p| p.name.as_str()).to_owned();
                if self.routine.plans.is_empty() {
                    out.push(Action::SetPlan { plan: ProbePlan::new(PLAN, OFFSET) });
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

fn travel(to: &str, path: PathKind) -> Instruction {
    Instruction::Move { to: to.into(), path, corner: Corner::FullStop }
}

/// The kinds a step can be changed into.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    Move,
    Probe,
    BeginProbing,
    FinishProbing,
    Follow,
    StopFollowing,
    WeldStart,
    WeldEnd,
}

impl Kind {
    pub(crate) const ALL: [Self; 8] = [
        Self::Move,
        Self::Probe,
        Self::BeginProbing,
        Self::FinishProbing,
        Self::Follow,
        Self::StopFollowing,
        Self::WeldStart,
        Self::WeldEnd,
    ];

    pub(crate) fn of(act: &Instruction) -> Self {
        match act {
            Instruction::Move { .. } => Self::Move,
            Instruction::Probe { .. } => Self::Probe,
            Instruction::BeginProbing { .. } => Self::BeginProbing,
            Instruction::FinishProbing => Self::FinishProbing,
            Instruction::Follow { .. } => Self::Follow,
            Instruction::StopFollowing => Self::StopFollowing,
            Instruction::WeldStart { .. } => Self::WeldStart,
            Instruction::WeldEnd { .. } => Self::WeldEnd,
        }
    }

    /// Its name in page elements.
    pub(crate) fn id(self) -> &'static str {
        match self {
            Self::Move => "move",
            Self::Probe => "probe",
            Self::BeginProbing => "begin-probing",
            Self::FinishProbing => "finish-probing",
            Self::Follow => "follow",
            Self::StopFollowing => "stop-following",
            Self::WeldStart => "weld-start",
            Self::WeldEnd => "weld-end",
        }
    }

    /// The step as this kind: it keeps its point; what it lacks comes from the routine.
    pub(crate) fn retype(self, act: &Instruction, routine: &Routine) -> Instruction {
        let point = act
            .point()
            .or_else(|| routine.points.first().map(|p| p.name.as_str()))
            .unwrap_or(HOME)
            .to_owned();
        match self {
            Self::Move => travel(&point, PathKind::Joint),
            Self::Probe => {
                Instruction::Probe { from: point, direction: Vector3::x(), face: "west".into() }
            }
            Self::BeginProbing => Instruction::BeginProbing {
                plan: routine.plans.first().map_or(PLAN, |p| p.name.as_str()).into(),
            },
            Self::FinishProbing => Instruction::FinishProbing,
            Self::Follow => Instruction::Follow {
                offset: routine.plans.first().map_or(OFFSET, |p| p.fills.as_str()).into(),
            },
            Self::StopFollowing => Instruction::StopFollowing,
            Self::WeldStart => Instruction::WeldStart { to: point },
            Self::WeldEnd => Instruction::WeldEnd { to: point },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::routine::{Step, StepId, TaughtPoint};

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

    #[test]
    fn a_retyped_step_keeps_its_point() {
        let routine = Routine {
            steps: vec![Step {
                id: StepId(1),
                instruction: Instruction::WeldStart { to: "w".into() },
            }],
            ..Routine::default()
        };
        for kind in Kind::ALL {
            let act = kind.retype(&routine.steps[0].instruction, &routine);
            assert_eq!(Kind::of(&act), kind, "it is what was asked for");
            assert!(act.point().is_none_or(|p| p == "w"), "{act:?} lost its point");
        }
    }
}
