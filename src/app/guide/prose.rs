//! The few marks of Markdown that lessons and rule pages use: paragraphs, bold, lists, headings.

use leptos::prelude::*;

/// A text with its marks turned into elements.
pub(super) fn prose(text: &str) -> AnyView {
    let mut out = Vec::new();
    for block in text.split("\n\n").map(str::trim).filter(|b| !b.is_empty()) {
        out.push(one_block(block));
    }
    out.into_any()
}

fn one_block(block: &str) -> AnyView {
    if let Some(drawing) = block.strip_prefix("```text\n").and_then(|b| b.strip_suffix("```")) {
        // The words around it say the same.
        return view! { <pre class="drawing" aria-hidden="true">{drawing.to_owned()}</pre> }
            .into_any();
    }
    if block.starts_with('#') {
        let title = block.trim_start_matches('#').trim().to_owned();
        return view! { <h3>{title}</h3> }.into_any();
    }
    if block.starts_with("- ") {
        let items: Vec<_> = block
            .split("\n- ")
            .map(|l| view! { <li>{bold(l.trim_start_matches("- "))}</li> })
            .collect();
        return view! { <ul>{items}</ul> }.into_any();
    }
    view! { <p>{bold(block)}</p> }.into_any()
}

/// `**bold**` in a line.
fn bold(line: &str) -> Vec<AnyView> {
    line.split("**")
        .enumerate()
        .map(|(i, piece)| {
            let piece = piece.replace(['\n', '`'], " ");
            if i % 2 == 1 { view! { <b>{piece}</b> }.into_any() } else { piece.into_any() }
        })
        .collect()
}
