//! Questions about the next run (a prediction) or the last one (a reading). The right answer is always
//! taken from the log of that run.

use super::because::{Because, ELSE};
use crate::cell::Joint;
use crate::geometry::{Point3, Pose, Vector3};
use crate::locate::STATED_SIGMAS;
use crate::routine::{EventKind, RunLog, SearchOutcome};
use crate::session::{AT_ONCE_MM, LookAt};
use crate::shift::{Followed, Shift};
use serde::{Deserialize, Serialize};

/// A question of a stage.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ask {
    /// The question.
    pub text: String,
    /// What it is about.
    pub about: Question,
    /// Which run.
    #[serde(default)]
    pub run: WhichRun,
    /// Why the right answer is right; shown with it.
    pub because: Because,
    /// The joint that the attempt's part has welded.
    #[serde(skip)]
    pub joint: Joint,
}

/// Which run a question is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WhichRun {
    /// The first run after the answer: a prediction.
    #[default]
    Next,
    /// The newest run before the answer: a reading.
    Last,
}

/// What is asked. Numbers of touches count from 1; the answer to a question with `choices` is the
/// choice nearest to what happened.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Question {
    /// Does the weld land, or on which side does it miss?
    MissSide,
    /// By how much does the weld miss at its worst, across, mm?
    MissSize {
        /// Sizes, mm.
        choices: Vec<f64>,
    },
    /// By how much does the weld miss in height, mm, up positive?
    MissHeight {
        /// Heights, mm.
        choices: Vec<f64>,
    },
    /// Which face of the part does a touch find?
    TouchFace {
        /// Number of the touch.
        touch: usize,
    },
    /// How far does a search go before it touches, mm?
    SearchLength {
        /// Number of the touch.
        touch: usize,
        /// Lengths, mm.
        choices: Vec<f64>,
    },
    /// How does a search end: at once, on the part, or at the end of its reach?
    SearchEnds {
        /// Number of the touch.
        touch: usize,
    },
    /// Which search fails?
    FailingTouch {
        /// How many there are.
        touches: usize,
    },
    /// Does the run reach its last step, or stop before it?
    RunEnds,
    /// How far does the offset move a point of the part along an axis, mm?
    Shift {
        /// Along which axis.
        axis: Axis,
        /// Which point.
        at: ShiftPoint,
        /// Shifts, mm.
        choices: Vec<f64>,
    },
    /// By which angle does the offset turn the part, degrees, counter-clockwise positive?
    Turn {
        /// Angles, degrees.
        choices: Vec<f64>,
    },
    /// How far from home does a move home end, mm?
    HomeOff {
        /// Distances, mm.
        choices: Vec<f64>,
    },
    /// Do the touches agree?
    Agreement,
    /// The spread of the weld across its worse end, ± three standard deviations as the chart shows it, mm.
    Spread {
        /// Spreads, mm.
        choices: Vec<f64>,
    },
    /// Does the run store a first reference, keep the stored one, or overwrite it?
    Reference,
    /// In a shift: where is the upper limit along an axis, mm?
    UpperLimit {
        /// Along which axis.
        axis: Axis,
        /// Limits, mm.
        choices: Vec<f64>,
    },
    /// In a shift: on which side of the middle between its limits will the next part lie?
    NextPart {
        /// Along which axis.
        axis: Axis,
    },
    /// In a shift: where would a look have shown what went wrong first?
    FirstTrouble,
}

/// An axis on the plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Axis {
    /// To the right.
    X,
    /// Up on the plan.
    Y,
}

/// A point of the part that an offset moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ShiftPoint {
    /// The origin: the part's drawn corner.
    Origin,
    /// Where the last weld starts.
    WeldStart,
    /// Where the last weld ends.
    WeldEnd,
}

/// Where one looks in a shift, as files have it.
const LOOKS: [&str; 4] = ["wire-tip", "clamps", "part", "work-lead"];

const FACES: [&str; 5] = ["south", "west", "north", "east", "top"];
/// A face whose unit normal points up by more than this is the top.
const TOP_NORMAL_Z: f64 = 0.7;

impl Ask {
    /// The answers to choose from, in the order they are shown.
    pub fn choices(&self) -> Vec<String> {
        let mm = |v: &Vec<f64>| v.iter().map(|v| format!("{} mm", number(*v))).collect();
        let words = |w: &[&str]| w.iter().map(|s| (*s).to_owned()).collect();
        match &self.about {
            Question::MissSide => {
                let [plus, minus] = self.joint.sides();
                words(&["it lands", &plus, &minus, "the run stops before the weld"])
            }
            Question::MissSize { choices }
            | Question::MissHeight { choices }
            | Question::SearchLength { choices, .. }
            | Question::Shift { choices, .. }
            | Question::HomeOff { choices }
            | Question::Spread { choices }
            | Question::UpperLimit { choices, .. } => mm(choices),
            Question::Turn { choices } => {
                choices.iter().map(|v| format!("{}°", number(*v))).collect()
            }
            Question::TouchFace { .. } => words(&FACES),
            Question::SearchEnds { .. } => words(&[
                "at once, where it starts",
                "where it meets metal",
                "at the end of its reach, nothing felt",
            ]),
            Question::FailingTouch { touches } => {
                let each = (1..=*touches).map(|n| format!("touch {n}"));
                each.chain(["none of them".to_owned()]).collect()
            }
            Question::RunEnds => words(&["to its last step", "it stops on the way"]),
            Question::Agreement => words(&["they agree", "they disagree"]),
            Question::Reference => {
                words(&["a first one is stored", "it stays as it was", "it is overwritten"])
            }
            Question::NextPart { .. } => words(&["above the middle", "below it"]),
            Question::FirstTrouble => words(&[
                "the wire tip",
                "the clamps",
                "the part, with a try square",
                "the work lead",
            ]),
        }
    }

    /// The keys of the answers in a file, in the same order.
    pub(super) fn keys(&self) -> Vec<String> {
        let numbers = |v: &Vec<f64>| v.iter().map(f64::to_string).collect();
        let words = |w: &[&str]| w.iter().map(|s| (*s).to_owned()).collect();
        match &self.about {
            Question::MissSide => words(&["lands", "towards", "away", "no_weld"]),
            Question::MissSize { choices }
            | Question::MissHeight { choices }
            | Question::SearchLength { choices, .. }
            | Question::Shift { choices, .. }
            | Question::HomeOff { choices }
            | Question::Spread { choices }
            | Question::UpperLimit { choices, .. }
            | Question::Turn { choices } => numbers(choices),
            Question::TouchFace { .. } => words(&FACES),
            Question::SearchEnds { .. } => words(&["at_once", "on_metal", "nothing"]),
            Question::FailingTouch { touches } => {
                let each = (1..=*touches).map(|n| n.to_string());
                each.chain(["none".to_owned()]).collect()
            }
            Question::RunEnds => words(&["ends", "stops"]),
            Question::Agreement => words(&["agree", "disagree"]),
            Question::Reference => words(&["first", "kept", "overwritten"]),
            Question::NextPart { .. } => words(&["above", "below"]),
            Question::FirstTrouble => words(&LOOKS),
        }
    }

    /// Why this answer, from 0, is right where it is.
    pub fn because_of(&self, answer: usize) -> Option<&str> {
        self.because.of(self.keys().get(answer)?)
    }

    /// A key of `because` that is no answer.
    pub(super) fn strange_key(&self) -> Option<String> {
        let Because::ByAnswer(all) = &self.because else { return None };
        let known = self.keys();
        all.keys().find(|key| *key != ELSE && !known.contains(key)).cloned()
    }

    /// Whether its answers tell one thing from another, so that no sentence fits them all.
    pub(super) fn needs_because_by_answer(&self) -> bool {
        matches!(
            self.about,
            Question::MissSide
                | Question::SearchEnds { .. }
                | Question::RunEnds
                | Question::Agreement
                | Question::Reference
                | Question::FirstTrouble
        ) && matches!(self.because, Because::Always(_))
    }

    pub(super) fn can_be_answered(&self) -> bool {
        let mut choices = self.choices();
        let n = choices.len();
        choices.sort_unstable();
        choices.dedup();
        n >= 2 && choices.len() == n
    }

    /// Index of the right answer among the choices, taken from the log of the run. `None` if the log
    /// does not decide it.
    pub fn right(&self, run: &RunLog) -> Option<usize> {
        match &self.about {
            Question::MissSide => Some(match run.worst_miss() {
                None => 3,
                Some(_) if run.landed() => 0,
                Some(mm) if mm > 0.0 => 1,
                Some(_) => 2,
            }),
            Question::MissSize { choices } => nearest(choices, run.worst_miss()?.abs()),
            Question::MissHeight { choices } => {
                let heights = run.welds.iter().flat_map(|w| w.miss).map(|m| m.height_mm);
                nearest(choices, heights.max_by(|a, b| a.abs().total_cmp(&b.abs()))?)
            }
            Question::TouchFace { touch } => match &touched(run, *touch)? {
                (_, SearchOutcome::Touch { normal, .. }) => Some(face_of(normal)),
                _ => None,
            },
            Question::SearchLength { touch, choices } => {
                let (search, outcome) = touched(run, *touch)?;
                let SearchOutcome::Touch { contact, .. } = outcome else { return None };
                nearest(choices, (contact - search).norm())
            }
            Question::SearchEnds { touch } => {
                let (start, outcome) = touched(run, *touch)?;
                Some(match outcome {
                    SearchOutcome::Touch { contact, .. } => {
                        usize::from((contact - start).norm() >= AT_ONCE_MM)
                    }
                    SearchOutcome::AlreadyTouching { .. } => 0,
                    SearchOutcome::Nothing | SearchOutcome::NotFelt { .. } => 2,
                })
            }
            Question::FailingTouch { touches } => {
                let failed = run.events.iter().find_map(|e| match e.what {
                    EventKind::SearchFailed { search } => Some(search),
                    _ => None,
                });
                Some(failed.unwrap_or(*touches).min(*touches))
            }
            Question::RunEnds => Some(usize::from(!run.finished())),
            Question::Shift { axis, at, choices } => {
                let place = match at {
                    ShiftPoint::Origin => Point3::origin(),
                    // Where the weld would be with the part as it was taught.
                    ShiftPoint::WeldStart | ShiftPoint::WeldEnd => {
                        let weld = run.welds.last()?;
                        let i = usize::from(*at == ShiftPoint::WeldEnd);
                        offset(run)?.inverse().point(&weld.wire[i])
                    }
                };
                let shift = offset(run)?.displacement(&place);
                nearest(choices, if *axis == Axis::X { shift.x } else { shift.y })
            }
            Question::Turn { choices } => {
                nearest(choices, offset(run)?.rotation_vector().z.to_degrees())
            }
            Question::HomeOff { choices } => {
                let by = run.events.iter().rev().find_map(|e| match e.what {
                    EventKind::HomeCarried { by_mm } => Some(by_mm),
                    _ => None,
                });
                nearest(choices, by.unwrap_or(0.0))
            }
            Question::Agreement => Some(usize::from(!run.found()?.0.consistent)),
            Question::Spread { choices } => nearest(choices, spread(run)?),
            Question::Reference => Some(
                run.events
                    .iter()
                    .find_map(|e| match e.what {
                        EventKind::ReferenceStored { overwrote, .. } => {
                            Some(2 * usize::from(overwrote))
                        }
                        _ => None,
                    })
                    .unwrap_or(1),
            ),
            Question::UpperLimit { .. } | Question::NextPart { .. } | Question::FirstTrouble => {
                None
            }
        }
    }

    /// The same in a shift, of the part with this index. `None` if the shift does not decide it.
    pub(super) fn right_in_shift(&self, shift: &Shift, part: usize) -> Option<usize> {
        match &self.about {
            Question::UpperLimit { axis, choices } => {
                nearest(choices, shift.limits(Followed::Along(*axis as usize))?[1])
            }
            Question::NextPart { axis } => {
                let along = Followed::Along(*axis as usize);
                let [low, high] = shift.limits(along)?;
                let lies = along.value(shift.felt().nth(part)?)?;
                Some(usize::from(lies < f64::midpoint(low, high)))
            }
            Question::FirstTrouble => {
                let at = shift.troubles().first()?.kind.shows_at();
                LookAt::all().position(|look| look == at)
            }
            _ => None,
        }
    }
}

/// Index of the choice that is nearest to this value.
fn nearest(choices: &[f64], v: f64) -> Option<usize> {
    let by = |a: &f64, b: &f64| (a - v).abs().total_cmp(&(b - v).abs());
    (0..choices.len()).min_by(|a, b| by(&choices[*a], &choices[*b]))
}

/// A search by its number, from 1: its start, work frame, mm, and its outcome.
fn touched(run: &RunLog, number: usize) -> Option<(Point3<f64>, &SearchOutcome)> {
    run.searches.get(number.checked_sub(1)?).map(|s| (s.start, &s.outcome))
}

/// The offset of the last place found, work frame, mm and radians.
fn offset(run: &RunLog) -> Option<Pose> {
    run.found().map(|(_, offset)| offset)
}

/// Index in [`FACES`] of the face with this outward normal.
fn face_of(normal: &Vector3<f64>) -> usize {
    if normal.z > TOP_NORMAL_Z {
        4
    } else if normal.y.abs() >= normal.x.abs() {
        if normal.y < 0.0 { 0 } else { 2 }
    } else if normal.x < 0.0 {
        1
    } else {
        3
    }
}

/// Three standard deviations across the wire at the worse end of the run's first weld, mm.
fn spread(run: &RunLog) -> Option<f64> {
    let [start, end] = run.sigma_of(run.welds.first()?)?;
    Some(STATED_SIGMAS * start.max(end))
}

/// A number as a drawing has it: at most two decimals, no trailing zeros, a true minus sign.
pub(super) fn number(v: f64) -> String {
    let v = (v * 100.0).round() / 100.0 + 0.0;
    format!("{v}").replace('-', "−")
}
