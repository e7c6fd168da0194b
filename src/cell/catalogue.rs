use super::{Part, PartError};
use crate::io::from_toml;
use std::sync::LazyLock;

macro_rules! files {
    ($($name:literal),* $(,)?) => {
        &[$((concat!($name, ".toml"), include_str!(concat!("parts/", $name, ".toml")))),*]
    };
}

/// The parts that are offered: file name and text.
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

/// Read at first use, and once: a session asks for its part whenever it is saved.
static OFFERED: LazyLock<Vec<Part>> = LazyLock::new(|| read(OFFERED_FILES));
static HELD_BACK: LazyLock<Vec<Part>> = LazyLock::new(|| read(HELD_BACK_FILES));

fn read(files: &[(&str, &str)]) -> Vec<Part> {
    let read = |(file, text): &(&str, &str)| {
        // A bug of the program; `tests/cell/parts.rs` reads every file.
        Part::from_toml(text).unwrap_or_else(|e| panic!("src/cell/parts/{file}: {e}"))
    };
    files.iter().map(read).collect()
}

/// The parts that come with the trainer and may be chosen, in the order they are offered.
pub fn parts() -> Vec<Part> {
    OFFERED.clone()
}

/// The parts that come with the trainer and are held back: a learner meets them in the last lesson and
/// in a refresher, where they must be new, and nowhere else.
pub fn held_back_parts() -> Vec<Part> {
    HELD_BACK.clone()
}

/// Whether the part of this name is held back.
pub(crate) fn is_held_back(name: &str) -> bool {
    HELD_BACK.iter().any(|part| part.name == name)
}

/// The built-in part of that name, offered or held back.
pub fn part_by_name(name: &str) -> Option<Part> {
    OFFERED.iter().chain(HELD_BACK.iter()).find(|p| p.name == name).cloned()
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
}
