use super::{Dimension, Template};
use crate::cell::EdgeMade;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A part of one's own as far as it is filled in. As JSON it is an object of its fields; numbers that are
/// missing have their common values.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(from = "DraftFile")]
pub struct Draft {
    /// What kind of part it is.
    pub template: Template,
    /// What stands in the title block.
    pub title: String,
    /// How the edges were made that are felt.
    pub edges: EdgeMade,
    /// Whether a clamp stands behind the part.
    pub north_clamp: bool,
    /// Whether a clamp stands at its right end.
    pub east_clamp: bool,
    values: BTreeMap<Dimension, f64>,
}

/// A draft as it is written.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct DraftFile {
    template: Template,
    title: String,
    edges: EdgeMade,
    north_clamp: bool,
    east_clamp: bool,
    values: BTreeMap<Dimension, f64>,
}

impl From<DraftFile> for Draft {
    fn from(file: DraftFile) -> Self {
        let DraftFile { template, title, edges, north_clamp, east_clamp, values } = file;
        let mut draft = Self { edges, north_clamp, east_clamp, ..Self::new(template, &title) };
        for (dimension, value) in values {
            draft.set(dimension, value);
        }
        draft
    }
}

impl Draft {
    /// With common values.
    pub fn new(template: Template, title: &str) -> Self {
        Self {
            template,
            title: title.into(),
            edges: EdgeMade::default(),
            north_clamp: true,
            east_clamp: true,
            values: template.dimensions().into_iter().collect(),
        }
    }

    /// The value of a dimension; 0 of one that its template does not ask for.
    pub fn value(&self, dimension: Dimension) -> f64 {
        self.values.get(&dimension).copied().unwrap_or(0.0)
    }

    /// Fills in a dimension. One that its template does not ask for is left out.
    pub fn set(&mut self, dimension: Dimension, value: f64) {
        if let Some(filled_in) = self.values.get_mut(&dimension) {
            *filled_in = value;
        }
    }
}
