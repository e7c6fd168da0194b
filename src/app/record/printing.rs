use crate::app::screen;
use leptos::prelude::*;

/// What of the record goes on paper alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Printed {
    Course,
    Session,
}

/// Prints one part of the record and nothing else of the page.
pub(super) fn print_only(what: Printed) {
    screen::set_root(
        "data-print",
        match what {
            Printed::Course => "course",
            Printed::Session => "session",
        },
    );
    // If the browser cannot print, it tells the user itself.
    let _ = window().print();
    screen::set_root("data-print", "");
}
