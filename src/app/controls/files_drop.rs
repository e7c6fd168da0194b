use gloo::file::{File, FileList};
use leptos::attr::custom::custom_attribute;
use leptos::prelude::*;
use web_sys::{Event, HtmlInputElement};

/// A button to choose many files with, or a whole folder; either may also be dropped on it.
#[component]
pub(crate) fn FilesDrop(
    /// Name for tests.
    test_id: &'static str,
    /// Whether a folder is chosen, with all that is in it.
    folder: bool,
    /// Called with the files.
    #[prop(into)]
    on_files: Callback<Vec<File>>,
    children: Children,
) -> impl IntoView {
    let chosen = move |event: Event| {
        let input: HtmlInputElement = event_target(&event);
        let files = input.files().map(|files| FileList::from(files).to_vec());
        // So that the same files can be chosen again.
        input.set_value("");
        on_files.run(files.unwrap_or_default());
    };
    let directory = custom_attribute("webkitdirectory", folder.then_some(""));
    view! {
        <label class="button files-drop">
            <span>{children()}</span>
            // It lies over the whole button: a browser takes what is dropped on an input.
            <input
                type="file"
                multiple
                {..directory}
                data-testid=test_id
                on:change=chosen
            />
        </label>
    }
}
