use crate::app::CellSheetLink;
use crate::app::desk::{Desk, desk};
use crate::app::share::Share;
use crate::app::store::{self, ChosenFile};
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::data::to_text;
use nudgeproof::routine::rows_as_csv;
use nudgeproof::session::{Header, Session};

const FILE_NAME: &str = "nudgeproof-session.json";
const LOG_JSON: &str = "nudgeproof-log.json";
const LOG_CSV: &str = "nudgeproof-log.csv";

/// Puts the session of a file on the desk, or says what is wrong with it.
pub(super) fn take_in(desk: Desk, name: &str, text: &str) {
    match Session::from_json(text) {
        Ok(session) => {
            if desk.replace(session) {
                desk.tell(tell(Word::Imported, &[name]));
            }
        }
        Err(why) => desk.tell_grave(tell(Word::NotImported, &[name, &why.to_string()])),
    }
}

/// Hands a session file to the browser.
pub(crate) fn hand_out(desk: Desk, text: &str) {
    if store::download(FILE_NAME, text).is_err() {
        desk.tell_grave(say(Word::NotExported).into());
    }
}

/// Export, import, the sheet for the cell, begin again.
#[component]
pub(super) fn Files() -> impl IntoView {
    let desk = desk();
    let file = ChosenFile::new();
    let export = move |_| hand_out(desk, &desk.with_session(Session::to_json));
    let logs = move |csv: bool| {
        let rows: Vec<_> = desk.runs.get_untracked().iter().flat_map(|log| log.rows()).collect();
        let (name, text) =
            if csv { (LOG_CSV, rows_as_csv(&rows)) } else { (LOG_JSON, to_text(&rows)) };
        if store::download(name, &text).is_err() {
            desk.tell_grave(say(Word::NotExported).into());
        }
    };
    let no_runs = move || desk.runs.read().is_empty();
    let import = move |event: web_sys::Event| {
        file.read(&event, move |name, text| match text {
            Ok(text) => take_in(desk, name, &text),
            Err(why) => desk.tell_grave(tell(Word::NotImported, &[name, &why])),
        });
    };
    let fresh = move |_| {
        let header = desk.with_session(|s| Header { lesson: None, ..s.header().clone() });
        if let Ok(session) = Session::new(header) {
            desk.replace(session);
        }
    };
    view! {
        <div class="file-rows" role="group" aria-label=say(Word::Files)>
            <div class="drawer-row">
                <span class="row-name">{say(Word::FilesKeep)}</span>
                <button type="button" class="run-button" data-testid="export-session" on:click=export>{say(Word::Export)}</button>
                <label class="button">
                    <span>{say(Word::Import)}</span>
                    <input type="file" class="visually-hidden" accept=".json,application/json"
                        data-testid="import-session" on:change=import/>
                </label>
                <Share/>
            </div>
            <div class="drawer-row">
                <span class="row-name">{say(Word::FilesPaper)}</span>
                <CellSheetLink/>
            </div>
            <div class="drawer-row">
                <span class="row-name">{say(Word::FilesLog)}</span>
                <button type="button" data-testid="export-json" disabled=no_runs on:click=move |_| logs(false)>
                    {say(Word::ExportLogJson)}
                </button>
                <button type="button" data-testid="export-csv" disabled=no_runs on:click=move |_| logs(true)>
                    {say(Word::ExportLogCsv)}
                </button>
            </div>
            <div class="drawer-row">
                <span class="row-name">{say(Word::FilesFresh)}</span>
                <button type="button" data-testid="fresh-session" on:click=fresh>{say(Word::EmptyBench)}</button>
            </div>
            <p class="fine">{say(Word::OnlyHere)}</p>
        </div>
    }
}
