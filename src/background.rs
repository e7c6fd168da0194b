//! Work that takes longer than a frame: what is asked for, and what comes of it. The page asks and a worker
//! answers; both go as JSON.

use crate::cell::Part;
use crate::drawing::{DrawingReport, Unit, report};
use crate::lesson::{LayoutChoice, best_layouts, rehearsed};
use crate::session::{Study, Tally};
use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use serde::{Deserialize, Serialize};

/// What is asked for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Task {
    /// Whole production runs of a part's own routine: those numbers of the study with this seed.
    Study {
        /// The part.
        part: Part,
        /// Of the study.
        seed: u64,
        /// The first run.
        from: usize,
        /// The run after the last.
        to: usize,
    },
    /// The layouts of touches with the least spread at the worst weld end.
    Layouts {
        /// The part.
        part: Part,
        /// Faces that must not be touched.
        kept_out: Vec<String>,
    },
    /// The outlines of a drawing file.
    Drawing {
        /// What the file holds, in base64.
        file: String,
        /// Its unit, where a person says so.
        unit: Option<Unit>,
    },
}

/// What comes of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Answer {
    /// The worker can be given tasks.
    Ready,
    /// Of a study, these runs.
    Study(Tally),
    /// The layout that the part has, where it holds every weld, and the best ones.
    Layouts {
        /// Its own.
        own: Option<LayoutChoice>,
        /// With the fewest touches, and with one and two more.
        best: Vec<LayoutChoice>,
    },
    /// The drawing as it was read.
    Drawing(DrawingReport),
    /// It cannot be done, in a sentence.
    Refused(String),
}

impl Task {
    /// The task of a drawing file.
    pub fn drawing(file: &[u8], unit: Option<Unit>) -> Self {
        Self::Drawing { file: BASE64_STANDARD.encode(file), unit }
    }

    /// Does it: from a fifth of a second to some seconds of work.
    pub fn done(self) -> Answer {
        match self {
            Self::Study { part, seed, from, to } => {
                let session = rehearsed(&part, seed).map_err(|why| why.to_string());
                let study = session
                    .and_then(|s| Study::new(s.state(), seed).map_err(|why| why.to_string()));
                study.map_or_else(Answer::Refused, |study| Answer::Study(study.run(from..to)))
            }
            Self::Layouts { part, kept_out } => {
                let best = best_layouts(&part, &kept_out);
                Answer::Layouts { own: LayoutChoice::of(&part), best }
            }
            Self::Drawing { file, unit } => match BASE64_STANDARD.decode(file) {
                Ok(bytes) => match report(&bytes, unit) {
                    Ok(report) => Answer::Drawing(report),
                    Err(why) => Answer::Refused(why.to_string()),
                },
                Err(why) => Answer::Refused(why.to_string()),
            },
        }
    }
}
