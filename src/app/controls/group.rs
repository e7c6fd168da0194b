use leptos::html::Div;
use leptos::prelude::*;

/// Fields and buttons that belong together, with a name for screen readers.
#[component]
pub(crate) fn Group(
    /// Read out by screen readers, not shown.
    #[prop(into)]
    name: TextProp,
    /// Classes of the group.
    class: &'static str,
    /// Name for tests.
    #[prop(optional)]
    test_id: Option<&'static str>,
    #[prop(optional)] node_ref: NodeRef<Div>,
    children: Children,
) -> impl IntoView {
    view! {
        <div class=class role="group" aria-label=name data-testid=test_id node_ref=node_ref>
            {children()}
        </div>
    }
}
