//! Reactive pieces behind one type each. A closure of its own type for every condition and every
//! derived value makes the machinery anew each time: boxed, there is one copy of it in the program.

use leptos::prelude::*;
use std::sync::Arc;

/// A value worked out anew when what it reads has changed, and told on only if it differs.
pub(crate) fn memo<T>(work_out: impl Fn() -> T + Send + Sync + 'static) -> Memo<T>
where
    T: PartialEq + Send + Sync + 'static,
{
    boxed_memo(Box::new(work_out))
}

fn boxed_memo<T>(work_out: Box<dyn Fn() -> T + Send + Sync>) -> Memo<T>
where
    T: PartialEq + Send + Sync + 'static,
{
    Memo::new(move |_| work_out())
}

/// Does something now, and again whenever what it reads has changed.
pub(crate) fn effect(run: impl FnMut() + 'static) {
    boxed_effect(Box::new(run));
}

fn boxed_effect(mut run: Box<dyn FnMut()>) {
    Effect::new(move |_| run());
}

/// One part of the page for each key, kept as long as its key is there, in the order of the keys.
pub(crate) fn each(
    keys: impl Fn() -> Vec<String> + Send + Sync + 'static,
    part: impl Fn(String) -> AnyView + Send + Sync + 'static,
) -> AnyView {
    boxed_each(Box::new(keys), Arc::new(part))
}

fn boxed_each(
    keys: Box<dyn Fn() -> Vec<String> + Send + Sync>,
    part: Arc<dyn Fn(String) -> AnyView + Send + Sync>,
) -> AnyView {
    view! { <For each=keys key=Clone::clone children=move |key| part(key)/> }.into_any()
}

/// A part of the page that is there only while a condition holds.
pub(crate) fn when(
    condition: impl Fn() -> bool + Send + Sync + 'static,
    part: impl Fn() -> AnyView + Send + Sync + 'static,
) -> AnyView {
    boxed_when(memo(condition), Arc::new(part))
}

fn boxed_when(condition: Memo<bool>, part: Arc<dyn Fn() -> AnyView + Send + Sync>) -> AnyView {
    (move || condition.get().then(|| part())).into_any()
}
