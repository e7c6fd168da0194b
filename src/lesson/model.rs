//! The model routine of a part: it feels, finds and welds without a mistake. Solutions and worked
//! examples use it.

use crate::cell::{ModelTouch, Part, PlateSide};
use crate::geometry::{Point3, Vector3};
use crate::routine::{
    EventKind, HOME, Instruction, PART_PLACE, PathKind, Routine, RunLog, RunSpeed, Step, Stop,
    TaughtPoint,
};
use crate::session::{Action, Header, Session};

/// From the resting place of the torch to home, mm.
const HOME_FROM_REST: [f64; 3] = [40.0, 60.0, -80.0];
/// Going round a corner, the torch stays this far outside the start of a search, mm.
const ROUND: f64 = 24.0;
/// How far the torch backs off after the last touch of a face, mm.
const BACK_OFF: f64 = 44.0;
/// Between touches the torch travels this far above the search, mm, and at least at this height.
const RISE: f64 = 45.0;
const LEAST_HEIGHT: f64 = 60.0;
/// Approach and retreat from the ends of the seam: away from the upright plate, and up, mm.
const OFF_SEAM: f64 = 20.0;
const ABOVE_SEAM: f64 = 48.0;

/// The touches of a part, face by face; the last touch of a face is the one nearest to the next face.
pub(super) type Faces = Vec<Vec<ModelTouch>>;

/// The touches of this part in the order in which they are made, and the routine. The faces come in
/// the part's own order, or reversed if the torch would hit something that way.
pub(super) fn job(part: &Part, backwards: bool) -> (Faces, Routine) {
    let job = |turned: bool| {
        let faces = touches(part, turned);
        let routine = routine(part, &faces, backwards);
        (faces, routine)
    };
    let first = job(false);
    if clear(part, &first.1) {
        return first;
    }
    let other = job(true);
    if clear(part, &other.1) { other } else { first }
}

/// The routine that feels for this part, finds it, and welds its first seam without a mistake.
pub fn model_routine(part: &Part) -> Routine {
    job(part, false).1
}

/// The weld of this part's first seam alone, as for a part that never moves.
pub fn plain_routine(part: &Part) -> Routine {
    plain(part, false)
}

/// Whether the routine runs to its end with the part as drawn, and the wire stays straight.
fn clear(part: &Part, routine: &Routine) -> bool {
    let actions = [
        Action::LoadRoutine { routine: routine.clone() },
        Action::SetReference { on: true },
        Action::Run { speed: RunSpeed::Reduced, arc: false, steps: None },
    ];
    let straight =
        |run: &RunLog| !run.events.iter().any(|e| matches!(e.what, EventKind::WireBent { .. }));
    Session::replay(Header::new(part.clone(), 0), actions)
        .is_ok_and(|s| s.state().last_run().is_some_and(|r| r.finished() && straight(r)))
}

fn touches(part: &Part, turned: bool) -> Faces {
    let mut faces: Vec<Vec<ModelTouch>> = Vec::new();
    for t in &part.model_touches {
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

/// The whole routine: feels for the part, finds it, and welds its first seam while following.
/// `backwards` welds from the seam's second end.
fn routine(part: &Part, faces: &Faces, backwards: bool) -> Routine {
    let mut w = Writer::default();
    let home = part.rest + Vector3::from(HOME_FROM_REST);
    w.home(home);
    w.step(Instruction::sensing_on());
    let mut clear = 0;
    for (f, face) in faces.iter().enumerate() {
        for (n, t) in face.iter().enumerate() {
            let name = format!("{}-{}", t.face, n + 1);
            let from = w.point(&name, t.from);
            let direction = Vector3::from(t.direction);
            let way = PathKind::Joint;
            w.step(Instruction::Feel { from, way, direction, face: t.face.clone() });
            let from_top = direction.z.abs() > 0.5;
            let more_here = n + 1 < face.len();
            let next = faces.get(f + 1).map(|f| &f[0]);
            let mut via = |w: &mut Writer, at| {
                clear += 1;
                w.go(&format!("clear-{clear}"), at, PathKind::Linear);
            };
            match (more_here, next) {
                (true, _) if from_top => via(&mut w, t.from - direction * RISE),
                (false, Some(next)) if from_top => {
                    via(&mut w, t.from - direction * (RISE * 2.0));
                    let away = Vector3::from(next.direction) * BACK_OFF;
                    let up = Vector3::z() * (RISE * 2.0);
                    via(&mut w, next.from - away + up);
                }
                (false, Some(next)) => via(&mut w, round(t, next)),
                _ => {}
            }
        }
    }
    if let Some(t) = faces.last().and_then(|f| f.last()) {
        let d = Vector3::from(t.direction);
        let up = Vector3::z() * if d.z.abs() > 0.5 { 0.0 } else { RISE + 30.0 };
        w.go(&format!("clear-{}", clear + 1), t.from - d * BACK_OFF + up, PathKind::Linear);
    }
    w.step(Instruction::SensingOff);
    let place = || PART_PLACE.to_owned();
    w.step(Instruction::Find { place: place(), may: part.play.freedoms() });
    w.step(Instruction::Follow { place: place() });
    w.weld(part, backwards);
    w.step(Instruction::StopFollowing);
    w.step(Instruction::TrimWire);
    w.home(home);
    w.routine
}

/// The weld alone, for a part that never moves: no feeling, no following.
pub(super) fn plain(part: &Part, backwards: bool) -> Routine {
    let mut w = Writer::default();
    let home = part.rest + Vector3::from(HOME_FROM_REST);
    w.home(home);
    w.weld(part, backwards);
    w.home(home);
    w.routine
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

    fn weld(&mut self, part: &Part, backwards: bool) {
        let Some(seam) = part.seams.first() else { return };
        let along = (seam.to - seam.from).try_normalize(1e-9).unwrap_or_default();
        let left = Vector3::z().cross(&along);
        let off = if seam.plate == PlateSide::Left { -left } else { left };
        let lift = off * OFF_SEAM + Vector3::z() * ABOVE_SEAM;
        let (from, to) = if backwards { (seam.to, seam.from) } else { (seam.from, seam.to) };
        self.go("approach", from + lift, PathKind::Joint);
        let start = self.point("weld-start", from);
        self.step(Instruction::WeldStart { to: start });
        let end = self.point("weld-end", to);
        self.step(Instruction::WeldEnd { to: end });
        self.go("retreat", to + lift, PathKind::Linear);
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
