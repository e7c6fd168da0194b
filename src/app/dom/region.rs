//! Parts of the page that come and go.

use super::{View, append, keep, several};
use leptos::prelude::*;
use std::mem;
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement, Node};

/// What can stand in a view: a view, one or none, several, and closures of these, which are asked
/// again, and what they made before is replaced, whenever what they read has changed.
pub(crate) trait Part {
    fn view(self) -> View;
}

impl Part for View {
    fn view(self) -> View {
        self
    }
}

impl<P: Part> Part for Option<P> {
    fn view(self) -> View {
        self.map_or_else(several, Part::view)
    }
}

impl Part for Vec<View> {
    fn view(self) -> View {
        several().children(self)
    }
}

impl<const N: usize> Part for [View; N] {
    fn view(self) -> View {
        several().children(self)
    }
}

impl<F: Fn() -> P + 'static, P: Part> Part for F {
    fn view(self) -> View {
        replaced(Box::new(move || self().view()))
    }
}

/// A part of the page that is there only while a condition holds.
pub(crate) fn when(
    condition: impl Fn() -> bool + Send + Sync + 'static,
    part: impl Fn() -> View + 'static,
) -> View {
    let holds = Memo::new(move |_| condition());
    replaced(Box::new(move || if holds.get() { untrack(&part) } else { several() }))
}

/// A place in a row of nodes.
fn mark() -> Node {
    document().create_comment("").into()
}

fn insert(node: &Node, before: &Node) {
    let done = before.parent_node().map(|home| home.insert_before(node, Some(before)));
    debug_assert!(matches!(done, Some(Ok(_))), "a mark stays where the part of the page is");
}

fn remove(node: &Node) {
    if let Some(home) = node.parent_node() {
        let done = home.remove_child(node);
        debug_assert!(done.is_ok(), "it is a child of its own parent");
    }
}

/// What is made again stands between two marks.
fn replaced(make: Box<dyn Fn() -> View>) -> View {
    let (whole, start, end) = (several(), mark(), mark());
    append(&whole.0, &start);
    append(&whole.0, &end);
    keep(Box::new(move || {
        let focus = Focus::between(&start, &end);
        while let Some(node) = start.next_sibling().filter(|n| *n != end) {
            remove(&node);
        }
        insert(&make().0, &end);
        focus.restore(&start, &end);
    }));
    whole
}

/// One part of the page for each key, an element, kept as long as its key is there, in the order
/// of the keys.
pub(crate) fn each(
    keys: impl Fn() -> Vec<String> + 'static,
    part: impl Fn(String) -> View + 'static,
) -> View {
    kept_by_key(Box::new(keys), Box::new(part))
}

fn kept_by_key(keys: Box<dyn Fn() -> Vec<String>>, part: Box<dyn Fn(String) -> View>) -> View {
    let (whole, end) = (several(), mark());
    append(&whole.0, &end);
    let home = Owner::current().unwrap_or_default();
    let mut there: Vec<(String, Node, Owner)> = Vec::new();
    keep(Box::new(move || {
        let focus = document().active_element();
        let mut before = mem::take(&mut there);
        for key in keys() {
            let same = before.iter().position(|(k, ..)| *k == key);
            there.push(if let Some(at) = same {
                before.remove(at)
            } else {
                let owner = home.child();
                let node = owner.with(|| untrack(|| part(key.clone()))).0;
                debug_assert!(node.node_type() == Node::ELEMENT_NODE, "{key}: one element");
                (key, node, owner)
            });
        }
        for (_, node, owner) in before {
            remove(&node);
            owner.cleanup();
        }
        let mut next = end.clone();
        for (_, node, _) in there.iter().rev() {
            if node.next_sibling().as_ref() != Some(&next) {
                insert(node, &next);
            }
            next = node.clone();
        }
        // Who was moved keeps the focus.
        if focus != document().active_element() {
            give_focus(focus.filter(|f| f.is_connected()));
        }
    }));
    whole
}

fn give_focus(to: Option<Element>) {
    if let Some(element) = to.and_then(|e| e.dyn_into::<HtmlElement>().ok()) {
        // Focus can only fail on an element that is gone.
        let _ = element.focus();
    }
}

/// The element with the focus, if it is one of those that will be replaced: its name, and which
/// of those with this name it is.
struct Focus(Option<(String, usize)>);

impl Focus {
    fn between(start: &Node, end: &Node) -> Self {
        let element = document().active_element().filter(|e| is_between(e, start, end));
        Self(element.and_then(|element| {
            let name = element.get_attribute("data-testid")?;
            let at = named(&name, start, end).iter().position(|e| *e == element)?;
            Some((name, at))
        }))
    }

    /// Gives the focus to the same one of those that stand there now.
    fn restore(self, start: &Node, end: &Node) {
        if let Some((name, at)) = self.0 {
            give_focus(named(&name, start, end).into_iter().nth(at));
        }
    }
}

/// The elements of this name, in their order.
fn named(name: &str, start: &Node, end: &Node) -> Vec<Element> {
    let home = start.parent_element();
    let all = home.and_then(|h| h.query_selector_all(&format!("[data-testid=\"{name}\"]")).ok());
    let all = all.into_iter().flat_map(|all| (0..all.length()).filter_map(move |i| all.get(i)));
    all.filter_map(|n| n.dyn_into().ok()).filter(|e| is_between(e, start, end)).collect()
}

fn is_between(element: &Element, start: &Node, end: &Node) -> bool {
    between(start, end).any(|n| n.contains(Some(element)))
}

fn between(start: &Node, end: &Node) -> impl Iterator<Item = Node> {
    let end = end.clone();
    std::iter::successors(start.next_sibling(), Node::next_sibling).take_while(move |n| *n != end)
}
