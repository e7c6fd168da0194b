#[cfg(not(target_arch = "wasm32"))]
use super::DataError;
use super::FromData;
#[cfg(not(target_arch = "wasm32"))]
use super::error::Step;
use serde::Serialize;
use serde_json::ser::{Formatter, PrettyFormatter, Serializer};
use std::io;

/// Why a text cannot be read as one of our types.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}{what}", at.map_or_else(String::new, |(n, c)| format!("line {n}, column {c}: ")))]
pub struct TextError {
    /// Line and column, from 1, where they are known.
    pub at: Option<(usize, usize)>,
    /// What was expected, and what stands there; with the place in words where there is no line.
    pub what: String,
}

/// Reads one of our types from JSON text.
///
/// # Errors
/// The line and column where the text is not JSON, or else which value is not as the type asks.
pub fn from_text<T: FromData>(text: &str) -> Result<T, TextError> {
    let value = serde_json::from_str(text).map_err(|e| {
        // The reader adds line and column to its own words.
        let what = e.to_string();
        let what = what.split(" at line ").next().unwrap_or(&what).to_owned();
        TextError { at: Some((e.line(), e.column())), what }
    })?;
    T::from_data(value).map_err(|e| TextError { at: None, what: e.to_string() })
}

/// Reads one of our types from TOML.
///
/// # Errors
/// The line and column of the first thing that is not TOML, or not as the type asks.
#[cfg(not(target_arch = "wasm32"))]
pub fn from_toml<T: FromData>(text: &str) -> Result<T, TextError> {
    let line_and_column = |at: usize| {
        let before = text.get(..at).unwrap_or(text);
        let column = before.rsplit('\n').next().map_or(0, |l| l.chars().count()) + 1;
        (before.matches('\n').count() + 1, column)
    };
    let value = toml::from_str(text).map_err(|e: toml::de::Error| {
        let at = Some(line_and_column(e.span().map_or(0, |s| s.start)));
        TextError { at, what: e.message().split_whitespace().collect::<Vec<_>>().join(" ") }
    })?;
    T::from_data(value).map_err(|e| {
        let at = Some(line_and_column(start_of(text, &e).unwrap_or_default()));
        TextError { at, what: e.what().to_owned() }
    })
}

/// Where in the TOML the value stands that an error is about, bytes from the start.
#[cfg(not(target_arch = "wasm32"))]
fn start_of(text: &str, error: &DataError) -> Option<usize> {
    use toml::de::{DeTable, DeValue};
    let whole = DeTable::parse(text).ok()?;
    let mut start = None;
    let mut table = Some(whole.get_ref());
    let mut list = None;
    for step in error.way() {
        let value = match step {
            Step::Key(key) => table?.iter().find(|(k, _)| k.get_ref() == key)?.1,
            Step::Item(number) => {
                let items: &toml::de::DeArray = list?;
                items.get(*number)?
            }
        };
        start = Some(value.span().start);
        (table, list) = match value.get_ref() {
            DeValue::Table(t) => (Some(t), None),
            DeValue::Array(a) => (None, Some(a)),
            _ => (None, None),
        };
    }
    start
}

/// JSON text, indented. Numbers are written so that reading them gives the very same number.
///
/// What cannot be JSON (there is nothing of the kind in our types) becomes an empty text.
pub fn to_text(value: &impl Serialize) -> String {
    // By way of plain data, so that the writers of a type are there once.
    let mut text = Vec::new();
    let written = serde_json::to_value(value)
        .and_then(|v| v.serialize(&mut Serializer::with_formatter(&mut text, Indented::default())));
    if written.is_err() {
        text.clear();
    }
    String::from_utf8(text).unwrap_or_default()
}

/// Indented as serde indents, but with the number writer of the standard library, which is in the
/// program anyway: another would bring tables of ten kilobytes with it.
#[derive(Default)]
struct Indented(PrettyFormatter<'static>);

macro_rules! as_ever {
    ($($name:ident($($arg:ident: $type:ty),*)),* $(,)?) => {
        $(fn $name<W: ?Sized + io::Write>(&mut self, to: &mut W, $($arg: $type),*) -> io::Result<()> {
            self.0.$name(to, $($arg),*)
        })*
    };
}

impl Formatter for Indented {
    fn write_f64<W: ?Sized + io::Write>(&mut self, to: &mut W, value: f64) -> io::Result<()> {
        // `Debug` writes the fewest digits that read back as the same number.
        write!(to, "{value:?}")
    }

    as_ever! {
        begin_array(), end_array(), begin_array_value(first: bool), end_array_value(),
        begin_object(), end_object(), begin_object_key(first: bool), begin_object_value(),
        end_object_value(),
    }
}
