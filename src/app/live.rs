//! Values that the page follows, behind one type of signal and one of memo. With a type of signal
//! for every type of value, the machinery is there anew each time: fifty copies of it in the program.

use leptos::prelude::*;
use std::any::Any;
use std::marker::PhantomData;
use std::ops::Deref;
use std::sync::Arc;

/// A value that the page follows: it is set by a handler, or worked out from others.
///
/// Copied freely; what reads it in a part of the page, an effect or a memo is told of its changes.
pub(crate) struct Live<T>(From, PhantomData<fn() -> T>);

#[derive(Clone, Copy)]
enum From {
    Signal(RwSignal<Packed>),
    Memo(Memo<Packed>),
}

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

impl From {
    fn read(self) -> Packed {
        match self {
            Self::Signal(signal) => signal.get(),
            Self::Memo(memo) => memo.get(),
        }
    }
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
        unpacked(self.0.read())
    }

    /// The value, not tracked: for handlers.
    pub(crate) fn read_untracked(&self) -> Arc<T> {
        unpacked(untrack(|| self.0.read()))
    }

    /// Looks at the value, tracked.
    pub(crate) fn with<U>(&self, look: impl FnOnce(&T) -> U) -> U {
        look(&self.read())
    }

    /// Only tracks it.
    pub(crate) fn track(&self) {
        self.0.read();
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
        Err(_) => unreachable!("only values of type T are packed into a Live<T>"),
    }
}

/// A value that handlers set.
pub(crate) struct Var<T>(Live<T>, RwSignal<Packed>);

impl<T> Clone for Var<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for Var<T> {}

impl<T> Deref for Var<T> {
    type Target = Live<T>;

    fn deref(&self) -> &Live<T> {
        &self.0
    }
}

impl<T: Send + Sync + 'static> Var<T> {
    pub(crate) fn new(value: T) -> Self {
        let signal = RwSignal::new(told(value));
        Self(Live(From::Signal(signal), PhantomData), signal)
    }

    /// Another value; whoever reads it is told, even if it is the same.
    pub(crate) fn set(&self, value: T) {
        self.1.set(told(value));
    }
}

impl<T: Clone + Send + Sync + 'static> Var<T> {
    /// Changes the value in place.
    pub(crate) fn update(&self, change: impl FnOnce(&mut T)) {
        let mut value = self.get_untracked();
        change(&mut value);
        self.set(value);
    }
}

impl<T: Default + Send + Sync + 'static> Default for Var<T> {
    fn default() -> Self {
        Self::new(T::default())
    }
}

/// Signals tell of every value: they never ask whether it is the same.
fn told<T: Send + Sync + 'static>(value: T) -> Packed {
    Packed { value: Arc::new(value), same: |_, _| false }
}

/// A value that stays as it is: like this it can be copied into every closure that needs it.
pub(crate) fn fixed<T: Send + Sync + 'static>(value: T) -> Live<T> {
    *Var::new(value)
}

/// A value worked out anew when what it reads has changed, and told on only if it differs.
pub(crate) fn memo<T>(work_out: impl Fn() -> T + Send + Sync + 'static) -> Live<T>
where
    T: PartialEq + Send + Sync + 'static,
{
    let pack = move || Packed { value: Arc::new(work_out()), same: same::<T> };
    Live(From::Memo(boxed_memo(Box::new(pack))), PhantomData)
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
