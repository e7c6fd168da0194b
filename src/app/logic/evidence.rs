//! What a drill gives as evidence: what each run reads, and looks; and what each is called.

use super::nudge::Nudge;
use super::number::{length, signed, signed_length};
use super::reading::reported_offsets;
use crate::app::i18n::{Key, format, text};
use nudgeproof::cell::Look;
use nudgeproof::routine::{RunKind, RunLog};
use nudgeproof::session::{Evidence, Reading, State, searched};

/// One line for each thing that the run read; `index` is its number in the session, from 0.
pub(crate) fn facts(index: usize, log: &RunLog, state: &State) -> Vec<String> {
    let mut facts = Vec::new();
    if matches!(log.kind, RunKind::Dry | RunKind::Production) {
        facts.push(match state.earlier_in_place(index).next() {
            Some(run) => format(Key::EvidenceSamePlace, &[&(run + 1).to_string()]),
            None => text(Key::EvidenceOtherPlace).into(),
        });
    }
    for found in reported_offsets(log, state) {
        let nudge = Nudge::of(&found.motion);
        let [x, y] = [nudge.dx, nudge.dy].map(|v| signed_length(v, 1));
        let turn = signed(nudge.turn_deg, 1);
        facts.push(format(Key::EvidenceOffset, &[&found.place, &x, &y, &turn]));
        let agree = log.found().is_none_or(|(fit, _)| fit.consistent);
        let key = if agree { Key::EvidenceAgree } else { Key::EvidenceDoubt };
        facts.push(format(key, &[&length(found.residual_mm, 2)]));
    }
    if let Some((mm, seconds)) = searched(log) {
        let seconds = signed(seconds, 1).trim_start_matches('+').to_owned();
        facts.push(format(Key::EvidenceSearches, &[&length(mm, 0), &seconds]));
    }
    facts
}

/// Everything that can be pointed at: looks that were made, and readings that there are, the last run's
/// first.
pub(crate) fn all(state: &State) -> impl Iterator<Item = Evidence> + use<'_> {
    let looks = Look::all().map(Evidence::Look);
    let readings = (1..=state.runs.len()).rev().flat_map(Evidence::of_run);
    looks.chain(readings).filter(|by| state.sign(*by).is_some())
}

/// A name for a choice of a list.
pub(crate) fn id(by: Evidence) -> String {
    match by {
        Evidence::Look(at) => format!("look-{}", at.name()),
        Evidence::Reading { run, what } => format!("run-{run}-{}", what.name()),
    }
}

/// What it is called.
pub(crate) fn name(by: Evidence) -> String {
    match by {
        Evidence::Look(at) => format(Key::LookOf, &[text(look_name(at))]),
        Evidence::Reading { run, what } => {
            let what = text(match what {
                Reading::Agreement => Key::ReadingAgreement,
                Reading::Offset => Key::ReadingOffset,
                Reading::Searches => Key::ReadingSearches,
                Reading::Stop => Key::ReadingStop,
            });
            format(Key::ReadingOf, &[&run.to_string(), what])
        }
    }
}

/// What is looked at.
pub(crate) fn look_name(at: Look) -> Key {
    match at {
        Look::WireTip => Key::LookWireTip,
        Look::Nozzle => Key::LookNozzle,
        Look::WorkLead => Key::LookWorkLead,
        Look::Settings => Key::LookSettings,
        Look::Clamps => Key::LookClamps,
        Look::Edges => Key::LookEdges,
        Look::Square => Key::LookSquare,
        Look::Tag => Key::LookTag,
        Look::Bead => Key::LookBead,
    }
}
