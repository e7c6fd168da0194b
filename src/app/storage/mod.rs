//! What outlives the page: the session as a journal, texts under names, files in and out.
//!
//! One rule above all: work that is already stored is never overwritten unless it is the work this
//! window wrote or read itself. A change is answered later; until then it counts as made.

mod store;

pub(crate) use store::{Ended, Place};

use super::i18n::Key;
use nudgeproof::session::{Record, Restored, restored};
use wasm_bindgen::{JsCast, JsValue};

/// Where work that made room for other work is kept, the newest first.
const ASIDE: [&str; 3] = ["session.aside", "session.aside.2", "session.aside.3"];
/// Work saved under a name: the moment on the first line, then exactly the text of a session file.
const SAVE: &str = "save.";
/// Settings of the page, and whatever else does not belong to the session.
const SETTING: &str = "setting.";

/// Where the browser keeps what is stored.
pub(crate) fn place() -> Place {
    store::place()
}

/// Why there is no database, in the browser's words.
pub(crate) fn why_no_database() -> String {
    store::why()
}

/// Calls `heard` with how each change ended: whether it was one of the session, and a name that it changed.
pub(crate) fn listen(heard: impl Fn(Ended, bool, &str) + 'static) {
    store::listen(heard);
}

/// What to say where the browser did not store the text of this name.
pub(crate) fn not_kept(name: &str) -> Key {
    match name {
        _ if name.starts_with(SAVE) => Key::SaveNoRoom,
        _ if ASIDE.contains(&name) => Key::NoRoomAside,
        _ => Key::NotStored,
    }
}

/// The stored session, as far as it can be read, and how many records hold it; none if nothing is stored.
pub(crate) fn session() -> Option<(Restored, usize)> {
    let records = store::records();
    let read = || (restored(records.iter().map(String::as_str)), records.len());
    (!records.is_empty()).then(read)
}

/// Stores what a record says, and with it work that made room for other work.
pub(crate) fn append(record: &Record, aside: Option<&str>) {
    store::append(Some(&record.text), record.whole, aside);
}

/// Stores a whole session over what another window has stored, which is put aside.
pub(crate) fn take_over(record: &Record) {
    store::take_over(&record.text);
}

/// Puts aside a text that is no session, and keeps nothing in its place.
pub(crate) fn clear(aside: &str) {
    store::append(None, true, Some(aside));
}

/// The text that was put aside last, or the ones before it.
pub(crate) fn aside(before: usize) -> Option<String> {
    store::text(ASIDE.get(before)?)
}

/// Something saved under a name.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Save {
    pub(crate) name: String,
    /// When, as the browser's clock said: ISO 8601, to the minute. Empty if it is not known.
    pub(crate) when: String,
    /// A session file, unless something else wrote there.
    pub(crate) text: String,
}

/// Everything saved under a name, in the order of the names.
pub(crate) fn saves() -> Vec<Save> {
    let names = store::names();
    names.iter().filter_map(|name| find_save(name.strip_prefix(SAVE)?)).collect()
}

/// What is saved under this name.
pub(crate) fn find_save(name: &str) -> Option<Save> {
    let stored = store::text(&format!("{SAVE}{name}"))?;
    let (when, text) = match stored.split_once('\n') {
        Some((when, text)) if when.starts_with(|c: char| c.is_ascii_digit()) => (when, text),
        _ => ("", stored.as_str()),
    };
    Some(Save { name: name.into(), when: when.into(), text: text.into() })
}

/// Saves under a name.
pub(crate) fn keep_save(save: &Save) {
    let text = format!("{}\n{}", save.when, save.text);
    store::keep(&[(&format!("{SAVE}{}", save.name), Some(&text))]);
}

/// Gives a save another name.
pub(crate) fn rename_save(save: &Save, name: &str) {
    let text = format!("{}\n{}", save.when, save.text);
    let [old, new] = [&*save.name, name].map(|name| format!("{SAVE}{name}"));
    store::keep(&[(&new, Some(&text)), (&old, None)]);
}

/// Takes a save away.
pub(crate) fn drop_save(name: &str) {
    store::keep(&[(&format!("{SAVE}{name}"), None)]);
}

/// The moment now, as a save carries it: local time, to the minute.
pub(crate) fn moment() -> String {
    let now = js_sys::Date::new_0();
    let local = now.get_time() - now.get_timezone_offset() * 60_000.0;
    let iso: String = js_sys::Date::new(&local.into()).to_iso_string().into();
    iso.get(..16).unwrap_or_default().replace('T', " ")
}

/// A setting of the page.
pub(crate) fn setting(name: &str) -> Option<String> {
    store::text(&format!("{SETTING}{name}"))
}

/// The texts of a list that is kept as a setting; `None` if it cannot be read, so that nothing may be
/// written in its place.
pub(crate) fn texts(name: &str) -> Option<Vec<String>> {
    match setting(name) {
        Some(text) => serde_json::from_str(&text).ok(),
        None => Some(Vec::new()),
    }
}

/// Stores the texts of such a list, and with it removes other settings; false if the browser keeps nothing.
#[must_use]
pub(crate) fn set_texts(name: &str, texts: &[String], others: &[String]) -> bool {
    let text = serde_json::to_string(texts).expect("texts are written as JSON");
    set_instead(name, &text, others)
}

/// Stores such a list without the texts that are `replaced`, and with `more`; false if the browser keeps
/// nothing, or the list cannot be read.
#[must_use]
pub(crate) fn replace_texts(
    name: &str,
    replaced: impl Fn(&str) -> bool,
    more: Option<String>,
) -> bool {
    let Some(mut all) = texts(name) else { return false };
    all.retain(|text| !replaced(text));
    all.extend(more);
    set_texts(name, &all, &[])
}

/// The setting that holds the learner's name.
pub(crate) const LEARNER: &str = "learner";

/// The learner's name, if one was typed.
pub(crate) fn learner() -> Option<String> {
    setting(LEARNER).filter(|name| !name.trim().is_empty())
}

/// The names of all settings that begin like this, in alphabetical order.
pub(crate) fn setting_names(start: &str) -> Vec<String> {
    let names = store::names();
    let names = names.iter().filter_map(|name| name.strip_prefix(SETTING));
    names.filter(|name| name.starts_with(start)).map(str::to_owned).collect()
}

/// Stores a setting of the page; false if the browser keeps nothing: then it lasts as long as the page.
#[must_use]
pub(crate) fn set_setting(name: &str, value: &str) -> bool {
    set_instead(name, value, &[])
}

/// Stores a setting, and with it removes others; false if the browser keeps nothing.
#[must_use]
pub(crate) fn set_instead(name: &str, value: &str, others: &[String]) -> bool {
    let name = format!("{SETTING}{name}");
    let others: Vec<_> = others.iter().map(|other| format!("{SETTING}{other}")).collect();
    let mut changes = vec![(&*name, Some(value))];
    changes.extend(others.iter().map(|other| (&**other, None)));
    store::keep(&changes);
    place() != Place::None
}

/// Removes a setting of the page.
pub(crate) fn remove_setting(name: &str) {
    store::keep(&[(&format!("{SETTING}{name}"), None)]);
}

/// Hands the text to the browser as a file to keep.
pub(crate) fn download(name: &str, text: &str) -> Result<(), JsValue> {
    let document = web_sys::window().and_then(|w| w.document()).ok_or(JsValue::NULL)?;
    let options = web_sys::BlobPropertyBag::new();
    options.set_type(match name.rsplit('.').next() {
        Some("csv") => "text/csv",
        Some("html") => "text/html",
        _ => "application/json",
    });
    let parts = js_sys::Array::of1(&JsValue::from_str(text));
    let blob = web_sys::Blob::new_with_str_sequence_and_options(&parts, &options)?;
    let url = web_sys::Url::create_object_url_with_blob(&blob)?;
    let link: web_sys::HtmlAnchorElement = document.create_element("a")?.dyn_into()?;
    link.set_href(&url);
    link.set_download(name);
    link.click();
    gloo::timers::callback::Timeout::new(1000, move || {
        // Nothing to do if the browser has let go of it already.
        let _ = web_sys::Url::revoke_object_url(&url);
    })
    .forget();
    Ok(())
}
