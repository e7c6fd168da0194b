//! The cheapest way: which looks find out what is wrong, and which mends put it right, in the fewest
//! minutes.

use super::diagnosis::Others;
use super::draw::readings;
use crate::cell::{Fault, Look, Mend};
use crate::lesson::goal::wire_in_order;
use crate::lesson::lesson::Lesson;
use crate::session::{Session, State};
use crate::text::{self, Sentence};
use std::collections::BTreeSet;

/// The cheapest of all subsets of what is `there` that `will_do`, by minutes.
fn cheapest<T: Copy>(
    there: &[T],
    minutes: impl Fn(T) -> u32,
    will_do: impl Fn(&[T]) -> bool,
) -> Option<Vec<T>> {
    let subsets = (0_u32..1 << there.len()).map(|bits| {
        let chosen = there.iter().enumerate().filter(|(i, _)| bits >> i & 1 == 1);
        chosen.map(|(_, one)| *one).collect::<Vec<T>>()
    });
    let cost = |set: &[T]| (set.iter().map(|one| minutes(*one)).sum::<u32>(), set.len());
    let mut all: Vec<Vec<T>> = subsets.collect();
    all.sort_by_key(|set| cost(set));
    all.into_iter().find(|set| will_do(set))
}

/// The looks that tell what is planted from everything else that the readings leave possible, in the
/// fewest minutes; `None` if no looks do.
///
/// What adds a fault to those that are planted, or leaves one out, changes readings that a careful person
/// sees: that is how pairs are drawn.
pub(in crate::lesson) fn looks(lesson: &Lesson) -> Option<Vec<Look>> {
    let planted = lesson.planted();
    let actual = lesson.with_planted(&lesson.variant.planted.as_ref()?.faults, &[])?;
    let read = readings(actual.state());
    let names = |set: &[Fault]| set.iter().map(Fault::name).collect::<BTreeSet<_>>();
    let own: BTreeSet<_> = planted.into_iter().collect();
    let others = lesson.may_be_wrong().into_iter().filter(|set| {
        let set = names(set);
        let more_or_less = set.is_subset(&own) || own.is_subset(&set);
        set != own && (!more_or_less || own.is_empty())
    });
    let others: Vec<Session> = others
        .filter(|set| !own.is_empty() || set.len() == 1)
        .filter_map(|set| lesson.with_planted(&set, &[]))
        .filter(|other| readings(other.state()) == read)
        .collect();
    let all: Vec<Look> = Look::all().collect();
    let shows = |state: &State, at: Look| -> Vec<text::Key> {
        state.sees(at).iter().map(Sentence::key).collect()
    };
    let tells = |other: &Session, at: Look| shows(other.state(), at) != shows(actual.state(), at);
    let told: Vec<Vec<Look>> =
        others.iter().map(|o| all.iter().copied().filter(|at| tells(o, *at)).collect()).collect();
    // What no reading tells from anything else takes a look.
    let drawn = &lesson.variant.planted.as_ref()?.faults;
    let unread = drawn.iter().filter(|fault| {
        let others = Others::of(lesson, fault.name(), &[]);
        others.is_some_and(|o| o.readings().all(|by| o.told_by(by).is_empty()))
    });
    let unread: Vec<Look> = unread.filter_map(|fault| fault.kind().look).collect();
    cheapest(&all, Look::minutes, |set| {
        told.iter().all(|looks| looks.iter().any(|look| set.contains(look)))
            && unread.iter().all(|look| set.contains(look))
    })
}

/// The mends that put right what is wrong in this state, in the fewest minutes.
pub(in crate::lesson) fn repair(state: &State) -> Vec<Mend> {
    let all: Vec<Mend> = Mend::all().collect();
    // A fault of the wire is gone once the wire is in order.
    let broken: Vec<&Fault> = state.faults.iter().filter(|f| !f.kind().is_of_the_wire()).collect();
    let wire = wire_in_order(state);
    let puts_right = |set: &[Mend]| {
        broken.iter().all(|f| f.kind().mends.iter().any(|mend| set.contains(mend)))
            && (wire || set.iter().any(|mend| mend.cuts_wire()))
    };
    cheapest(&all, Mend::minutes, puts_right).unwrap_or_default()
}
