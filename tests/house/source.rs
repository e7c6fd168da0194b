//! Rust sources as tokens, without comments, literals and test modules, and the paths in them.

use proc_macro2::{Delimiter, TokenStream, TokenTree};
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

/// A word, `::`, another punctuation mark or a bracket, and its line, from 1.
pub(crate) type Token = (String, usize);

/// The tokens of a source; a literal stands as `""`. What is compiled for tests only is left out.
pub(crate) fn tokens(source: &str) -> Vec<Token> {
    let stream: TokenStream = source.parse().unwrap_or_else(|e| panic!("no Rust: {e}"));
    let mut all = Vec::new();
    flatten(stream, &mut all);
    all
}

fn flatten(stream: TokenStream, into: &mut Vec<Token>) {
    for tree in stream {
        let line = tree.span().start().line;
        match tree {
            TokenTree::Ident(word) => into.push((word.to_string(), line)),
            TokenTree::Literal(_) => into.push(("\"\"".into(), line)),
            TokenTree::Punct(p) if p.as_char() == ':' && ends_with(into, &[":"]) => {
                into.pop();
                into.push(("::".into(), line));
            }
            TokenTree::Punct(p) => into.push((p.as_char().into(), line)),
            TokenTree::Group(group) => {
                let (open, close) = match group.delimiter() {
                    Delimiter::Parenthesis => ("(", ")"),
                    Delimiter::Brace => ("{", "}"),
                    Delimiter::Bracket => ("[", "]"),
                    Delimiter::None => ("", ""),
                };
                if open == "{" && is_test_module(into) {
                    continue;
                }
                into.push((open.into(), line));
                flatten(group.stream(), into);
                into.push((close.into(), group.span_close().start().line));
            }
        }
    }
}

fn ends_with(tokens: &[Token], words: &[&str]) -> bool {
    tokens.len() >= words.len()
        && tokens[tokens.len() - words.len()..].iter().zip(words).all(|((t, _), w)| t == w)
}

/// `#[cfg(test)] mod NAME`.
fn is_test_module(tokens: &[Token]) -> bool {
    let Some((_, before)) = tokens.split_last() else { return false };
    ends_with(before, &["#", "[", "cfg", "(", "test", ")", "]", "mod"])
}

/// A path of more than one word, or one that a `use` brings in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct PathAt {
    /// Its words; the last is `*` where everything is taken.
    pub(crate) words: Vec<String>,
    pub(crate) line: usize,
    /// The name that a `use` gives it here; `None` for a path in other code.
    pub(crate) bound_as: Option<String>,
    /// Whether that `use` hands the name on: `pub use`, `pub(crate) use`.
    pub(crate) handed_on: bool,
}

/// All paths of a file, those of `use` trees one by one.
pub(crate) fn paths(tokens: &[Token]) -> Vec<PathAt> {
    let mut found = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        let word = tokens[at].0.as_str();
        if word == "use" {
            let handed_on = at > 0 && matches!(tokens[at - 1].0.as_str(), "pub" | ")");
            at = use_tree(tokens, at + 1, &[], handed_on, &mut found);
        } else if is_name(word)
            && next_is(tokens, at, "::")
            && !(at > 0 && tokens[at - 1].0 == "::")
        {
            let (start, mut words) = (at, vec![word.to_owned()]);
            while next_is(tokens, at, "::") && tokens.get(at + 2).is_some_and(|t| is_name(&t.0)) {
                at += 2;
                words.push(tokens[at].0.clone());
            }
            let line = tokens[start].1;
            found.push(PathAt { words, line, bound_as: None, handed_on: false });
            at += 1;
        } else {
            at += 1;
        }
    }
    found
}

/// Reads the tree that starts at `at` and returns where it ends.
fn use_tree(
    tokens: &[Token],
    mut at: usize,
    prefix: &[String],
    handed_on: bool,
    found: &mut Vec<PathAt>,
) -> usize {
    let mut words = prefix.to_vec();
    let line = tokens.get(at).map_or(0, |t| t.1);
    while let Some((word, _)) = tokens.get(at) {
        match word.as_str() {
            "::" => {}
            "{" => {
                at += 1;
                while tokens.get(at).is_some_and(|t| t.0 != "}") {
                    at = use_tree(tokens, at, &words, handed_on, found);
                    at += usize::from(tokens.get(at).is_some_and(|t| t.0 == ","));
                }
                return at + 1;
            }
            word if is_name(word) || word == "*" => words.push(word.to_owned()),
            _ => break,
        }
        at += 1;
        if tokens.get(at).is_some_and(|t| t.0 == "as") {
            at += 1;
            break;
        }
    }
    if words.len() > 1 && words.last().is_some_and(|w| w == "self") {
        words.pop();
    }
    let renamed = at > 0 && tokens[at - 1].0 == "as";
    let bound_as =
        if renamed { tokens.get(at).map(|t| t.0.clone()) } else { words.last().cloned() };
    found.push(PathAt { words, line, bound_as, handed_on });
    at + usize::from(renamed)
}

fn is_name(word: &str) -> bool {
    word.starts_with(|c: char| c.is_alphabetic() || c == '_')
}

fn next_is(tokens: &[Token], at: usize, what: &str) -> bool {
    tokens.get(at + 1).is_some_and(|t| t.0 == what)
}

#[test]
fn comments_literals_and_tests_are_left_out() {
    let source = "a // b\n/* c /* d */ e */ f(\"g\\\"h\", 'i', '\\'', r#\"l\"m\"#) n\n#[cfg(test)]\nmod t { o }";
    let words: Vec<_> = tokens(source).into_iter().filter(|t| is_name(&t.0)).collect();
    let expected = [("a", 1), ("f", 2), ("n", 2), ("cfg", 3), ("test", 3), ("mod", 4), ("t", 4)];
    assert_eq!(words, expected.map(|(w, line)| (w.to_owned(), line)));
}

#[test]
fn paths_are_taken_out_of_use_trees_and_code() {
    let source =
        "pub(crate) use a::{self, b::{C as D, e}, f::*};\nuse g;\nlet x: h::I = j::<K>::l();";
    let found = paths(&tokens(source));
    let told: Vec<_> = found
        .iter()
        .map(|p| (p.words.join("::"), p.bound_as.as_deref().unwrap_or("-"), p.handed_on, p.line))
        .collect();
    let expected = [
        ("a", "a", true, 1),
        ("a::b::C", "D", true, 1),
        ("a::b::e", "e", true, 1),
        ("a::f::*", "*", true, 1),
        ("g", "g", false, 2),
        ("h::I", "-", false, 3),
        ("j", "-", false, 3),
    ];
    let expected = expected.map(|(path, name, on, line)| (path.to_owned(), name, on, line));
    assert_eq!(told, expected);
}
