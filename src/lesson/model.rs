//! The model routine of a part: it feels, finds and welds without a mistake. Solutions and worked
//! examples use it.

use crate::cell::{Joint, ModelTouch, Part, Seam};
use crate::geometry::{Point3, Pose, Vector3};
use crate::routine::{
    EventKind, HOME, Instruction, PART_PLACE, PathKind, Routine, RunLog, RunSpeed, Step, Stop,
    TaughtPoint,
};
use crate::session::{Action, ActionError, Header, Session, Study};

/// From the resting place of the torch to home: towards the part along X and Y, and down, mm.
const HOME_FROM_REST: [f64; 3] = [40.0, 60.0, -80.0];
/// Going round a corner, the torch stays this far outside the start of a search, mm.
const ROUND: f64 = 24.0;
/// How far the torch backs off after the last touch of a face, mm.
const BACK_OFF: f64 = 44.0;
/// Between touches the torch travels this far above the search, mm, and at least at this height.
const RISE: f64 = 45.0;
const LEAST_HEIGHT: f64 = 60.0;
/// Approach and retreat from the ends of the seam: up, and so far to the side to which a torch leans that
/// leans by 45°, mm. Into a gap it goes straight down.
const OFF_SEAM: f64 = 20.0;
const ABOVE_SEAM: f64 = 48.0;

/// The touches of a place, face by face; the last touch of a face is the one nearest to the next face.
pub(super) type Faces = Vec<Vec<ModelTouch>>;

/// How the torch gets from touch to touch.
#[derive(Clone, Copy, PartialEq)]
enum Ways {
    /// Along a face, and round the corner to the next; the faces in the part's own order, or reversed.
    Beside { turned: bool },
    /// Up from each touch, and straight down to the next: where another body stands close in front.
    FromAbove,
}

/// The touches that find this part in the order in which they are made, and the routine: with the
/// first ways on which the torch hits nothing.
pub(super) fn job(part: &Part, backwards: bool) -> (Faces, Routine) {
    let mut jobs = jobs(part, backwards);
    let first = jobs.next().expect("there are three ways");
    if clear(part, &first.1) {
        return first;
    }
    jobs.find(|(_, routine)| clear(part, routine)).unwrap_or(first)
}

/// The job in each of the ways to get from touch to touch, the usual one first.
fn jobs(part: &Part, backwards: bool) -> impl Iterator<Item = (Faces, Routine)> {
    let beside = [Ways::Beside { turned: false }, Ways::Beside { turned: true }];
    // Between the walls of a gap there is no room for ways from wall to wall, wherever the part lies.
    let in_a_gap = part.seams.iter().any(|seam| matches!(seam.joint, Joint::Butt(_)));
    let all = [if in_a_gap { Ways::FromAbove } else { beside[0] }, beside[1], Ways::FromAbove];
    let job = move |ways: Ways| {
        let faces = touches(part, None, ways);
        let routine = routine(part, &faces, ways, backwards);
        (faces, routine)
    };
    all.into_iter().map(job)
}

/// The routine that feels for this part, finds it, and welds its seams without a mistake.
pub fn model_routine(part: &Part) -> Routine {
    job(part, false).1
}

/// The same, with the first ways on which the torch hits nothing wherever the fixture lets the part lie; with the session in which its reference is taken. `None` where there are no such ways.
pub(super) fn sure_job(part: &Part, seed: u64) -> Option<Session> {
    let session = |(_, routine): (Faces, Routine)| with_reference(part, routine, seed).ok();
    let everywhere = |study: Study| study.logs_at_limits().all(|run| is_clear(&run));
    jobs(part, false).filter_map(session).find(|session| {
        session.state().last_run().is_some_and(|run| is_clear(run))
            && Study::new(session.state(), seed).is_ok_and(everywhere)
    })
}

/// A session in which the part has this routine, and the reference is taken.
pub(super) fn with_reference(
    part: &Part,
    routine: Routine,
    seed: u64,
) -> Result<Session, ActionError> {
    let mut session = Session::new(Header::new(part.clone(), seed))?;
    session.act_all([
        Action::LoadRoutine { routine },
        Action::SetReference { on: true },
        Action::Run { speed: RunSpeed::Reduced, arc: false, steps: None },
        Action::SetReference { on: false },
    ])?;
    Ok(session)
}

/// Whether a run came to its end, and the wire stayed straight.
fn is_clear(run: &RunLog) -> bool {
    run.finished() && !run.events.iter().any(|e| matches!(e.what, EventKind::WireBent { .. }))
}

/// The welds of this part's seams alone, as for a part that never moves.
pub fn plain_routine(part: &Part) -> Routine {
    plain(part, false)
}

/// Whether nothing is in the way of a routine with the part as drawn.
fn clear(part: &Part, routine: &Routine) -> bool {
    with_reference(part, routine.clone(), 0)
        .is_ok_and(|s| s.state().last_run().is_some_and(|run| is_clear(run)))
}

/// The touches of the part's layout that find this place.
fn touches(part: &Part, place: Option<&str>, ways: Ways) -> Faces {
    let turned = ways == Ways::Beside { turned: true };
    let mut faces: Vec<Vec<ModelTouch>> = Vec::new();
    for t in part.layout_of(place) {
        match faces.iter_mut().find(|f| f[0].face == t.face) {
            Some(face) => face.push(t.clone()),
            None => faces.push(vec![t.clone()]),
        }
    }
    if turned {
        faces.reverse();
    }
    for i in 0..faces.len() {
        if i + 1 < faces.len() {
            let next = middle(&faces[i + 1]);
            let distance = |t: &ModelTouch| (t.from - next).norm();
            faces[i].sort_by(|a, b| distance(b).total_cmp(&distance(a)));
        } else if i > 0
            && let Some(last) = faces[i - 1].last().map(|t| t.from)
        {
            let distance = |t: &ModelTouch| (t.from - last).norm();
            faces[i].sort_by(|a, b| distance(a).total_cmp(&distance(b)));
        }
    }
    faces
}

fn middle(face: &[ModelTouch]) -> Point3<f64> {
    let sum: Vector3<f64> = face.iter().map(|t| t.from.coords).sum();
    Point3::from(sum / face.len() as f64)
}

/// The whole routine: feels for the part and finds it, then, riding on it, each end that has a place of
/// its own; and welds every seam while following its place. `backwards` welds from the seams' second
/// ends.
fn routine(part: &Part, faces: &Faces, ways: Ways, backwards: bool) -> Routine {
    let mut w = Writer::default();
    let home = home(part);
    w.home(home);
    w.step(Instruction::sensing_on());
    w.feel(faces, ways);
    w.step(Instruction::SensingOff);
    let mut followed = PART_PLACE;
    let named = |place: &str| place.to_owned();
    w.step(Instruction::Find { place: named(PART_PLACE), may: part.play.freedoms() });
    w.step(Instruction::Follow { place: named(PART_PLACE) });
    let fine = part.fine_places();
    if !fine.is_empty() {
        w.step(Instruction::sensing_on());
        for place in fine {
            w.feel(&touches(part, Some(place), ways), ways);
            w.step(Instruction::Find { place: named(place), may: part.may_of(place) });
        }
        w.step(Instruction::SensingOff);
    }
    for (n, seam) in part.seams.iter().enumerate() {
        let place = seam.place.as_deref().unwrap_or(PART_PLACE);
        if place != followed {
            w.step(Instruction::Follow { place: named(place) });
            followed = place;
        }
        w.weld(n, seam, backwards);
    }
    w.step(Instruction::StopFollowing);
    w.step(Instruction::TrimWire);
    w.home(home);
    w.routine
}

/// The welds alone, for a part that never moves: no feeling, no following.
pub(super) fn plain(part: &Part, backwards: bool) -> Routine {
    let mut w = Writer::default();
    let home = home(part);
    w.home(home);
    for (n, seam) in part.seams.iter().enumerate() {
        w.weld(n, seam, backwards);
    }
    w.home(home);
    w.routine
}

/// Where the torch begins and ends.
fn home(part: &Part) -> Point3<f64> {
    let to_part = Point3::from(part.play.about) - part.rest;
    let [x, y, z] = HOME_FROM_REST;
    part.rest + Vector3::new(x * to_part.x.signum(), y * to_part.y.signum(), z)
}

/// The way point from the last touch of one face to the next face, outside the corner.
fn round(last: &ModelTouch, next: &ModelTouch) -> Point3<f64> {
    let (d, e) = (Vector3::from(last.direction), Vector3::from(next.direction));
    let height = (last.from.z + RISE).max(LEAST_HEIGHT);
    if e.z.abs() > 0.5 {
        let out = last.from - d * ROUND;
        return Point3::new(out.x, out.y, next.from.z + RISE);
    }
    let beyond = next.from - e * ROUND;
    // Along the last search as far out as for the last touch.
    let out = last.from - d * ROUND;
    let at = beyond + d * (out - beyond).dot(&d);
    Point3::new(at.x, at.y, height)
}

/// Collects points and steps.
#[derive(Default)]
struct Writer {
    routine: Routine,
    /// How many moves clear of the part there are.
    clears: usize,
}

impl Writer {
    fn step(&mut self, instruction: Instruction) {
        let id = self.routine.next_id();
        self.routine.steps.push(Step { id, instruction });
    }

    fn point(&mut self, name: &str, at: Point3<f64>) -> String {
        if self.routine.point(name).is_none() {
            self.routine.points.push(TaughtPoint { name: name.into(), at });
        }
        name.into()
    }

    fn go(&mut self, name: &str, at: Point3<f64>, way: PathKind) {
        let to = self.point(name, at);
        self.step(Instruction::Move { to, way, stop: Stop::Full });
    }

    fn home(&mut self, at: Point3<f64>) {
        self.go(HOME, at, PathKind::Joint);
    }

    fn clear(&mut self, at: Point3<f64>) {
        self.clears += 1;
        self.go(&format!("clear-{}", self.clears), at, PathKind::Linear);
    }

    /// Feels all these faces, and moves clear.
    fn feel(&mut self, faces: &Faces, ways: Ways) {
        for (f, face) in faces.iter().enumerate() {
            for (n, t) in face.iter().enumerate() {
                let direction = Vector3::from(t.direction);
                let over = t.from + Vector3::z() * (LEAST_HEIGHT - t.from.z).max(RISE);
                let name = format!("{}-{}", t.face, n + 1);
                let clear = format!("clear-{}", self.clears + 1);
                if ways == Ways::FromAbove {
                    self.clears += 1;
                    self.go(&clear, over, PathKind::Joint);
                }
                let way = match ways {
                    Ways::FromAbove => PathKind::Linear,
                    Ways::Beside { .. } => PathKind::Joint,
                };
                let from = self.point(&name, t.from);
                self.step(Instruction::Feel { from, way, direction, face: t.face.clone() });
                if ways == Ways::FromAbove {
                    self.go(&clear, over, PathKind::Linear);
                    continue;
                }
                let from_top = direction.z.abs() > 0.5;
                let more_here = n + 1 < face.len();
                match (more_here, faces.get(f + 1).map(|f| &f[0])) {
                    (true, _) if from_top => self.clear(t.from - direction * RISE),
                    (false, Some(next)) if from_top => {
                        self.clear(t.from - direction * (RISE * 2.0));
                        let away = Vector3::from(next.direction) * BACK_OFF;
                        self.clear(next.from - away + Vector3::z() * (RISE * 2.0));
                    }
                    (false, Some(next)) => self.clear(round(t, next)),
                    _ => {}
                }
            }
        }
        let last = faces.last().and_then(|f| f.last());
        if let Some(t) = last.filter(|_| ways != Ways::FromAbove) {
            let d = Vector3::from(t.direction);
            let up = Vector3::z() * if d.z.abs() > 0.5 { 0.0 } else { RISE + 30.0 };
            self.clear(t.from - d * BACK_OFF + up);
        }
    }

    /// Welds the seam of this number, from 0. From the second on its points have a number.
    fn weld(&mut self, n: usize, seam: &Seam, backwards: bool) {
        let line = seam.at(&Pose::identity());
        let tenth = |v: f64| (v * 10.0).round() / 10.0 + 0.0;
        let lift = (Vector3::z() * ABOVE_SEAM - line.across * (OFF_SEAM * line.lean())).map(tenth);
        let (from, to) = if backwards { (seam.to, seam.from) } else { (seam.from, seam.to) };
        let numbered = |name: &str| match n {
            0 => name.to_owned(),
            n => format!("{name}-{}", n + 1),
        };
        self.go(&numbered("approach"), from + lift, PathKind::Joint);
        let start = self.point(&numbered("weld-start"), from);
        self.step(Instruction::WeldStart { to: start });
        let end = self.point(&numbered("weld-end"), to);
        self.step(Instruction::WeldEnd { to: end });
        self.go(&numbered("retreat"), to + lift, PathKind::Linear);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cell::part_by_name;
    use crate::routine::StepId;

    #[test]
    fn a_face_ends_where_the_next_begins() {
        let part = part_by_name("bench-side").expect("it comes with the program");
        let (_, routine) = job(&part, false);
        let x: Vec<f64> = ["south-1", "south-2", "clear-1", "west-1"]
            .iter()
            .map(|n| routine.point(n).expect("it is taught").at.x)
            .collect();
        assert_eq!(x, [350.0, 50.0, -40.0, -16.0], "from the far end to the corner, and round it");
        assert_eq!(routine.steps[0].id, StepId(1), "numbers from one");
    }
}
