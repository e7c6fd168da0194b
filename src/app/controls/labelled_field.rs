use leptos::prelude::*;

/// A field with its name before it: `<LabelledField name="Speed"><select/></LabelledField>`.
#[component]
pub(crate) fn LabelledField(
    /// Shown before the field.
    #[prop(into)]
    name: TextProp,
    /// Classes of the label.
    #[prop(default = "pick")]
    class: &'static str,
    children: Children,
) -> impl IntoView {
    view! {
        <label class=class>
            <span>{move || name.get()}</span>
            {children()}
        </label>
    }
}
