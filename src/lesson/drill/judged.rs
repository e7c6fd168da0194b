//! What was named: is it what is wrong?

use crate::cell::WIRE_BENT;
use crate::session::{Diagnosis, Evidence, NOTHING_WRONG, NamedCause};

/// A cause that was named, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgedCause {
    /// What was named.
    pub cause: String,
    /// Whether it is what is wrong.
    pub right: bool,
    /// Whether it is so as a consequence of something else: neither right nor wrong.
    pub follows: bool,
    /// The evidence pointed at.
    pub by: Option<Evidence>,
    /// The causes from which this evidence tells it; [`NOTHING_WRONG`] among them, where a sound cell would
    /// have shown something else.
    pub told_from: Vec<&'static str>,
}

/// Everything that was named at once, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// Each cause.
    pub causes: Vec<JudgedCause>,
    /// How many of the faults were left out.
    pub missing: usize,
}

impl Judged {
    /// What was named, beside the names of what is planted.
    pub(in crate::lesson) fn of(named: &Diagnosis, planted: &[&str]) -> Self {
        let causes = &named.causes;
        let wire_bent = named.wire_bent && !planted.contains(&WIRE_BENT);
        let is_so = |cause: &str| match cause {
            NOTHING_WRONG => planted.is_empty(),
            _ => planted.contains(&cause),
        };
        let judge = |named: &NamedCause| JudgedCause {
            cause: named.cause.clone(),
            right: is_so(&named.cause),
            follows: wire_bent && named.cause == WIRE_BENT,
            by: named.by,
            told_from: Vec::new(),
        };
        let left_out = |p: &&&str| !causes.iter().any(|named| named.cause == **p);
        Self {
            causes: causes.iter().map(judge).collect(),
            missing: planted.iter().filter(left_out).count(),
        }
    }

    /// How many of the causes named are none.
    pub fn wrong(&self) -> usize {
        self.causes.iter().filter(|c| !c.right && !c.follows).count()
    }

    /// How many of the causes named are what is wrong.
    pub fn right(&self) -> usize {
        self.causes.iter().filter(|c| c.right).count()
    }

    /// Whether it is all that is wrong, and nothing else.
    pub fn is_right(&self) -> bool {
        self.right() > 0 && self.missing == 0 && self.wrong() == 0
    }
}
