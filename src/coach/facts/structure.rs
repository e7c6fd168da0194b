use crate::routine::{Instruction, Routine};

/// The blocks of a routine. All numbers are indices of steps, from 0.
#[derive(Debug, Clone, Default)]
pub(in crate::coach) struct Structure {
    pub(in crate::coach) blocks: Vec<ProbingBlock>,
    pub(in crate::coach) follows: Vec<FollowBlock>,
    pub(in crate::coach) welds: Vec<Weld>,
    /// Probe steps outside all probing blocks.
    pub(in crate::coach) stray_probes: Vec<usize>,
    /// *Finish probing* without *begin probing*.
    pub(in crate::coach) stray_finishes: Vec<usize>,
    in_follow: Vec<Option<usize>>,
    in_block: Vec<Option<usize>>,
}

/// From *begin probing* to *finish probing*.
#[derive(Debug, Clone)]
pub(in crate::coach) struct ProbingBlock {
    pub(in crate::coach) begin: usize,
    pub(in crate::coach) plan: String,
    pub(in crate::coach) probes: Vec<usize>,
    pub(in crate::coach) finish: Option<usize>,
}

/// From *follow* to *stop following* or to the next *follow*.
#[derive(Debug, Clone)]
pub(in crate::coach) struct FollowBlock {
    pub(in crate::coach) begin: usize,
    pub(in crate::coach) offset: String,
    pub(in crate::coach) end: Option<usize>,
}

/// A weld; one of its ends may be missing.
#[derive(Debug, Clone, Copy)]
pub(in crate::coach) struct Weld {
    pub(in crate::coach) start: Option<usize>,
    pub(in crate::coach) end: Option<usize>,
}

impl Structure {
    pub(in crate::coach) fn of(routine: &Routine) -> Self {
        let mut s = Self::default();
        let (mut block, mut follow, mut weld) = (None, None, None);
        for (i, step) in routine.steps.iter().enumerate() {
            match &step.instruction {
                Instruction::BeginProbing { plan } => {
                    let plan = plan.clone();
                    s.blocks.push(ProbingBlock {
                        begin: i,
                        plan,
                        probes: Vec::new(),
                        finish: None,
                    });
                    block = Some(s.blocks.len() - 1);
                }
                Instruction::Probe { .. } => match block {
                    Some(b) => s.blocks[b].probes.push(i),
                    None => s.stray_probes.push(i),
                },
                Instruction::FinishProbing => match block.take() {
                    Some(b) => s.blocks[b].finish = Some(i),
                    None => s.stray_finishes.push(i),
                },
                Instruction::Follow { offset } => {
                    if let Some(f) = follow.take() {
                        let open: &mut FollowBlock = &mut s.follows[f];
                        open.end = Some(i);
                    }
                    s.follows.push(FollowBlock { begin: i, offset: offset.clone(), end: None });
                    follow = Some(s.follows.len() - 1);
                }
                Instruction::StopFollowing => {
                    if let Some(f) = follow.take() {
                        s.follows[f].end = Some(i);
                    }
                }
                Instruction::WeldStart { .. } => {
                    s.welds.push(Weld { start: Some(i), end: None });
                    weld = Some(s.welds.len() - 1);
                }
                Instruction::WeldEnd { .. } => match weld.take() {
                    Some(w) => s.welds[w].end = Some(i),
                    None => s.welds.push(Weld { start: None, end: Some(i) }),
                },
                Instruction::Move { .. } => {}
            }
            s.in_follow.push(follow);
            s.in_block.push(block);
        }
        s
    }

    /// The follow block that contains step `i`.
    pub(in crate::coach) fn follow_at(&self, i: usize) -> Option<&FollowBlock> {
        self.in_follow.get(i).copied().flatten().map(|f| &self.follows[f])
    }

    /// The probing block that contains step `i`.
    pub(in crate::coach) fn block_at(&self, i: usize) -> Option<&ProbingBlock> {
        self.in_block.get(i).copied().flatten().map(|b| &self.blocks[b])
    }
}

/// The last step before `i` that moves the torch.
pub(in crate::coach) fn motion_before(routine: &Routine, i: usize) -> Option<usize> {
    (0..i).rev().find(|&k| routine.steps[k].instruction.point().is_some())
}

/// The first step after `i` that moves the torch.
pub(in crate::coach) fn motion_after(routine: &Routine, i: usize) -> Option<usize> {
    (i + 1..routine.steps.len()).find(|&k| routine.steps[k].instruction.point().is_some())
}
