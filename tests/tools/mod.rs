//! What the tests of the sources themselves share: finding files, and reading Rust as code.

use std::fs;
use std::path::{Path, PathBuf};

/// The project's folder.
pub(crate) fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Every file below `folder`, sorted; folders whose name is in `skip` are passed over.
pub(crate) fn files_below(folder: &Path, skip: &[&str]) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let entries = fs::read_dir(folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
    for entry in entries {
        let path = entry.expect("a folder that can be read").path();
        let name = path.file_name().and_then(|n| n.to_str()).unwrap_or_default();
        if !path.is_dir() {
            found.push(path);
        } else if !skip.contains(&name) {
            found.extend(files_below(&path, skip));
        }
    }
    found.sort();
    found
}

/// Rust source with comments and the insides of string and character literals blanked out:
/// same length in characters, same line breaks.
pub(crate) fn code_only(source: &str) -> String {
    let text: Vec<char> = source.chars().collect();
    let mut out = String::with_capacity(source.len());
    let mut at = 0;
    while at < text.len() {
        let end = blank_until(&text, at);
        if end == at {
            out.push(text[at]);
            at += 1;
        } else {
            out.extend(text[at..end].iter().map(|c| if *c == '\n' { '\n' } else { ' ' }));
            at = end;
        }
    }
    out
}

/// Where the comment or literal that starts at `at` ends; `at` itself if none starts there.
fn blank_until(text: &[char], at: usize) -> usize {
    let starts = |from: usize, what: &str| {
        what.chars().enumerate().all(|(i, c)| text.get(from + i) == Some(&c))
    };
    let find = |from: usize, what: &str| {
        (from..text.len()).find(|i| starts(*i, what)).map_or(text.len(), |i| i + what.len())
    };
    if starts(at, "//") {
        return (at..text.len()).find(|i| text[*i] == '\n').unwrap_or(text.len());
    }
    if starts(at, "/*") {
        return block_comment_end(text, at);
    }
    let in_word = at > 0 && (text[at - 1].is_alphanumeric() || text[at - 1] == '_');
    if text[at] == 'r' && !in_word {
        let hashes = text[at + 1..].iter().take_while(|c| **c == '#').count();
        if text.get(at + 1 + hashes) == Some(&'"') {
            return find(at + 2 + hashes, &format!("\"{}", "#".repeat(hashes)));
        }
    }
    match text[at] {
        '"' => quoted_end(text, at, '"'),
        // 'a' and '\n' are characters, 'a alone is a lifetime.
        '\'' if text.get(at + 1) == Some(&'\\') => quoted_end(text, at, '\''),
        '\'' if text.get(at + 2) == Some(&'\'') => at + 3,
        _ => at,
    }
}

fn quoted_end(text: &[char], at: usize, quote: char) -> usize {
    let mut i = at + 1;
    while i < text.len() && text[i] != quote {
        i += if text[i] == '\\' { 2 } else { 1 };
    }
    (i + 1).min(text.len())
}

fn block_comment_end(text: &[char], at: usize) -> usize {
    let (mut i, mut depth) = (at, 0);
    while i < text.len() {
        let pair = (text[i], text.get(i + 1).copied());
        match pair {
            ('/', Some('*')) => depth += 1,
            ('*', Some('/')) => depth -= 1,
            _ => {
                i += 1;
                continue;
            }
        }
        i += 2;
        if depth == 0 {
            return i;
        }
    }
    text.len()
}

#[test]
fn comments_and_literals_are_blanked() {
    let source = "a // b\n/* c /* d */ e */ f \"g\\\"h\" 'i' '\\'' &'j k r#\"l\"m\"# n";
    let expected: Vec<&str> = vec!["a", "f", "&'j", "k", "n"];
    let code = code_only(source);
    assert_eq!(code.split_whitespace().collect::<Vec<_>>(), expected, "words of {code:?}");
    assert_eq!(code.chars().count(), source.chars().count(), "places stay the same");
}
