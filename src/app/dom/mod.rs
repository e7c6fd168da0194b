//! What stands on the page: elements, made at once and from then on kept true by effects.
//!
//! The signals are those of leptos; its views are not used. They make a type of every element with
//! everything in it, and machinery for each of these types: a quarter of the program. Here every
//! element is the same one type, and a call makes it.

mod pieces;
mod region;
mod value;

pub(crate) use pieces::{column, note, pick, row_name, typed};
pub(crate) use region::{Part, each, when};
pub(crate) use value::Value;

use leptos::prelude::*;
use wasm_bindgen::{JsCast, JsValue, closure::Closure};
use web_sys::{Element, Event, Node};

const SVG: &str = "http://www.w3.org/2000/svg";

/// An element, or several in a row, to be put into another with [`View::child`].
pub(crate) struct View(Node);

/// An element of HTML.
pub(crate) fn el(tag: &str) -> View {
    View(made(document().create_element(tag)))
}

/// A button that sends no form.
pub(crate) fn button(test_id: impl Value) -> View {
    el("button").attr("type", "button").test_id(test_id)
}

/// An element of SVG.
pub(crate) fn svg(tag: &str) -> View {
    View(made(document().create_element_ns(Some(SVG), tag)))
}

/// Several parts in a row, none at first. It is no element: only parts and text can be added to it.
pub(crate) fn several() -> View {
    View(document().create_document_fragment().into())
}

fn made(element: Result<Element, JsValue>) -> Node {
    match element {
        Ok(element) => element.into(),
        Err(_) => unreachable!("the name of an element is a plain word"),
    }
}

/// What of a node a value is given to; some slots have a name.
type Slot = fn(&Node, &'static str, Option<&str>);

/// An attribute; it is taken away while there is no value.
fn attribute(node: &Node, name: &'static str, value: Option<&str>) {
    let element = node.unchecked_ref::<Element>();
    let done = match value {
        Some(text) => element.set_attribute(name, text),
        None => element.remove_attribute(name),
    };
    debug_assert!(done.is_ok(), "the name of an attribute is a plain word");
}

/// One of the classes: there while there is a value.
fn one_class(node: &Node, name: &'static str, value: Option<&str>) {
    let classes = node.unchecked_ref::<Element>().class_list();
    let done = classes.toggle_with_force(name, value.is_some());
    debug_assert!(done.is_ok(), "the name of a class is a plain word");
}

/// A property: what a field holds, not what it held at first.
fn property(node: &Node, name: &'static str, value: Option<&str>) {
    let value = value.map_or(JsValue::FALSE, JsValue::from_str);
    let done = js_sys::Reflect::set(node, &name.into(), &value);
    debug_assert!(done.is_ok(), "a node takes properties");
}

/// What a node that is a text says.
fn text(node: &Node, _: &'static str, value: Option<&str>) {
    node.set_node_value(value);
}

/// Does something now and whenever what it read has changed, as long as the part of the page lives
/// that is being made.
fn keep(mut run: Box<dyn FnMut()>) {
    StoredValue::new_local(RenderEffect::new(move |_: Option<()>| run()));
}

impl View {
    /// An attribute. `false` and `None` take it away, `true` sets it without a text.
    pub(crate) fn attr(self, name: &'static str, value: impl Value) -> Self {
        value.give(&self.0, attribute, name);
        self
    }

    /// The classes that do not change, or all of them as they are now.
    pub(crate) fn class(self, names: impl Value) -> Self {
        self.attr("class", names)
    }

    /// One more class, there while a condition holds. Call it after [`View::class`].
    pub(crate) fn class_if(self, name: &'static str, on: impl Value) -> Self {
        on.give(&self.0, one_class, name);
        self
    }

    /// The name under which tests find it.
    pub(crate) fn test_id(self, id: impl Value) -> Self {
        self.attr("data-testid", id)
    }

    /// What a field holds. For a list of choices, call it after the choices are in.
    pub(crate) fn value(self, value: impl Value) -> Self {
        value.give(&self.0, property, "value");
        self
    }

    /// Whether a box is ticked.
    pub(crate) fn checked(self, on: impl Value) -> Self {
        on.give(&self.0, property, "checked");
        self
    }

    /// A text, after what is in it already.
    pub(crate) fn text(self, says: impl Value) -> Self {
        says.give(&self.text_node(), text, "");
        self
    }

    /// A part, or parts that come and go, after what is in it already.
    pub(crate) fn child(self, part: impl Part) -> Self {
        self.with(part.view())
    }

    /// Parts in a row.
    pub(crate) fn children(self, all: impl IntoIterator<Item = Self>) -> Self {
        all.into_iter().fold(self, Self::with)
    }

    /// Does something at each event of this name.
    pub(crate) fn on<E: JsCast>(self, event: &str, run: impl Fn(E) + 'static) -> Self {
        self.listening(event, Box::new(move |e: Event| run(e.unchecked_into())))
    }

    /// Does something at each press, with whatever it was pressed.
    pub(crate) fn click(self, run: impl Fn() + 'static) -> Self {
        self.listening("click", Box::new(move |_| run()))
    }

    /// Lets a node reference of leptos know the element.
    pub(crate) fn node_ref<E: leptos::tachys::html::element::ElementType>(
        self,
        node: NodeRef<E>,
    ) -> Self
    where
        NodeRef<E>: leptos::tachys::html::node_ref::NodeRefContainer<E>,
    {
        use leptos::tachys::html::node_ref::NodeRefContainer;
        node.load(self.0.unchecked_ref());
        self
    }

    /// The element itself, to ask the browser about it.
    pub(crate) fn element<E: JsCast + Clone>(&self) -> E {
        self.0.unchecked_ref::<E>().clone()
    }

    /// Puts it at the end of an element of the page.
    pub(crate) fn show_in(self, element: &Element) {
        append(element, &self.0);
    }

    fn text_node(&self) -> Node {
        let node = document().create_text_node("");
        append(&self.0, &node);
        node.into()
    }

    fn with(self, Self(part): Self) -> Self {
        append(&self.0, &part);
        self
    }

    fn listening(self, event: &str, run: Box<dyn Fn(Event)>) -> Self {
        // What runs finds what it was made with: the workspace and all else that is provided.
        let owner = Owner::current().unwrap_or_default();
        let run: Box<dyn Fn(Event)> = Box::new(move |event| owner.with(|| untrack(|| run(event))));
        // The browser drops it together with the element.
        let run = Closure::wrap(run).into_js_value();
        let added = self.0.add_event_listener_with_callback(event, run.unchecked_ref());
        debug_assert!(added.is_ok(), "any node takes any listener");
        self
    }
}

fn append(to: &Node, node: &Node) {
    let done = to.append_child(node);
    debug_assert!(done.is_ok(), "a new node fits into any that takes parts");
}

/// A leptos view among those of this module, for as long as the part of the page lives that is
/// being made.
pub(crate) fn leptos_view(view: impl IntoView + 'static) -> View {
    use leptos::tachys::view::{Mountable, Render};
    let holder: Node = document().create_document_fragment().into();
    let mut state = view.into_view().build();
    state.mount(holder.unchecked_ref(), None);
    StoredValue::new_local(state);
    View(holder)
}

/// A view of this module inside a leptos view.
pub(crate) fn dom_view(View(node): View) -> impl IntoView {
    let holder = NodeRef::<leptos::html::Div>::new();
    holder.on_load(move |element| append(&element, &node));
    leptos::html::div().style(("display", "contents")).node_ref(holder)
}

/// A view of this module inside a leptos view, within a drawing.
pub(crate) fn dom_view_svg(View(node): View) -> impl IntoView {
    let holder = NodeRef::<leptos::svg::G>::new();
    holder.on_load(move |element| append(&element, &node));
    leptos::svg::g().node_ref(holder)
}
