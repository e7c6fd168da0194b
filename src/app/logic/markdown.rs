//! The part of Markdown that lessons and rule pages may use, as a tree.
//!
//! Anybody can write a lesson, so nothing in its texts becomes markup of the page: HTML is shown as
//! it is written, and of links and pictures only the text is left.

use pulldown_cmark::{Event, Parser, Tag};

/// A text, or an element with what stands in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Node {
    Text(String),
    Element(Element, Vec<Node>),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Element {
    Paragraph,
    /// A heading of any level.
    Heading,
    List,
    NumberedList,
    Item,
    Emphasis,
    Strong,
    /// A code block: a drawing made of characters.
    Drawing,
}

/// Elements nested deeper than this are left out, their texts kept: views of a tree are made by
/// recursion, and a file could exhaust the stack.
const MAX_DEPTH: usize = 8;

/// Reads a text.
pub(crate) fn parse(text: &str) -> Vec<Node> {
    // Open elements, outermost first, each with what has been read of it; `None` is left out.
    let mut open: Vec<(Option<Element>, Vec<Node>)> = vec![(None, Vec::new())];
    for event in Parser::new(text) {
        match event {
            Event::Start(tag) => {
                open.push((element(&tag).filter(|_| open.len() <= MAX_DEPTH), Vec::new()));
            }
            Event::End(_) => {
                let (element, children) = open.pop().unwrap_or_default();
                let Some((_, parent)) = open.last_mut() else { break };
                match element {
                    Some(element) => parent.push(Node::Element(element, children)),
                    None => children.into_iter().for_each(|node| push(parent, node)),
                }
            }
            other => {
                if let (Some(text), Some((_, parent))) = (text_of(other), open.last_mut()) {
                    push(parent, Node::Text(text));
                }
            }
        }
    }
    open.pop().map_or_else(Vec::new, |(_, nodes)| nodes)
}

/// Adds a node; a text after a text becomes one with it.
fn push(nodes: &mut Vec<Node>, node: Node) {
    match (nodes.last_mut(), node) {
        (Some(Node::Text(before)), Node::Text(text)) => before.push_str(&text),
        (_, node) => nodes.push(node),
    }
}

/// The element that a tag becomes; `None` if it is not for lessons.
fn element(tag: &Tag) -> Option<Element> {
    Some(match tag {
        // HTML stands there as text.
        Tag::Paragraph | Tag::HtmlBlock => Element::Paragraph,
        Tag::Heading { .. } => Element::Heading,
        Tag::List(None) => Element::List,
        Tag::List(Some(_)) => Element::NumberedList,
        Tag::Item => Element::Item,
        Tag::Emphasis => Element::Emphasis,
        Tag::Strong => Element::Strong,
        Tag::CodeBlock(_) => Element::Drawing,
        _ => return None,
    })
}

fn text_of(event: Event) -> Option<String> {
    match event {
        Event::Text(text) | Event::Code(text) | Event::Html(text) | Event::InlineHtml(text) => {
            Some(text.into_string())
        }
        Event::SoftBreak | Event::HardBreak => Some(" ".into()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::coach;
    use nudgeproof::lesson::lessons;
    use nudgeproof::text::Words;

    fn words(text: &str) -> Node {
        Node::Text(text.into())
    }

    fn element(element: Element, children: impl Into<Vec<Node>>) -> Node {
        Node::Element(element, children.into())
    }

    #[test]
    fn what_lessons_may_use_becomes_a_tree() {
        let text = "## Why\n\nThe **wire** meets\n*metal*.\n\n- one\n- two\n\n1. home\n\n```text\n ↑ ↑\n```\n";
        let expected = [
            element(Element::Heading, [words("Why")]),
            element(
                Element::Paragraph,
                [
                    words("The "),
                    element(Element::Strong, [words("wire")]),
                    words(" meets "),
                    element(Element::Emphasis, [words("metal")]),
                    words("."),
                ],
            ),
            element(
                Element::List,
                [element(Element::Item, [words("one")]), element(Element::Item, [words("two")])],
            ),
            element(Element::NumberedList, [element(Element::Item, [words("home")])]),
            element(Element::Drawing, [words(" ↑ ↑\n")]),
        ];
        assert_eq!(parse(text), expected, "each mark its element");
    }

    #[test]
    fn html_stands_as_it_is_written() {
        let text = "see <b onclick=\"x()\">this</b>";
        assert_eq!(parse(text), [element(Element::Paragraph, [words(text)])], "within a line");
        let block = "<script>alert(1)</script>\n";
        assert_eq!(parse(block), [element(Element::Paragraph, [words(block)])], "as a block");
    }

    #[test]
    fn links_and_pictures_are_their_texts() {
        let text = "a [way](https://example.com) and ![a map](map.png), <https://example.com>";
        let expected = words("a way and a map, https://example.com");
        assert_eq!(parse(text), [element(Element::Paragraph, [expected])], "nothing to follow");
    }

    #[test]
    fn other_marks_leave_their_texts() {
        let quoted = element(Element::Paragraph, [words("quoted")]);
        assert_eq!(parse("> quoted"), [quoted], "a quotation");
        assert_eq!(parse("---"), [], "a rule");
        assert_eq!(parse("a `b` c"), [element(Element::Paragraph, [words("a b c")])], "code");
    }

    #[test]
    fn a_deeply_nested_text_is_cut() {
        fn depth(nodes: &[Node]) -> usize {
            let below = nodes.iter().map(|node| match node {
                Node::Text(_) => 0,
                Node::Element(_, children) => 1 + depth(children),
            });
            below.max().unwrap_or(0)
        }
        let lists: Vec<_> = (0..200).map(|n| format!("{}- {n}\n", "  ".repeat(n))).collect();
        let lists = lists.concat();
        let stars = format!("{}deep{}", "*a ".repeat(1000), "*".repeat(1000));
        for text in [lists, stars] {
            assert_eq!(depth(&parse(&text)), MAX_DEPTH, "however deep the file");
        }
    }

    /// The first thing in a text that is not for lessons.
    fn unsupported(text: &str) -> Option<Event<'_>> {
        Parser::new(text).find(|event| match event {
            Event::Start(tag) => super::element(tag).is_none() || *tag == Tag::HtmlBlock,
            Event::End(_) | Event::Text(_) | Event::SoftBreak => false,
            _ => true,
        })
    }

    #[test]
    fn lessons_and_rules_use_nothing_else() {
        assert!(unsupported("a [way](x)").is_some(), "a link is seen");
        let stages = lessons().into_iter().flat_map(|l| l.stages.iter().map(move |s| (&l.name, s)));
        for (lesson, stage) in stages {
            for (key, text) in stage.texts() {
                assert_eq!(unsupported(text), None, "{lesson}, {}, {key}", stage.title);
            }
        }
        for rule in coach::RULES {
            let hints = rule.name.hints(Words::default());
            for text in hints.iter().map(String::as_str).chain([rule.page]) {
                assert_eq!(unsupported(text), None, "rule {}", rule.name);
            }
        }
    }

    #[test]
    fn texts_shown_as_they_are_hold_no_marks() {
        for lesson in lessons() {
            for stage in &lesson.stages {
                let plain = ["title", "well_done", "ask.because"];
                for (_, text) in stage.texts().filter(|(key, _)| plain.contains(key)) {
                    let only_text = matches!(
                        &*parse(text),
                        [Node::Element(Element::Paragraph, line)] if *line == [words(text)]
                    );
                    assert!(only_text, "{}, {}: {text}", lesson.name, stage.title);
                }
            }
        }
    }
}
