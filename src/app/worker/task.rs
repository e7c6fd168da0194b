use nudgeproof::cell::Part;
use nudgeproof::lesson::rehearsed;
use nudgeproof::session::{Study, Tally};
use serde::{Deserialize, Serialize};

/// What a worker is asked to do.
#[derive(Debug, Serialize, Deserialize)]
pub(crate) enum Task {
    /// Production runs of the part's model routine: these numbers of the study with this seed.
    Study { part: Part, seed: u64, from: usize, to: usize },
}

/// What it says.
#[derive(Debug, Serialize, Deserialize)]
pub(crate) enum Answer {
    /// It can be given tasks.
    Ready,
    Study(Tally),
    /// It cannot be done, in a sentence.
    Refused(String),
}

impl Task {
    pub(super) fn done(self) -> Answer {
        match self {
            Self::Study { part, seed, from, to } => {
                let session = rehearsed(&part, seed).map_err(|why| why.to_string());
                let study = session
                    .and_then(|s| Study::new(s.state(), seed).map_err(|why| why.to_string()));
                study.map_or_else(Answer::Refused, |study| Answer::Study(study.run(from..to)))
            }
        }
    }
}
