use super::{Part, PartError};
use crate::io::from_toml;
use std::sync::LazyLock;

macro_rules! files {
    ($($name:literal),* $(,)?) => {
        &[$((concat!($name, ".toml"), include_str!(concat!("parts/", $name, ".toml")))),*]
    };
}

/// The parts that come with the trainer: file name and text.
const FILES: &[(&str, &str)] = files![
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
];

/// Read at first use, and once: a session asks for its part whenever it is saved.
static PARTS: LazyLock<Vec<Part>> = LazyLock::new(|| {
    let read = |(file, text): &(&str, &str)| {
        // A bug of the program; `tests/cell/parts.rs` reads every file.
        Part::from_toml(text).unwrap_or_else(|e| panic!("src/cell/parts/{file}: {e}"))
    };
    FILES.iter().map(read).collect()
});

/// The parts that come with the trainer, in the order they are offered.
pub fn parts() -> Vec<Part> {
    PARTS.clone()
}

/// The built-in part of that name.
pub fn part_by_name(name: &str) -> Option<Part> {
    PARTS.iter().find(|p| p.name == name).cloned()
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
