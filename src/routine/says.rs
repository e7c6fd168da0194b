//! What happened in a run, to be said.

use super::log::{EventKind, RunLog, Search, SearchOutcome};
use crate::text::{Sentence, mm, say};

impl RunLog {
    /// What stopped the run, as a clause; `None` if nothing did.
    pub fn stopped_by(&self) -> Option<Sentence> {
        match &self.stop()?.what {
            EventKind::Crash { body, .. } => Some(say::nozzle_runs_into(say::body(body))),
            EventKind::SearchFailed { search } => {
                let search = self.searches.get(*search)?;
                Some(match &search.outcome {
                    SearchOutcome::AlreadyTouching { body } => {
                        say::search_starts_against(&search.face, say::body(body))
                    }
                    SearchOutcome::NotFelt { body } => say::pressed_against(say::body(body)),
                    _ => say::finds_nothing(&search.face),
                })
            }
            EventKind::PlaceNotFound { place, why } => {
                Some(say::cannot_be_found(place, why.clone()))
            }
            EventKind::CannotDo { why } => Some(why.clone()),
            _ => None,
        }
    }

    /// An event of the run, in a short sentence.
    pub fn says(&self, event: &EventKind) -> Sentence {
        match event {
            EventKind::Crash { body, .. } => say::ran_into(say::body(body)),
            EventKind::WireBent { body, bend, .. } => {
                say::bent_on(say::body(body), mm(bend.norm(), 1))
            }
            EventKind::Touched { search } => {
                let face = self.searches.get(*search).map_or("", |found| &found.face);
                say::touched(search + 1, face)
            }
            EventKind::SearchFailed { search } => match self.searches.get(*search) {
                Some(found) => say::and_stopped(found.says(*search)),
                None => say::run_stopped(),
            },
            EventKind::SensingOn => say::sensing_is_on(),
            EventKind::SensingOff => say::sensing_is_off(),
            EventKind::ReferenceStored { place, overwrote: false } => say::reference_stored(place),
            EventKind::ReferenceStored { place, overwrote: true } => say::reference_again(place),
            EventKind::PlaceFound { place } => say::place_found(place),
            EventKind::PlaceNotFound { place, why } => say::place_not_found(place, why.clone()),
            EventKind::FollowBegins { place } => say::follow_begins(place),
            EventKind::FollowEnds => say::follow_ends(),
            EventKind::HomeCarried { by_mm } => say::home_carried(mm(*by_mm, 1)),
            EventKind::ArcOn => say::arc_on(),
            EventKind::ArcOff => say::arc_off(),
            EventKind::WireTrimmed => say::wire_trimmed(),
            EventKind::PartMoved => say::part_moved(),
            EventKind::CannotDo { why } => say::cannot_do(why.clone()),
        }
    }
}

impl Search {
    /// What came of a search; `index` is its place in the run, from 0.
    pub fn says(&self, index: usize) -> Sentence {
        let (number, face) = (index + 1, &self.face);
        match &self.outcome {
            SearchOutcome::Touch { reading, .. } => {
                let [x, y] = [reading.x, reading.y].map(|v| mm(v, 1));
                say::touched_at(number, face, x, y)
            }
            SearchOutcome::Nothing => say::felt_nothing(number, face),
            SearchOutcome::AlreadyTouching { body } => {
                say::touched_before(number, face, say::body(body))
            }
            SearchOutcome::NotFelt { body } => say::not_felt(number, face, say::body(body)),
        }
    }
}
