//! What readings and looks show, as a person would put it.

use super::evidence::{Evidence, Looked, Reading};
use super::state::State;
use crate::geometry::{Point3, Pose, polyline};
use crate::routine::{EventKind, LegKind, RunKind, RunLog, SearchOutcome};
use crate::text::{self, Sentence};

/// What evidence shows, in as few words as a person would use: two runs that differ by less show the same.
#[derive(Debug, Clone, PartialEq)]
pub enum Sign {
    /// The touches agree, or they do not.
    Agree(bool),
    /// The part has not moved since the reference, and nothing was found.
    NoOffset,
    /// The part has not moved since the reference, and yet an offset was found.
    Unexpected,
    /// The offset is that of an earlier run with the part in the same place.
    AsBefore,
    /// The part lies in the same place as in an earlier run, and yet the offset is another.
    Changed,
    /// Another place, within the play of the fixture.
    WithinPlay,
    /// Further than the fixture should let the part.
    BeyondPlay,
    /// Searches as in the reference run.
    UsualSearches,
    /// They go faster.
    Fast,
    /// One touched where it began.
    AtOnce,
    /// One went on to the end of its reach.
    ToTheEnd,
    /// How a run ended: welded on the seam, beside it, or not to its last step.
    Landed(bool),
    /// It stopped: the torch ran into this.
    RanInto(String),
    /// It stopped for another reason.
    Stopped,
    /// A look: which sentences were said.
    Seen(Vec<text::Key>),
}

/// Offsets of one place that differ by no more than this are alike: three standard deviations of the
/// difference of two finds with the usual noise, mm and radians (0.3°).
const ALIKE_MM: f64 = 0.6;
const ALIKE_RAD: f64 = 0.005;
/// A search is fast that takes less than this share of the time per length of the reference's.
const FAST: f64 = 0.7;
/// A search that goes no further has touched where it began, mm.
pub(crate) const AT_ONCE_MM: f64 = 0.5;

impl State {
    /// What a piece of evidence shows; `None` where there is no such reading, or nobody has looked.
    pub fn sign(&self, evidence: Evidence) -> Option<Sign> {
        match evidence {
            Evidence::Look(at) => {
                let look = self.looks.iter().rev().find(|look| look.at == at)?;
                Some(seen(look))
            }
            Evidence::Reading { run, what } => {
                let index = run.checked_sub(1)?;
                let log = self.runs.get(index)?;
                match what {
                    Reading::Agreement => log.found().map(|(fit, _)| Sign::Agree(fit.consistent)),
                    Reading::Offset => self.offset_sign(index, log),
                    Reading::Searches => self.searches_sign(index, log),
                    Reading::Stop => self.outcome(run).filter(|_| !log.finished()),
                }
            }
        }
    }

    /// Every reading of every run, the first run first.
    pub fn readings(&self) -> impl Iterator<Item = Evidence> + use<> {
        (1..=self.runs.len()).flat_map(Evidence::of_run)
    }

    /// The runs before this one, from 0, with the part put in the same place; the newest first.
    pub fn earlier_in_place(&self, index: usize) -> impl Iterator<Item = usize> + '_ {
        let put = |run: usize| self.run_contexts.get(run).map(|context| context.put);
        (0..index).rev().filter(move |run| put(*run) == put(index))
    }

    /// How a run ended.
    pub fn outcome(&self, run: usize) -> Option<Sign> {
        let log = self.runs.get(run.checked_sub(1)?)?;
        if log.finished() {
            return Some(Sign::Landed(log.landed()));
        }
        Some(match log.stop().map(|event| &event.what) {
            Some(EventKind::Crash { body, .. }) => Sign::RanInto(body.clone()),
            _ => Sign::Stopped,
        })
    }

    fn offset_sign(&self, index: usize, log: &RunLog) -> Option<Sign> {
        let (_, offset) = log.found()?;
        let about = Point3::from(self.part.play.about);
        if log.kind == RunKind::Proof {
            let nothing = alike(&offset, &Pose::identity(), &about);
            return Some(if nothing { Sign::NoOffset } else { Sign::Unexpected });
        }
        let slide = offset.displacement(&about);
        let play = self.part.play;
        let within = |v: f64, limit: f64| v.abs() <= limit + ALIKE_MM;
        let turn = offset.angle() <= play.turn_deg.to_radians() + 2.0 * ALIKE_RAD;
        if !(within(slide.x, play.dx) && within(slide.y, play.dy) && turn) {
            return Some(Sign::BeyondPlay);
        }
        let earlier = self.earlier_in_place(index);
        let mut found = earlier.filter_map(|run| self.runs.get(run)?.found().map(|(_, o)| o));
        Some(match found.next() {
            Some(before) if alike(&offset, &before, &about) => Sign::AsBefore,
            Some(_) => Sign::Changed,
            None => Sign::WithinPlay,
        })
    }

    fn searches_sign(&self, index: usize, log: &RunLog) -> Option<Sign> {
        let (length, time) = searched(log)?;
        let failed =
            |o: &SearchOutcome| matches!(o, SearchOutcome::Nothing | SearchOutcome::NotFelt { .. });
        if log.searches.iter().any(|s| failed(&s.outcome)) {
            return Some(Sign::ToTheEnd);
        }
        let short = log.legs.iter().filter(|l| l.kind == LegKind::Search);
        if short.clone().any(|l| polyline::length(&l.path) < AT_ONCE_MM) {
            return Some(Sign::AtOnce);
        }
        let reference = (0..index).rev().filter_map(|run| self.runs.get(run));
        let mut reference = reference.filter(|run| run.kind == RunKind::Reference);
        let fast = reference
            .next()
            .and_then(|run| searched(run))
            .is_some_and(|(l, t)| time / length < FAST * t / l);
        Some(if fast { Sign::Fast } else { Sign::UsualSearches })
    }
}

/// How far all searches of a run went, mm, and how long they took, s; `None` in a run without any.
pub fn searched(log: &RunLog) -> Option<(f64, f64)> {
    let legs = || log.legs.iter().filter(|l| l.kind == LegKind::Search);
    let length: f64 = legs().map(|l| polyline::length(&l.path)).sum();
    let time: f64 = legs().map(|l| l.time[1] - l.time[0]).sum();
    legs().next().is_some().then_some((length.max(1e-6), time))
}

fn seen(look: &Looked) -> Sign {
    Sign::Seen(look.saw.iter().map(Sentence::key).collect())
}

fn alike(a: &Pose, b: &Pose, about: &Point3<f64>) -> bool {
    let by = a.point(about) - b.point(about);
    by.norm() <= ALIKE_MM && (a.inverse() * *b).angle() <= ALIKE_RAD
}
