use super::limits::FILE_KIB;
use super::plain::{in_plain_words, shortened};
use serde::de::{DeserializeOwned, DeserializeSeed, Deserializer, Error, IgnoredAny};
use serde::{Deserialize, Serialize};
use serde_path_to_error::Track;
use std::fmt;
use std::marker::PhantomData;
use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

/// Why a text cannot be read: where, what was expected and what was found.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub struct TextError {
    /// Line, from 1.
    pub line: usize,
    /// Column, from 1, in characters.
    pub column: usize,
    /// Whether the text is not JSON or TOML at all, rather than not what the type expects.
    pub syntax: bool,
    /// The value that is wrong, such as `stages[2].goal`; empty for the whole.
    pub path: String,
    /// What was expected there, and what was found.
    pub problem: String,
}

impl fmt::Display for TextError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "line {}, column {}: {}", self.line, self.column, self.without_line())
    }
}

impl TextError {
    /// Path and problem, for a text that is a piece of a larger one.
    pub fn without_line(&self) -> String {
        if self.path.is_empty() {
            self.problem.clone()
        } else {
            format!("{}: {}", self.path, self.problem)
        }
    }
}

/// The path that was being read; empty for the whole.
fn path_of(track: Track) -> String {
    let path = track.path();
    if path.iter().len() == 0 { String::new() } else { shortened(&path.to_string()) }
}

/// Whether a text is no longer than a file may be.
fn size(text: &str) -> Result<(), TextError> {
    FILE_KIB.check(text.len().div_ceil(1024)).map_err(|over| TextError {
        line: 1,
        column: 1,
        syntax: false,
        path: String::new(),
        problem: over.to_string(),
    })
}

/// Reads JSON.
///
/// # Errors
/// At the first thing that is not JSON, or not as the type expects.
pub fn from_json<'de, T: Deserialize<'de>>(text: &'de str) -> Result<T, TextError> {
    size(text)?;
    // Some editors put a byte-order mark before a text.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let error = |e: serde_json::Error, syntax: bool, path: String| {
        let (line, column) = (e.line(), e.column());
        // The message of serde_json ends with the position.
        let said = e.to_string();
        let position = format!(" at line {line} column {column}");
        let problem = in_plain_words(said.strip_suffix(&position).unwrap_or(&said));
        TextError { line, column, syntax, path, problem }
    };
    let mut json = serde_json::Deserializer::from_str(text);
    let mut track = Track::new();
    let read = tracked(&mut json, &mut track).map_err(|e| {
        // What is no JSON at all is told as that, whatever the type makes of its beginning.
        match serde_json::from_str::<IgnoredAny>(text) {
            Err(syntax) => error(syntax, true, String::new()),
            Ok(_) => error(e, false, path_of(track)),
        }
    })?;
    json.end().map(|()| read).map_err(|e| error(e, true, String::new()))
}

/// Reads by a seed through a deserializer behind a pointer, so that the code of each type stands in the
/// program once, and not once for each format.
pub(super) fn read_erased<'de, S: DeserializeSeed<'de>, D: Deserializer<'de>>(
    seed: S,
    deserializer: D,
) -> Result<S::Value, erased_serde::Error> {
    let erased = &mut <dyn erased_serde::Deserializer>::erase(deserializer);
    seed.deserialize(erased as &mut dyn erased_serde::Deserializer)
}

/// Reads a `T`, and keeps the path of what is being read.
fn tracked<'de, T: Deserialize<'de>, D: Deserializer<'de>>(
    deserializer: D,
    track: &mut Track,
) -> Result<T, D::Error> {
    let tracked = serde_path_to_error::Deserializer::new(deserializer, track);
    read_erased(PhantomData, tracked).map_err(D::Error::custom)
}

/// Reads TOML where the name of the file ends so, else JSON.
///
/// # Errors
/// As [`from_toml`] and [`from_json`].
pub fn from_file<T: DeserializeOwned>(file_name: &str, text: &str) -> Result<T, TextError> {
    let is_toml = file_name.rsplit('.').next().is_some_and(|end| end.eq_ignore_ascii_case("toml"));
    if is_toml { from_toml(text) } else { from_json(text) }
}

/// Reads TOML.
///
/// # Errors
/// At the first thing that is not TOML, or not as the type expects. A number that is not finite is
/// an error: nothing here may be `nan` or `inf`.
pub fn from_toml<'de, T: Deserialize<'de>>(text: &'de str) -> Result<T, TextError> {
    size(text)?;
    // Some messages have several lines, of which the last say in which tables: the path knows better.
    let message = |e: &toml::de::Error| {
        let message = e.message();
        let message = message.split_once("\nin `").map_or(message, |(message, _)| message);
        message.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let table = DeTable::parse(text).map_err(|e| {
        let (line, column) = position(text, e.span().unwrap_or_default().start);
        let problem = in_plain_words(&message(&e));
        TextError { line, column, syntax: true, path: String::new(), problem }
    })?;
    if let Some(number) = table.get_ref().values().find_map(not_finite) {
        let (line, column) = position(text, number.start);
        let problem = format!("expected a finite number, and found {}", &text[number]);
        return Err(TextError { line, column, syntax: false, path: String::new(), problem });
    }
    let mut track = Track::new();
    tracked(toml::Deserializer::from(table), &mut track).map_err(|e| {
        let (path, problem) = (path_of(track), message(&e));
        let of_key = problem.starts_with("unknown field");
        let (line, column) = position(text, start_of(text, &path, of_key).unwrap_or(0));
        TextError { line, column, syntax: false, path, problem: in_plain_words(&problem) }
    })
}

/// Where the first number stands that is not finite, bytes from the start of the text.
fn not_finite(value: &Spanned<DeValue>) -> Option<std::ops::Range<usize>> {
    match value.get_ref() {
        DeValue::Float(number) => {
            let finite = number.as_str().parse::<f64>().is_ok_and(f64::is_finite);
            (!finite).then(|| value.span())
        }
        DeValue::Array(items) => items.iter().find_map(not_finite),
        DeValue::Table(table) => table.values().find_map(not_finite),
        _ => None,
    }
}

/// Line and column, both from 1, of the value at `path` (such as `stages[2].say`) in a TOML text,
/// or of what stands nearest around it. `None` if the text is not TOML.
pub fn toml_position(text: &str, path: &str) -> Option<(usize, usize)> {
    start_of(text, path, false).map(|start| position(text, start))
}

/// Where the value at `path` starts, or its key, bytes from the start of the text.
fn start_of(text: &str, path: &str, of_key: bool) -> Option<usize> {
    let table = DeTable::parse(text).ok()?;
    let mut start = 0;
    let (mut table, mut items) = (Some(table.get_ref()), None::<&DeArray>);
    for step in path.split(['.', '[', ']']).filter(|s| !s.is_empty()) {
        let entry = table.and_then(|table| table.get_key_value(step));
        let item = || items?.get(step.parse::<usize>().ok()?);
        let Some(value) = entry.map(|(_, value)| value).or_else(item) else { break };
        start = match entry {
            Some((key, _)) if of_key => key.span().start,
            _ => value.span().start,
        };
        (table, items) = (value.get_ref().as_table(), value.get_ref().as_array());
    }
    Some(start)
}

/// Line and column, both from 1, of a place `at` bytes from the start.
fn position(text: &str, at: usize) -> (usize, usize) {
    let before = text.get(..at).unwrap_or(text);
    let column = before.rsplit('\n').next().map_or(0, |line| line.chars().count()) + 1;
    (before.matches('\n').count() + 1, column)
}

/// Writes JSON, indented. Numbers are written so that reading them gives the same number.
///
/// # Panics
/// If a type writes a map whose keys are not text: a bug of that type, which no value of ours can
/// bring about.
pub fn to_json(value: &impl Serialize) -> String {
    serde_json::to_string_pretty(value).expect("every map of these types has text for keys")
}
