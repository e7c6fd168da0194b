//! The places of the page and their addresses behind the hash.
//!
//! A signal and the browser's event do for a few places without parameters. `leptos_router` knows no
//! addresses behind a hash, and a page in a folder of static files can have no others.

use super::i18n::{Key, text};
use super::screen;
use leptos::prelude::*;

/// A place of the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Place {
    Lessons,
    Bench,
    /// A part of one's own, before it is taken to the bench.
    Rehearse,
    Record,
    /// The sheet to take to the cell; reached from the record and the bench.
    CellSheet,
    /// The answers to a lesson, for its instructor; reached from the lessons.
    AnswerSheet,
    /// Forty parts one after the other; reached from the lessons.
    Shift,
}

impl Place {
    /// Those in the bar.
    pub(crate) const BAR: [Self; 4] = [Self::Lessons, Self::Bench, Self::Rehearse, Self::Record];
    const ALL: [Self; 7] = [
        Self::Lessons,
        Self::Bench,
        Self::Rehearse,
        Self::Record,
        Self::CellSheet,
        Self::AnswerSheet,
        Self::Shift,
    ];

    /// Its address.
    pub(crate) fn hash(self) -> &'static str {
        match self {
            Self::Lessons => "#/lessons",
            Self::Bench => "#/bench",
            Self::Rehearse => "#/rehearse",
            Self::Record => "#/record",
            Self::CellSheet => "#/cell-sheet",
            Self::AnswerSheet => "#/answer-sheet",
            Self::Shift => "#/shift",
        }
    }

    /// Its name on screen.
    pub(crate) fn name(self) -> &'static str {
        text(match self {
            Self::Lessons => Key::PlaceLessons,
            Self::Bench => Key::PlaceBench,
            Self::Rehearse => Key::PlaceRehearse,
            Self::Record => Key::PlaceRecord,
            Self::CellSheet => Key::CellSheet,
            Self::AnswerSheet => Key::AnswerSheet,
            Self::Shift => Key::TheShift,
        })
    }

    /// The place of an address; `otherwise` where it names none.
    pub(crate) fn of(hash: &str, otherwise: Self) -> Self {
        Self::ALL.into_iter().find(|p| p.hash() == hash).unwrap_or(otherwise)
    }
}

/// The place that the address names, followed as long as the page lives. Where it names none, a
/// learner with stored work starts at the bench, any other at the lessons.
pub(crate) fn current_place(returning: bool) -> RwSignal<Place> {
    let first = if returning { Place::Bench } else { Place::Lessons };
    let place = RwSignal::new(Place::of(&screen::hash(), first));
    screen::on_hash_change(move || {
        let named = Place::of(&screen::hash(), place.get_untracked());
        if named != place.get_untracked() {
            place.set(named);
            screen::to_top();
            // What led here may be gone: the keys go on in the new place.
            request_animation_frame(|| screen::focus_if_lost("main"));
        }
    });
    place
}

/// The way to the sheet for the cell.
#[component]
pub(crate) fn CellSheetLink() -> impl IntoView {
    view! {
        <a class="button" href=Place::CellSheet.hash() data-testid="go-cell-sheet">
            {text(Key::CellSheet)}
        </a>
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_lead_to_their_places() {
        for place in Place::ALL {
            assert_eq!(Place::of(place.hash(), Place::Bench), place, "{place:?}");
        }
        assert_eq!(Place::of("#/nowhere", Place::Lessons), Place::Lessons, "an unknown address");
    }
}
