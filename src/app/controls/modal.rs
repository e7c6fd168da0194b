use leptos::html::Dialog;
use leptos::prelude::*;

/// For a dialog of the page: it is open, over everything else, while `open` is true.
pub(crate) fn modal(open: impl Fn() -> bool + 'static) -> NodeRef<Dialog> {
    let dialog = NodeRef::<Dialog>::new();
    Effect::new(move || {
        let Some(dialog) = dialog.get() else { return };
        match (open(), dialog.open()) {
            // The dialog is in the page and closed: opening it cannot fail.
            (true, false) => drop(dialog.show_modal()),
            (false, true) => dialog.close(),
            _ => {}
        }
    });
    dialog
}
