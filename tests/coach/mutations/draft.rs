//! Correct sessions in their legitimate variants, as data that a mutation can change.

use super::rng::Rng;
use nudgeproof::cell::{
    FixturePlay, Joint, ModelTouch, Part, held_back_parts, part_by_name, parts,
};
use nudgeproof::geometry::{Point3, Pose, UnitQuaternion, Vector3};
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::{
    Event, EventKind, HOME, Instruction, PathKind, Routine, RunLog, RunSpeed, Step, StepId, Stop,
    TaughtPoint,
};
use nudgeproof::session::{Action, CellState, Header, Session};
use std::sync::Arc;

/// A session: the routine, and what is done with it.
#[derive(Debug, Clone)]
pub(crate) struct Draft {
    pub(crate) part: Part,
    pub(crate) seed: u64,
    pub(crate) routine: Routine,
    /// From the flag and the first run on.
    pub(crate) actions: Vec<Action>,
    /// What kind of variant it is.
    pub(crate) about: String,
}

/// A step number no other step has, for steps that a mutation adds.
pub(crate) const NEW_ID: u32 = 900;

impl Draft {
    /// The session that comes of it. Hands go into the cell while it is locked out, unless a cell that is
    /// ready was made ready before.
    pub(crate) fn session(&self) -> Session {
        let header = Header::new(self.part.clone(), self.seed);
        let load = Action::LoadRoutine { routine: self.routine.clone() };
        let actions = std::iter::once(load).chain(self.locked_out());
        Session::replay(header, actions).unwrap_or_else(|e| panic!("{}: {e:?}", self.about))
    }

    fn locked_out(&self) -> Vec<Action> {
        let set = |state| Action::SetCell { state };
        let [lock, free] = [CellState::LockedOut, CellState::Ready].map(set);
        let mut done: Vec<Action> = Vec::new();
        let (mut locked, mut live) = (false, false);
        for action in &self.actions {
            if let Action::SetCell { state } = action {
                live = !locked && *state == CellState::Ready;
                locked = *state == CellState::LockedOut;
            }
            let hands = matches!(
                action,
                Action::PlacePart { .. } | Action::CutWire { .. } | Action::ClearFault { .. }
            );
            if hands && !locked && !live {
                done.extend([lock.clone(), action.clone(), free.clone()]);
            } else {
                done.push(action.clone());
            }
            live &= !hands;
        }
        done
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

    pub(crate) fn feels(&self) -> Vec<usize> {
        let feel = |i: &usize| matches!(self.act(*i), Instruction::Feel { .. });
        (0..self.routine.steps.len()).filter(feel).collect()
    }

    /// The boxes ticked in the find.
    pub(crate) fn may(&self) -> Freedoms {
        let ticked = |s: &Step| match s.instruction {
            Instruction::Find { may, .. } => Some(may),
            _ => None,
        };
        self.routine.steps.iter().find_map(ticked).expect("a find")
    }

    /// Place among the actions of the `n`th run, from 0.
    pub(crate) fn run(&self, n: usize) -> usize {
        let runs = self.actions.iter().enumerate().filter(|(_, a)| matches!(a, Action::Run { .. }));
        runs.map(|(i, _)| i).nth(n).expect("as many runs")
    }

    /// Place among the actions of the last run.
    pub(crate) fn last_run(&self) -> usize {
        let run = self.actions.iter().rposition(|a| matches!(a, Action::Run { .. }));
        run.expect("a run")
    }

    pub(crate) fn nudge(&self) -> usize {
        let moved = |a: &Action| matches!(a, Action::PlacePart { .. });
        let runs = self.actions.iter().enumerate().filter(|(_, a)| matches!(a, Action::Run { .. }));
        // After the proof run, unless another mistake has moved it.
        let proof = runs.map(|(i, _)| i).nth(1).unwrap_or(0);
        let after = self.actions[proof..].iter().position(moved).map(|i| proof + i);
        after.or_else(|| self.actions.iter().position(moved)).expect("the part is moved")
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
    let known: Vec<Part> = parts().into_iter().chain(held_back_parts()).collect();
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
fn touches(part: &Part, place: Option<&str>, freedoms: Freedoms, rng: &mut Rng) -> Vec<ModelTouch> {
    let mut faces: Vec<Vec<ModelTouch>> = Vec::new();
    for t in part.layout_of(place) {
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

    fn go(&mut self, to: &str, way: PathKind) {
        self.step(Instruction::Move { to: to.into(), way, stop: Stop::Full });
    }

    /// Sensing on, with the reach and speed of a new step.
    fn sense(&mut self) {
        self.step(Instruction::sensing_on());
    }

    /// Feels for a place, and finds it.
    fn feel(&mut self, touches: &[ModelTouch], group: &Group<'_>, rng: &mut Rng) {
        let Group { part, place, may, finding, off_between, own_names, ways } = *group;
        let over = ways != Ways::Short;
        // Into a gap straight down.
        let in_a_gap = part.seams.iter().any(|s| matches!(s.joint, Joint::Butt(_)));
        let aside = if in_a_gap { 0.0 } else { 30.0 };
        let find = || Instruction::Find { place: place.into(), may };
        let mut last_face = "";
        for (i, t) in touches.iter().enumerate() {
            let d = Vector3::from(t.direction);
            let face = if own_names { format!("side {}", &t.face[..1]) } else { t.face.clone() };
            if over {
                let above = self.teach("above", t.from - d * aside + Vector3::z() * 90.0);
                self.go(&above, PathKind::Joint);
            }
            let from = self.teach(&format!("{}-1", t.face), t.from);
            // Straight from above, or along the face that was just touched.
            let free = over || last_face == t.face;
            let linear = rng.coin() || ways == Ways::StraightDown;
            let way = if free && linear { PathKind::Linear } else { PathKind::Joint };
            self.step(Instruction::Feel { from, way, direction: d, face });
            last_face = &t.face;
            let last = i + 1 == touches.len();
            let after_touch = match finding {
                Finding::FindThenOff if last => vec![find(), Instruction::SensingOff],
                Finding::OffThenFind if last => vec![Instruction::SensingOff, find()],
                Finding::OffLate if last => vec![find()],
                _ => Vec::new(),
            };
            for step in after_touch {
                self.step(step);
            }
            // From a top face the torch always rises: there may be something on it.
            let leaves = last || touches[i + 1].face != t.face;
            let between = off_between && leaves && !last;
            if between {
                self.step(Instruction::SensingOff);
            }
            if leaves || over || d.z.abs() > 0.5 {
                let clear = self.teach("clear", t.from - d * 40.0 + Vector3::z() * 85.0);
                self.go(&clear, if rng.coin() { PathKind::Linear } else { PathKind::Joint });
                last_face = "";
            }
            if between {
                self.sense();
            }
            if last && finding == Finding::AfterClear {
                self.step(Instruction::SensingOff);
                self.step(find());
            }
        }
    }
}

/// How the touches of one place are felt.
#[derive(Clone, Copy)]
struct Group<'a> {
    part: &'a Part,
    place: &'a str,
    may: Freedoms,
    finding: Finding,
    off_between: bool,
    own_names: bool,
    ways: Ways,
}

/// Whether a run went to its end and nothing bent the wire.
pub(crate) fn went_well(run: &RunLog) -> bool {
    run.finished() && !run.events.iter().any(|e| matches!(e.what, EventKind::WireBent { .. }))
}

/// Added to the seed of the noise where the touches of a correct session fail the agreement test by
/// chance, as they do in 1 run of 100: the learner would look, find nothing, and run again.
pub(crate) const OTHER_NOISE: u64 = 1 << 32;

/// A correct session; which of the variants depends on the seed.
pub(crate) fn correct(seed: u64) -> Draft {
    // With the torch carried over the part, and then straight down, should a shorter way not be clear
    // wherever the part may lie.
    let ways = [Ways::Short, Ways::Over, Ways::StraightDown];
    let clear = |d: &Draft| d.session().state().runs.iter().all(|r| went_well(r)) && clears(d);
    let mut draft = ways
        .into_iter()
        .map(|ways| attempt(seed, ways))
        .find(clear)
        .unwrap_or_else(|| panic!("{}: no way is clear", attempt(seed, Ways::Over).about));
    while !agree(&draft.session()) {
        draft.seed += OTHER_NOISE;
    }
    draft
}

/// How the torch gets to its searches.
#[derive(Clone, Copy, PartialEq)]
enum Ways {
    /// Along a face from one touch to the next.
    Short,
    /// Carried over the part.
    Over,
    /// The same, and down in a straight line.
    StraightDown,
}

/// Whether wire and nozzle meet nothing outside the searches, with the part as taught and at every limit
/// of its play.
pub(crate) fn clears(d: &Draft) -> bool {
    let run = Action::Run { speed: RunSpeed::Full, arc: false, steps: None };
    let flag = |on| Action::SetReference { on };
    let mut actions = vec![Action::LoadRoutine { routine: d.routine.clone() }];
    actions.extend([flag(true), run.clone(), flag(false)]);
    actions.extend(d.part.extremes().into_iter().flat_map(|(part, own)| {
        let bodies = own.into_iter().map(|(name, motion)| (name, motion.into()));
        [Action::PlacePart { part: part.into(), bodies: bodies.collect() }, run.clone()]
    }));
    let session = Session::replay(Header::new(d.part.clone(), d.seed), actions);
    let session = session.unwrap_or_else(|e| panic!("{}: {e:?}", d.about));
    let meets = |e: &Event| matches!(e.what, EventKind::WireBent { .. } | EventKind::Crash { .. });
    session.state().runs.iter().all(|r| !r.events.iter().any(meets))
}

/// Whether the touches of every run agree with each other.
pub(crate) fn agree(session: &Session) -> bool {
    let agrees = |r: &Arc<RunLog>| r.found().is_none_or(|(fit, _)| fit.consistent);
    session.state().runs.iter().all(agrees)
}

/// Where the wire is trimmed.
#[derive(Clone, Copy, PartialEq)]
enum Trim {
    /// Before the first feel.
    First,
    /// After the weld, before the last move home.
    AfterWeld,
    /// After the last move home.
    Last,
}

/// Where *sensing off* and *find* stand after the last touch.
#[derive(Clone, Copy, PartialEq)]
enum Finding {
    /// Both before the torch moves clear, *find* first.
    FindThenOff,
    /// Both before the torch moves clear, *sensing off* first.
    OffThenFind,
    /// Both after it.
    AfterClear,
    /// *Find* before it, *sensing off* just before the weld.
    OffLate,
}

fn attempt(seed: u64, ways: Ways) -> Draft {
    let mut rng = Rng(seed);
    let (part, part_says) = part(&mut rng);
    let may = part.play.freedoms();
    let touches = touches(&part, None, may, &mut rng);
    let mut w = Writer { routine: Routine::default(), next: 1 };
    let fine = part.fine_places();
    let names: &[&str] =
        if fine.is_empty() { &["part", "left-end", "frame"] } else { &["part", "frame", "whole"] };
    let place = names[rng.below(3)];
    let trim = [Trim::First, Trim::AfterWeld, Trim::AfterWeld, Trim::Last][rng.below(4)];
    let mut finding = [
        Finding::FindThenOff,
        Finding::OffThenFind,
        Finding::AfterClear,
        Finding::AfterClear,
        Finding::OffLate,
    ][rng.below(5)];
    if finding == Finding::OffLate && !fine.is_empty() {
        finding = Finding::AfterClear;
    }
    let sense_first = rng.below(4) == 0;
    // Off on the way from one face to the next.
    let off_between = rng.below(4) == 0;
    if sense_first {
        w.sense();
    }
    w.teach(HOME, part.rest);
    w.go(HOME, PathKind::Joint);
    if trim == Trim::First {
        w.step(Instruction::TrimWire);
    }
    if rng.coin() {
        let at = part.rest + Vector3::new(15.0, 10.0, -30.0);
        let via = w.teach("via", at);
        w.go(&via, PathKind::Joint);
    }
    if !sense_first {
        w.sense();
    }
    let own_names = rng.coin();
    let group = Group { part: &part, place, may, finding, off_between, own_names, ways };
    w.feel(&touches, &group, &mut rng);
    w.step(Instruction::Follow { place: place.into() });
    if !fine.is_empty() {
        w.sense();
    }
    for (n, end) in fine.iter().enumerate() {
        let may = part.may_of(end);
        let touches = self::touches(&part, Some(end), may, &mut rng);
        let last = n + 1 == fine.len();
        let finding = if last { Finding::AfterClear } else { Finding::OffLate };
        let group =
            Group { place: end, may, finding, off_between: false, own_names: false, ..group };
        w.feel(&touches, &group, &mut rng);
    }
    let mut followed = place;
    for (n, seam) in part.seams.iter().enumerate() {
        if n > 0 && rng.coin() {
            break;
        }
        let of_seam = seam.place.as_deref().unwrap_or(place);
        if of_seam != followed {
            w.step(Instruction::Follow { place: of_seam.into() });
            followed = of_seam;
        }
        let (from, to) = if rng.coin() { (seam.from, seam.to) } else { (seam.to, seam.from) };
        let line = seam.at(&Pose::identity());
        let lift = Vector3::z() * 48.0 - line.across * (20.0 * line.lean());
        let approach = w.teach("approach", from + lift);
        w.go(&approach, if rng.coin() { PathKind::Joint } else { PathKind::Linear });
        if n == 0 && finding == Finding::OffLate {
            w.step(Instruction::SensingOff);
        }
        let start = w.teach("weld-start", from);
        w.step(Instruction::WeldStart { to: start });
        if rng.below(3) == 0 {
            let middle = w.teach("weld-middle", from + (to - from) * 0.5);
            w.step(Instruction::WeldThrough { to: middle });
        }
        let end = w.teach("weld-end", to);
        w.step(Instruction::WeldEnd { to: end });
        let retreat = w.teach("retreat", to + lift);
        w.go(&retreat, PathKind::Linear);
    }
    w.step(Instruction::StopFollowing);
    if trim == Trim::AfterWeld {
        w.step(Instruction::TrimWire);
    }
    if rng.coin() {
        let via = w.teach("way-home", part.rest + Vector3::new(40.0, 20.0, 60.0));
        w.go(&via, PathKind::Joint);
    }
    w.go(HOME, PathKind::Joint);
    if trim == Trim::Last {
        w.step(Instruction::TrimWire);
    }
    let routine = w.routine;
    let speed = |slow: bool| if slow { RunSpeed::Reduced } else { RunSpeed::Full };
    let run = |slow: bool, arc: bool| Action::Run { speed: speed(slow), arc, steps: None };
    let flag = |on: bool| Action::SetReference { on };
    let mut actions = vec![flag(true), run(true, false), flag(false), run(rng.coin(), false)];
    let part_goes = nudge(&part.play, &mut rng);
    actions.push(Action::place_part(part_goes));
    let (slow, arc) = (rng.coin(), rng.coin());
    actions.push(run(slow, false));
    if arc {
        actions.push(run(slow, true));
    }
    let about = format!("seed {seed}: {part_says}, {} touches", touches.len());
    Draft { part, seed, routine, actions, about }
}
