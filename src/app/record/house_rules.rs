//! The house rules of a school or a shop, on the record.

use crate::app::controls::{ChosenText, FileButton, RowName};
use crate::app::house_rules::{in_words, read, store};
use crate::app::i18n::{Key, format, text};
use crate::app::workspace::{Workspace, workspace};
use leptos::prelude::*;
use nudgeproof::session::HouseRules;
use std::sync::Arc;

/// By which house rules the session is judged, if by any.
#[component]
pub(super) fn JudgedBy() -> impl IntoView {
    let workspace = workspace();
    let house = move || {
        workspace.track_session();
        workspace.with_session(|session| session.header().house_rules.clone())
    };
    move || house().map(|house| view! { <p data-testid="judged-by">{in_words(&house)}</p> })
}

fn judge_by(workspace: Workspace, house: Option<HouseRules>) {
    let kept = store(house.as_ref());
    let says = match &house {
        Some(house) => in_words(house),
        None => text(Key::HouseGone).to_owned(),
    };
    workspace.judge_by(house.map(Arc::new));
    if kept {
        workspace.notify(says);
    } else {
        workspace.warn(text(Key::NotStored).into());
    }
}

/// Opens a file of house rules, and sets them aside.
#[component]
pub(super) fn HouseRulesRow() -> impl IntoView {
    let workspace = workspace();
    let open = move |(name, content): ChosenText| match read(&name, content) {
        Ok(house) => judge_by(workspace, Some(house)),
        Err(why) => workspace.warn(format(Key::NotImported, &[&name, &why])),
    };
    // Those the session is judged by, which it may have brought along; else those that the next begins with.
    let house = move || {
        workspace.track_session();
        let here = workspace.with_session(|session| session.header().house_rules.clone());
        here.or_else(|| workspace.house_rules.get())
    };
    let name =
        move || house().map_or_else(|| text(Key::HouseNone).to_owned(), |house| house.name.clone());
    view! {
        <div class="drawer-row">
            <RowName>{text(Key::HouseRules)}</RowName>
            <span data-testid="house-rules">{name}</span>
            <FileButton test_id="open-house-rules" accept=".toml,.json,application/json" on_read=open>
                {text(Key::Import)}
            </FileButton>
            <Show when=move || house().is_some()>
                <button
                    type="button"
                    data-testid="no-house-rules"
                    on:click=move |_| judge_by(workspace, None)
                >
                    {text(Key::HouseSetAside)}
                </button>
            </Show>
        </div>
    }
}
