use super::house_rules::HouseRulesRow;
use crate::app::controls::{ChosenText, FileButton, Group, Note, RowName};
use crate::app::course_system;
use crate::app::i18n::{Key, format, text};
use crate::app::place::CellSheetLink;
use crate::app::share::Share;
use crate::app::storage;
use crate::app::workspace::{Workspace, workspace};
use leptos::prelude::*;
use nudgeproof::io::to_json;
use nudgeproof::routine::rows_as_csv;
use nudgeproof::session::{Header, Session};

const SESSION_FILE: &str = "nudgeproof-session.json";
const LOG_JSON: &str = "nudgeproof-log.json";
const LOG_CSV: &str = "nudgeproof-log.csv";

/// Opens the session of a file, or shows what is wrong with the file.
pub(super) fn open_session(workspace: Workspace, file_name: &str, text: &str) {
    match Session::from_json(text) {
        Ok(session) => {
            if workspace.replace(session) {
                workspace.notify(format(Key::Imported, &[file_name]));
            }
        }
        Err(why) => workspace.warn(format(Key::NotImported, &[file_name, &why.to_string()])),
    }
}

/// Hands a file to the browser; shows a message if that fails.
pub(crate) fn download(workspace: Workspace, file_name: &str, content: &str) {
    if storage::download(file_name, content).is_err() {
        workspace.warn(text(Key::NotExported).into());
    }
}

/// Hands a session file to the browser.
pub(crate) fn download_session(workspace: Workspace, session_file: &str) {
    download(workspace, SESSION_FILE, session_file);
}

/// Session files out and in, the sheet for the cell, logs, and an empty bench.
#[component]
pub(super) fn Files() -> impl IntoView {
    let workspace = workspace();
    let export = move |_| {
        let mut session = workspace.with_truth(Session::clone);
        // Who opened somebody else's work has not made it.
        if session.header().learner.is_none() {
            session.made_by(storage::learner());
        }
        download_session(workspace, &session.to_json());
    };
    let import = move |(name, content): ChosenText| match content {
        Ok(content) => open_session(workspace, &name, &content),
        Err(why) => workspace.warn(format(Key::NotImported, &[&name, &why])),
    };
    let log_rows = move || {
        workspace.runs.read_untracked().iter().flat_map(|log| log.rows()).collect::<Vec<_>>()
    };
    let export_json = move |_| download(workspace, LOG_JSON, &to_json(&log_rows()));
    let export_csv = move |_| download(workspace, LOG_CSV, &rows_as_csv(&log_rows()));
    let no_runs = move || workspace.runs.read().is_empty();
    let empty_bench = move |_| {
        let header = workspace.with_session(|s| Header { lesson: None, ..s.header().clone() });
        if let Ok(session) = Session::new(header) {
            workspace.begin(session);
        }
    };
    let kept = if course_system::is_here() { Key::CourseIsTold } else { Key::OnlyHere };
    view! {
        <Group class="file-rows" name=text(Key::Files)>
            <h2>{text(Key::Files)}</h2>
            <div class="drawer-row">
                <RowName>{text(Key::FilesKeep)}</RowName>
                <button type="button" data-testid="export-session" on:click=export>
                    {text(Key::Export)}
                </button>
                <FileButton
                    test_id="import-session"
                    accept=".json,application/json"
                    on_read=import
                >
                    {text(Key::Import)}
                </FileButton>
                <Share />
            </div>
            <div class="drawer-row">
                <RowName>{text(Key::FilesPaper)}</RowName>
                <CellSheetLink />
            </div>
            <div class="drawer-row">
                <RowName>{text(Key::FilesLog)}</RowName>
                <button type="button" data-testid="export-json" disabled=no_runs on:click=export_json>
                    {text(Key::ExportLogJson)}
                </button>
                <button type="button" data-testid="export-csv" disabled=no_runs on:click=export_csv>
                    {text(Key::ExportLogCsv)}
                </button>
            </div>
            <HouseRulesRow />
            <div class="drawer-row">
                <RowName>{text(Key::FilesFresh)}</RowName>
                <button type="button" data-testid="fresh-session" on:click=empty_bench>
                    {text(Key::EmptyBench)}
                </button>
            </div>
            <Note>{text(kept)}</Note>
        </Group>
    }
}
