use super::{Part, PartError};
use crate::data::from_text;
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
        let part: Self = toml::from_str(text).map_err(|e: toml::de::Error| {
            let before = &text[..e.span().map_or(0, |s| s.start.min(text.len()))];
            let line = before.matches('\n').count() + 1;
            let column = before.rsplit('\n').next().map_or(0, |l| l.chars().count()) + 1;
            PartError::Text { line, column, message: one_line(e.message()) }
        })?;
        part.check()?;
        Ok(part)
    }

    /// Read and check a part from JSON; the same layout as in TOML.
    ///
    /// # Errors
    /// Where in the text, or at which entry, and what was expected there.
    pub fn from_json(text: &str) -> Result<Self, PartError> {
        let part: Self = from_text(text).map_err(|e| PartError::Text {
            line: e.line.unwrap_or(1),
            column: e.column.max(1),
            message: one_line(&e.what),
        })?;
        part.check()?;
        Ok(part)
    }
}

fn one_line(message: &str) -> String {
    message.split_whitespace().collect::<Vec<_>>().join(" ")
}
