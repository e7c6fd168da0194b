use gloo::file::callbacks::{FileReader, read_as_text};
use leptos::prelude::*;
use web_sys::{Event, HtmlInputElement};

/// Name of a chosen file, and its text or the browser's reason why there is none.
pub(crate) type ChosenText = (String, Result<String, String>);

/// A button to choose a text file with.
#[component]
pub(crate) fn FileButton(
    /// Name for tests.
    test_id: &'static str,
    /// Which files are offered: extensions and media types, as `accept` of an input.
    accept: &'static str,
    /// Called with the file once it is read.
    #[prop(into)]
    on_read: Callback<ChosenText>,
    children: Children,
) -> impl IntoView {
    // Dropping the reader stops the reading.
    let reader = StoredValue::new_local(None::<FileReader>);
    let read = move |event: Event| {
        let input: HtmlInputElement = event_target(&event);
        let Some(file) = input.files().and_then(|files| files.get(0)) else { return };
        // So that the same file can be chosen again.
        input.set_value("");
        let file = gloo::file::File::from(file);
        let name = file.name();
        let then = move |text: Result<String, gloo::file::FileReadError>| {
            on_read.run((name, text.map_err(|e| e.to_string())));
        };
        reader.set_value(Some(read_as_text(&file, then)));
    };
    view! {
        <label class="button">
            <span>{children()}</span>
            <input
                class="visually-hidden"
                type="file"
                accept=accept
                data-testid=test_id
                on:change=read
            />
        </label>
    }
}
