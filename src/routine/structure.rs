use super::steps::{DEFAULT_REACH_MM, DEFAULT_SENSING_SPEED_MM_S, Instruction, Routine};
use crate::locate::Freedoms;

/// What belongs together in a routine, read from the order of its steps. All numbers are indices of
/// steps, from 0.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Structure {
    /// Stretches in which the wire carries sensing voltage.
    pub sensing: Vec<SensingBlock>,
    /// The finds, each with the feels it uses.
    pub finds: Vec<FindBlock>,
    /// Feels that no find uses.
    pub unused_feels: Vec<usize>,
    /// Stretches in which points ride with a place.
    pub follows: Vec<FollowBlock>,
    /// The welds.
    pub welds: Vec<Weld>,
    in_sensing: Vec<Option<usize>>,
    in_follow: Vec<Option<usize>>,
}

/// From *sensing on* to *sensing off* or to the next *sensing on*.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SensingBlock {
    /// The step that turns it on.
    pub begin: usize,
    /// The step after which it no longer holds.
    pub end: Option<usize>,
    /// Speed of its searches, mm/s.
    pub speed_mm_s: f64,
    /// Greatest length of its searches, mm.
    pub reach_mm: f64,
}

/// A find, and the feels since the find before.
#[derive(Debug, Clone, PartialEq)]
pub struct FindBlock {
    /// The find.
    pub step: usize,
    /// The place it finds.
    pub place: String,
    /// What the part may have done.
    pub may: Freedoms,
    /// The feels whose touches it uses.
    pub feels: Vec<usize>,
}

/// From *follow* to *stop following* or to the next *follow*.
#[derive(Debug, Clone, PartialEq)]
pub struct FollowBlock {
    /// The follow.
    pub begin: usize,
    /// The place that is followed.
    pub place: String,
    /// The step that ends it.
    pub end: Option<usize>,
}

/// A weld; one of its ends may be missing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weld {
    /// The weld start.
    pub start: Option<usize>,
    /// The weld end.
    pub end: Option<usize>,
}

impl Structure {
    /// Reads a routine.
    pub fn of(routine: &Routine) -> Self {
        let mut s = Self::default();
        let (mut sensing, mut follow, mut weld) = (None, None, None);
        for (i, step) in routine.steps.iter().enumerate() {
            match &step.instruction {
                Instruction::SensingOn { speed_mm_s, reach_mm } => {
                    s.end_sensing(sensing.take(), i);
                    let (speed_mm_s, reach_mm) = (*speed_mm_s, *reach_mm);
                    s.sensing.push(SensingBlock { begin: i, end: None, speed_mm_s, reach_mm });
                    sensing = Some(s.sensing.len() - 1);
                }
                Instruction::SensingOff => s.end_sensing(sensing.take(), i),
                Instruction::Feel { .. } => s.unused_feels.push(i),
                Instruction::Find { place, may } => {
                    let feels = std::mem::take(&mut s.unused_feels);
                    s.finds.push(FindBlock { step: i, place: place.clone(), may: *may, feels });
                }
                Instruction::Follow { place } => {
                    s.end_follow(follow.take(), i);
                    s.follows.push(FollowBlock { begin: i, place: place.clone(), end: None });
                    follow = Some(s.follows.len() - 1);
                }
                Instruction::StopFollowing => s.end_follow(follow.take(), i),
                Instruction::WeldStart { .. } => {
                    s.welds.push(Weld { start: Some(i), end: None });
                    weld = Some(s.welds.len() - 1);
                }
                Instruction::WeldEnd { .. } => match weld.take() {
                    Some(w) => s.welds[w].end = Some(i),
                    None => s.welds.push(Weld { start: None, end: Some(i) }),
                },
                Instruction::Move { .. }
                | Instruction::WeldThrough { .. }
                | Instruction::TrimWire => {}
            }
            s.in_sensing.push(sensing);
            s.in_follow.push(follow);
        }
        s
    }

    fn end_sensing(&mut self, open: Option<usize>, at: usize) {
        if let Some(block) = open.and_then(|b| self.sensing.get_mut(b)) {
            block.end = Some(at);
        }
    }

    fn end_follow(&mut self, open: Option<usize>, at: usize) {
        if let Some(block) = open.and_then(|b| self.follows.get_mut(b)) {
            block.end = Some(at);
        }
    }

    /// The stretch of sensing that contains step `i`.
    pub fn sensing_at(&self, i: usize) -> Option<&SensingBlock> {
        self.in_sensing.get(i).copied().flatten().map(|b| &self.sensing[b])
    }

    /// The follow that contains step `i`.
    pub fn follow_at(&self, i: usize) -> Option<&FollowBlock> {
        self.in_follow.get(i).copied().flatten().map(|b| &self.follows[b])
    }

    /// The find that uses the feel `i`.
    pub fn find_of(&self, i: usize) -> Option<&FindBlock> {
        self.finds.iter().find(|find| find.feels.contains(&i))
    }

    /// Speed, mm/s, and greatest length, mm, of the search of step `i`: by the last *sensing on*
    /// before it.
    pub fn search_of(&self, i: usize) -> (f64, f64) {
        let last = self.sensing.iter().rfind(|s| s.begin < i);
        last.map_or((DEFAULT_SENSING_SPEED_MM_S, DEFAULT_REACH_MM), |s| (s.speed_mm_s, s.reach_mm))
    }
}
