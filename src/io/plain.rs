//! What the readers of JSON and TOML say, in words for people who have written no program.

use super::visible::visible;

/// Messages of the JSON reader, and of the TOML reader, about what is no JSON or TOML at all.
const SYNTAX: [(&str, &str); 22] = [
    ("EOF while parsing a list", "expected `]`, and found the end of the text"),
    ("EOF while parsing an object", "expected `}`, and found the end of the text"),
    ("EOF while parsing a string", "expected `\"`, and found the end of the text"),
    ("EOF while parsing a value", "expected a value, and found the end of the text"),
    ("expected ident", "expected true, false, null, a number, or text in quotes"),
    ("expected value", "expected a value: a number, text in quotes, true, false, null, `[` or `{`"),
    ("invalid escape", "expected one of \\\" \\\\ \\/ \\b \\f \\n \\r \\t \\u behind `\\`"),
    ("invalid number", "expected a number"),
    ("number out of range", "expected a number up to 1.8e308, and found a greater one"),
    ("invalid unicode code point", "expected a character of Unicode"),
    (
        "control character (\\u0000-\\u001F) found while parsing a string",
        "expected `\"` before the end of the line: in text, a new line is written \\n",
    ),
    ("key must be a string", "expected a key in quotes"),
    ("lone leading surrogate in hex escape", "expected a character of Unicode behind \\u"),
    ("unexpected end of hex escape", "expected four hexadecimal digits behind \\u"),
    ("trailing comma", "expected no comma after the last one"),
    ("trailing characters", "expected the end of the text, and found more"),
    ("recursion limit exceeded", "expected at most 127 lists and objects within each other"),
    (
        "string values must be quoted, expected literal string",
        "expected text in quotes, a number, true or false",
    ),
    ("duplicate key", "expected each key once, and found this one again"),
    ("unexpected key or value, expected newline, `#`", "expected a new line before the next key"),
    ("invalid type: map, expected a string key", "expected text in quotes"),
    ("the receiver failed", "expected to pass the answer on, and could not"),
];

/// How many characters of what was found are shown.
const SHOWN: usize = 80;

/// A text from outside as it stands in a message: on one line, and not more than its beginning.
pub(crate) fn shortened(text: &str) -> String {
    let text = visible(text);
    match text.char_indices().nth(SHOWN) {
        None => text.into_owned(),
        Some((end, _)) => format!("{}… ({} characters)", &text[..end], text.chars().count()),
    }
}

/// A message of a reader in plain words. What it quotes is shortened.
pub(crate) fn in_plain_words(message: &str) -> String {
    if let Some((_, plain)) = SYNTAX.iter().find(|(said, _)| *said == message) {
        return (*plain).to_owned();
    }
    // Before it may stand where it is, such as `bend[1]: `.
    let kinds = KINDS.iter().filter_map(|kind| Some((message.find(kind.said)?, kind)));
    let Some((at, kind)) = kinds.min_by_key(|(at, _)| *at) else { return shorter(message) };
    let (place, rest) = (&message[..at], &message[at + kind.said.len()..]);
    let place = place.strip_suffix(": ").map_or_else(String::new, |p| shortened(p) + ": ");
    (kind.plain)(rest).map_or_else(|| shorter(message), |plain| place + &plain)
}

/// A message that is not known here.
fn shorter(message: &str) -> String {
    if message.len() > 10 * SHOWN { shortened(message) } else { message.to_owned() }
}

/// A kind of message: how it begins, and the rest of it in plain words.
struct Kind {
    said: &'static str,
    plain: fn(&str) -> Option<String>,
}

const KINDS: [Kind; 8] = [
    Kind { said: "invalid type: ", plain: wrong_value },
    Kind { said: "invalid value: ", plain: wrong_value },
    Kind { said: "invalid length ", plain: wrong_value },
    Kind { said: "unknown variant `", plain: wrong_name },
    Kind { said: "unknown field `", plain: unknown_key },
    Kind {
        said: "unexpected keys in table: ",
        plain: |rest| {
            let (keys, known) = rest.split_once(", available keys: ")?;
            Some(format!("unknown key {}, expected one of {known}", shortened(keys)))
        },
    },
    Kind {
        said: "missing field `",
        plain: |rest| Some(format!("missing key `{}", shortened(rest))),
    },
    Kind {
        said: "duplicate field `",
        plain: |rest| {
            let key = rest.strip_suffix('`')?;
            Some(format!("expected each key once, and found `{}` again", shortened(key)))
        },
    },
];

/// `string "a", expected f64`
fn wrong_value(rest: &str) -> Option<String> {
    let (found, expected) = rest.rsplit_once(", expected ")?;
    Some(format!("expected {}, and found {}", expected_words(expected), found_words(found)))
}

/// `` air`, expected `joint` or `linear` ``
fn wrong_name(rest: &str) -> Option<String> {
    let (found, expected) = rest.rsplit_once("`, expected ")?;
    Some(format!("expected {expected}, and found `{}`", shortened(found)))
}

/// `` pat`, expected one of `format`, `part` ``
fn unknown_key(rest: &str) -> Option<String> {
    if let Some(found) = rest.strip_suffix("`, there are no fields") {
        return Some(format!("unknown key `{}`, expected no more keys", shortened(found)));
    }
    let (found, expected) = rest.rsplit_once("`, expected ")?;
    Some(format!("unknown key `{}`, expected {expected}", shortened(found)))
}

fn found_words(found: &str) -> String {
    let quoted = |said: &str| Some(found.strip_prefix(said)?.strip_suffix('`')?.to_owned());
    let number = || quoted("integer `").or_else(|| quoted("floating point `"));
    match found {
        "map" => "an object".into(),
        "sequence" => "a list".into(),
        "null" | "unit value" | "Option value" => "null".into(),
        _ => {
            if let Some(number) = number() {
                return format!("the number {number}");
            }
            if let Some(truth) = quoted("boolean `") {
                return truth;
            }
            match found.strip_prefix("string ") {
                Some(text) => format!("the text {}", shortened(text)),
                None => shortened(found),
            }
        }
    }
}

fn expected_words(expected: &str) -> String {
    let plain = match expected {
        "f64" | "f32" => "a number",
        "u8" => "a whole number from 0 to 255",
        "u16" => "a whole number from 0 to 65535",
        "u32" => "a whole number from 0 to 4294967295",
        "u64" | "usize" => "a whole number from 0",
        "i8" | "i16" | "i32" | "i64" | "isize" => "a whole number",
        "a string" | "a borrowed string" | "string" => "text in quotes",
        "a boolean" => "true or false",
        "a sequence" => "a list",
        "a map" => "an object",
        "variant identifier" => "a name in quotes",
        "string or map" => "a name in quotes, or an object",
        "unit" => "null",
        _ => "",
    };
    if !plain.is_empty() {
        return plain.to_owned();
    }
    let begins = |kinds: &[&str]| kinds.iter().any(|kind| expected.starts_with(kind));
    let count = |said| expected.strip_prefix(said);
    if begins(&["struct ", "internally tagged enum ", "adjacently tagged enum "]) {
        "an object".into()
    } else if begins(&["enum ", "unit variant "]) {
        "a name in quotes, or an object".into()
    } else if let Some(n) = count("an array of length ").or_else(|| count("a tuple of size ")) {
        format!("a list of {n}")
    } else if let Some(rest) = count("a map with ") {
        format!("an object with {rest}")
    } else {
        expected.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_message_keeps_its_place_and_loses_the_words_of_programs() {
        for (said, expected) in [
            (
                "invalid type: string \"a\", expected f64",
                "expected a number, and found the text \"a\"",
            ),
            (
                "bend[1]: invalid type: null, expected f64",
                "bend[1]: expected a number, and found null",
            ),
            (
                "invalid length 2, expected an array of length 3",
                "expected a list of 3, and found 2",
            ),
            (
                "invalid value: `nan`, expected a finite number",
                "expected a finite number, and found `nan`",
            ),
            ("missing field `at`", "missing key `at`"),
            ("a name of our own", "a name of our own"),
        ] {
            assert_eq!(in_plain_words(said), expected);
        }
    }

    #[test]
    fn what_is_long_is_shortened_whatever_it_says() {
        let long = "invalid type: ".repeat(100_000);
        for said in [
            format!("unknown field `{long}`, expected `a` or `b`"),
            format!("invalid type: string \"{long}\", expected u32"),
            format!("unknown variant `{long}`, expected `a` or `b`"),
            format!("duplicate field `{long}`"),
            long.clone(),
        ] {
            let plain = in_plain_words(&said);
            assert!(plain.len() < 300, "{plain}");
        }
        assert_eq!(shortened("ä".repeat(81).as_str()), "ä".repeat(80) + "… (81 characters)");
    }
}
