//! Steps and events in plain sentences.

use super::aim::direction_label;
use super::nudge::Nudge;
use super::number::{length, length_unit, plain, signed, signed_length, unit};
use crate::app::i18n::{Key, Segment, format, say, segments, text};
use nudgeproof::cell::{END_MM, FixturePlay, STANDOFF_MM, SeamMiss};
use nudgeproof::geometry::Pose;
use nudgeproof::locate::{Freedom, Freedoms};
use nudgeproof::routine::{Event, Instruction, PathKind, Routine, RunKind, RunLog, Stop};
use nudgeproof::session::{ActionError, State};

/// A step as one sentence.
pub(crate) fn step(instruction: &Instruction) -> Vec<Segment> {
    match instruction {
        Instruction::Move { to, stop, .. } => {
            let mut out = segments(Key::StepMove, &[to]);
            if let Stop::Round(mm) = stop {
                out.extend(segments(Key::StepRound, &[&length(*mm, 0)]));
            }
            out
        }
        Instruction::SensingOn { .. } => segments(Key::SensingOn, &[]),
        Instruction::Feel { from, direction, .. } => {
            segments(Key::StepFeel, &[&direction_label(direction), from])
        }
        Instruction::SensingOff => segments(Key::SensingOff, &[]),
        Instruction::Find { place, .. } => segments(Key::StepFind, &[place]),
        Instruction::Follow { place } => segments(Key::StepFollow, &[place]),
        Instruction::StopFollowing => segments(Key::StopFollowing, &[]),
        Instruction::WeldStart { to } => segments(Key::StepWeldFrom, &[to]),
        Instruction::WeldThrough { to } => segments(Key::StepWeldThrough, &[to]),
        Instruction::WeldEnd { to } => segments(Key::StepWeldTo, &[to]),
        Instruction::TrimWire => segments(Key::TrimWire, &[]),
    }
}

/// The same as plain text.
pub(crate) fn step_text(instruction: &Instruction) -> String {
    step(instruction)
        .into_iter()
        .map(|b| match b {
            Segment::Text(t) | Segment::Name(t) => t,
        })
        .collect()
}

/// How the torch gets to the point of a step, where that can be chosen. On screen the icon tells it.
pub(crate) fn way(instruction: &Instruction) -> Option<&'static str> {
    match instruction {
        Instruction::Move { way, .. } | Instruction::Feel { way, .. } => Some(way_name(*way)),
        _ => None,
    }
}

/// The name of a path.
pub(crate) fn way_name(way: PathKind) -> &'static str {
    text(match way {
        PathKind::Joint => Key::JointMove,
        PathKind::Linear => Key::LinearMove,
    })
}

/// What a run is called.
pub(crate) fn run_kind(kind: RunKind) -> &'static str {
    text(match kind {
        RunKind::Reference => Key::KindReference,
        RunKind::Proof => Key::KindProof,
        RunKind::Dry => Key::KindDry,
        RunKind::Production => Key::KindProduction,
        RunKind::Plain => Key::KindPlain,
    })
}

/// The offset of a place, in the numbers that were looked for, no others: the slides, and the
/// rotations where there are any.
pub(crate) fn offset(place: &str, may: Freedoms, pose: &Pose) -> (String, Option<String>) {
    let n = Nudge::of(pose);
    let [x, y, z] = [n.dx, n.dy, n.dz].map(|v| signed_length(v, 2));
    let slides = if may.contains(Freedoms::HEIGHT) {
        format(Key::FoundHigh, &[place, &x, &y, &z])
    } else {
        format(Key::FoundFlat, &[place, &x, &y])
    };
    let [turn, tilt_x, tilt_y] = [n.turn_deg, n.tilt_x_deg, n.tilt_y_deg].map(|v| signed(v, 2));
    let rotations = if may.tilts() {
        Some(format(Key::FoundTilts, &[&turn, &tilt_x, &tilt_y]))
    } else {
        may.contains(Freedoms::TURN).then(|| format(Key::FoundTurn, &[&turn]))
    };
    (slides, rotations)
}

/// The miss of one end of a weld: a sign for the verdict, the miss across the wire, and the distance
/// of the tip where that is what misses.
pub(crate) fn miss_text(miss: &SeamMiss, tolerance_mm: f64) -> String {
    let sign = if miss.lands(tolerance_mm) { "✓" } else { "✗" };
    let across = signed_length(miss.across_mm, 2);
    let (key, also) = match miss {
        m if m.standoff_mm.abs() > STANDOFF_MM => (Key::MissFar, signed_length(m.standoff_mm, 2)),
        m if m.along_mm.abs() > END_MM => (Key::MissAlong, signed_length(m.along_mm, 1)),
        _ => (Key::MissIs, String::new()),
    };
    format!("{sign} {}", format(key, &[&across, &also]))
}

/// The same in a drill, where nobody has measured it: what the eye sees, mm.
pub(crate) fn miss_by_eye(mm: f64) -> String {
    match mm.round() as i64 {
        0 => text(Key::SeenOnSeam).into(),
        whole => format(Key::SeenBeside, &[&length(whole.abs() as f64, 0)]),
    }
}

/// How long after an event the time line still shows its text, s.
pub(crate) const TOLD_FOR: f64 = 1.5;

/// What happens at moment `t` of a run, s: the last event for a while, then the step under way.
pub(crate) fn moment(log: &RunLog, routine: &Routine, t: f64) -> String {
    let told = |e: &&Event| e.time <= t + 1e-9 && t - e.time < TOLD_FOR;
    if let Some(last) = log.events.iter().rev().find(told) {
        return say(&log.says(&last.what));
    }
    let step = log.step_at(t).and_then(|id| routine.index_of(id));
    step.map(|i| step_text(&routine.steps[i].instruction)).unwrap_or_default()
}

/// The wire as it may be shown: its diameter, its length, and its bend and its ball if it has one.
pub(crate) fn wire(state: &State) -> String {
    let (taught, wire) = (state.settings.stick_out_mm, state.wire_shown());
    let [diameter, now] = [state.settings.wire_mm, wire.stick_out_mm].map(|mm| length(mm, 1));
    let mut out = format(Key::WireIs, &[&diameter, &now]);
    if (wire.stick_out_mm - taught).abs() > 1e-9 {
        out += &format(Key::WireTaughtWith, &[&length(taught, 1)]);
    }
    if wire.bend.norm() > 1e-9 {
        let [x, y] = [wire.bend.x, wire.bend.y].map(|mm| signed_length(mm, 1));
        out += &format(Key::WireBentBy, &[&x, &y]);
    }
    if wire.ball {
        out += text(Key::WireBall);
    }
    out
}

/// Why an action cannot be done.
pub(crate) fn refusal(why: &ActionError) -> String {
    say(&why.said())
}

/// What a part may have done, in words: "X, Y, turn".
pub(crate) fn freedoms_name(freedoms: Freedoms) -> String {
    freedoms.list().map(freedom_name).collect::<Vec<_>>().join(", ")
}

pub(crate) fn freedom_name(freedom: Freedom) -> &'static str {
    text(match freedom {
        Freedom::X => Key::FreeX,
        Freedom::Y => Key::FreeY,
        Freedom::Height => Key::FreeHeight,
        Freedom::Turn => Key::FreeTurn,
        Freedom::TiltX => Key::TiltX,
        Freedom::TiltY => Key::TiltY,
    })
}

/// The message for a part outside the fixture's play: how far it goes at the point where the play is counted, and
/// how far the fixture lets it go.
pub(crate) fn outside_play(play: &FixturePlay, lies: &Pose) -> String {
    let beyond =
        play.motion(lies).into_iter().filter(|(freedom, by)| by.abs() > play.limit(*freedom));
    let says = beyond.map(|(freedom, by)| {
        let limit = play.limit(freedom);
        let [by, limit] = match freedom.axis() {
            0..3 => [[&signed_length(by, 1), " ", unit()].concat(), length_unit(limit, 1)],
            _ => [signed(by, 1) + "°", plain(limit, 1) + "°"],
        };
        format(Key::BeyondPlay, &[freedom_name(freedom), &by, &limit])
    });
    format(Key::OutsidePlay, &[&says.collect::<Vec<_>>().join("; ")])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::logic::number::show_inches;
    use nudgeproof::routine::EventKind;
    use nudgeproof::session::{Action, Session};

    #[test]
    fn refusals_are_in_the_unit_chosen() {
        let text = include_str!("../../../tests/cases/sessions/as-it-should-be.json");
        let mut session = Session::from_json(text).expect("a session");
        let mut refused = |action| refusal(&session.act(action).expect_err("out of range"));
        let sensing = |speed_mm_s, reach_mm| {
            let step = Instruction::SensingOn { speed_mm_s, reach_mm };
            Action::AddStep { at: None, step }
        };
        assert_eq!(
            refused(sensing(20.0, 2540.0)),
            "the reach is 2540.0 mm, and it must be above 0.0 mm and at most 1000.0 mm"
        );
        show_inches(true);
        assert_eq!(
            refused(sensing(20.0, 2540.0)),
            "the reach is 100.000 in, and it must be above 0.000 in and at most 39.370 in"
        );
        assert_eq!(
            refused(sensing(-1.0, 20.0)),
            "the sensing speed is −0.039 in/s, and it must be above 0.000 in/s and at most 39.370 in/s"
        );
        let far = Action::MoveTorch { to: [1e300, 0.0, 0.0].into() };
        assert_eq!(
            refused(far),
            "a coordinate of the torch is 3.94e298 in, and it must be within ±3937.008 in"
        );
        show_inches(false);
    }

    #[test]
    fn events_are_in_the_unit_chosen_and_name_what_they_are_about() {
        let text = include_str!("../../../tests/cases/sessions/home-rides-along.json");
        let session = Session::from_json(text).expect("a session");
        let log = session.state().last_run().expect("a run");
        let carried = |e: &&Event| matches!(e.what, EventKind::HomeCarried { .. });
        let event = log.events.iter().rfind(carried).expect("home rides along");
        let EventKind::HomeCarried { by_mm } = event.what else { panic!("{event:?}") };
        let told = || say(&log.says(&event.what));
        assert_eq!(told(), format!("Home was carried along, {by_mm:.1} mm off"));
        show_inches(true);
        assert_eq!(told(), format!("Home was carried along, {:.3} in off", by_mm / 25.4));
        show_inches(false);
    }
}
