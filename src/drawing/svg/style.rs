use roxmltree::Node;

/// A property of an element itself: from its `style`, or else from an attribute.
pub(super) fn property<'a>(node: Node<'a, '_>, name: &str) -> Option<&'a str> {
    in_style(node, name).or_else(|| node.attribute(name)).map(str::trim)
}

/// The same from its `style` alone, of which the last word counts.
pub(super) fn in_style<'a>(node: Node<'a, '_>, name: &str) -> Option<&'a str> {
    let declarations = node.attribute("style")?.split(';').rev();
    let value = |(key, value): (&str, &'a str)| (key.trim() == name).then_some(value);
    let value = declarations.filter_map(|one| one.split_once(':')).find_map(value)?;
    Some(value.trim().trim_end_matches("!important").trim_end())
}

/// Whether what is drawn of the element is cut to a shape.
pub(super) fn is_clipped(node: Node) -> bool {
    ["clip-path", "mask"].into_iter().any(|name| property(node, name).is_some_and(|v| v != "none"))
}

/// Whether a style sheet may hide or move elements.
pub(super) fn sheet_matters(sheet: &str) -> bool {
    ["display", "visibility", "transform", "clip-path", "mask"].iter().any(|p| sheet.contains(p))
}
