use crate::app::cell_sheet_link;
use crate::app::desk::{Desk, desk};
use crate::app::dom::{View, button, el, note, row_name};
use crate::app::share::share;
use crate::app::store::{self, ChosenFile};
use crate::app::words::{Word, say, tell};
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
pub(super) fn files() -> View {
    let desk = desk();
    let file = ChosenFile::new();
    let export = move || hand_out(desk, &desk.with_session(Session::to_json));
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
    let fresh = move || {
        let header = desk.with_session(|s| Header { lesson: None, ..s.header().clone() });
        if let Ok(session) = Session::new(header) {
            desk.replace(session);
        }
    };
    el("div")
        .class("file-rows")
        .group(Word::Files)
        .child(
            el("div")
                .class("drawer-row")
                .child(row_name(Word::FilesKeep))
                .child(
                    button("export-session").class("run-button").click(export).text(Word::Export),
                )
                .child(
                    el("label").class("button").child(el("span").text(Word::Import)).child(
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
            el("div")
                .class("drawer-row")
                .child(row_name(Word::FilesPaper))
                .child(cell_sheet_link()),
        )
        .child(
            el("div")
                .class("drawer-row")
                .child(row_name(Word::FilesLog))
                .child(
                    button("export-json")
                        .attr("disabled", no_runs)
                        .click(move || logs(false))
                        .text(Word::ExportLogJson),
                )
                .child(
                    button("export-csv")
                        .attr("disabled", no_runs)
                        .click(move || logs(true))
                        .text(Word::ExportLogCsv),
                ),
        )
        .child(
            el("div")
                .class("drawer-row")
                .child(row_name(Word::FilesFresh))
                .child(button("fresh-session").click(fresh).text(Word::EmptyBench)),
        )
        .child(note().text(Word::OnlyHere))
}
