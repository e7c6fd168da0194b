//! Small components that many places of the page use: fields, groups, remarks, table heads.

mod choice;
mod file_button;
mod files_drop;
mod group;
mod icon;
mod labelled_field;
mod modal;
mod number_field;
mod select;
mod state_of;
mod tab;
mod text_field;
mod toggle_button;
mod typing;

pub(crate) use choice::Choice;
pub(crate) use file_button::{ChosenText, FileButton, FileChooser};
pub(crate) use files_drop::FilesDrop;
pub(crate) use group::Group;
pub(crate) use icon::Icon;
pub(crate) use labelled_field::LabelledField;
pub(crate) use modal::modal;
pub(crate) use number_field::NumberField;
pub(crate) use select::Select;
pub(crate) use state_of::StateOf;
pub(crate) use tab::Tab;
pub(crate) use text_field::TextField;
pub(crate) use toggle_button::ToggleButton;
pub(crate) use typing::is_typing;

use leptos::prelude::*;

/// Says what a row of buttons and fields is about.
#[component]
pub(crate) fn RowName(children: Children) -> impl IntoView {
    view! { <span class="row-name">{children()}</span> }
}

/// A remark in small print.
#[component]
pub(crate) fn Note(children: Children) -> impl IntoView {
    view! { <p class="fine">{children()}</p> }
}

/// The head of a column of a table.
#[component]
pub(crate) fn ColumnHead(children: Children) -> impl IntoView {
    view! { <th scope="col">{children()}</th> }
}

/// The text of a table cell: a dash where there is no value.
pub(crate) fn or_dash(value: Option<String>) -> String {
    value.unwrap_or_else(|| "–".to_owned())
}
