use super::{Part, PartError};
use crate::data::from_text;
#[cfg(not(target_arch = "wasm32"))]
use crate::data::from_toml;
use std::sync::LazyLock;

macro_rules! files {
    ($($name:literal),* $(,)?) => {
        &[$(include_str!(concat!(env!("OUT_DIR"), "/", $name, ".json"))),*]
    };
}

/// The parts that come with the trainer, made from `parts/NAME.toml`.
const FILES: &[&str] = files![
    "bench-side",
    "bench-slat",
    "stand-rail",
    "bin-bracket",
    "planter-base",
    "stand-foot",
    "bin-door",
    "planter-tub",
    "bench-side-short",
];

/// Read once: a session asks for its part whenever it is saved.
static PARTS: LazyLock<Vec<Part>> = LazyLock::new(|| {
    // A test reads every one of them, so none is ever left out here.
    FILES.iter().filter_map(|text| Part::from_json(text).ok()).collect()
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
    /// Read and check a part from TOML.
    ///
    /// # Errors
    /// Where in the text, or at which entry, and what was expected there.
    #[cfg(not(target_arch = "wasm32"))]
    pub fn from_toml(text: &str) -> Result<Self, PartError> {
        from_toml::<Self>(text)?.sound()
    }

    /// Read and check a part from JSON; the same layout as in TOML.
    ///
    /// # Errors
    /// Where in the text, or at which entry, and what was expected there.
    pub fn from_json(text: &str) -> Result<Self, PartError> {
        from_text::<Self>(text)?.sound()
    }

    fn sound(self) -> Result<Self, PartError> {
        self.check()?;
        Ok(self)
    }
}
