use serde::Serialize;
use toml::{Table, Value};

/// Writes TOML: each list of tables under headings of its own, everything inside them in a line a key.
/// Numbers are written so that reading them gives the same number.
///
/// # Panics
/// If the value is not written as a table of what TOML has: a bug of its type.
pub fn to_toml(value: &impl Serialize) -> String {
    let top = Table::try_from(value).expect("a TOML file is a table");
    let (mut text, mut below) = (String::new(), String::new());
    for (key, value) in &top {
        match value {
            Value::Table(table) => {
                below.extend(["\n[", key, "]\n"]);
                lines(&mut below, table);
            }
            Value::Array(items) if items.iter().any(Value::is_table) => {
                for table in items.iter().filter_map(Value::as_table) {
                    below.extend(["\n[[", key, "]]\n"]);
                    lines(&mut below, table);
                }
            }
            other => line(&mut text, key, other),
        }
    }
    text + &below
}

fn lines(text: &mut String, table: &Table) {
    table.iter().for_each(|(key, value)| line(text, key, value));
}

/// `Value` writes what is in it without a line break.
fn line(text: &mut String, key: &str, value: &Value) {
    text.extend([key, " = ", &value.to_string(), "\n"]);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::io::from_toml;
    use serde_json::json;

    #[test]
    fn what_is_written_is_read_back() {
        let value = json!({
            "title": "Rail, \"60\" \\ 5\u{7f}\n",
            "rest": [-160.0, 0.1, 1e-7],
            "seams": [{ "name": "one", "joint": { "butt": { "walls": ["a", "b"] } } }],
            "play": { "dx": 6.0 },
            "empty": [],
        });
        let text = to_toml(&value);
        assert_eq!(from_toml::<serde_json::Value>(&text), Ok(value), "{text}");
        assert!(text.contains("[[seams]]\njoint = { butt ="), "{text}");
    }
}
