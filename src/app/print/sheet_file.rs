use leptos::prelude::document;
use leptos::web_sys::{CssStyleSheet, Element, HtmlInputElement};
use wasm_bindgen::{JsCast, JsValue};

/// The sheet as a page of its own that needs nothing else: what was typed into it stands there as text.
pub(super) fn as_page(sheet: &Element, title: &str) -> Result<String, JsValue> {
    let copy: Element = sheet.clone_node_with_deep(true)?.dyn_into()?;
    let (typed, written) = (sheet.query_selector_all("input")?, copy.query_selector_all("input")?);
    for n in 0..typed.length() {
        let [Some(typed), Some(written)] = [typed.item(n), written.item(n)] else { continue };
        let (typed, written): (HtmlInputElement, Element) =
            (typed.dyn_into()?, written.dyn_into()?);
        let text = document().create_element("span")?;
        text.set_class_name("written");
        text.set_text_content(Some(&typed.value()));
        written.replace_with_with_node_1(&text)?;
    }
    let name = document().create_element("title")?;
    name.set_text_content(Some(title));
    // The language of the page, and its light colours.
    Ok(["<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">", &name.outer_html()]
        .concat()
        + &["<style>", &styles()?, "</style></head><body>", &copy.outer_html(), "</body></html>\n"]
            .concat())
}

/// Every rule of style of this page.
fn styles() -> Result<String, JsValue> {
    let sheets = document().style_sheets();
    let mut all = String::new();
    for sheet in (0..sheets.length()).filter_map(|n| sheets.item(n)) {
        let rules = sheet.dyn_into::<CssStyleSheet>()?.css_rules()?;
        for rule in (0..rules.length()).filter_map(|n| rules.item(n)) {
            all += &rule.css_text();
            all.push('\n');
        }
    }
    Ok(all)
}
