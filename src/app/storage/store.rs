//! The store that `src/app/boot.js` has opened, as the program sees it.

use js_sys::{Array, Function, Reflect};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};

/// What the store is found by.
const NAME: &str = "nudgeproofStore";

/// Where the browser keeps what is stored.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Place {
    /// In its database: what is told to be stored is on the disk.
    Database,
    /// In local storage, which is written to the disk some time later.
    LocalStorage,
    /// Nowhere.
    None,
}

/// How a change of what is stored ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ended {
    Stored,
    /// Another window has stored other work: left alone.
    OtherWork,
    /// The browser has no room, or forbids it.
    Failed,
    /// Another window has changed a text.
    Elsewhere,
}

fn store() -> JsValue {
    Reflect::get(&js_sys::global(), &NAME.into()).unwrap_or_default()
}

fn get(key: &str) -> JsValue {
    Reflect::get(&store(), &key.into()).unwrap_or_default()
}

fn call(name: &str, given: &[JsValue]) -> JsValue {
    let Ok(function) = get(name).dyn_into::<Function>() else { return JsValue::UNDEFINED };
    // It throws nothing; how a change ended it tells later.
    function.apply(&store(), &given.iter().collect::<Array>()).unwrap_or_default()
}

fn texts(value: &JsValue) -> Vec<String> {
    Array::from(value).iter().filter_map(|text| text.as_string()).collect()
}

pub(super) fn place() -> Place {
    match get("kind").as_string().as_deref() {
        Some("database") => Place::Database,
        Some("local") => Place::LocalStorage,
        _ => Place::None,
    }
}

/// Why there is no database, in the browser's words.
pub(super) fn why() -> String {
    get("why").as_string().unwrap_or_default()
}

/// The text under a name.
pub(super) fn text(name: &str) -> Option<String> {
    call("get", &[name.into()]).as_string()
}

/// The names of all texts, in alphabetical order.
pub(super) fn names() -> Vec<String> {
    texts(&call("names", &[]))
}

/// Stores texts under names, or removes those that are there: all of them or none.
pub(super) fn keep(changes: &[(&str, Option<&str>)]) {
    let change = |(name, text): &(&str, Option<&str>)| {
        Array::of2(&JsValue::from(*name), &text.map_or(JsValue::NULL, JsValue::from))
    };
    call("keep", &[changes.iter().map(change).collect::<Array>().into()]);
}

/// The records of the session, the oldest first. What is no text is an empty one.
pub(super) fn records() -> Vec<String> {
    let all = Array::from(&call("records", &[]));
    all.iter().map(|text| text.as_string().unwrap_or_default()).collect()
}

/// Appends a record; `whole` if those before it may go. With it work is put aside, if there is some.
pub(super) fn append(record: Option<&str>, whole: bool, aside: Option<&str>) {
    call("append", &[record.into(), whole.into(), aside.into()]);
}

/// Stores a whole session, and puts aside what another window has stored.
pub(super) fn take_over(record: &str) {
    call("takeOver", &[record.into()]);
}

/// Calls `heard` with how each change ended from now on: whether it was one of the session, and the name of a
/// text that it changed.
pub(super) fn listen(heard: impl Fn(Ended, bool, &str) + 'static) {
    let heard = move |how: String, work: bool, name: String| {
        let ended = match how.as_str() {
            "stored" => Ended::Stored,
            "other" => Ended::OtherWork,
            "changed" => Ended::Elsewhere,
            _ => Ended::Failed,
        };
        heard(ended, work, &name);
    };
    let heard = Closure::<dyn Fn(String, bool, String)>::new(heard);
    // Without a store nothing ends.
    let _ = Reflect::set(&store(), &"tell".into(), heard.as_ref());
    heard.forget();
}
