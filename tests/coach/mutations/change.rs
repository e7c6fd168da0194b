//! What mistakes and harmless changes are made of.

use super::draft::Draft;
use super::rng::Rng;
use nudgeproof::cell::{Joint, ModelTouch};
use nudgeproof::coach::RuleName;
use nudgeproof::geometry::{Point3, Pose, Vector3};
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::{Instruction, PathKind, RunSpeed, Stop};
use nudgeproof::session::{Action, CellState};

/// Makes a change; false if this session cannot carry it.
pub(crate) type Change = fn(&mut Draft, &mut Rng) -> bool;

/// A single mistake.
pub(crate) struct Mutation {
    /// In a few words.
    pub(crate) what: &'static str,
    /// The rule that names it.
    pub(crate) rule: RuleName,
    /// Rules that are broken by it just as plainly.
    pub(crate) and: &'static [RuleName],
    /// Makes it; false if this session cannot carry it.
    pub(crate) make: Change,
}

pub(crate) const fn m(what: &'static str, rule: RuleName, make: Change) -> Mutation {
    Mutation { what, rule, and: &[], make }
}

pub(crate) const fn and(
    what: &'static str,
    rule: RuleName,
    and: &'static [RuleName],
    make: Change,
) -> Mutation {
    Mutation { what, rule, and, make }
}

pub(crate) fn is_home(a: &Instruction) -> bool {
    a.is_home()
}
pub(crate) fn is_on(a: &Instruction) -> bool {
    matches!(a, Instruction::SensingOn { .. })
}
pub(crate) fn is_off(a: &Instruction) -> bool {
    matches!(a, Instruction::SensingOff)
}
pub(crate) fn is_find(a: &Instruction) -> bool {
    matches!(a, Instruction::Find { .. })
}
pub(crate) fn is_follow(a: &Instruction) -> bool {
    matches!(a, Instruction::Follow { .. })
}
pub(crate) fn is_stop(a: &Instruction) -> bool {
    matches!(a, Instruction::StopFollowing)
}
pub(crate) fn is_start(a: &Instruction) -> bool {
    matches!(a, Instruction::WeldStart { .. })
}
pub(crate) fn is_end(a: &Instruction) -> bool {
    matches!(a, Instruction::WeldEnd { .. })
}
pub(crate) fn is_trim(a: &Instruction) -> bool {
    matches!(a, Instruction::TrimWire)
}
pub(crate) fn goes(a: &Instruction, prefix: &str) -> bool {
    matches!(a, Instruction::Move { to, .. } if to.starts_with(prefix))
}

/// Drops the first step that satisfies the test.
pub(crate) fn drop_first(d: &mut Draft, test: fn(&Instruction) -> bool) -> bool {
    let at = d.find(test);
    at.map(|i| d.drop_step(i)).is_some()
}

/// Drops every step that satisfies the test.
pub(crate) fn drop_all(d: &mut Draft, test: fn(&Instruction) -> bool) -> bool {
    let before = d.routine.steps.len();
    d.routine.steps.retain(|s| !test(&s.instruction));
    d.routine.steps.len() < before
}

/// Place of a step that there is.
#[track_caller]
pub(crate) fn at(d: &Draft, test: fn(&Instruction) -> bool) -> usize {
    d.find(test).expect("such a step")
}

/// Place of the last step of a kind that there is.
#[track_caller]
pub(crate) fn last(d: &Draft, test: fn(&Instruction) -> bool) -> usize {
    d.rfind(test).expect("such a step")
}

pub(crate) fn any_feel(d: &Draft, rng: &mut Rng) -> usize {
    let feels = d.feels();
    feels[rng.below(feels.len())]
}

pub(crate) fn last_feel(d: &Draft) -> usize {
    *d.feels().last().expect("a feel")
}

pub(crate) fn point_of(d: &Draft, i: usize) -> String {
    d.act(i).point().expect("a point").to_owned()
}

pub(crate) fn go(to: &str, way: PathKind) -> Instruction {
    Instruction::Move { to: to.into(), way, stop: Stop::Full }
}

pub(crate) fn run(speed: RunSpeed, arc: bool) -> Action {
    Action::Run { speed, arc, steps: None }
}

pub(crate) fn reduced() -> Action {
    run(RunSpeed::Reduced, false)
}

/// The cell is made ready to run, or stays so: hands that go in next are in danger.
pub(crate) const READY: Action = Action::SetCell { state: CellState::Ready };

pub(crate) fn flag(on: bool) -> Action {
    Action::SetReference { on }
}

pub(crate) fn set_may(d: &mut Draft, ticked: Freedoms) -> bool {
    let find = at(d, is_find);
    if let Instruction::Find { may, .. } = &mut d.routine.steps[find].instruction {
        *may = ticked;
    }
    true
}

/// The change of every *sensing on* to this speed, mm/s, and reach, mm.
pub(crate) fn sensing(d: &Draft, speed_mm_s: f64, reach_mm: f64) -> Vec<Action> {
    let on = d.routine.steps.iter().filter(|s| is_on(&s.instruction));
    let step = Instruction::SensingOn { speed_mm_s, reach_mm };
    on.map(|s| Action::ChangeStep { id: s.id, step: step.clone() }).collect()
}

pub(crate) fn feel_mut(d: &mut Draft, i: usize) -> (&mut Vector3<f64>, &mut String) {
    match &mut d.routine.steps[i].instruction {
        Instruction::Feel { direction, face, .. } => (direction, face),
        _ => panic!("a feel"),
    }
}

pub(crate) fn direction_of(d: &Draft, i: usize) -> Vector3<f64> {
    match d.act(i) {
        Instruction::Feel { direction, .. } => *direction,
        _ => panic!("a feel"),
    }
}

/// A direction square to a search, in which its touch would slide along the face.
pub(crate) fn along_face(direction: &Vector3<f64>) -> Vector3<f64> {
    if direction.z.abs() > 0.5 { Vector3::x() } else { Vector3::z().cross(direction) }
}

/// Two feels in a row that touch one face.
pub(crate) fn pair(d: &Draft) -> Option<(usize, usize)> {
    let face = |i: usize| match d.act(i) {
        Instruction::Feel { face, .. } => face.clone(),
        _ => String::new(),
    };
    let feels = d.feels();
    feels.windows(2).find(|w| face(w[0]) == face(w[1])).map(|w| (w[0], w[1]))
}

/// Whether a search goes down, along the wire: no other notices another stick-out.
pub(crate) fn feels_from_above(d: &Draft) -> bool {
    d.feels().into_iter().any(|i| direction_of(d, i).z < -0.5)
}

/// Whether the wire is trimmed in every run before it feels.
pub(crate) fn trims_first(d: &Draft) -> bool {
    d.find(is_trim).is_some_and(|trim| trim < d.feels()[0])
}

pub(crate) fn turns(d: &Draft) -> bool {
    d.may().rotates()
}

/// Pauses the last run, at reduced speed, after this many steps, and does something there.
pub(crate) fn pause_in_the_last_run(
    d: &mut Draft,
    steps: usize,
    what: impl IntoIterator<Item = Action>,
) {
    let last = d.last_run();
    d.actions[last] = Action::Run { speed: RunSpeed::Reduced, arc: false, steps: Some(steps) };
    d.actions.extend(what);
    d.actions.push(Action::Resume { steps: None });
}

/// The moved part is welded, after a dry run.
pub(crate) fn weld(d: &mut Draft) {
    let nudge = d.nudge();
    d.actions.truncate(nudge + 1);
    d.actions.extend([reduced(), run(RunSpeed::Reduced, true)]);
}

/// Whether no other feel touches the face of this one.
pub(crate) fn is_alone(d: &Draft, feel: usize) -> bool {
    let face = |i: usize| match d.act(i) {
        Instruction::Feel { face, .. } => face.clone(),
        _ => String::new(),
    };
    d.feels().into_iter().filter(|i| face(*i) == face(feel)).count() == 1
}

/// Gives every *sensing on* this reach, mm.
pub(crate) fn set_reach(d: &mut Draft, mm: f64) {
    for step in &mut d.routine.steps {
        if let Instruction::SensingOn { reach_mm, .. } = &mut step.instruction {
            *reach_mm = mm;
        }
    }
}

/// Turns a search on the plan, counter-clockwise, degrees.
pub(crate) fn turn_search(d: &mut Draft, feel: usize, degrees: f64) {
    let (sin, cos) = libm::sincos(degrees.to_radians());
    let (direction, _) = feel_mut(d, feel);
    *direction = Vector3::new(
        cos * direction.x - sin * direction.y,
        sin * direction.x + cos * direction.y,
        direction.z,
    );
}

/// Whether the routine finds one place alone: with several, a find or follow that stands elsewhere
/// takes the touches of the next one, or follows that.
pub(crate) fn one_place(d: &Draft) -> bool {
    d.part.fine_places().is_empty()
}

/// Whether the part is felt from outside, and not in a gap or an opening: there a search the other way
/// meets the wall behind, and a part that lies far off bends the wire.
pub(crate) fn felt_from_outside(d: &Draft) -> bool {
    let gap = d.part.seams.iter().any(|s| matches!(s.joint, Joint::Butt(_)));
    let in_a_hole = |p: &Point3<f64>| {
        let mut holes = d.part.bodies.iter().flat_map(|b| &b.holes);
        holes.any(|hole| {
            let (low, high) = hole.bounds();
            low.x < p.x && p.x < high.x && low.y < p.y && p.y < high.y
        })
    };
    let level = |t: &&ModelTouch| t.direction[2].abs() < 0.5;
    !gap && !d.part.model_touches.iter().filter(level).any(|t| in_a_hole(&t.from))
}

/// Puts the part so far off that a search finds nothing; and the action that moves it in the draft.
pub(crate) fn far_off(d: &Draft) -> Option<(Action, Action)> {
    if !felt_from_outside(d) {
        return None;
    }
    let (_, b) = pair(d)?;
    let direction = direction_of(d, b);
    let away = Pose::planar(direction.x * 28.0, direction.y * 28.0, 0.0);
    let level = direction.z.abs() < 0.5;
    level.then(|| (Action::place_part(away), d.actions[d.nudge()].clone()))
}
