//! Steps and events in plain sentences.

use super::aim::direction_label;
use super::number::{Quantity, in_unit, length, signed_length};
use crate::app::i18n::{Key, Segment, format, segments, text};
use nudgeproof::cell::{FixturePlay, TorchPart};
use nudgeproof::routine::{
    Corner, Event, EventKind, Instruction, PathKind, Routine, RunKind, RunLog,
};
use nudgeproof::session::{ActionError, State, Unit};

/// A step as one sentence.
pub(crate) fn step(act: &Instruction) -> Vec<Segment> {
    match act {
        Instruction::Move { path, to, corner } => {
            let mut out = match (act.is_home(), path) {
                (true, _) => segments(Key::StepHome, &[]),
                (false, PathKind::Joint) => segments(Key::StepJoint, &[to]),
                (false, PathKind::Linear) => segments(Key::StepLinear, &[to]),
            };
            if let Corner::Blend(r) = corner {
                out.extend(segments(Key::StepBlend, &[&length(*r, 0)]));
            }
            out
        }
        Instruction::BeginProbing { plan } => segments(Key::StepBegin, &[plan]),
        Instruction::Probe { from, direction, face } => {
            let way = direction_label(direction);
            // The name of the point already contains that of the face.
            if from.starts_with(face.as_str()) {
                segments(Key::StepProbe, &[&way, from])
            } else {
                segments(Key::StepProbeFace, &[&way, from, face])
            }
        }
        Instruction::FinishProbing => segments(Key::StepFinish, &[]),
        Instruction::Follow { offset } => segments(Key::StepFollow, &[offset]),
        Instruction::StopFollowing => segments(Key::StepStopFollowing, &[]),
        Instruction::WeldStart { to } => segments(Key::StepWeldStart, &[to]),
        Instruction::WeldEnd { to } => segments(Key::StepWeldEnd, &[to]),
    }
}

/// The same as plain text.
pub(crate) fn step_text(act: &Instruction) -> String {
    step(act)
        .into_iter()
        .map(|b| match b {
            Segment::Text(t) | Segment::Name(t) => t,
        })
        .collect()
}

/// What a run is called.
pub(crate) fn run_kind(kind: RunKind) -> &'static str {
    text(match kind {
        RunKind::Reference => Key::KindReference,
        RunKind::Proof => Key::KindProof,
        RunKind::Production => Key::KindProduction,
        RunKind::Plain => Key::KindPlain,
    })
}

/// An event as a short sentence.
pub(crate) fn event(log: &RunLog, event: &Event) -> String {
    match &event.what {
        EventKind::Crash { hit_by, body, .. } => {
            let what = text(match hit_by {
                TorchPart::Wire => Key::TheWire,
                TorchPart::Nozzle => Key::TheNozzle,
            });
            format(Key::EventCrash, &[what, body])
        }
        EventKind::WireBent { bend } => format(Key::EventWireBent, &[&length(bend.norm(), 1)]),
        EventKind::Touched { search } => {
            let face = log.searches.get(*search).map_or("", |s| s.face.as_str());
            format(Key::EventTouched, &[&(search + 1).to_string(), face])
        }
        EventKind::SearchFailed { search } => {
            let face = log.searches.get(*search).map_or("", |s| s.face.as_str());
            format(Key::EventSearchFailed, &[&(search + 1).to_string(), face])
        }
        EventKind::ReferenceStored { overwrote: true, .. } => text(Key::EventOverwrote).into(),
        EventKind::ReferenceStored { .. } => text(Key::EventReference).into(),
        EventKind::OffsetFound { offset } => format(Key::EventOffset, &[offset]),
        EventKind::OffsetRefused { message, .. } => format(Key::EventRefused, &[&in_unit(message)]),
        EventKind::FollowBegins { offset } => format(Key::EventFollow, &[offset]),
        EventKind::FollowEnds => text(Key::EventFollowEnds).into(),
        EventKind::HomeCarried { by_mm } => format(Key::EventHomeCarried, &[&length(*by_mm, 1)]),
        EventKind::ArcOn => text(Key::EventArcOn).into(),
        EventKind::ArcOff => text(Key::EventArcOff).into(),
        EventKind::PartMoved => text(Key::EventPartMoved).into(),
        EventKind::CannotDo { why } => format(Key::EventCannotDo, &[&in_unit(why)]),
    }
}

/// How long after an event the time line still shows its text, s.
pub(crate) const TOLD_FOR: f64 = 1.5;

/// What happens at moment `t` of a run, s: the last event for a while, then the step under way.
pub(crate) fn moment(log: &RunLog, routine: &Routine, t: f64) -> String {
    let told = |e: &&Event| e.time <= t + 1e-9 && t - e.time < TOLD_FOR;
    if let Some(last) = log.events.iter().rev().find(told) {
        return event(log, last);
    }
    let step = log.step_at(t).and_then(|id| routine.index_of(id));
    step.map(|i| step_text(&routine.steps[i].instruction)).unwrap_or_default()
}

/// The wire as it may be shown: its diameter, its length, and its bend if it has one.
pub(crate) fn wire(state: &State) -> String {
    let (taught, now) = (state.settings.stick_out_mm, state.stick_out_shown());
    let mut out = format(Key::WireIs, &[&length(state.settings.wire_mm, 1), &length(now, 1)]);
    if (now - taught).abs() > 1e-9 {
        out += &format(Key::WireTaughtWith, &[&length(taught, 1)]);
    }
    let bend = state.bend_shown();
    if bend.norm() > 1e-9 {
        out += &format(Key::WireBentBy, &[&signed_length(bend.x, 1), &signed_length(bend.y, 1)]);
    }
    out
}

/// Why an action cannot be done, with lengths in the unit chosen.
pub(crate) fn refusal(why: &ActionError) -> String {
    match *why {
        ActionError::TooFar { what, is, within, unit } => {
            format(Key::TooFar, &[what, &with_unit(is, unit), &with_unit(within, unit)])
        }
        ActionError::OutOfRange { what, is, above, most, unit } => {
            let [is, above, most] = [is, above, most].map(|value| with_unit(value, unit));
            format(Key::OutOfRange, &[what, &is, &above, &most])
        }
        _ => in_unit(&why.to_string()),
    }
}

fn with_unit(value: f64, unit: Unit) -> String {
    let quantity = match unit {
        Unit::Mm => Quantity::Length,
        Unit::MmPerS => Quantity::Speed,
        Unit::Rad => return format!("{value:?} {unit}"),
    };
    // A typed number may have hundreds of digits.
    let shown = if value.abs() < 1e9 {
        quantity.show(value, 1)
    } else {
        format!("{:.2e}", value / quantity.metric(1.0))
    };
    format!("{shown} {}", quantity.unit())
}

/// The message for a part outside the fixture's play: how far the fixture lets it move.
pub(crate) fn outside_play(play: &FixturePlay) -> String {
    let (dx, dy, dz) = (length(play.dx, 0), length(play.dy, 0), length(play.dz, 0));
    let (turn, tilt) = (play.turn_deg.to_string(), play.tilt_deg.to_string());
    if play.dz != 0.0 || play.tilt_deg != 0.0 {
        format(Key::OutsidePlaySix, &[&dx, &dy, &dz, &turn, &tilt])
    } else {
        format(Key::OutsidePlay, &[&dx, &dy, &turn])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::logic::number::show_inches;

    #[test]
    fn refusals_are_in_the_unit_chosen() {
        let reach = ActionError::OutOfRange {
            what: "the reach",
            is: 2540.0,
            above: 0.0,
            most: 1000.0,
            unit: Unit::Mm,
        };
        let speed = ActionError::OutOfRange {
            what: "the speed",
            is: -1.0,
            above: 0.0,
            most: 254.0,
            unit: Unit::MmPerS,
        };
        let far = ActionError::TooFar {
            what: "a coordinate",
            is: 1e300,
            within: 100_000.0,
            unit: Unit::Mm,
        };
        assert_eq!(
            refusal(&reach),
            "the reach is 2540.0 mm, and it must be above 0.0 mm and at most 1000.0 mm"
        );
        show_inches(true);
        assert_eq!(
            refusal(&reach),
            "the reach is 100.000 in, and it must be above 0.000 in and at most 39.370 in"
        );
        assert_eq!(
            refusal(&speed),
            "the speed is −0.039 in/s, and it must be above 0.000 in/s and at most 10.000 in/s"
        );
        assert_eq!(
            refusal(&far),
            "a coordinate is 3.94e298 in, and it must be within ±3937.008 in"
        );
        show_inches(false);
    }
}
