use gloo::file::File;
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
    let read = move |file: File| {
        let name = file.name();
        let then = move |text: Result<String, gloo::file::FileReadError>| {
            on_read.run((name, text.map_err(|e| e.to_string())));
        };
        reader.set_value(Some(read_as_text(&file, then)));
    };
    view! { <FileChooser test_id accept on_choose=read>{children()}</FileChooser> }
}

/// A button to choose a file with, whatever it holds.
#[component]
pub(crate) fn FileChooser(
    /// Name for tests.
    test_id: &'static str,
    /// Which files are offered, as of [`FileButton`].
    accept: &'static str,
    /// Called with the file.
    #[prop(into)]
    on_choose: Callback<File>,
    children: Children,
) -> impl IntoView {
    let choose = move |event: Event| {
        let input: HtmlInputElement = event_target(&event);
        let Some(file) = input.files().and_then(|files| files.get(0)) else { return };
        // So that the same file can be chosen again.
        input.set_value("");
        on_choose.run(file.into());
    };
    view! {
        <label class="button">
            <span>{children()}</span>
            <input
                class="visually-hidden"
                type="file"
                accept=accept
                data-testid=test_id
                on:change=choose
            />
        </label>
    }
}
