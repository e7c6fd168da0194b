//! Steps and events in plain sentences.

use super::names::direction_label;
use super::number::length;
use crate::app::words::{Bit, Word, bits, say, tell};
use nudgeproof::cell::TorchPart;
use nudgeproof::routine::{Act, Corner, Event, EventKind, Path, RunKind, RunLog};

/// A step as one sentence.
pub(crate) fn step(act: &Act) -> Vec<Bit> {
    match act {
        Act::Move { path, to, corner } => {
            let mut out = match (act.is_home(), path) {
                (true, _) => bits(Word::StepHome, &[]),
                (false, Path::Joint) => bits(Word::StepJoint, &[to]),
                (false, Path::Linear) => bits(Word::StepLinear, &[to]),
            };
            if let Corner::Blend(r) = corner {
                out.extend(bits(Word::StepBlend, &[&length(*r, 0)]));
            }
            out
        }
        Act::BeginProbing { plan } => bits(Word::StepBegin, &[plan]),
        Act::Probe { from, direction, face } => {
            let way = direction_label(direction);
            // A point named after its face says the face already.
            if from.starts_with(face.as_str()) {
                bits(Word::StepProbe, &[&way, from])
            } else {
                bits(Word::StepProbeFace, &[&way, from, face])
            }
        }
        Act::FinishProbing => bits(Word::StepFinish, &[]),
        Act::Follow { offset } => bits(Word::StepFollow, &[offset]),
        Act::StopFollowing => bits(Word::StepStopFollowing, &[]),
        Act::WeldStart { to } => bits(Word::StepWeldStart, &[to]),
        Act::WeldEnd { to } => bits(Word::StepWeldEnd, &[to]),
    }
}

/// The same as plain text.
pub(crate) fn step_text(act: &Act) -> String {
    step(act)
        .into_iter()
        .map(|b| match b {
            Bit::Text(t) | Bit::Name(t) => t,
        })
        .collect()
}

/// What a run is called.
pub(crate) fn run_kind(kind: RunKind) -> &'static str {
    say(match kind {
        RunKind::Reference => Word::KindReference,
        RunKind::Proof => Word::KindProof,
        RunKind::Production => Word::KindProduction,
        RunKind::Plain => Word::KindPlain,
    })
}

/// An event as a short sentence.
pub(crate) fn event(log: &RunLog, event: &Event) -> String {
    match &event.what {
        EventKind::Crash { hit_by, body, .. } => {
            let what = say(match hit_by {
                TorchPart::Wire => Word::TheWire,
                TorchPart::Nozzle => Word::TheNozzle,
            });
            tell(Word::EventCrash, &[what, body])
        }
        EventKind::WireBent { bend } => tell(Word::EventWireBent, &[&length(bend.norm(), 1)]),
        EventKind::Touched { search } => {
            let face = log.searches.get(*search).map_or("", |s| s.face.as_str());
            tell(Word::EventTouched, &[&(search + 1).to_string(), face])
        }
        EventKind::SearchFailed { search } => {
            let face = log.searches.get(*search).map_or("", |s| s.face.as_str());
            tell(Word::EventSearchFailed, &[&(search + 1).to_string(), face])
        }
        EventKind::ReferenceStored { overwrote: true, .. } => say(Word::EventOverwrote).into(),
        EventKind::ReferenceStored { .. } => say(Word::EventReference).into(),
        EventKind::OffsetFound { offset } => tell(Word::EventOffset, &[offset]),
        EventKind::OffsetRefused { message, .. } => tell(Word::EventRefused, &[message]),
        EventKind::FollowBegins { offset } => tell(Word::EventFollow, &[offset]),
        EventKind::FollowEnds => say(Word::EventFollowEnds).into(),
        EventKind::HomeCarried { by_mm } => tell(Word::EventHomeCarried, &[&length(*by_mm, 1)]),
        EventKind::ArcOn => say(Word::EventArcOn).into(),
        EventKind::ArcOff => say(Word::EventArcOff).into(),
        EventKind::PartMoved => say(Word::EventPartMoved).into(),
        EventKind::CannotDo { why } => tell(Word::EventCannotDo, &[why]),
    }
}
