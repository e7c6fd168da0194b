use crate::app::cell_sheet_link;
use crate::app::dom::{View, button, el, note, row_name};
use crate::app::i18n::{Key, format, text};
use crate::app::share::share;
use crate::app::storage::{self, ChosenFile};
use crate::app::workspace::{Workspace, workspace};
use leptos::prelude::*;
use nudgeproof::data::to_text;
use nudgeproof::routine::rows_as_csv;
use nudgeproof::session::{Header, Session};

const FILE_NAME: &str = "nudgeproof-session.json";
const LOG_JSON: &str = "nudgeproof-log.json";
const LOG_CSV: &str = "nudgeproof-log.csv";

/// Puts the session of a file on the workspace, or says what is wrong with it.
pub(super) fn take_in(workspace: Workspace, name: &str, text: &str) {
    match Session::from_json(text) {
        Ok(session) => {
            if workspace.replace(session) {
                workspace.notify(format(Key::Imported, &[name]));
            }
        }
        Err(why) => workspace.warn(format(Key::NotImported, &[name, &why.to_string()])),
    }
}

/// Hands a session file to the browser.
pub(crate) fn hand_out(workspace: Workspace, file: &str) {
    if storage::download(FILE_NAME, file).is_err() {
        workspace.warn(text(Key::NotExported).into());
    }
}

/// Export, import, the sheet for the cell, begin again.
pub(super) fn files() -> View {
    let workspace = workspace();
    let file = ChosenFile::new();
    let export = move || hand_out(workspace, &workspace.with_session(Session::to_json));
    let logs = move |csv: bool| {
        let rows: Vec<_> =
            workspace.runs.get_untracked().iter().flat_map(|log| log.rows()).collect();
        let (name, log) =
            if csv { (LOG_CSV, rows_as_csv(&rows)) } else { (LOG_JSON, to_text(&rows)) };
        if storage::download(name, &log).is_err() {
            workspace.warn(text(Key::NotExported).into());
        }
    };
    let no_runs = move || workspace.runs.read().is_empty();
    let import = move |event: web_sys::Event| {
        file.read(&event, move |name, text| match text {
            Ok(text) => take_in(workspace, name, &text),
            Err(why) => workspace.warn(format(Key::NotImported, &[name, &why])),
        });
    };
    let fresh = move || {
        let header = workspace.with_session(|s| Header { lesson: None, ..s.header().clone() });
        if let Ok(session) = Session::new(header) {
            workspace.replace(session);
        }
    };
    el("div")
        .class("file-rows")
        .group(Key::Files)
        .child(
            el("div")
                .class("drawer-row")
                .child(row_name(Key::FilesKeep))
                .child(button("export-session").class("run-button").click(export).text(Key::Export))
                .child(
                    el("label").class("button").child(el("span").text(Key::Import)).child(
                        el("input")
                            .class("visually-hidden")
                            .attr("type", "file")
                            .attr("accept", ".json,application/json")
                            .test_id("import-session")
                            .on("change", import),
                    ),
                )
                .child(share()),
        )
        .child(
            el("div").class("drawer-row").child(row_name(Key::FilesPaper)).child(cell_sheet_link()),
        )
        .child(
            el("div")
                .class("drawer-row")
                .child(row_name(Key::FilesLog))
                .child(
                    button("export-json")
                        .attr("disabled", no_runs)
                        .click(move || logs(false))
                        .text(Key::ExportLogJson),
                )
                .child(
                    button("export-csv")
                        .attr("disabled", no_runs)
                        .click(move || logs(true))
                        .text(Key::ExportLogCsv),
                ),
        )
        .child(
            el("div")
                .class("drawer-row")
                .child(row_name(Key::FilesFresh))
                .child(button("fresh-session").click(fresh).text(Key::EmptyBench)),
        )
        .child(note().text(Key::OnlyHere))
}
