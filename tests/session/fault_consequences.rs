//! What each fault of the cell does to a routine that is otherwise as it should be: the table in
//! `DEVELOPERS.md`. Run with `UPDATE=1` to write the table anew.

use crate::support::{AS_IT_SHOULD_BE, assert_table, session};
use nudgeproof::cell::{EdgeMade, Fault};
use nudgeproof::geometry::{PoseFile, Vector3};
use nudgeproof::io::from_json;
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::{EventKind, Instruction, RunLog, SearchOutcome};
use nudgeproof::session::{Action, Session};
use std::fmt::Write as _;

struct Case {
    name: &'static str,
    fault: Fault,
    /// Planted before the run of this number, from 1.
    before_run: usize,
    /// Whether the routine also feels for the height, from above.
    from_above: bool,
}

fn cases() -> Vec<Case> {
    let edge = |edge, from_mm, to_mm| Fault::PaintedEdge {
        body: "side plate".into(),
        edge,
        from_mm,
        to_mm,
        depth_mm: 1.5,
    };
    let case = |name, fault, before_run| Case { name, fault, before_run, from_above: false };
    let longer = Fault::StickOutChanged { stick_out_mm: 18.0 };
    vec![
        case("paint 1.5 mm deep where the first touch lands", edge(0, 320.0, 380.0), 4),
        case("paint 1.5 mm deep along the whole side", edge(0, 0.0, 400.0), 4),
        case(
            "clamp moved in front of the second touch",
            Fault::ClampMoved { clamp: "south stop".into(), dx: -150.0, dy: 26.0 },
            4,
        ),
        case(
            "tack 1.5 mm proud where the first touch lands",
            Fault::TackOnEdge {
                body: "side plate".into(),
                edge: 0,
                from_mm: 335.0,
                to_mm: 375.0,
                out_mm: 1.5,
            },
            4,
        ),
        case("work lead off", Fault::WorkLeadOff, 4),
        case("spatter between nozzle and contact tip", Fault::SpatterBridge, 4),
        case("part 0.5° out of square", Fault::OutOfSquare { lean_deg: 0.5 }, 4),
        case(
            "wire bent 1.5 mm along X and 1 mm along Y",
            Fault::WireBent { bend: Vector3::new(1.5, 1.0, 0.0) },
            4,
        ),
        case("stick-out 18 mm, taught with 15 mm", longer.clone(), 4),
        Case { from_above: true, ..case("the same, with one touch from above", longer, 4) },
        case(
            "searches at 200 mm/s, reference at 20 mm/s",
            Fault::SensingSpeedChanged { speed_mm_s: 200.0 },
            4,
        ),
        case(
            "part slips (2, 1.5) mm after its touches",
            Fault::PartSlipsMidRun { slip: slide(2.0, 1.5) },
            4,
        ),
        case(
            "reference taken with the part (3, 2) mm away",
            Fault::ReferenceOnMovedPart { part: slide(3.0, 2.0) },
            1,
        ),
        case("another part loaded", Fault::WrongPart { part: OTHER_PART.into() }, 4),
        case(
            "wire not trimmed: a ball, and a stick-out of 16.5 mm",
            Fault::UntrimmedWire { stick_out_mm: 16.5 },
            4,
        ),
        case("contact tip worn by 1 mm", Fault::TipWorn { wear_mm: 1.0 }, 4),
        case(
            "the edge of the last two touches rolled instead of machined",
            Fault::RoughEdge { body: "side plate".into(), edge: 3, made: EdgeMade::Rolled },
            4,
        ),
        case(
            "seat rail loose and moved by 2 mm",
            Fault::LooseUpright { body: "seat rail".into(), dx: 0.0, dy: 2.0 },
            4,
        ),
        case(
            "clamp worn: the part lies 6 mm further along X",
            Fault::WornClamp { away: slide(6.0, 0.0) },
            4,
        ),
    ]
}

fn slide(dx: f64, dy: f64) -> PoseFile {
    PoseFile { dx, dy, ..PoseFile::default() }
}

const OTHER_PART: &str = "bench-side-short";

fn with_fault(case: &Case) -> Session {
    let session = sound(case.from_above);
    let mut run = 0;
    let mut actions = Vec::new();
    for action in session.actions() {
        run += usize::from(matches!(action, Action::Run { .. }));
        if matches!(action, Action::Run { .. }) && run == case.before_run {
            actions.push(Action::Plant { fault: case.fault.clone() });
        }
        actions.push(action.clone());
    }
    session.replayed(actions).unwrap_or_else(|(n, e)| panic!("{}: action {n}: {e}", case.name))
}

/// The session as it should be; with a touch from above if wanted.
fn sound(from_above: bool) -> Session {
    let session = session(AS_IT_SHOULD_BE);
    if !from_above {
        return session;
    }
    let feel: Vec<Action> = from_json(
        r#"[
        {"action": "teach", "point": "clear-3", "at": [-60, 215, 80]},
        {"action": "teach", "point": "over-1", "at": [200, 60, 90]},
        {"action": "teach", "point": "top-1", "at": [200, 60, 27]},
        {"action": "add_step", "step": {"do": "move", "to": "clear-3", "way": "linear"}},
        {"action": "add_step", "step": {"do": "move", "to": "over-1", "way": "joint"}},
        {"action": "add_step", "step": {"do": "feel", "from": "top-1", "way": "linear", "direction": [0, 0, -1], "face": "top"}},
        {"action": "add_step", "step": {"do": "move", "to": "over-1", "way": "linear"}}
        ]"#,
    )
    .expect("actions");
    let mut actions = Vec::new();
    for action in session.actions() {
        let mut action = action.clone();
        match &mut action {
            Action::AddStep { step: Instruction::SensingOff, .. } => actions.extend(feel.clone()),
            Action::AddStep { step: Instruction::Find { may, .. }, .. } => *may |= Freedoms::HEIGHT,
            _ => {}
        }
        actions.push(action);
    }
    session.replayed(actions).unwrap_or_else(|(n, e)| panic!("action {n}: {e}"))
}

fn consequence(run: &RunLog) -> (String, String) {
    let told = run.events.iter().rev().find_map(|e| match &e.what {
        EventKind::Crash { body, .. } => Some(format!("the nozzle runs into {body}")),
        EventKind::SearchFailed { search } => Some(match &run.searches[*search].outcome {
            SearchOutcome::NotFelt { body } => {
                format!(
                    "search {} feels nothing and bends the wire on {body}: the run stops",
                    search + 1
                )
            }
            _ => format!("search {} finds nothing: the run stops", search + 1),
        }),
        EventKind::PlaceNotFound { why, .. } => Some(format!("not found: {why}")),
        EventKind::CannotDo { why } => Some(why.to_string()),
        _ => None,
    });
    let residual = run.found().map_or_else(
        || "–".into(),
        |(l, _)| {
            let greatest = l.residuals.iter().fold(0.0_f64, |m, r| m.max(r.abs()));
            format!("{greatest:.2} mm{}", if l.consistent { "" } else { ", in doubt" })
        },
    );
    let end = told.unwrap_or_else(|| {
        let miss = run.worst_miss().map_or(0.0, f64::abs);
        let height = run.welds.iter().flat_map(|w| w.miss).map(|m| m.height_mm.abs());
        let height = height.fold(0.0, f64::max);
        let verdict = if run.landed() { "lands" } else { "misses" };
        if height > 0.01 {
            format!("{verdict}: {miss:.2} mm across, {height:.2} mm in height")
        } else {
            format!("{verdict}: {miss:.2} mm across")
        }
    });
    (end, residual)
}

#[test]
fn the_table_of_consequences_is_what_the_cell_does() {
    let mut table = String::from(
        "| fault | the production run | greatest squareness residual |\n|---|---|---|\n",
    );
    let (end, residual) = consequence(sound(false).state().last_run().expect("a run"));
    writeln!(table, "| none | {end} | {residual} |").expect("a string takes it");
    for case in cases() {
        let session = with_fault(&case);
        let run = session.state().last_run().expect("a run").clone();
        let plain = sound(case.from_above);
        let same = run.welds == plain.state().last_run().expect("a run").welds;
        // The arc burns the wire off, and a touch from the side does not notice its length.
        let harmless = matches!(case.fault, Fault::StickOutChanged { .. }) && !case.from_above;
        assert_eq!(same, harmless, "{}: whether nothing comes of it", case.name);
        let (end, residual) = consequence(&run);
        writeln!(table, "| {} | {end} | {residual} |", case.name).expect("a string takes it");
    }
    assert_table("faults", &table);
}
