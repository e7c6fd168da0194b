use super::{Part, PartError};

/// The parts that come with the trainer, by file.
const FILES: &[&str] = &[
    include_str!("parts/bench-side.toml"),
    include_str!("parts/bench-slat.toml"),
    include_str!("parts/stand-rail.toml"),
    include_str!("parts/bin-bracket.toml"),
    include_str!("parts/planter-base.toml"),
    include_str!("parts/stand-foot.toml"),
    include_str!("parts/bin-door.toml"),
    include_str!("parts/planter-tub.toml"),
    include_str!("parts/bench-side-short.toml"),
];

/// The parts that come with the trainer, in the order they are offered.
pub fn parts() -> Vec<Part> {
    // A test reads every one of them, so none is ever left out here.
    FILES.iter().filter_map(|text| Part::from_toml(text).ok()).collect()
}

/// The built-in part of that name.
pub fn part_by_name(name: &str) -> Option<Part> {
    parts().into_iter().find(|p| p.name == name)
}

impl Part {
    /// Read and check a part from TOML.
    ///
    /// # Errors
    /// Where in the text, or at which entry, and what was expected there.
    pub fn from_toml(text: &str) -> Result<Self, PartError> {
        let part: Self = super::from_toml(text).map_err(|e| {
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
        let part: Self = serde_json::from_str(text).map_err(|e| {
            let message = e.to_string();
            let message = message.split(" at line ").next().unwrap_or_default();
            PartError::Text { line: e.line(), column: e.column(), message: one_line(message) }
        })?;
        part.check()?;
        Ok(part)
    }
}

fn one_line(message: &str) -> String {
    message.split_whitespace().collect::<Vec<_>>().join(" ")
}
