//! The day today, for records and refreshers: the library knows no clock.

use wasm_bindgen::JsValue;

const DAY_MS: f64 = 86_400_000.0;

/// Days since the first of January 1970, by the calendar of this place.
pub(crate) fn today() -> u32 {
    let now = js_sys::Date::new_0();
    ((now.get_time() - now.get_timezone_offset() * 60_000.0) / DAY_MS) as u32
}

/// A day as year, month and day.
pub(crate) fn day_text(day: u32) -> String {
    let date = js_sys::Date::new(&JsValue::from_f64(f64::from(day) * DAY_MS));
    String::from(date.to_iso_string()).split('T').next().unwrap_or_default().to_owned()
}

/// A seed that nobody chose: six digits, so that it can be said aloud.
pub(crate) fn fresh_seed() -> u64 {
    (js_sys::Math::random() * 999_999.0) as u64 + 1
}
