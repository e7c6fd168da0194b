use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::ser::{Formatter, PrettyFormatter, Serializer};
use std::io;

/// Why a JSON text cannot be read as one of our types.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}{what}", line.map_or_else(String::new, |n| format!("line {n}, column {column}: ")))]
pub struct TextError {
    /// Line, from 1, where it is known.
    pub line: Option<usize>,
    /// Column, from 1; 0 where the line is not known.
    pub column: usize,
    /// What was expected, and what stands there.
    pub what: String,
}

impl From<serde_json::Error> for TextError {
    fn from(error: serde_json::Error) -> Self {
        // The reader adds line and column to its own words.
        let text = error.to_string();
        let what = text.split(" at line ").next().unwrap_or(&text).to_owned();
        Self { line: (error.line() > 0).then_some(error.line()), column: error.column(), what }
    }
}

/// Reads one of our types from JSON text.
///
/// # Errors
/// Where the text is not JSON, or what in it is not as the type asks; the line of the latter is
/// known outside the browser only.
pub fn from_text<T: DeserializeOwned>(text: &str) -> Result<T, TextError> {
    #[cfg(not(target_arch = "wasm32"))]
    return Ok(serde_json::from_str(text)?);
    #[cfg(target_arch = "wasm32")]
    super::from_tree(serde_json::from_str(text)?).map_err(|e| TextError {
        line: None,
        column: 0,
        what: e.to_string(),
    })
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
