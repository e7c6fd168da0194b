use serde_json::Value;
use std::fmt;

/// 2⁶³: from here on no number has a fraction, and whole numbers are kept as the nearest float.
const BEYOND: f64 = 9_223_372_036_854_775_808.0;

/// What in a file is not as our type asks: the place, and what was expected there.
// One pointer wide: every reader of every type hands it on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DataError(Box<Inner>);

#[derive(Debug, Clone, PartialEq, Eq)]
struct Inner {
    /// The way to the place, its end first.
    place: Vec<Step>,
    what: String,
}

/// One step on the way into plain data.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Step {
    /// The value under a key.
    Key(String),
    /// The item of a list, from 0.
    Item(usize),
}

impl DataError {
    /// Any other error about the value at hand.
    pub(crate) fn new(what: impl Into<String>) -> Self {
        Self(Box::new(Inner { place: Vec::new(), what: what.into() }))
    }

    /// The value at hand is of another kind.
    pub(crate) fn kind(found: &Value, expected: &str) -> Self {
        let found = match found {
            Value::Null => "null".to_owned(),
            Value::Bool(b) => format!("boolean `{b}`"),
            Value::Number(n) => match (n.as_u64(), n.as_i64(), n.as_f64().unwrap_or_default()) {
                (Some(n), ..) => format!("integer `{n}`"),
                (_, Some(n), _) => format!("integer `{n}`"),
                (.., v) if v.abs() < BEYOND => format!("floating point `{v}`"),
                // Of a whole number this long the first digits are kept.
                (.., v) => format!("integer of about `{v}`"),
            },
            Value::String(s) => format!("string {s:?}"),
            Value::Array(_) => "sequence".to_owned(),
            Value::Object(_) => "map".to_owned(),
        };
        Self::new(format!("invalid type: {found}, expected {expected}"))
    }

    /// `name` is none of `known`.
    pub(crate) fn unknown(what: &str, name: &str, known: &[&str]) -> Self {
        let known: Vec<_> = known.iter().map(|k| format!("`{k}`")).collect();
        Self::new(match known.as_slice() {
            [] => format!("unknown {what} `{name}`, there are no {what}s"),
            [one] => format!("unknown {what} `{name}`, expected {one}"),
            [a, b] => format!("unknown {what} `{name}`, expected {a} or {b}"),
            all => format!("unknown {what} `{name}`, expected one of {}", all.join(", ")),
        })
    }

    /// The same error, seen from the list around it; numbers from 0.
    pub(super) fn in_item(mut self, number: usize) -> Self {
        self.0.place.push(Step::Item(number));
        self
    }

    /// The same error, seen from the object around it.
    pub(super) fn under(mut self, key: &str) -> Self {
        self.0.place.push(Step::Key(key.to_owned()));
        self
    }

    /// The way to the place from the outside in.
    pub(super) fn way(&self) -> impl Iterator<Item = &Step> {
        self.0.place.iter().rev()
    }

    /// What was expected, and what stands there.
    pub fn what(&self) -> &str {
        &self.0.what
    }
}

impl fmt::Display for DataError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let mut place = String::new();
        for step in self.way() {
            match step {
                Step::Key(key) if place.is_empty() => place.push_str(key),
                Step::Key(key) => place.extend([".", key]),
                Step::Item(number) => place.extend(["[", &number.to_string(), "]"]),
            }
        }
        if !place.is_empty() {
            write!(f, "{place}: ")?;
        }
        f.write_str(&self.0.what)
    }
}

impl std::error::Error for DataError {}
