//! Correct sessions in their legitimate variants, as data that a mutation can change.

use super::rng::Rng;
use nudgeproof::cell::{FixturePlay, ModelTouch, Part, PlateSide, part_by_name, parts};
use nudgeproof::geometry::{Point3, Pose, UnitQuaternion, Vector3};
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::{
    Corner, HOME, Instruction, PathKind, ProbePlan, Routine, RunSpeed, Step, StepId, TaughtPoint,
};
use nudgeproof::session::{Action, Header, Session};

/// A session: the routine, and what is done with it.
#[derive(Debug, Clone)]
pub(crate) struct Draft {
    pub(crate) part: Part,
    pub(crate) seed: u64,
    pub(crate) routine: Routine,
    /// From the first run on.
    pub(crate) actions: Vec<Action>,
    /// What kind of variant it is.
    pub(crate) about: String,
}

/// A step number no other step has, for steps that a mutation adds.
pub(crate) const NEW_ID: u32 = 900;

impl Draft {
    /// The session that comes of it; the learner teaches step by step where `by_hand`, and loads
    /// the routine otherwise.
    pub(crate) fn session(&self) -> Session {
        let header = Header::new(self.part.clone(), self.seed);
        let load = Action::LoadRoutine { routine: self.routine.clone() };
        let actions = std::iter::once(load).chain(self.actions.iter().cloned());
        Session::replay(header, actions).unwrap_or_else(|e| panic!("{}: {e:?}", self.about))
    }

    pub(crate) fn find(&self, test: impl Fn(&Instruction) -> bool) -> Option<usize> {
        self.routine.steps.iter().position(|s| test(&s.instruction))
    }

    pub(crate) fn rfind(&self, test: impl Fn(&Instruction) -> bool) -> Option<usize> {
        self.routine.steps.iter().rposition(|s| test(&s.instruction))
    }

    pub(crate) fn act(&self, i: usize) -> &Instruction {
        &self.routine.steps[i].instruction
    }

    pub(crate) fn drop_step(&mut self, i: usize) -> Instruction {
        self.routine.steps.remove(i).instruction
    }

    pub(crate) fn insert(&mut self, at: usize, act: Instruction) {
        let used = |id: u32| self.routine.steps.iter().any(|s| s.id.0 == id);
        let id = (NEW_ID..NEW_ID + 100).find(|id| !used(*id)).expect("a free number");
        self.routine.steps.insert(at, Step { id: StepId(id), instruction: act });
    }

    /// Moves a step so that it stands before what is now at `before`.
    pub(crate) fn shift(&mut self, from: usize, before: usize) {
        let step = self.routine.steps.remove(from);
        self.routine.steps.insert(if from < before { before - 1 } else { before }, step);
    }

    pub(crate) fn point_mut(&mut self, name: &str) -> &mut Point3<f64> {
        let point = self.routine.points.iter_mut().find(|p| p.name == name);
        &mut point.unwrap_or_else(|| panic!("{name} is taught")).at
    }

    pub(crate) fn probes(&self) -> Vec<usize> {
        let probe = |i: &usize| matches!(self.act(*i), Instruction::Probe { .. });
        (0..self.routine.steps.len()).filter(probe).collect()
    }

    /// Place among the actions of the `n`th run, from 0.
    pub(crate) fn run(&self, n: usize) -> usize {
        let runs = self.actions.iter().enumerate().filter(|(_, a)| matches!(a, Action::Run { .. }));
        runs.map(|(i, _)| i).nth(n).expect("as many runs")
    }

    pub(crate) fn nudge(&self) -> usize {
        self.actions
            .iter()
            .position(|a| matches!(a, Action::PlacePart { .. }))
            .expect("the part is moved")
    }
}

/// The parts: those that come with the program, and the first of them in other fixtures.
fn part(rng: &mut Rng) -> (Part, String) {
    let (mut part, mut says) = plain_part(rng);
    // The same part felt from the other sides: by −X instead of +X, by −Y instead of +Y.
    if part.name.starts_with("bench-side") && part.bodies[0].name == "side plate" && rng.coin() {
        let outline = &part.bodies[0].outline.corners;
        let (width, depth) =
            outline.iter().fold((0.0_f64, 0.0_f64), |(w, d), c| (w.max(c.at.x), d.max(c.at.y)));
        let (east, north) = (rng.coin(), rng.below(3) == 0);
        for t in &mut part.model_touches {
            if east && t.face == "west" {
                t.face = "east".into();
                t.from.x = width - t.from.x;
                t.direction[0] = -t.direction[0];
            }
            if north && t.face == "south" {
                t.face = "north".into();
                t.from.y = depth - t.from.y;
                t.direction[1] = -t.direction[1];
            }
        }
        says += if east { ", felt from the east" } else { "" };
        says += if north { ", felt from the north" } else { "" };
    }
    (part, says)
}

fn plain_part(rng: &mut Rng) -> (Part, String) {
    let known = parts();
    let pick = rng.below(known.len() + 3);
    if pick < known.len() {
        let part = known[pick].clone();
        let name = part.name.clone();
        return (part, name);
    }
    let mut part = part_by_name("bench-side").expect("it comes with the program");
    let play = match pick - known.len() {
        0 => FixturePlay { turn_deg: 0.0, ..part.play },
        1 => FixturePlay { turn_deg: 0.0, dx: 0.0, ..part.play },
        _ => FixturePlay { turn_deg: 1.5, dx: 4.0, dy: 3.0, ..part.play },
    };
    part.play = play;
    (part, format!("bench-side with play {:?}", play.freedoms()))
}

/// Within the play, and far enough from nothing to matter.
pub(crate) fn nudge(play: &FixturePlay, rng: &mut Rng) -> Pose {
    let mut some = |limit: f64| {
        let v = rng.uniform();
        limit * (0.35 * v.signum() + 0.6 * v)
    };
    let shift = Vector3::new(some(play.dx), some(play.dy), some(play.dz));
    let tilt = play.tilt_deg.to_radians();
    let turn = Vector3::new(some(tilt), some(tilt), some(play.turn_deg.to_radians()));
    let about = Vector3::from(play.about);
    let r = UnitQuaternion::from_scaled_axis(turn);
    Pose::from_parts(r, shift + about - r * about)
}

/// The touches of a variant: the part's own layout, as many as the freedoms need or more, the faces
/// in either order, each face from either end.
fn touches(part: &Part, freedoms: Freedoms, rng: &mut Rng) -> Vec<ModelTouch> {
    let mut faces: Vec<Vec<ModelTouch>> = Vec::new();
    for t in &part.model_touches {
        match faces.iter_mut().find(|f| f[0].face == t.face) {
            Some(face) => face.push(t.clone()),
            None => faces.push(vec![t.clone()]),
        }
    }
    match freedoms {
        Freedoms::X | Freedoms::Y => {
            let along = if part.play.dx == 0.0 { Vector3::y() } else { Vector3::x() };
            faces.retain(|f| Vector3::from(f[0].direction).dot(&along).abs() > 0.9);
            faces.truncate(1);
            if rng.coin() {
                faces[0].truncate(1);
            }
        }
        Freedoms::SLIDE_XY => {
            for face in faces.iter_mut().take(2) {
                if rng.coin() {
                    face.truncate(1);
                }
            }
        }
        Freedoms::PLAN => {
            // Three instead of four: one touch on the face with the shorter baseline.
            let length = |f: &Vec<ModelTouch>| {
                f.iter().map(|t| (t.from - f[0].from).norm()).fold(0.0, f64::max)
            };
            let shorter =
                faces.iter().enumerate().min_by(|a, b| length(a.1).total_cmp(&length(b.1)));
            if let Some((i, _)) = shorter
                && rng.coin()
                && faces.iter().map(Vec::len).sum::<usize>() > 3
            {
                let keep = rng.below(faces[i].len());
                faces[i] = vec![faces[i][keep].clone()];
            }
        }
        _ => {}
    }
    if rng.coin() {
        faces.reverse();
    }
    for face in &mut faces {
        if rng.coin() {
            face.reverse();
        }
    }
    faces.into_iter().flatten().collect()
}

/// Collects the steps of a routine.
struct Writer {
    routine: Routine,
    next: u32,
}

impl Writer {
    fn teach(&mut self, name: &str, at: Point3<f64>) -> String {
        let taken = |name: &str| self.routine.points.iter().any(|p| p.name == name);
        let mut unique = name.to_owned();
        let mut n = 1;
        while taken(&unique) {
            n += 1;
            unique = format!("{name}-{n}");
        }
        self.routine.points.push(TaughtPoint { name: unique.clone(), at });
        unique
    }

    fn step(&mut self, act: Instruction) {
        self.routine.steps.push(Step { id: StepId(self.next), instruction: act });
        self.next += 1;
    }

    fn go(&mut self, to: &str, path: PathKind) {
        self.step(Instruction::Move { to: to.into(), path, corner: Corner::FullStop });
    }
}

/// A correct session; which of the variants depends on the seed.
pub(crate) fn correct(seed: u64) -> Draft {
    // A second try with the torch carried over the part, should a short cut not be clear.
    let short = attempt(seed, false);
    if short.session().state().runs.iter().all(|r| r.finished()) {
        short
    } else {
        attempt(seed, true)
    }
}

fn attempt(seed: u64, over: bool) -> Draft {
    let mut rng = Rng(seed);
    let (part, part_says) = part(&mut rng);
    let freedoms = part.play.freedoms();
    let touches = touches(&part, freedoms, &mut rng);
    let mut w = Writer { routine: Routine::default(), next: 1 };
    let (offset, plan) = [("A", "A"), ("B", "feel"), ("offset", "plan-1")][rng.below(3)];
    w.teach(HOME, part.rest);
    w.go(HOME, PathKind::Joint);
    if rng.coin() {
        let at = part.rest + Vector3::new(15.0, 10.0, -30.0);
        let via = w.teach("via", at);
        w.go(&via, PathKind::Joint);
    }
    w.step(Instruction::BeginProbing { plan: plan.into() });
    let own_names = rng.coin();
    let finish_late = rng.coin();
    for (i, t) in touches.iter().enumerate() {
        let d = Vector3::from(t.direction);
        let face = if own_names { format!("side {}", &t.face[..1]) } else { t.face.clone() };
        if over {
            let above = w.teach("above", t.from - d * 30.0 + Vector3::z() * 90.0);
            w.go(&above, PathKind::Joint);
        }
        let name = w.teach(&format!("{}-1", t.face), t.from);
        w.go(&name, PathKind::Joint);
        w.step(Instruction::Probe { from: name, direction: d, face });
        let last = i + 1 == touches.len();
        if last && !finish_late {
            w.step(Instruction::FinishProbing);
        }
        // From a top face the torch always rises: there may be something on it.
        if last || over || touches[i + 1].face != t.face || d.z.abs() > 0.5 {
            let clear = w.teach("clear", t.from - d * 40.0 + Vector3::z() * 85.0);
            w.go(&clear, if rng.coin() { PathKind::Linear } else { PathKind::Joint });
        }
        if last && finish_late {
            w.step(Instruction::FinishProbing);
        }
    }
    w.step(Instruction::Follow { offset: offset.into() });
    for (n, seam) in part.seams.iter().enumerate() {
        if n > 0 && rng.coin() {
            break;
        }
        let (from, to) = if rng.coin() { (seam.from, seam.to) } else { (seam.to, seam.from) };
        let along = (seam.to - seam.from).normalize();
        let left = Vector3::z().cross(&along);
        let off = if seam.plate == PlateSide::Left { -left } else { left };
        let lift = off * 20.0 + Vector3::z() * 48.0;
        let approach = w.teach("approach", from + lift);
        w.go(&approach, if rng.coin() { PathKind::Joint } else { PathKind::Linear });
        let start = w.teach("weld-start", from);
        w.step(Instruction::WeldStart { to: start });
        let end = w.teach("weld-end", to);
        w.step(Instruction::WeldEnd { to: end });
        let retreat = w.teach("retreat", to + lift);
        w.go(&retreat, PathKind::Linear);
    }
    w.step(Instruction::StopFollowing);
    if rng.coin() {
        let via = w.teach("way-home", part.rest + Vector3::new(40.0, 20.0, 60.0));
        w.go(&via, PathKind::Joint);
    }
    w.go(HOME, PathKind::Joint);
    let mut routine = w.routine;
    let plan = ProbePlan { freedoms, reference: true, ..ProbePlan::new(plan, offset) };
    let off = ProbePlan { reference: false, ..plan.clone() };
    routine.plans.push(plan);
    let speed = |slow: bool| if slow { RunSpeed::Reduced } else { RunSpeed::Full };
    let run = |slow: bool, arc: bool| Action::Run { speed: speed(slow), arc, steps: None };
    let mut actions = vec![run(true, false), Action::SetPlan { plan: off }, run(rng.coin(), false)];
    let part_goes = nudge(&part.play, &mut rng);
    actions.push(Action::PlacePart { part: part_goes.into() });
    actions.push(run(rng.coin(), rng.coin()));
    let about = format!("seed {seed}: {part_says}, {} touches", touches.len());
    Draft { part, seed, routine, actions, about }
}
