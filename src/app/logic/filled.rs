//! What is filled in to make a part of the learner's own.

use nudgeproof::cell::{Dimension, Draft, OutlineDraft, OutlinePartError, Part, Template};

/// What is filled in: a template, or the outline of a drawing in the place of its plate.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Filled {
    pub(crate) draft: Draft,
    pub(crate) outline: Option<OutlineDraft>,
}

impl Filled {
    pub(crate) fn new(draft: Draft, outline: Option<OutlineDraft>) -> Self {
        let outline = outline.map(|outline| outline.with(draft.clone()));
        Self { draft, outline }
    }

    /// Its template; none, where a drawing has the outline.
    pub(crate) fn kind(&self) -> Option<Template> {
        self.outline.is_none().then_some(self.draft.template)
    }

    /// The part, or what has to be put right first.
    pub(crate) fn part(&self) -> Result<Part, OutlinePartError> {
        match &self.outline {
            Some(outline) => outline.part(),
            None => Ok(self.draft.part()?),
        }
    }

    /// The dimensions to fill in, in order.
    pub(crate) fn dimensions(&self) -> Vec<Dimension> {
        let all = self.draft.template.dimensions().into_iter().map(|(d, _)| d);
        let of_outline = |d: &Dimension| OutlineDraft::GIVEN.contains(d);
        all.filter(|d| self.outline.is_none() || !of_outline(d)).collect()
    }
}
