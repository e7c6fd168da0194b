//! What outlives the page: the session in local storage, files in and out.
//!
//! One rule above all: work that is already stored is never overwritten unless it is the work this
//! window wrote or read itself.

use gloo::storage::{LocalStorage, Storage};
use wasm_bindgen::{JsCast, JsValue};

/// Where the session stands; exactly the text of a session file.
const SESSION: &str = "nudgeproof.session";
/// Where work that made room for other work is kept, the newest first.
const ASIDE: [&str; 3] =
    ["nudgeproof.session.aside", "nudgeproof.session.aside.2", "nudgeproof.session.aside.3"];
/// Work saved under a name: the moment on the first line, then exactly the text of a session file.
const SAVE: &str = "nudgeproof.save.";
/// Settings of the page, not of the session.
const SETTING: &str = "nudgeproof.setting.";

/// The browser does not let the page read what it stores, or whether it stores anything.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Unreadable;

fn read(key: &str) -> Result<Option<String>, Unreadable> {
    if !available() {
        return Err(Unreadable);
    }
    LocalStorage::raw().get_item(key).map_err(|_| Unreadable)
}

#[must_use]
fn write(key: &str, text: &str) -> bool {
    available() && LocalStorage::raw().set_item(key, text).is_ok()
}

fn remove(key: &str) {
    // What is not there need not be removed.
    let _ = LocalStorage::raw().remove_item(key);
}

/// The stored session, as text.
pub(crate) fn saved() -> Result<Option<String>, Unreadable> {
    read(SESSION)
}

/// How an attempt to save went.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Saved {
    Yes,
    /// Somebody else's work stands there: left alone.
    OtherWork,
    /// The browser keeps nothing.
    Impossible,
}

/// Saves the session, unless what is stored is not what this window last knew.
pub(crate) fn save(text: &str, last_known: Option<&str>) -> Saved {
    match read(SESSION) {
        Ok(Some(stored)) if Some(stored.as_str()) != last_known => Saved::OtherWork,
        Ok(_) if write(SESSION, text) => Saved::Yes,
        // Where nothing can be read there may be work all the same.
        Ok(_) | Err(Unreadable) => Saved::Impossible,
    }
}

/// Saves the session, and puts aside the one that was stored.
pub(crate) fn save_over(text: &str) -> Saved {
    let kept = match read(SESSION) {
        Err(Unreadable) => false,
        Ok(stored) => stored.is_none_or(|other| put_aside(&other)),
    };
    if kept && write(SESSION, text) { Saved::Yes } else { Saved::Impossible }
}

/// Keeps a text as the newest of the work put aside; false if there is no room for it, or if what was
/// put aside before cannot be read.
pub(crate) fn put_aside(text: &str) -> bool {
    let [Ok(first), Ok(second), Ok(_)] = ASIDE.map(read) else { return false };
    if first.as_deref() == Some(text) {
        return true;
    }
    // The oldest goes; what is in the way of the new one moves down.
    for (place, older) in [(ASIDE[2], second), (ASIDE[1], first)] {
        let moved = older.is_none_or(|older| write(place, &older));
        if !moved {
            remove(place);
        }
    }
    remove(ASIDE[0]);
    let mut spare = ASIDE.len();
    while !write(ASIDE[0], text) {
        spare -= 1;
        if spare == 0 {
            return false;
        }
        remove(ASIDE[spare]);
    }
    true
}

/// The text that was put aside last, or the ones before it.
pub(crate) fn aside(before: usize) -> Option<String> {
    read(ASIDE.get(before)?).ok().flatten()
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
    if !available() {
        return Vec::new();
    }
    let keys = js_sys::Object::keys(&LocalStorage::raw()).sort();
    let names = keys.iter().filter_map(|k| Some(k.as_string()?.strip_prefix(SAVE)?.to_owned()));
    names.filter_map(|name| find_save(&name).ok().flatten()).collect()
}

/// What is saved under this name.
pub(crate) fn find_save(name: &str) -> Result<Option<Save>, Unreadable> {
    let Some(stored) = read(&format!("{SAVE}{name}"))? else { return Ok(None) };
    let (when, text) = match stored.split_once('\n') {
        Some((when, text)) if when.starts_with(|c: char| c.is_ascii_digit()) => (when, text),
        _ => ("", stored.as_str()),
    };
    Ok(Some(Save { name: name.into(), when: when.into(), text: text.into() }))
}

/// Saves under a name; false if the browser has no room.
#[must_use]
pub(crate) fn keep_save(save: &Save) -> bool {
    write(&format!("{SAVE}{}", save.name), &format!("{}\n{}", save.when, save.text))
}

/// Takes a save away.
pub(crate) fn drop_save(name: &str) {
    if available() {
        remove(&format!("{SAVE}{name}"));
    }
}

/// The moment now, as a save carries it: local time, to the minute.
pub(crate) fn moment() -> String {
    let now = js_sys::Date::new_0();
    let local = now.get_time() - now.get_timezone_offset() * 60_000.0;
    let iso: String = js_sys::Date::new(&local.into()).to_iso_string().into();
    iso.get(..16).unwrap_or_default().replace('T', " ")
}

/// A setting of the page. For what is written back as a whole: of a list that grows, what cannot be
/// read would be lost, see [`try_setting`].
pub(crate) fn setting(name: &str) -> Option<String> {
    try_setting(name).ok().flatten()
}

/// A setting of the page, if it can be read.
pub(crate) fn try_setting(name: &str) -> Result<Option<String>, Unreadable> {
    read(&format!("{SETTING}{name}"))
}

/// The texts of a list that is kept as a setting; `None` if they cannot be read, so that nothing may be
/// written in their place.
pub(crate) fn texts(name: &str) -> Option<Vec<String>> {
    match try_setting(name).ok()? {
        Some(text) => serde_json::from_str(&text).ok(),
        None => Some(Vec::new()),
    }
}

/// Stores the texts of such a list; false if the browser does not.
#[must_use]
pub(crate) fn set_texts(name: &str, texts: &[String]) -> bool {
    let text = serde_json::to_string(texts).expect("texts are written as JSON");
    set_setting(name, &text)
}

/// Stores such a list without the texts that are `replaced`, and with `more`; false if the browser does not.
#[must_use]
pub(crate) fn replace_texts(
    name: &str,
    replaced: impl Fn(&str) -> bool,
    more: Option<String>,
) -> bool {
    let Some(mut all) = texts(name) else { return false };
    all.retain(|text| !replaced(text));
    all.extend(more);
    set_texts(name, &all)
}

/// The setting that holds the learner's name.
pub(crate) const LEARNER: &str = "learner";

/// The learner's name, if one was typed.
pub(crate) fn learner() -> Option<String> {
    setting(LEARNER).filter(|name| !name.trim().is_empty())
}

/// The names of all settings that begin like this, in alphabetical order.
pub(crate) fn setting_names(start: &str) -> Vec<String> {
    if !available() {
        return Vec::new();
    }
    let keys = js_sys::Object::keys(&LocalStorage::raw()).sort();
    let names = keys.iter().filter_map(|k| Some(k.as_string()?.strip_prefix(SETTING)?.to_owned()));
    names.filter(|name| name.starts_with(start)).collect()
}

/// Stores a setting of the page; false if the browser does not: then it lasts as long as the page.
#[must_use]
pub(crate) fn set_setting(name: &str, value: &str) -> bool {
    write(&format!("{SETTING}{name}"), value)
}

/// Removes a setting of the page.
pub(crate) fn remove_setting(name: &str) {
    remove(&format!("{SETTING}{name}"));
}

fn available() -> bool {
    web_sys::window().is_some_and(|w| matches!(w.local_storage(), Ok(Some(_))))
}

/// Hands the text to the browser as a file to keep.
pub(crate) fn download(name: &str, text: &str) -> Result<(), JsValue> {
    let document = web_sys::window().and_then(|w| w.document()).ok_or(JsValue::NULL)?;
    let options = web_sys::BlobPropertyBag::new();
    options.set_type(if name.rsplit('.').next() == Some("csv") {
        "text/csv"
    } else {
        "application/json"
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
