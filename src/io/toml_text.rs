use serde::Serialize;
use serde_json::{Map, Value};

/// Writes TOML: each list of tables under headings of its own, everything inside them in a line a key.
/// Numbers are written so that reading them gives the same number.
///
/// # Panics
/// If the value is not written as a table: a bug of its type.
pub fn to_toml(value: &impl Serialize) -> String {
    let Ok(Value::Object(top)) = serde_json::to_value(value) else {
        panic!("a TOML file is a table");
    };
    let (mut text, mut below) = (String::new(), String::new());
    for (key, value) in &top {
        match value {
            Value::Object(table) => {
                below.extend(["\n[", key, "]\n"]);
                lines(&mut below, table);
            }
            Value::Array(items) if items.iter().any(Value::is_object) => {
                for table in items.iter().filter_map(Value::as_object) {
                    below.extend(["\n[[", key, "]]\n"]);
                    lines(&mut below, table);
                }
            }
            Value::Null => {}
            other => text.extend([key, " = ", &in_line(other), "\n"]),
        }
    }
    text + &below
}

fn lines(text: &mut String, table: &Map<String, Value>) {
    for (key, value) in table.iter().filter(|(_, value)| !value.is_null()) {
        text.extend([key, " = ", &in_line(value), "\n"]);
    }
}

fn in_line(value: &Value) -> String {
    let joined = |items: Vec<String>| items.join(", ");
    match value {
        Value::Array(items) => format!("[{}]", joined(items.iter().map(in_line).collect())),
        Value::Object(table) => {
            let entries = table.iter().filter(|(_, value)| !value.is_null());
            let entry = |(key, value): (&String, &Value)| format!("{key} = {}", in_line(value));
            format!("{{ {} }}", joined(entries.map(entry).collect()))
        }
        // JSON escapes what TOML does, but for one character.
        other => other.to_string().replace('\u{7f}', "\\u007F"),
    }
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
        assert_eq!(from_toml::<Value>(&text), Ok(value), "{text}");
        assert!(text.contains("[[seams]]\njoint = { butt ="), "{text}");
    }
}
