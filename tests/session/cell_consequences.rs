//! What the cell teaches, sentence by sentence: the table in `DEVELOPERS.md`. Run with `UPDATE=1` to
//! write the table anew.

use crate::support::{AS_IT_SHOULD_BE, assert_table, session};
use nudgeproof::cell::{Body, EdgeMade, Fault, FixturePlay, MadeEdge};
use nudgeproof::geometry::{PoseFile, Vector3};
use nudgeproof::io::from_json;
use nudgeproof::routine::{EventKind, Instruction, RunLog, RunSpeed};
use nudgeproof::session::{Action, Header, Session, Study};
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// The session as it should be, with a change: header and actions before it is played.
fn played(change: impl FnOnce(&mut Header, &mut Vec<Action>)) -> Session {
    let sound = session(AS_IT_SHOULD_BE);
    let (mut header, mut actions) = (sound.header().clone(), sound.actions().to_vec());
    change(&mut header, &mut actions);
    Session::replay(header, actions).unwrap_or_else(|(n, e)| panic!("action {n}: {e}"))
}

fn last(session: &Session) -> RunLog {
    RunLog::clone(session.state().last_run().expect("a run"))
}

/// Place of the last run among the actions.
fn production(actions: &[Action]) -> usize {
    actions.iter().rposition(|a| matches!(a, Action::Run { .. })).expect("a run")
}

fn without(actions: &mut Vec<Action>, gone: &Instruction) {
    actions.retain(|a| !matches!(a, Action::AddStep { step, .. } if step == gone));
}

/// Feels for the height too, from above, with searches at this speed.
fn feels_from_above(actions: &mut Vec<Action>, speed: f64) {
    let feel: Vec<Action> = from_json(
        r#"[
        {"action": "teach", "point": "over-1", "at": [200, 60, 90]},
        {"action": "teach", "point": "top-1", "at": [200, 60, 27]},
        {"action": "add_step", "step": {"do": "move", "to": "over-1", "way": "joint"}},
        {"action": "add_step", "step": {"do": "feel", "from": "top-1", "way": "linear", "direction": [0, 0, -1], "face": "top"}},
        {"action": "add_step", "step": {"do": "move", "to": "over-1", "way": "linear"}}
        ]"#,
    )
    .expect("actions");
    let is_off = |a: &Action| matches!(a, Action::AddStep { step: Instruction::SensingOff, .. });
    let at = actions.iter().position(is_off).expect("sensing off");
    actions.splice(at..at, feel);
    for action in actions {
        if let Action::AddStep { step, .. } = action {
            match step {
                Instruction::Find { may, .. } => *may |= nudgeproof::locate::Freedoms::HEIGHT,
                Instruction::SensingOn { speed_mm_s, .. } => *speed_mm_s = speed,
                _ => {}
            }
        }
    }
}

/// What came of a run, at the seam.
fn told(run: &RunLog) -> String {
    let bent = run.events.iter().find_map(|e| match &e.what {
        EventKind::WireBent { body, .. } => Some(format!("the wire is bent on {body}; ")),
        _ => None,
    });
    let bent = bent.unwrap_or_default();
    if !run.finished() {
        let why = run.events.iter().rev().find_map(|e| match &e.what {
            EventKind::CannotDo { why } | EventKind::PlaceNotFound { why, .. } => {
                Some(why.to_string())
            }
            EventKind::Crash { body, .. } => Some(format!("the nozzle runs into {body}")),
            EventKind::SearchFailed { .. } => Some("a search is not felt".into()),
            _ => None,
        });
        return format!("{bent}the run stops: {}", why.unwrap_or_default());
    }
    let Some(miss) = run.worst_miss() else { return format!("{bent}nothing is welded") };
    let verdict = if run.landed() { "lands" } else { "misses" };
    format!("{bent}{verdict}: {:.2} mm", miss.abs())
}

/// The miss that 95 of 100 production runs stay within, mm.
fn p95(session: &Session) -> f64 {
    let study = Study::new(session.state(), 7).expect("it has a reference");
    study.run(0..400).worst_mm.percentile(0.95).expect("it welds")
}

/// The seat rail tacked on by itself, and carrying the seam.
fn rail_moves(header: &mut Header) {
    let rail = |b: &&mut Body| b.name == "seat rail";
    let body = header.part.bodies.iter_mut().find(rail).expect("a rail");
    body.play = Some(FixturePlay { dx: 1.0, dy: 1.0, ..FixturePlay::default() });
    header.part.seams[0].body = Some("seat rail".into());
}

#[test]
fn every_sentence_about_the_cell_shows_at_the_seam() {
    let mut rows: Vec<(&str, &str, String)> = Vec::new();
    let sound = last(&played(|_, _| {}));
    assert!(sound.landed(), "the session as it should be");
    rows.push(("nothing wrong", "the main job", told(&sound)));

    // The way to the first search leads through the plate, and the wire is dragged over its edge.
    let dragged = last(&played(|_, all| {
        let through: Vec<Action> = from_json(
            r#"[
            {"action": "teach", "point": "over", "at": [350, 60, 16]},
            {"action": "add_step", "at": 2, "step": {"do": "move", "to": "over", "way": "joint"}},
            {"action": "change_step", "id": 3, "step": {"do": "feel", "from": "south-1", "way": "linear", "direction": [0, 1, 0], "face": "south"}}
            ]"#,
        )
        .expect("actions");
        let at = production(all);
        all.splice(at..at, through);
    }));
    assert!(dragged.finished() && !dragged.landed(), "the run goes on, and welds air");
    rows.push((
        "a wire that meets something bends, and the run goes on",
        "the way to a search leads through the part",
        told(&dragged),
    ));

    let bend = |all: &mut Vec<Action>, arc: bool| {
        let at = production(all);
        if let Action::Run { arc: on, .. } = &mut all[at] {
            *on = arc;
        }
        let bend = Vector3::new(0.0, 1.0, 0.0);
        all.insert(at, Action::Plant { fault: Fault::WireBent { bend } });
    };
    let (dry, weld) = (last(&played(|_, a| bend(a, false))), last(&played(|_, a| bend(a, true))));
    assert!(dry.landed() && !weld.landed(), "the trap: {} and {}", told(&dry), told(&weld));
    rows.push(("a bend lives in the touches", "wire bent 1 mm, dry run", told(&dry)));
    rows.push(("and not in the weld", "the same with the arc on", told(&weld)));

    let again = |trim: bool| {
        last(&played(|_, all| {
            if !trim {
                without(all, &Instruction::TrimWire);
            }
            all.push(Action::Run { speed: RunSpeed::Full, arc: true, steps: None });
        }))
    };
    let (trimmed, untrimmed) = (again(true), again(false));
    let miss = |run: &RunLog| run.worst_miss().expect("it welds").abs();
    assert!(miss(&untrimmed) > miss(&trimmed) + 0.1, "a ball reads late");
    rows.push(("after an arc the wire has a ball", "second part, trimmed", told(&trimmed)));
    rows.push(("it reads late and scatters more", "second part, not trimmed", told(&untrimmed)));

    let braked = |wire_brake: bool| {
        last(&played(|header, all| {
            header.settings.wire_brake = wire_brake;
            feels_from_above(all, 60.0);
            without(all, &Instruction::TrimWire);
        }))
    };
    let (with, without_brake) = (braked(true), braked(false));
    assert!(miss(&without_brake) > miss(&with) + 0.3, "the wire slips back");
    rows.push(("a wire brake holds the wire", "four runs from above, brake", told(&with)));
    rows.push(("without one it slips back", "the same without", told(&without_brake)));

    let raised = |may_tell: bool| {
        last(&played(|_, all| {
            if may_tell {
                feels_from_above(all, 20.0);
            }
            for action in all.iter_mut() {
                if let Action::PlacePart { part, .. } = action {
                    part.dz = 1.5;
                }
            }
        }))
    };
    // 1.5 mm · sin 45° (trigonometry; the work angle by AWS A3.0).
    assert!((miss(&raised(false)) - 1.06).abs() < 0.1, "{}", told(&raised(false)));
    rows.push(("the miss is judged across the wire", "part 1.5 mm too high", told(&raised(false))));
    rows.push(("", "the same, height felt and found", told(&raised(true))));

    let edges = |made: EdgeMade| {
        p95(&played(|header, _| {
            let body = &mut header.part.bodies[0];
            body.edges = (0..4).map(|edge| MadeEdge { edge, made }).collect();
        }))
    };
    let (machined, rolled) = (edges(EdgeMade::Machined), edges(EdgeMade::Rolled));
    assert!(rolled > 1.8 * machined, "{rolled} and {machined}");
    rows.push((
        "an edge says how it was made",
        "95 of 100 parts, machined edges",
        format!("within {machined:.2} mm"),
    ));
    rows.push(("", "95 of 100 parts, rolled edges", format!("within {rolled:.2} mm")));

    let fast = last(&played(|_, all| {
        for action in all.iter_mut() {
            if let Action::AddStep { step: Instruction::SensingOn { speed_mm_s, .. }, .. } = action
            {
                *speed_mm_s = 100.0;
            }
        }
    }));
    assert!(fast.events.iter().any(|e| matches!(e.what, EventKind::WireBent { .. })), "it bends");
    rows.push(("a fast search bends the wire", "searches at 100 mm/s", told(&fast)));

    let off = last(&played(|_, all| without(all, &Instruction::sensing_on())));
    assert!(!off.finished() && off.welds.is_empty(), "nothing is felt");
    rows.push(("sensing not switched on: nothing is felt", "no sensing on", told(&off)));
    let live = last(&played(|_, all| without(all, &Instruction::SensingOff)));
    assert!(!live.finished() && live.welds.is_empty(), "no arc");
    rows.push(("with sensing on the arc is not struck", "no sensing off", told(&live)));

    let own = |dy: f64| {
        last(&played(|header, all| {
            rail_moves(header);
            for action in all.iter_mut() {
                if let Action::PlacePart { bodies, .. } = action {
                    let moved = PoseFile { dy, ..PoseFile::default() };
                    *bodies = BTreeMap::from([("seat rail".into(), moved)]);
                }
            }
        }))
    };
    assert!(own(0.0).landed() && !own(1.0).landed(), "the base does not tell of the rail");
    rows.push((
        "a body may move by itself: the base does not locate its seam",
        "rail tacked 1 mm further north",
        told(&own(1.0)),
    ));

    let mut table = String::from("| what is so | shown by | production run |\n|---|---|---|\n");
    for (so, by, comes) in rows {
        writeln!(table, "| {so} | {by} | {comes} |").expect("a string takes it");
    }
    assert_table("cell", &table);
}
