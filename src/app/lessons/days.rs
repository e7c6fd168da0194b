//! Today's date and random seeds, which the library gets as arguments.

use wasm_bindgen::JsValue;

const DAY_MS: f64 = 86_400_000.0;

/// Days since 1 January 1970, in local time.
pub(crate) fn today() -> u32 {
    let now = js_sys::Date::new_0();
    ((now.get_time() - now.get_timezone_offset() * 60_000.0) / DAY_MS) as u32
}

/// A day as an ISO 8601 date.
pub(crate) fn day_text(day: u32) -> String {
    let date = js_sys::Date::new(&JsValue::from_f64(f64::from(day) * DAY_MS));
    String::from(date.to_iso_string()).split('T').next().unwrap_or_default().to_owned()
}

/// A random seed of at most six digits: short enough to be read out to a class.
pub(crate) fn fresh_seed() -> u64 {
    (js_sys::Math::random() * 999_999.0) as u64 + 1
}
