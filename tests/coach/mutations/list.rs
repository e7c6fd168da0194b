//! Single mistakes, each with the rule that names it, and changes that change nothing.

use super::draft::Draft;
use super::rng::Rng;
use nudgeproof::cell::Fault;
use nudgeproof::geometry::{Point3, Pose, Vector3};
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::{Corner, HOME, Instruction, PathKind, ProbePlan, RunSpeed, TaughtPoint};
use nudgeproof::session::Action;

type Change = fn(&mut Draft, &mut Rng) -> bool;

/// A single mistake.
pub(crate) struct Mutation {
    /// In a few words.
    pub(crate) what: &'static str,
    /// The rule that names it.
    pub(crate) rule: &'static str,
    /// Rules that are broken by it just as plainly.
    pub(crate) and: &'static [&'static str],
    /// Makes it; false if this session cannot carry it.
    pub(crate) make: Change,
}

const fn m(what: &'static str, rule: &'static str, make: Change) -> Mutation {
    Mutation { what, rule, and: &[], make }
}

const fn and(
    what: &'static str,
    rule: &'static str,
    and: &'static [&'static str],
    make: Change,
) -> Mutation {
    Mutation { what, rule, and, make }
}

fn is_home(a: &Instruction) -> bool {
    a.is_home()
}
fn is_begin(a: &Instruction) -> bool {
    matches!(a, Instruction::BeginProbing { .. })
}
fn is_finish(a: &Instruction) -> bool {
    matches!(a, Instruction::FinishProbing)
}
fn is_follow(a: &Instruction) -> bool {
    matches!(a, Instruction::Follow { .. })
}
fn is_stop(a: &Instruction) -> bool {
    matches!(a, Instruction::StopFollowing)
}
fn is_start(a: &Instruction) -> bool {
    matches!(a, Instruction::WeldStart { .. })
}
fn is_end(a: &Instruction) -> bool {
    matches!(a, Instruction::WeldEnd { .. })
}
fn goes(a: &Instruction, prefix: &str) -> bool {
    matches!(a, Instruction::Move { to, .. } if to.starts_with(prefix))
}

/// Drops the first step that satisfies the test.
fn drop_first(d: &mut Draft, test: fn(&Instruction) -> bool) -> bool {
    let at = d.find(test);
    at.map(|i| d.drop_step(i)).is_some()
}

fn any_probe(d: &Draft, rng: &mut Rng) -> usize {
    let probes = d.probes();
    probes[rng.below(probes.len())]
}

fn point_of(d: &Draft, i: usize) -> String {
    d.act(i).point().expect("a point").to_owned()
}

fn plan(d: &mut Draft, change: impl Fn(&mut ProbePlan)) {
    d.routine.plans.iter_mut().for_each(&change);
    for a in &mut d.actions {
        if let Action::SetPlan { plan } = a {
            change(plan);
        }
    }
}

fn current_plan(d: &Draft, reference: bool) -> Action {
    Action::SetPlan { plan: ProbePlan { reference, ..d.routine.plans[0].clone() } }
}

fn reduced() -> Action {
    Action::Run { speed: RunSpeed::Reduced, arc: false, steps: None }
}

fn set_freedoms(d: &mut Draft, freedoms: Freedoms) -> bool {
    plan(d, |p| p.freedoms = freedoms);
    true
}

fn probe_mut(d: &mut Draft, i: usize) -> (&mut Vector3<f64>, &mut String) {
    match &mut d.routine.steps[i].instruction {
        Instruction::Probe { direction, face, .. } => (direction, face),
        _ => panic!("a probe step"),
    }
}

/// Probe steps of one face with more than one touch, or of none.
fn pair(d: &Draft) -> Option<(usize, usize)> {
    let face = |i: usize| match d.act(i) {
        Instruction::Probe { face, .. } => face.clone(),
        _ => String::new(),
    };
    let probes = d.probes();
    probes.windows(2).find(|w| face(w[0]) == face(w[1])).map(|w| (w[0], w[1]))
}

/// Whether a search goes down, along the wire: no other notices another stick-out.
fn feels_from_above(d: &Draft) -> bool {
    let down = |s: &nudgeproof::routine::Step| matches!(s.instruction, Instruction::Probe { direction, .. } if direction.z < -0.5);
    d.routine.steps.iter().any(down)
}

fn turns(d: &Draft) -> bool {
    d.routine.plans[0].freedoms.rotates()
}

pub(crate) const MUTATIONS: &[Mutation] = &[
    m("the first move home is missing", "no-home-start", |d, _| drop_first(d, is_home)),
    m("the last move home is missing", "no-home-end", |d, _| {
        let at = d.rfind(is_home).expect("home");
        d.drop_step(at);
        true
    }),
    m("stop following comes after the move home", "home-follows-part", |d, _| {
        let (stop, len) = (d.find(is_stop).expect("stop"), d.routine.steps.len());
        d.shift(stop, len);
        true
    }),
    m("a move home in the middle of the follow block", "home-follows-part", |d, rng| {
        let (follow, start) = (d.find(is_follow).expect("follow"), d.find(is_start).expect("weld"));
        let at = if rng.coin() { follow + 1 } else { start - 1 };
        d.insert(
            at,
            Instruction::Move { to: HOME.into(), path: PathKind::Joint, corner: Corner::FullStop },
        );
        true
    }),
    and(
        "follow comes before the probing",
        "follow-before-found",
        &["probing-follows-part"],
        |d, _| {
            let (follow, begin) =
                (d.find(is_follow).expect("follow"), d.find(is_begin).expect("begin"));
            d.shift(follow, begin);
            true
        },
    ),
    and(
        "follow begins between two touches",
        "probing-follows-part",
        &["follow-before-found"],
        |d, _| {
            let (follow, probes) = (d.find(is_follow).expect("follow"), d.probes());
            let Some(&second) = probes.get(1) else { return false };
            d.shift(follow, second - 1);
            true
        },
    ),
    and(
        "a probe step stands in the follow block",
        "probing-follows-part",
        &["probe-outside-probing"],
        |d, _| {
            let (probes, follow) = (d.probes(), d.find(is_follow).expect("follow"));
            let last = *probes.last().expect("a probe");
            let arrival = last - 1;
            d.shift(arrival, follow + 1);
            d.shift(arrival, follow + 1);
            probes.len() > 1
        },
    ),
    m("begin probing comes after the first touch", "probe-outside-probing", |d, _| {
        let (begin, probes) = (d.find(is_begin).expect("begin"), d.probes());
        d.shift(begin, probes[0] + 1);
        probes.len() > 1
    }),
    m("finish probing comes before the last touch", "probe-outside-probing", |d, _| {
        let (finish, probes) = (d.find(is_finish).expect("finish"), d.probes());
        d.shift(finish, probes[probes.len() - 1] - 1);
        probes.len() > 1
    }),
    m("begin probing is missing", "probe-outside-probing", |d, _| drop_first(d, is_begin)),
    m("finish probing is missing", "probing-never-finished", |d, _| drop_first(d, is_finish)),
    and(
        "finish probing comes after follow",
        "probing-never-finished",
        &["follow-before-found"],
        |d, _| {
            let (finish, follow) =
                (d.find(is_finish).expect("finish"), d.find(is_follow).expect("follow"));
            d.shift(finish, follow + 1);
            true
        },
    ),
    m("stop following is missing", "follow-never-stopped", |d, _| drop_first(d, is_stop)),
    m("follow uses another offset", "wrong-offset-followed", |d, _| {
        let follow = d.find(is_follow).expect("follow");
        d.routine.steps[follow].instruction = Instruction::Follow { offset: "C".into() };
        true
    }),
    m("the plan fills another offset", "wrong-offset-followed", |d, _| {
        plan(d, |p| p.fills = "other".into());
        true
    }),
    m("follow is missing", "seam-not-followed", |d, _| drop_first(d, is_follow)),
    m("follow comes after the approach", "seam-not-followed", |d, _| {
        let (follow, start) = (d.find(is_follow).expect("follow"), d.find(is_start).expect("weld"));
        d.shift(follow, start);
        true
    }),
    m("follow comes after the weld start", "seam-not-followed", |d, _| {
        let (follow, start) = (d.find(is_follow).expect("follow"), d.find(is_start).expect("weld"));
        d.shift(follow, start + 1);
        true
    }),
    m("stop following comes before the weld end", "seam-not-followed", |d, _| {
        let (stop, end) = (d.find(is_stop).expect("stop"), d.rfind(is_end).expect("weld"));
        d.shift(stop, end);
        true
    }),
    m("stop following comes before the retreat", "seam-not-followed", |d, _| {
        let (stop, end) = (d.find(is_stop).expect("stop"), d.rfind(is_end).expect("weld"));
        d.shift(stop, end + 1);
        true
    }),
    m("an arrival is missing", "no-arrival", |d, rng| {
        let probe = any_probe(d, rng);
        d.drop_step(probe - 1);
        true
    }),
    m("an arrival goes to another point", "no-arrival", |d, rng| {
        let probe = any_probe(d, rng);
        let elsewhere = point_of(d, d.find(|a| goes(a, "clear")).expect("clear"));
        d.routine.steps[probe - 1].instruction =
            Instruction::Move { to: elsewhere, path: PathKind::Joint, corner: Corner::FullStop };
        true
    }),
    m("a probe step stands before its arrival", "no-arrival", |d, rng| {
        let probe = any_probe(d, rng);
        d.shift(probe, probe - 1);
        true
    }),
    m("a probe step stands twice", "no-arrival", |d, rng| {
        let probe = any_probe(d, rng);
        let again = d.act(probe).clone();
        d.insert(probe + 1, again);
        true
    }),
    m("an arrival rounds its corner", "arrival-blends", |d, rng| {
        let probe = any_probe(d, rng);
        let to = point_of(d, probe);
        d.routine.steps[probe - 1].instruction =
            Instruction::Move { to, path: PathKind::Joint, corner: Corner::Blend(10.0) };
        true
    }),
    m("an arrival has a point of its own", "arrival-point-split", |d, rng| {
        let probe = any_probe(d, rng);
        let at = *d.point_mut(&point_of(d, probe));
        d.routine.points.push(TaughtPoint { name: "beside".into(), at });
        d.routine.steps[probe - 1].instruction = Instruction::Move {
            to: "beside".into(),
            path: PathKind::Joint,
            corner: Corner::FullStop,
        };
        true
    }),
    and("an arrival is a linear move", "arrival-not-joint", &["no-clear-move"], |d, rng| {
        let probe = any_probe(d, rng);
        let to = point_of(d, probe);
        d.routine.steps[probe - 1].instruction =
            Instruction::Move { to, path: PathKind::Linear, corner: Corner::FullStop };
        true
    }),
    m("a touch too few", "too-few-touches", |d, _| {
        let (needed, probes) = (d.routine.plans[0].freedoms.count(), d.probes());
        if probes.len() != needed || needed < 2 {
            return false;
        }
        let last = probes[probes.len() - 1];
        d.drop_step(last);
        d.drop_step(last - 1);
        true
    }),
    and("all touches on one face", "one-sided-touches", &["short-baseline"], |d, _| {
        let probes = d.probes();
        let first = d.act(probes[0]).clone();
        let Instruction::Probe { direction, face, from } = &first else { return false };
        let near = *d.point_mut(from);
        let along = Vector3::z().cross(direction);
        let others: Vec<usize> = probes
            .iter()
            .copied()
            .filter(|&i| matches!(d.act(i), Instruction::Probe { face: f, .. } if f != face))
            .collect();
        if others.is_empty() || probes.len() < d.routine.plans[0].freedoms.count() {
            return false;
        }
        let toward = d.part.play.about;
        let sign = if (Point3::from(toward) - near).dot(&along) > 0.0 { 1.0 } else { -1.0 };
        for (n, i) in others.iter().enumerate() {
            let name = point_of(d, *i);
            *d.point_mut(&name) = near + along * (sign * 15.0 * (n + 1) as f64);
            let (dir, label) = probe_mut(d, *i);
            (*dir, *label) = (*direction, face.clone());
        }
        true
    }),
    m("two touches close together", "short-baseline", |d, _| {
        let Some((a, b)) = pair(d).filter(|_| turns(d)) else { return false };
        if matches!(d.act(a), Instruction::Probe { direction, .. } if direction.z.abs() > 0.5) {
            return false;
        }
        let (first, second) = (point_of(d, a), point_of(d, b));
        let (p, q) = (*d.point_mut(&first), *d.point_mut(&second));
        *d.point_mut(&second) = p + (q - p).normalize() * 12.0;
        true
    }),
    m("the plan leaves the turn out", "freedoms-too-few", |d, _| {
        turns(d) && set_freedoms(d, Freedoms::SLIDE_XY)
    }),
    m("the plan asks for X alone", "freedoms-too-few", |d, _| {
        d.routine.plans[0].freedoms == Freedoms::SLIDE_XY && set_freedoms(d, Freedoms::X)
    }),
    m("the plan asks for tilt as well", "freedoms-too-many", |d, _| {
        let planar = d.routine.plans[0].freedoms.is_planar();
        planar && set_freedoms(d, Freedoms::SIX)
    }),
    m("the plan asks for height as well", "freedoms-too-many", |d, _| {
        match d.routine.plans[0].freedoms {
            Freedoms::SLIDE_XY => set_freedoms(d, Freedoms::SLIDE_XYZ),
            Freedoms::PLAN => set_freedoms(d, Freedoms::UPRIGHT),
            _ => false,
        }
    }),
    m("the plan asks for a turn that two touches cannot tell", "freedoms-too-many", |d, _| {
        let two = d.routine.plans[0].freedoms == Freedoms::SLIDE_XY && d.probes().len() == 2;
        two && set_freedoms(d, Freedoms::PLAN)
    }),
    m("a search runs the other way", "probe-misses-face", |d, rng| {
        let probe = any_probe(d, rng);
        let (direction, _) = probe_mut(d, probe);
        *direction = -*direction;
        true
    }),
    m("a search runs along the face", "probe-misses-face", |d, rng| {
        let probe = any_probe(d, rng);
        let side = if rng.coin() { 1.0 } else { -1.0 };
        let (direction, _) = probe_mut(d, probe);
        *direction = Vector3::z().cross(direction) * side;
        direction.norm() > 0.5
    }),
    m("a touch goes by the name of another face", "probe-misses-face", |d, _| {
        let Some((a, _)) = pair(d) else { return false };
        let Instruction::Probe { face, direction, .. } = d.act(a).clone() else { return false };
        let other = d.probes().into_iter().find(|&i| {
            matches!(d.act(i), Instruction::Probe { direction: o, .. } if o.dot(&direction).abs() < 0.1)
        });
        let Some(other) = other else { return false };
        *probe_mut(d, other).1 = face;
        true
    }),
    m("the reach is short", "reach-too-short", |d, _| {
        plan(d, |p| p.reach_mm = 17.0);
        true
    }),
    m("a search starts close to its face", "start-too-close", |d, rng| {
        let probe = any_probe(d, rng);
        let Instruction::Probe { from, direction, .. } = d.act(probe).clone() else { return false };
        let limits = d.part.play;
        if (limits.dx * direction.x).abs() + (limits.dy * direction.y).abs() < 1.5 {
            return false;
        }
        *d.point_mut(&from) += direction * 14.0;
        true
    }),
    m("a search passes over the part", "touch-too-high", |d, rng| {
        let probe = any_probe(d, rng);
        let Instruction::Probe { from, direction, .. } = d.act(probe).clone() else { return false };
        if direction.z.abs() > 0.5 {
            return false;
        }
        let top = d.part.bodies.iter().map(|b| b.z[1]).fold(0.0, f64::max);
        d.point_mut(&from).z = top + 4.0;
        true
    }),
    and(
        "a touch lies at the corner",
        "touch-near-corner",
        &["reach-too-short", "short-baseline"],
        |d, rng| {
            let probe = any_probe(d, rng);
            let Instruction::Probe { from, direction, .. } = d.act(probe).clone() else {
                return false;
            };
            // Only where there is a plain corner: the first body's own outline, square to the axes.
            let corners = d.part.bodies[0].outline.corners.clone();
            let along = Vector3::z().cross(&direction);
            let play = d.part.play;
            let slides = (play.dx * along.x).abs() + (play.dy * along.y).abs() > 2.5;
            let start = *d.point_mut(&from);
            let s = |p: &nudgeproof::geometry::Point2<f64>| {
                (p.x - start.x) * along.x + (p.y - start.y) * along.y
            };
            let t = |p: &nudgeproof::geometry::Point2<f64>| {
                (p.x - start.x) * direction.x + (p.y - start.y) * direction.y
            };
            let near =
                corners.iter().filter(|c| c.radius == 0.0 && t(&c.at) > 0.0 && t(&c.at) < 25.0);
            let Some(corner) = near.min_by(|a, b| s(&a.at).abs().total_cmp(&s(&b.at).abs())) else {
                return false;
            };
            let by = s(&corner.at);
            if !slides || by.abs() < 8.0 {
                return false;
            }
            *d.point_mut(&from) += along * (by - by.signum() * 1.5);
            true
        },
    ),
    m("no move clear between two faces", "no-clear-move", |d, _| {
        let probes = d.probes();
        let clear = d.find(|a| goes(a, "clear")).expect("clear");
        let side = |i: usize| match d.act(i) {
            Instruction::Probe { direction, .. } => *direction,
            _ => Vector3::zeros(),
        };
        // Between two touches of one face it may be spared.
        let before = probes.iter().rev().find(|&&p| p < clear).map(|&p| side(p));
        let after = probes.iter().find(|&&p| p > clear).map(|&p| side(p));
        if after.is_none() || before == after {
            return false;
        }
        d.drop_step(clear);
        // Carried over the next face, it is clear all the same.
        !goes(d.act(clear), "above")
    }),
    m("no move clear after probing", "no-clear-move", |d, _| {
        let clear = d.rfind(|a| goes(a, "clear")).expect("clear");
        d.drop_step(clear);
        true
    }),
    m("no approach", "no-approach", |d, _| drop_first(d, |a| goes(a, "approach"))),
    m("no retreat", "no-retreat", |d, _| {
        let at = d.rfind(|a| goes(a, "retreat")).expect("retreat");
        d.drop_step(at);
        true
    }),
    m("the weld end is missing", "weld-not-closed", |d, _| drop_first(d, is_end)),
    m("the weld start is missing", "weld-not-closed", |d, _| drop_first(d, is_start)),
    m("weld start and weld end are swapped", "weld-not-closed", |d, _| {
        let (start, end) = (d.find(is_start).expect("start"), d.find(is_end).expect("end"));
        d.shift(end, start);
        true
    }),
    and("the retreat stands before the weld end", "weld-not-closed", &["no-retreat"], |d, _| {
        let (end, retreat) =
            (d.find(is_end).expect("end"), d.find(|a| goes(a, "retreat")).expect("retreat"));
        d.shift(retreat, end);
        true
    }),
    and("the approach stands after the weld start", "weld-not-closed", &["no-approach"], |d, _| {
        let (start, approach) =
            (d.find(is_start).expect("start"), d.find(|a| goes(a, "approach")).expect("approach"));
        d.shift(approach, start + 1);
        true
    }),
    m("weld start stands twice", "weld-not-closed", |d, _| {
        let start = d.find(is_start).expect("start");
        let again = d.act(start).clone();
        d.insert(start, again);
        true
    }),
    m("finish probing stands twice", "probing-never-finished", |d, _| {
        let finish = d.find(is_finish).expect("finish");
        d.insert(finish, Instruction::FinishProbing);
        true
    }),
    m("begin probing stands twice", "probing-never-finished", |d, _| {
        let begin = d.find(is_begin).expect("begin");
        let again = d.act(begin).clone();
        d.insert(begin, again);
        true
    }),
    m("follow instead of stop following", "follow-never-stopped", |d, _| {
        let (follow, stop) = (d.find(is_follow).expect("follow"), d.find(is_stop).expect("stop"));
        d.routine.steps[stop].instruction = d.act(follow).clone();
        true
    }),
    m("no reference run", "no-reference-run", |d, _| {
        let reference = d.run(0);
        d.actions.remove(reference);
        true
    }),
    m("the flag is never turned off", "reference-flag-left-on", |d, _| {
        d.actions.retain(|a| !matches!(a, Action::SetPlan { .. }));
        true
    }),
    m("the flag goes off one run late", "reference-flag-left-on", |d, _| {
        let proof = d.run(1);
        d.actions.swap(proof, proof - 1);
        true
    }),
    m("the flag goes on again on the moved part", "reference-retaken-on-moved-part", |d, _| {
        let last = d.run(2);
        d.actions.insert(last, current_plan(d, true));
        true
    }),
    m(
        "the reference is taken again on the moved part, then production",
        "reference-retaken-on-moved-part",
        |d, _| {
            let last = d.run(2);
            let extra = [current_plan(d, true), reduced(), current_plan(d, false)];
            d.actions.splice(last..last, extra);
            true
        },
    ),
    m("the part is moved before the reference run", "reference-away-from-taught", |d, _| {
        let nudge = d.nudge();
        let moved = d.actions.remove(nudge);
        d.actions.insert(0, moved);
        true
    }),
    m(
        "the reference run is made on a moved part that is then put back",
        "reference-away-from-taught",
        |d, _| {
            let moved = d.actions[d.nudge()].clone();
            let back = Action::PlacePart { part: Pose::identity().into() };
            d.actions.insert(1, back);
            d.actions.insert(0, moved);
            true
        },
    ),
    m("somebody moved the part for the reference run", "reference-away-from-taught", |d, _| {
        let Action::PlacePart { part } = d.actions[d.nudge()].clone() else { return false };
        d.actions.insert(0, Action::Plant { fault: Fault::ReferenceOnMovedPart { part } });
        true
    }),
    m("no proof run", "no-proof-run", |d, _| {
        let proof = d.run(1);
        d.actions.remove(proof);
        true
    }),
    m("the part is moved before the proof run", "no-proof-run", |d, _| {
        let (proof, nudge) = (d.run(1), d.nudge());
        let moved = d.actions.remove(nudge);
        d.actions.insert(proof, moved);
        true
    }),
    m("the first run is at full speed", "first-run-too-fast", |d, _| {
        let first = d.run(0);
        d.actions[first] = Action::Run { speed: RunSpeed::Full, arc: false, steps: None };
        true
    }),
    m("a way point is added, and the next run is at full speed", "first-run-too-fast", |d, _| {
        let nudge = d.nudge();
        let at = d.part.rest + Vector3::new(5.0, 5.0, 5.0);
        let step =
            Instruction::Move { to: "new".into(), path: PathKind::Joint, corner: Corner::FullStop };
        let edits =
            [Action::Teach { point: "new".into(), at }, Action::AddStep { at: Some(1), step }];
        d.actions.splice(nudge..nudge, edits);
        let last = d.run(2);
        d.actions[last] = Action::Run { speed: RunSpeed::Full, arc: false, steps: None };
        true
    }),
    m("the arc is on in the reference run", "arc-in-trial", |d, _| {
        let first = d.run(0);
        d.actions[first] = Action::Run { speed: RunSpeed::Reduced, arc: true, steps: None };
        true
    }),
    m("the arc is on in the proof run", "arc-in-trial", |d, _| {
        let proof = d.run(1);
        d.actions[proof] = Action::Run { speed: RunSpeed::Reduced, arc: true, steps: None };
        true
    }),
    m("the part is moved between its touches and its weld", "part-moved-mid-run", |d, rng| {
        let last = d.run(2);
        let stop = d.find(is_finish).expect("finish") + 1;
        let moved = super::draft::nudge(&d.part.play, rng);
        d.actions[last] = Action::Run { speed: RunSpeed::Reduced, arc: false, steps: Some(stop) };
        d.actions.push(Action::PlacePart { part: moved.into() });
        d.actions.push(Action::Resume { steps: None });
        true
    }),
    m("the part slips in the production run", "part-moved-mid-run", |d, _| {
        let last = d.run(2);
        let slip = Pose::planar(2.0, -1.5, 0.0).into();
        d.actions.insert(last, Action::Plant { fault: Fault::PartSlipsMidRun { slip } });
        true
    }),
    m(
        "a probe point is taught again after the reference run",
        "probe-edited-after-reference",
        |d, rng| {
            let probe = any_probe(d, rng);
            let name = point_of(d, probe);
            let Instruction::Probe { direction, .. } = d.act(probe).clone() else { return false };
            let at = *d.point_mut(&name) + direction * 1.0;
            let nudge = d.nudge();
            d.actions.insert(nudge, Action::Teach { point: name, at });
            true
        },
    ),
    m(
        "the probing speed is changed after the reference run",
        "probe-edited-after-reference",
        |d, _| {
            let Action::SetPlan { plan } = current_plan(d, false) else { return false };
            let nudge = d.nudge();
            d.actions
                .insert(nudge, Action::SetPlan { plan: ProbePlan { speed_mm_s: 60.0, ..plan } });
            true
        },
    ),
    m("the reach is changed after the reference run", "probe-edited-after-reference", |d, _| {
        let Action::SetPlan { plan } = current_plan(d, false) else { return false };
        let nudge = d.nudge();
        d.actions.insert(
            nudge,
            Action::SetPlan { plan: ProbePlan { reach_mm: plan.reach_mm + 5.0, ..plan } },
        );
        true
    }),
    m("somebody changed the probing speed", "probe-edited-after-reference", |d, _| {
        let nudge = d.nudge();
        d.actions.insert(
            nudge,
            Action::Plant { fault: Fault::ProbingSpeedChanged { speed_mm_s: 80.0 } },
        );
        true
    }),
    m("the wire is cut to another length", "stick-out-changed", |d, _| {
        if !feels_from_above(d) {
            return false;
        }
        let nudge = d.nudge();
        d.actions.insert(nudge, Action::CutWire { stick_out_mm: 13.0 });
        true
    }),
    m("somebody changed the stick-out", "stick-out-changed", |d, _| {
        if !feels_from_above(d) {
            return false;
        }
        let nudge = d.nudge();
        d.actions
            .insert(nudge, Action::Plant { fault: Fault::StickOutChanged { stick_out_mm: 16.5 } });
        true
    }),
    m("the wire is bent, and used", "wire-bent-and-used", |d, _| {
        let nudge = d.nudge();
        let bend = Vector3::new(1.2, 0.8, 0.0);
        d.actions.insert(nudge, Action::Plant { fault: Fault::WireBent { bend } });
        true
    }),
    m("a search that found nothing is taken out", "no-touch-ignored", |d, _| {
        let Some((_, b)) = pair(d) else { return false };
        if d.probes().len() <= d.routine.plans[0].freedoms.count() {
            return false;
        }
        // Somebody has put the part far off for one run: the search finds nothing.
        let Instruction::Probe { direction, .. } = d.act(b).clone() else { return false };
        if direction.z.abs() > 0.5 {
            return false;
        }
        let away = Pose::planar(direction.x * 28.0, direction.y * 28.0, 0.0);
        let last = d.run(2);
        let goes = d.actions[last - 1].clone();
        let ids = [d.routine.steps[b].id, d.routine.steps[b - 1].id];
        let first_of_face = d.probes().into_iter().find(
            |&i| matches!(d.act(i), Instruction::Probe { direction: o, .. } if *o == direction),
        );
        let id = first_of_face.map_or(ids[0], |i| d.routine.steps[i].id);
        let extra = [
            Action::PlacePart { part: away.into() },
            reduced(),
            goes,
            Action::DeleteStep { id },
            reduced(),
        ];
        d.actions.truncate(last - 1);
        d.actions.extend(extra);
        true
    }),
    m("paint on an edge, and welded all the same", "residual-ignored", |d, _| {
        let probes = d.probes();
        if d.part.name != "bench-side" || probes.len() != 4 || !turns(d) {
            return false;
        }
        let paint = Fault::PaintedEdge {
            body: "side plate".into(),
            edge: 3,
            from_mm: 200.0,
            to_mm: 245.0,
            depth_mm: 2.2,
        };
        let nudge = d.nudge();
        d.actions.insert(nudge, Action::Plant { fault: paint });
        // Where the painted touch comes first, the bent wire makes all the others wrong alike.
        let session = d.session();
        let located = session.state().last_run().and_then(|r| r.fit().cloned());
        located.is_some_and(|l| l.residuals.iter().any(|e| e.abs() > 0.55))
    }),
    m(
        "the part is out of square since the reference run, and welded all the same",
        "residual-ignored",
        |d, rng| {
            if d.probes().len() != 4 || !turns(d) {
                return false;
            }
            let lean_deg = if rng.coin() { 1.2 } else { -1.2 };
            let nudge = d.nudge();
            d.actions.insert(nudge, Action::Plant { fault: Fault::OutOfSquare { lean_deg } });
            let session = d.session();
            let last = session.state().last_run();
            let located = last.filter(|r| r.finished()).and_then(|r| r.fit().cloned());
            located.is_some_and(|l| l.residuals.iter().any(|e| e.abs() > 0.55))
        },
    ),
    m("the part lies further off than the fixture allows", "offset-beyond-limit", |d, _| {
        let play = d.part.play;
        if play.dx == 0.0 || play.dy == 0.0 || !d.routine.plans[0].freedoms.is_planar() {
            return false;
        }
        let nudge = d.nudge();
        let off = Pose::planar(play.dx + 2.0, -play.dy - 2.0, 0.0);
        d.actions[nudge] = Action::PlacePart { part: off.into() };
        // Further off, it may be run into: then there is no offset to be doubted.
        d.session().state().last_run().is_some_and(|r| r.finished())
    }),
    m("a weld point is corrected on the moved part", "point-touched-up-while-following", |d, _| {
        let start = d.find(is_start).expect("weld");
        let name = point_of(d, start);
        let Action::PlacePart { part } = d.actions[d.nudge()].clone() else { return false };
        let at = Pose::from(part).point(d.point_mut(&name));
        let last = d.run(2);
        d.actions.insert(last, Action::Teach { point: name, at });
        true
    }),
];

/// Changes that change nothing physical, or that a careful learner makes.
pub(crate) const HARMLESS: &[(&str, Change)] = &[
    ("a point is renamed", |d, rng| {
        let probe = any_probe(d, rng);
        let from = point_of(d, probe);
        d.actions.insert(0, Action::RenamePoint { from, to: "my own name".into() });
        true
    }),
    ("a point that nothing uses", |d, _| {
        d.routine
            .points
            .push(TaughtPoint { name: "spare".into(), at: Point3::new(0.0, -100.0, 50.0) });
        true
    }),
    ("a move clear stands twice", |d, _| {
        let clear = d.find(|a| goes(a, "clear")).expect("clear");
        let again = d.act(clear).clone();
        d.insert(clear, again);
        true
    }),
    ("an arrival stands twice", |d, rng| {
        let probe = any_probe(d, rng);
        let again = d.act(probe - 1).clone();
        d.insert(probe - 1, again);
        true
    }),
    ("two touches of one face are swapped", |d, _| {
        let Some((a, b)) = pair(d).filter(|(a, b)| b - a == 2) else { return false };
        d.routine.steps.swap(a - 1, b - 1);
        d.routine.steps.swap(a, b);
        // The other way along the face the arm swings closer: it may clip a part that has moved.
        d.session().state().last_run().is_some_and(|r| r.finished())
    }),
    ("stop following stands twice", |d, _| {
        let stop = d.find(is_stop).expect("stop");
        d.insert(stop, Instruction::StopFollowing);
        true
    }),
    ("follow stands twice", |d, _| {
        let follow = d.find(is_follow).expect("follow");
        let again = d.act(follow).clone();
        d.insert(follow, again);
        true
    }),
    ("begin probing stands after the first arrival", |d, _| {
        let (begin, probes) = (d.find(is_begin).expect("begin"), d.probes());
        d.shift(begin, probes[0]);
        true
    }),
    ("follow stands before the move clear", |d, _| {
        let (finish, follow) =
            (d.find(is_finish).expect("finish"), d.find(is_follow).expect("follow"));
        d.shift(follow, finish + 1);
        true
    }),
    ("a second reference run before the flag goes off", |d, _| {
        d.actions.insert(1, reduced());
        true
    }),
    ("a run that is given up, and made again", |d, _| {
        let first =
            [Action::Run { speed: RunSpeed::Reduced, arc: false, steps: Some(4) }, Action::Abort];
        d.actions.splice(0..0, first);
        true
    }),
    ("a weld point is corrected on the unmoved part, and the next run is slow", |d, _| {
        let (nudge, start) = (d.nudge(), d.find(is_start).expect("weld"));
        let name = point_of(d, start);
        let at = *d.point_mut(&name) + Vector3::new(0.05, 0.05, 0.0);
        d.actions.insert(nudge, Action::Teach { point: name, at });
        d.actions.insert(nudge + 1, reduced());
        true
    }),
    ("a probe step is taken out that is not needed", |d, _| {
        let probes = d.probes();
        let Some((_, b)) = pair(d) else { return false };
        if probes.len() <= d.routine.plans[0].freedoms.count() || probes.len() != 4 {
            return false;
        }
        d.drop_step(b);
        true
    }),
    ("a second proof run", |d, _| {
        let proof = d.run(1);
        d.actions.insert(proof, reduced());
        true
    }),
    ("the part is put where it lies", |d, _| {
        let part = Pose::identity().into();
        d.actions.insert(0, Action::PlacePart { part });
        d.actions.insert(2, Action::PlacePart { part });
        true
    }),
    ("two parts in a row", |d, rng| {
        let part = super::draft::nudge(&d.part.play, rng).into();
        d.actions.push(Action::PlacePart { part });
        d.actions.push(Action::Run { speed: RunSpeed::Full, arc: true, steps: None });
        d.session().state().last_run().is_some_and(|r| r.finished())
    }),
    ("a way point rounds its corner", |d, _| {
        let Some(via) = d.find(|a| goes(a, "via")) else { return false };
        d.routine.steps[via].instruction = Instruction::Move {
            to: "via".into(),
            path: PathKind::Joint,
            corner: Corner::Blend(5.0),
        };
        true
    }),
    ("the reference run is made step by step", |d, _| {
        let first = d.run(0);
        d.actions[first] = Action::Run { speed: RunSpeed::Reduced, arc: false, steps: Some(3) };
        d.actions.insert(first + 1, Action::Resume { steps: Some(4) });
        d.actions.insert(first + 2, Action::Resume { steps: None });
        true
    }),
    ("a wire that was bent is cut back", |d, _| {
        let nudge = d.nudge();
        let bend = Vector3::new(1.0, 0.0, 0.0);
        let stick_out_mm = 15.0;
        d.actions.insert(nudge, Action::CutWire { stick_out_mm });
        d.actions.insert(nudge, Action::Plant { fault: Fault::WireBent { bend } });
        true
    }),
    ("the probing is changed, and there is a new reference and a new proof", |d, _| {
        let Action::SetPlan { plan } = current_plan(d, true) else { return false };
        let nudge = d.nudge();
        let faster = |reference| Action::SetPlan {
            plan: ProbePlan { speed_mm_s: 25.0, reference, ..plan.clone() },
        };
        let again = [faster(true), reduced(), faster(false), reduced()];
        d.actions.splice(nudge..nudge, again);
        true
    }),
    ("a mistake is made good: part back, new reference, proof, production", |d, rng| {
        let on_moved = [current_plan(d, true), reduced()];
        d.actions.extend(on_moved);
        d.actions.push(Action::CutWire { stick_out_mm: 15.0 });
        let part = super::draft::nudge(&d.part.play, rng).into();
        let good = [
            Action::PlacePart { part: Pose::identity().into() },
            reduced(),
            current_plan(d, false),
            reduced(),
            Action::PlacePart { part },
            reduced(),
        ];
        d.actions.extend(good);
        true
    }),
    (
        "the same points are taught with the part lying elsewhere, and the reference is taken there",
        |d, _| {
            let place = Pose::planar(0.4, -0.3, 0.002);
            for p in d.routine.points.iter_mut().filter(|p| p.name != HOME) {
                p.at = place.point(&p.at);
            }
            let points = std::mem::take(&mut d.routine.points);
            let mut first = vec![Action::PlacePart { part: place.into() }];
            first.extend(points.into_iter().map(|p| Action::Teach { point: p.name, at: p.at }));
            d.actions.splice(0..0, first);
            true
        },
    ),
];
