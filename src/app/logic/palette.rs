//! What the palette offers, and the actions that put it into the routine.

use super::point_names::{numbered, plain};
use crate::app::i18n::Key;
use nudgeproof::cell::Part;
use nudgeproof::geometry::{Point3, Vector3};
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::{HOME, Instruction, PART_PLACE, PathKind, Routine, Stop, Structure};
use nudgeproof::session::Action;

/// A button of the palette: one step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Piece {
    Home,
    GoTo,
    SensingOn,
    Feel,
    SensingOff,
    Find,
    Follow,
    WeldFrom,
    WeldThrough,
    WeldTo,
    StopFollowing,
    TrimWire,
}

impl Piece {
    /// What a piece is called in the palette and in the help.
    pub(crate) const fn name(self) -> Key {
        match self {
            Self::Home => Key::AddHome,
            Self::GoTo => Key::AddGoTo,
            Self::SensingOn => Key::SensingOn,
            Self::Feel => Key::AddFeel,
            Self::SensingOff => Key::SensingOff,
            Self::Find => Key::AddFind,
            Self::Follow => Key::AddFollow,
            Self::WeldFrom => Key::AddWeldFrom,
            Self::WeldThrough => Key::AddWeldThrough,
            Self::WeldTo => Key::AddWeldTo,
            Self::StopFollowing => Key::StopFollowing,
            Self::TrimWire => Key::TrimWire,
        }
    }

    /// In the order a routine usually has them.
    pub(crate) const ALL: [Self; 12] = [
        Self::Home,
        Self::GoTo,
        Self::SensingOn,
        Self::Feel,
        Self::SensingOff,
        Self::Find,
        Self::Follow,
        Self::WeldFrom,
        Self::WeldThrough,
        Self::WeldTo,
        Self::StopFollowing,
        Self::TrimWire,
    ];

    /// Its part of the names for tests.
    pub(crate) fn id(self) -> &'static str {
        match self {
            Self::Home => "home",
            Self::GoTo => "go-to",
            Self::SensingOn => "sensing-on",
            Self::Feel => "feel",
            Self::SensingOff => "sensing-off",
            Self::Find => "find",
            Self::Follow => "follow",
            Self::WeldFrom => "weld-from",
            Self::WeldThrough => "weld-through",
            Self::WeldTo => "weld-to",
            Self::StopFollowing => "stop-following",
            Self::TrimWire => "trim",
        }
    }

    /// Whether it teaches a point where the torch is.
    pub(crate) fn teaches(self, routine: &Routine) -> bool {
        match self {
            Self::Home => routine.point(HOME).is_none(),
            Self::GoTo | Self::Feel | Self::WeldFrom | Self::WeldThrough | Self::WeldTo => true,
            Self::SensingOn
            | Self::SensingOff
            | Self::Find
            | Self::Follow
            | Self::StopFollowing
            | Self::TrimWire => false,
        }
    }
}

/// What a new find takes the part to have done: it slid on the table.
pub(super) const NEW_FREEDOMS: Freedoms = Freedoms::SLIDE_XY;

/// Where a piece is put into the routine, and with what.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Placing<'a> {
    pub(crate) routine: &'a Routine,
    /// Tip of the wire, work frame, mm.
    pub(crate) torch: Point3<f64>,
    /// Place of the new step in the routine, from 0.
    pub(crate) at: usize,
    /// Direction of a feel, unit vector.
    pub(crate) aim: Vector3<f64>,
    /// Face that a feel is meant for.
    pub(crate) face: &'a str,
}

impl Placing<'_> {
    /// The actions that put a piece there; the last of them adds its step.
    pub(crate) fn actions(&self, piece: Piece) -> Vec<Action> {
        let routine = self.routine;
        match piece {
            Piece::Home if routine.point(HOME).is_some() => {
                vec![self.add(travel(HOME, PathKind::Joint))]
            }
            Piece::Home => self.taught(HOME, |to| travel(&to, PathKind::Joint)),
            Piece::GoTo => self.go_to(),
            Piece::SensingOn => vec![self.add(Instruction::sensing_on())],
            Piece::Feel => self.taught(&numbered(routine, self.face), |from| Instruction::Feel {
                from,
                way: PathKind::Joint,
                direction: self.aim,
                face: self.face.to_owned(),
            }),
            Piece::SensingOff => vec![self.add(Instruction::SensingOff)],
            Piece::Find => {
                vec![self.add(Instruction::Find { place: self.new_place(), may: NEW_FREEDOMS })]
            }
            Piece::Follow => vec![self.add(Instruction::Follow { place: self.last_place() })],
            Piece::StopFollowing => vec![self.add(Instruction::StopFollowing)],
            Piece::WeldFrom => {
                self.taught(&plain(routine, "weld-start"), |to| Instruction::WeldStart { to })
            }
            Piece::WeldThrough => {
                self.taught(&plain(routine, "weld-through"), |to| Instruction::WeldThrough { to })
            }
            Piece::WeldTo => {
                self.taught(&plain(routine, "weld-end"), |to| Instruction::WeldEnd { to })
            }
            Piece::TrimWire => vec![self.add(Instruction::TrimWire)],
        }
    }

    /// A move to a new point, named for where it stands: in a follow an approach, or after a weld a
    /// retreat; anywhere else a point clear of the part.
    fn go_to(&self) -> Vec<Action> {
        if !self.follows() {
            let name = numbered(self.routine, "clear");
            return self.taught(&name, |to| travel(&to, PathKind::Linear));
        }
        let before = self.routine.steps.get(..self.at).unwrap_or_default();
        let last = before.iter().rev().find(|s| s.instruction.moves());
        if matches!(last.map(|s| &s.instruction), Some(Instruction::WeldEnd { .. })) {
            let name = plain(self.routine, "retreat");
            self.taught(&name, |to| travel(&to, PathKind::Linear))
        } else {
            let name = plain(self.routine, "approach");
            self.taught(&name, |to| travel(&to, PathKind::Joint))
        }
    }

    /// Whether a place is followed there.
    fn follows(&self) -> bool {
        let structure = Structure::of(self.routine);
        self.at.checked_sub(1).is_some_and(|i| structure.follow_at(i).is_some())
    }

    /// The place that a find there works out: the part, or, while a place is followed, a new one that
    /// rides on it.
    fn new_place(&self) -> String {
        if !self.follows() {
            return PART_PLACE.to_owned();
        }
        let places = self.routine.places();
        let names = (2..=places.len() + 2).map(|n| format!("place-{n}"));
        names.into_iter().find(|name| !places.contains(&name.as_str())).unwrap_or_default()
    }

    /// The place that the last find before works out.
    fn last_place(&self) -> String {
        let before = self.routine.steps.get(..self.at).unwrap_or_default();
        let found = before.iter().rev().find_map(|s| match &s.instruction {
            Instruction::Find { place, .. } => Some(place.as_str()),
            _ => None,
        });
        found.unwrap_or(PART_PLACE).to_owned()
    }

    /// A step at a point that is taught where the torch is.
    fn taught(&self, point: &str, step: impl Fn(String) -> Instruction) -> Vec<Action> {
        let teach = Action::Teach { point: point.into(), at: self.torch };
        vec![teach, self.add(step(point.to_owned()))]
    }

    fn add(&self, step: Instruction) -> Action {
        Action::AddStep { at: Some(self.at), step }
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
pub(super) fn travel(to: &str, way: PathKind) -> Instruction {
    Instruction::Move { to: to.into(), way, stop: Stop::Full }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::cell::first_part;
    use nudgeproof::session::{Header, Session};

    /// A routine of these pieces, one after the other.
    fn built(pieces: &[Piece]) -> Routine {
        let part = first_part();
        let mut session = Session::new(Header::new(part, 1)).expect("a session");
        for piece in pieces {
            let routine = session.state().routine.clone();
            let at = routine.steps.len();
            let torch = Point3::new(-16.0, 35.0, 5.0);
            let placing = Placing { routine: &routine, torch, at, aim: Vector3::x(), face: "west" };
            session.act_all(placing.actions(*piece)).expect("it can be done");
        }
        Routine::clone(&session.state().routine)
    }

    fn points(pieces: &[Piece]) -> Vec<String> {
        built(pieces).points.into_iter().map(|p| p.name).collect()
    }

    #[test]
    fn each_piece_is_one_step_and_teaches_at_most_one_point() {
        for piece in Piece::ALL {
            let routine = built(&[piece]);
            assert_eq!(routine.steps.len(), 1, "{piece:?}");
            let taught = routine.points.len();
            assert_eq!(taught, usize::from(piece.teaches(&Routine::default())), "{piece:?}");
            assert_eq!(routine.steps[0].instruction.point().is_some(), taught == 1, "{piece:?}");
        }
    }

    #[test]
    fn a_second_home_step_does_not_teach_home_again() {
        let routine = built(&[Piece::Home, Piece::Home]);
        assert_eq!((routine.steps.len(), routine.points.len()), (2, 1), "one home for both");
    }

    #[test]
    fn a_new_point_is_named_for_where_it_stands() {
        use Piece::{Find, Follow, GoTo, StopFollowing, WeldFrom, WeldTo};
        let pieces =
            [GoTo, Find, GoTo, Follow, GoTo, WeldFrom, WeldTo, GoTo, GoTo, StopFollowing, GoTo];
        let names = [
            "clear-1",
            "clear-2",
            "approach",
            "weld-start",
            "weld-end",
            "retreat",
            "approach-2",
            "clear-3",
        ];
        assert_eq!(points(&pieces), names);
    }

    #[test]
    fn a_find_that_rides_on_a_place_works_out_another_which_is_then_followed() {
        use Piece::{Feel, Find, Follow};
        let routine = built(&[Feel, Find, Follow, Feel, Find, Follow, Feel, Find]);
        let places: Vec<_> = routine.steps.iter().filter_map(|s| s.instruction.place()).collect();
        assert_eq!(places, ["part", "part", "place-2", "place-2", "place-3"]);
    }
}
