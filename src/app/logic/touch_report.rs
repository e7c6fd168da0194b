//! What each touch of a run tells beside the reference of its time, from the logs alone.

use super::number::signed_length;
use super::shown::found_offsets;
use crate::app::i18n::{Key, format};
use nudgeproof::geometry::{Point3, Pose};
use nudgeproof::routine::{LegKind, RunLog, Search, SearchOutcome, SolutionOutcome, StepId};
use nudgeproof::session::RunContext;
use std::sync::Arc;

/// What a touch tells.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum TouchReport {
    /// It touched further on (+) or sooner (−) along its search than in the reference, mm.
    FurtherOn {
        mm: f64,
        /// Where it touched in the reference, as seen from where the search is now; work frame, mm.
        reference: Point3<f64>,
    },
    /// Its reading becomes the reference.
    Learned,
    /// There is no reference to compare it with.
    Felt,
    /// The search felt nothing.
    Nothing,
}

impl TouchReport {
    /// The number that it tells.
    pub(crate) fn figure(self) -> String {
        match self {
            Self::FurtherOn { mm, .. } => signed_length(mm, 1),
            Self::Learned | Self::Felt | Self::Nothing => String::new(),
        }
    }

    /// How many letters that is, with its words while it is told.
    pub(crate) fn letters(self, told: bool) -> usize {
        let words = if told { self.words().chars().count() } else { 0 };
        self.figure().chars().count() + words
    }

    /// What it tells beside the number.
    pub(crate) fn words(self) -> String {
        let key = match self {
            Self::FurtherOn { mm, .. } => match signed_length(mm, 1).chars().next() {
                Some('+') => Key::TouchFurther,
                Some('−') => Key::TouchSooner,
                _ => Key::TouchSame,
            },
            Self::Learned => Key::TouchLearned,
            Self::Felt => Key::TouchFelt,
            Self::Nothing => Key::TouchNothing,
        };
        format(key, &[])
    }
}

/// What every touch of a run tells: `run` is its place among `runs`.
pub(crate) fn touch_reports(
    runs: &[Arc<RunLog>],
    run: usize,
    context: Option<&RunContext>,
) -> Vec<TouchReport> {
    let Some(log) = runs.get(run) else { return Vec::new() };
    let report = |search: &Search| {
        let SearchOutcome::Touch { reading, .. } = search.outcome else {
            return TouchReport::Nothing;
        };
        if context.is_some_and(|context| learns(context, search.time)) {
            return TouchReport::Learned;
        }
        let Some((then, reference)) = reference_of(runs, run, search) else {
            return TouchReport::Felt;
        };
        // Both as seen from the place that was followed, if one was.
        let now = followed(runs, run, search);
        let reference =
            (now * followed(runs, then, reference.search).inverse()).point(&reference.reading);
        let mm = (reading - reference).dot(&search.direction);
        TouchReport::FurtherOn { mm, reference }
    };
    log.searches.iter().map(report).collect()
}

/// What the touches of an earlier run told.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct EarlierRun {
    pub(crate) number: usize,
    /// How much further along each feel touched than in the reference of its time, mm.
    pub(crate) later: Vec<(StepId, f64)>,
}

/// The nearest runs before this one that were compared with a reference, the last first; at most so many.
pub(crate) fn earlier_runs(
    runs: &[Arc<RunLog>],
    run: usize,
    context: impl Fn(usize) -> Option<RunContext>,
    most: usize,
) -> Vec<EarlierRun> {
    let told = |(i, log): (usize, &Arc<RunLog>)| {
        let reports = touch_reports(runs, i, context(i).as_ref());
        let later = log.searches.iter().zip(reports).filter_map(|(search, report)| match report {
            TouchReport::FurtherOn { mm, .. } => Some((search.step, mm)),
            _ => None,
        });
        let later: Vec<_> = later.collect();
        (!later.is_empty()).then_some(EarlierRun { number: log.number, later })
    };
    runs.iter().enumerate().take(run).rev().filter_map(told).take(most).collect()
}

/// Whether a run learned at a time, s: the reference flag as it stood when it last began or went on.
fn learns(context: &RunContext, time: f64) -> bool {
    let later = context.resumed.iter().rfind(|s| s.time <= time);
    later.unwrap_or(&context.began).reference_flag
}

/// A touch of a reference run.
struct ReferenceTouch<'a> {
    search: &'a Search,
    reading: Point3<f64>,
}

/// The touch that a search of a run is compared with, and the place of its run: that of the same step in
/// the last run before that stored the place.
fn reference_of<'a>(
    runs: &'a [Arc<RunLog>],
    run: usize,
    search: &Search,
) -> Option<(usize, ReferenceTouch<'a>)> {
    // Where the run did not get to its find, whichever place has the touch.
    let next = runs[run].solutions.iter().find(|s| s.time >= search.time);
    runs[..run].iter().enumerate().rev().find_map(|(then, log)| {
        let stored = log.solutions.iter().rev().find(|s| {
            s.outcome == SolutionOutcome::ReferenceStored
                && next.is_none_or(|next| next.place == s.place)
        })?;
        let touched = log.searches.iter().rev().filter(|s| s.time <= stored.time);
        let touch = touched.into_iter().find_map(|s| match s.outcome {
            SearchOutcome::Touch { reading, .. } if s.step == search.step => {
                Some(ReferenceTouch { search: s, reading })
            }
            _ => None,
        });
        Some(touch.map(|touch| (then, touch)))
    })?
}

/// The offset of the place that was followed during a search; none, where none was.
fn followed(runs: &[Arc<RunLog>], run: usize, search: &Search) -> Pose {
    let is_it = |step, time: f64| step == search.step && time <= search.time;
    let mut legs = runs[run].legs.iter();
    let leg = legs.rfind(|l| l.kind == LegKind::Search && is_it(l.step, l.time[1]));
    let Some(place) = leg.and_then(|leg| leg.follows.as_ref()) else { return Pose::identity() };
    let until = |i| if i == run { search.time } else { f64::INFINITY };
    let found = (0..=run).rev().find_map(|i| {
        let stored = |s: &&nudgeproof::routine::Solution| {
            s.place == *place && s.time <= until(i) && s.outcome == SolutionOutcome::ReferenceStored
        };
        let stored =
            runs[i].solutions.iter().rev().find(stored).map(|s| (s.time, Pose::identity()));
        let found = found_offsets(&runs[i], until(i)).find(|(s, _)| s.place == *place);
        let found = found.map(|(s, offset)| (s.time, offset));
        stored.into_iter().chain(found).max_by(|a, b| a.0.total_cmp(&b.0))
    });
    found.map_or_else(Pose::identity, |(_, offset)| offset)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::logic::reading::rows;
    use nudgeproof::session::Session;

    #[test]
    fn touches_tell_how_much_further_on_they_are_than_in_the_reference() {
        let text = include_str!("../../../tests/cases/sessions/as-it-should-be.json");
        let session = Session::from_json(text).expect("a session");
        let state = session.state();
        let runs: Vec<_> = state.runs.iter().cloned().collect();
        let contexts: Vec<_> = state.run_contexts.iter().collect();
        let reports = |run: usize| touch_reports(&runs, run, contexts.get(run).copied());
        assert_eq!(reports(0), [TouchReport::Learned; 4], "the reference run");
        let further = |run| {
            let mm = |report| match report {
                TouchReport::FurtherOn { mm, .. } => mm,
                other => panic!("compared, and it is {other:?}"),
            };
            reports(run).into_iter().map(mm).collect::<Vec<f64>>()
        };
        for mm in further(1) {
            assert!(mm.abs() < 0.6, "nothing moved, and it is {mm} mm");
        }
        // The nudge is (6, −4) mm and 2.5°: south at x = 350 is 350 sin 2.5° − 4 further on.
        let by_hand = [11.1, -2.0, 4.3, -3.5];
        for (mm, by_hand) in further(2).into_iter().zip(by_hand) {
            assert!((mm - by_hand).abs() < 0.6, "{mm} mm, by hand {by_hand}");
        }
        let table = rows(&runs[2], &state.memory).into_iter().filter_map(|row| row.later);
        for (mm, row) in further(2).into_iter().zip(table) {
            assert!((mm - row).abs() < 1e-9, "as in the table of readings: {mm} and {row}");
        }
    }

    #[test]
    fn earlier_runs_stand_beside_this_one_each_with_its_own_numbers() {
        let text = include_str!("../../../tests/cases/sessions/as-it-should-be.json");
        let session = Session::from_json(text).expect("a session");
        let state = session.state();
        let runs: Vec<_> = state.runs.iter().cloned().collect();
        let contexts: Vec<_> = state.run_contexts.iter().cloned().collect();
        let earlier = |most| earlier_runs(&runs, 3, |i| contexts.get(i).cloned(), most);
        let numbers: Vec<usize> = earlier(9).iter().map(|run| run.number).collect();
        assert_eq!(numbers, [3, 2], "the dry run and the proof run, not the one that learned");
        assert_eq!(earlier(1).len(), 1, "no more than asked for");
        let [dry, proof] = &earlier(9)[..] else { panic!("two") };
        assert!((dry.later[0].1 - 11.1).abs() < 0.6, "on the nudged part: {:?}", dry.later);
        assert!(proof.later.iter().all(|(_, mm)| mm.abs() < 0.6), "unmoved: {:?}", proof.later);
    }

    #[test]
    fn a_touch_says_further_on_or_sooner_and_a_learned_one_no_number() {
        let told = |mm| {
            let report = TouchReport::FurtherOn { mm, reference: Point3::origin() };
            [report.figure(), report.words()].join(" ")
        };
        assert_eq!(told(4.27), "+4.3 mm further on");
        assert_eq!(told(-2.0), "−2.0 mm sooner");
        assert_eq!(told(-0.04), "0.0 mm: as in the reference");
        assert_eq!(TouchReport::Learned.figure(), "", "nothing to compare it with");
        assert_eq!(TouchReport::Learned.words(), "learned");
    }

    #[test]
    fn a_touch_is_compared_with_the_reference_of_its_time() {
        let text = include_str!("../../../tests/cases/sessions/reference-retaken.json");
        let session = Session::from_json(text).expect("a session");
        let runs: Vec<_> = session.state().runs.iter().cloned().collect();
        let contexts: Vec<_> = session.state().run_contexts.iter().collect();
        let reports = |run: usize| touch_reports(&runs, run, contexts.get(run).copied());
        let learned: Vec<usize> =
            (0..runs.len()).filter(|run| reports(*run)[0] == TouchReport::Learned).collect();
        let [first, again] = learned[..] else { panic!("two reference runs, not {learned:?}") };
        for run in (0..runs.len()).filter(|run| ![first, again].contains(run)) {
            for report in reports(run) {
                let TouchReport::FurtherOn { mm, .. } = report else { panic!("{report:?}") };
                assert!(mm.abs() < 0.6, "run {}: nothing moved since its reference", run + 1);
            }
        }
    }
}
