//! Steps and events in plain sentences.

use super::names::direction_label;
use super::number::length;
use crate::app::i18n::{Key, Segment, format, segments, text};
use nudgeproof::cell::TorchPart;
use nudgeproof::routine::{Corner, Event, EventKind, Instruction, PathKind, RunKind, RunLog};

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
            // A point named after its face says the face already.
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
        EventKind::OffsetRefused { message, .. } => format(Key::EventRefused, &[message]),
        EventKind::FollowBegins { offset } => format(Key::EventFollow, &[offset]),
        EventKind::FollowEnds => text(Key::EventFollowEnds).into(),
        EventKind::HomeCarried { by_mm } => format(Key::EventHomeCarried, &[&length(*by_mm, 1)]),
        EventKind::ArcOn => text(Key::EventArcOn).into(),
        EventKind::ArcOff => text(Key::EventArcOff).into(),
        EventKind::PartMoved => text(Key::EventPartMoved).into(),
        EventKind::CannotDo { why } => format(Key::EventCannotDo, &[why]),
    }
}
