use leptos::prelude::*;

/// A small sign of one path in a square of 16 units, drawn in the colour of the text. Screen
/// readers skip it.
#[component]
pub(crate) fn Icon(
    /// The path.
    #[prop(into)]
    d: Signal<&'static str>,
    /// Classes of the drawing.
    #[prop(default = "glyph")]
    class: &'static str,
    /// Classes of the path.
    #[prop(optional)]
    path_class: Option<&'static str>,
) -> impl IntoView {
    view! {
        <svg class=class viewBox="0 0 16 16" aria-hidden="true">
            <path class=path_class d=d></path>
        </svg>
    }
}
