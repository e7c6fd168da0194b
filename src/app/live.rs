//! Reactive pieces behind one type each. A closure of its own type for every condition and every
//! derived value makes the machinery anew each time: boxed, there is one copy of it in the program.

use leptos::prelude::*;
use std::any::Any;
use std::marker::PhantomData;
use std::sync::Arc;

/// A value worked out anew when what it reads has changed, and told on only if it differs.
///
/// One type of memo holds them all: the machinery of each of its own would be there forty times.
pub(crate) struct Live<T>(Memo<Packed>, PhantomData<fn() -> T>);

/// A value whose type is forgotten, and how to tell it from another.
#[derive(Clone)]
struct Packed {
    value: Arc<dyn Any + Send + Sync>,
    same: fn(&dyn Any, &dyn Any) -> bool,
}

impl PartialEq for Packed {
    fn eq(&self, other: &Self) -> bool {
        (self.same)(&*self.value, &*other.value)
    }
}

fn same<T: PartialEq + 'static>(a: &dyn Any, b: &dyn Any) -> bool {
    a.downcast_ref::<T>() == b.downcast_ref::<T>()
}

impl<T> Clone for Live<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for Live<T> {}

impl<T: Send + Sync + 'static> Live<T> {
    /// The value, tracked.
    pub(crate) fn read(&self) -> Arc<T> {
        unpacked(self.0.get())
    }

    /// The value, not tracked: for handlers.
    pub(crate) fn read_untracked(&self) -> Arc<T> {
        unpacked(self.0.get_untracked())
    }

    /// Looks at the value, tracked.
    pub(crate) fn with<U>(&self, look: impl FnOnce(&T) -> U) -> U {
        look(&self.read())
    }
}

impl<T: Clone + Send + Sync + 'static> Live<T> {
    /// A copy of the value, tracked.
    pub(crate) fn get(&self) -> T {
        T::clone(&self.read())
    }

    /// A copy of the value, not tracked: for handlers.
    pub(crate) fn get_untracked(&self) -> T {
        T::clone(&self.read_untracked())
    }
}

fn unpacked<T: Send + Sync + 'static>(packed: Packed) -> Arc<T> {
    match packed.value.downcast() {
        Ok(value) => value,
        Err(_) => unreachable!("only `memo` packs, and it packs a T"),
    }
}

/// A value worked out anew when what it reads has changed, and told on only if it differs.
pub(crate) fn memo<T>(work_out: impl Fn() -> T + Send + Sync + 'static) -> Live<T>
where
    T: PartialEq + Send + Sync + 'static,
{
    let pack = move || Packed { value: Arc::new(work_out()), same: same::<T> };
    Live(boxed_memo(Box::new(pack)), PhantomData)
}

fn boxed_memo(pack: Box<dyn Fn() -> Packed + Send + Sync>) -> Memo<Packed> {
    Memo::new(move |_| pack())
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

fn boxed_when(condition: Live<bool>, part: Arc<dyn Fn() -> AnyView + Send + Sync>) -> AnyView {
    (move || condition.get().then(|| part())).into_any()
}
