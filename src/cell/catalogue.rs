use super::{Part, PartError};
use crate::io::{from_toml, to_toml};
use std::sync::{LazyLock, OnceLock};

macro_rules! files {
    ($($name:literal),* $(,)?) => {
        &[$(($name, include_str!(concat!("parts/", $name, ".toml")))),*]
    };
}

/// The parts that are offered: name and file.
const OFFERED_FILES: &[(&str, &str)] = files![
    "bench-side",
    "bench-slat",
    "stand-rail",
    "bin-bracket",
    "planter-base",
    "stand-foot",
    "bin-door",
    "planter-tub",
    "bin-hinge",
    "bench-side-short",
    "bin-roof",
    "planter-corner",
    "stand-splice",
    "bench-frame",
];

/// The parts that are held back for a task on a part that nobody has seen: on no list, in no other
/// lesson, loaded by no fault.
const HELD_BACK_FILES: &[(&str, &str)] =
    files!["bench-arm", "stand-brace", "planter-lid", "bin-post"];

/// A part that comes with the program. Read when it is asked for, and once: a first visit needs one of
/// them, and a session asks for its part whenever it is saved.
struct Built {
    name: &'static str,
    file: &'static str,
    read: OnceLock<Part>,
}

static OFFERED: LazyLock<Vec<Built>> = LazyLock::new(|| Built::all(OFFERED_FILES));
static HELD_BACK: LazyLock<Vec<Built>> = LazyLock::new(|| Built::all(HELD_BACK_FILES));

impl Built {
    fn all(files: &[(&'static str, &'static str)]) -> Vec<Self> {
        files.iter().map(|&(name, file)| Self { name, file, read: OnceLock::new() }).collect()
    }

    fn part(&self) -> &Part {
        // A bug of the program; `tests/cell/parts.rs` reads every file.
        let read = || {
            Part::from_toml(self.file)
                .unwrap_or_else(|e| panic!("src/cell/parts/{}.toml: {e}", self.name))
        };
        self.read.get_or_init(read)
    }
}

/// The parts that come with the trainer and may be chosen, in the order they are offered.
pub fn parts() -> Vec<Part> {
    OFFERED.iter().map(|built| built.part().clone()).collect()
}

/// The first of them, with which free work begins.
pub fn first_part() -> Part {
    OFFERED[0].part().clone()
}

/// The parts that come with the trainer and are held back: a learner meets them in the last lesson and
/// in a refresher, where they must be new, and nowhere else.
pub fn held_back_parts() -> Vec<Part> {
    HELD_BACK.iter().map(|built| built.part().clone()).collect()
}

/// Whether the part of this name is held back.
pub(crate) fn is_held_back(name: &str) -> bool {
    HELD_BACK.iter().any(|built| built.name == name)
}

/// The built-in part of that name, offered or held back.
pub fn part_by_name(name: &str) -> Option<Part> {
    let built = OFFERED.iter().chain(HELD_BACK.iter()).find(|built| built.name == name)?;
    Some(built.part().clone())
}

impl Part {
    /// Reads and checks a part.
    ///
    /// # Errors
    /// Where in the text, or at which entry, and what was expected there.
    pub fn from_toml(text: &str) -> Result<Self, PartError> {
        let part: Self = from_toml(text)?;
        part.check()?;
        Ok(part)
    }

    /// The part as a file, which [`Part::from_toml`] reads back the same.
    pub fn to_toml(&self) -> String {
        to_toml(self)
    }
}
