use crate::app::logic::markdown::{Element, Node, parse};
use crate::app::logic::number::in_unit;
use leptos::prelude::*;

/// A lesson text or rule page as elements, with lengths in the unit chosen.
#[component]
pub(crate) fn Markdown(text: String) -> impl IntoView {
    nodes_view(parse(&in_unit(&text)))
}

fn nodes_view(nodes: Vec<Node>) -> Vec<AnyView> {
    nodes.into_iter().map(node_view).collect()
}

fn node_view(node: Node) -> AnyView {
    let (element, children) = match node {
        Node::Text(text) => return text.into_any(),
        Node::Element(element, children) => (element, nodes_view(children)),
    };
    match element {
        Element::Paragraph => view! { <p>{children}</p> }.into_any(),
        Element::Heading => view! { <h3>{children}</h3> }.into_any(),
        Element::List => view! { <ul>{children}</ul> }.into_any(),
        Element::NumberedList => view! { <ol>{children}</ol> }.into_any(),
        Element::Item => view! { <li>{children}</li> }.into_any(),
        Element::Emphasis => view! { <em>{children}</em> }.into_any(),
        Element::Strong => view! { <b>{children}</b> }.into_any(),
        // The words around it say the same.
        Element::Drawing => {
            view! { <pre class="drawing" aria-hidden="true">{children}</pre> }.into_any()
        }
    }
}
