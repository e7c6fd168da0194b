//! The few marks of Markdown that lessons and rule pages use: paragraphs, bold, lists, headings.

use crate::app::dom::{View, el, several};
use crate::app::logic::number::in_unit;

/// A text with its marks turned into elements.
pub(super) fn prose(text: &str) -> View {
    let text = in_unit(text);
    let blocks = text.split("\n\n").map(str::trim).filter(|b| !b.is_empty());
    several().children(blocks.map(one_block))
}

fn one_block(block: &str) -> View {
    if let Some(drawing) = block.strip_prefix("```text\n").and_then(|b| b.strip_suffix("```")) {
        // The words around it say the same.
        return el("pre").class("drawing").attr("aria-hidden", "true").text(drawing.to_owned());
    }
    if block.starts_with('#') {
        let title = block.trim_start_matches('#').trim().to_owned();
        return el("h3").text(title);
    }
    if block.starts_with("- ") {
        let items = block.split("\n- ").map(|l| bold("li", l.trim_start_matches("- ")));
        return el("ul").children(items);
    }
    bold("p", block)
}

/// A line in an element of its own, with its `**bold**` words.
fn bold(tag: &str, line: &str) -> View {
    line.split("**").enumerate().fold(el(tag), |line, (i, piece)| {
        let piece = piece.replace(['\n', '`'], " ");
        if i % 2 == 1 { line.child(el("b").text(piece)) } else { line.text(piece) }
    })
}
