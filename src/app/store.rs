//! What outlives the page: the session in local storage, files in and out.
//!
//! One rule above all: work that is already stored is never overwritten unless it is the work this
//! window wrote or read itself.

use gloo::storage::{LocalStorage, Storage};
use wasm_bindgen::{JsCast, JsValue};

/// Where the session stands; exactly the text of a session file.
const SESSION: &str = "nudgeproof.session";
/// Where work that could not be read, or came from another window, is kept.
const ASIDE: &str = "nudgeproof.session.aside";
/// Settings of the page, not of the session.
const SETTING: &str = "nudgeproof.setting.";

fn read(key: &str) -> Option<String> {
    LocalStorage::raw().get_item(key).ok().flatten()
}

fn write(key: &str, text: &str) -> bool {
    LocalStorage::raw().set_item(key, text).is_ok()
}

/// The stored session, as text.
pub(crate) fn saved() -> Option<String> {
    available().then(|| read(SESSION)).flatten()
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
    if !available() {
        return Saved::Impossible;
    }
    let stored = read(SESSION);
    if stored.is_some() && stored.as_deref() != last_known {
        return Saved::OtherWork;
    }
    if write(SESSION, text) { Saved::Yes } else { Saved::Impossible }
}

/// Saves over whatever is there, after putting that aside.
pub(crate) fn save_over(text: &str) -> Saved {
    put_aside();
    if available() && write(SESSION, text) { Saved::Yes } else { Saved::Impossible }
}

/// Keeps the stored text under another key, so that it can be looked at later.
pub(crate) fn put_aside() {
    if !available() {
        return;
    }
    if let Some(text) = read(SESSION) {
        // Without room for a second copy there is nothing to put it into.
        let _ = write(ASIDE, &text);
    }
}

/// The text that was put aside last.
pub(crate) fn aside() -> Option<String> {
    available().then(|| read(ASIDE)).flatten()
}

/// A setting of the page.
pub(crate) fn setting(name: &str) -> Option<String> {
    available().then(|| read(&format!("{SETTING}{name}"))).flatten()
}

/// Keeps a setting of the page; without storage it lasts as long as the page.
pub(crate) fn set_setting(name: &str, value: &str) {
    if available() {
        // A setting that cannot be kept is asked for again next time.
        let _ = write(&format!("{SETTING}{name}"), value);
    }
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
