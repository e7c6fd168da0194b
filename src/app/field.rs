//! A number field: shows a value, hands over what was typed once it is a number.

use super::dom::{View, el};
use super::i18n::{Key, format};
use super::logic::number::{self, length, plain, read, unit_mm};
use super::workspace::workspace;
use leptos::prelude::*;
use std::rc::Rc;

/// A number with its name before it and its unit behind it.
pub(crate) struct NumberField {
    test_id: String,
    label: String,
    value: Rc<dyn Fn() -> f64>,
    commit: Rc<dyn Fn(f64)>,
    unit: &'static str,
    decimals: usize,
    step: f64,
}

impl NumberField {
    /// A field of this name, with its value now, and what to do with one that was typed: a length
    /// in mm with one decimal, moved 1 mm by the arrow keys, unless it is told otherwise.
    pub(crate) fn new(
        test_id: impl Into<String>,
        label: impl Into<String>,
        value: impl Fn() -> f64 + 'static,
        commit: impl Fn(f64) + 'static,
    ) -> Self {
        Self {
            test_id: test_id.into(),
            label: label.into(),
            value: Rc::new(value),
            commit: Rc::new(commit),
            unit: "mm",
            decimals: 1,
            step: 1.0,
        }
    }

    /// Shown behind the number.
    pub(crate) fn unit(self, unit: &'static str) -> Self {
        Self { unit, ..self }
    }

    /// Decimals shown.
    pub(crate) fn decimals(self, decimals: usize) -> Self {
        Self { decimals, ..self }
    }

    /// How far the arrow keys change it.
    pub(crate) fn step(self, step: f64) -> Self {
        Self { step, ..self }
    }

    /// The field on the page.
    pub(crate) fn view(self) -> View {
        let Self { test_id, label, value, commit, unit, decimals, step } = self;
        let workspace = workspace();
        // Lengths, and speeds, are shown and typed in the viewer's unit.
        let lengths = unit.strip_prefix("mm");
        let (per, shown) = match lengths {
            Some(rest) => (unit_mm(), [number::unit(), rest].concat()),
            None => (1.0, unit.to_owned()),
        };
        // An arrow key moves by a round figure of the unit: 0.05 in for 1 mm.
        let step = if per == 1.0 { step } else { step * per * 0.05 };
        let bad = RwSignal::new(false);
        let show = move |v: f64| {
            if lengths.is_some() { length(v, decimals) } else { plain(v, decimals) }
        };
        let take = {
            let (name, value, commit) = (label.clone(), value.clone(), commit.clone());
            move |event: web_sys::Event| {
                let text = event_target_value(&event);
                let typed = read(&text);
                bad.set(typed.is_none());
                if typed.is_none() {
                    workspace.warn(format(Key::NotANumber, &[&name, &text]));
                }
                // What stands there already is no change: it may be rounded.
                let same = show(untrack(|| value())) == text;
                if let Some(v) = typed.filter(|_| !same) {
                    commit(v * per);
                }
            }
        };
        let now = value.clone();
        let by_key = move |event: web_sys::KeyboardEvent| {
            let by = match event.key().as_str() {
                "ArrowUp" => 1.0,
                "ArrowDown" => -1.0,
                _ => return,
            };
            event.prevent_default();
            let step = if event.shift_key() { step / 10.0 } else { step };
            bad.set(false);
            commit(untrack(|| now()) + by * step);
        };
        let field = el("input")
            .attr("type", "text")
            .attr("inputmode", "decimal")
            .attr("autocomplete", "off")
            .test_id(test_id)
            .attr("aria-invalid", move || bad.get().then_some("true"))
            .value(move || show(value()))
            .on("change", take)
            .on("keydown", by_key);
        el("label")
            .class("number")
            .child(el("span").class("number-name").text(label))
            .child(field)
            .child(el("span").class("unit").text(shown))
    }
}
