//! What an attribute, a property or a text is given: once, or anew whenever it changes.

use super::{Slot, keep};
use crate::app::i18n::{Key, text};
use std::borrow::Cow;
use web_sys::Node;

/// A text, or none.
pub(super) type Given = Option<Cow<'static, str>>;

/// What can be given: texts, words of the interface, numbers, `bool` (there, without a text, or not
/// there), and closures of them, which are asked again whenever what they read has changed.
pub(crate) trait Value {
    /// Gives it to a slot of this name of a node.
    fn give(self, node: &Node, slot: Slot, name: &'static str);
}

/// What can be given once.
pub(crate) trait Fixed {
    fn given(self) -> Given;
}

impl Fixed for &'static str {
    fn given(self) -> Given {
        Some(Cow::Borrowed(self))
    }
}

impl Fixed for Key {
    fn given(self) -> Given {
        text(self).given()
    }
}

impl Fixed for String {
    fn given(self) -> Given {
        Some(Cow::Owned(self))
    }
}

impl Fixed for bool {
    fn given(self) -> Given {
        self.then_some(Cow::Borrowed(""))
    }
}

impl Fixed for usize {
    fn given(self) -> Given {
        self.to_string().given()
    }
}

impl Fixed for f64 {
    fn given(self) -> Given {
        self.to_string().given()
    }
}

impl<T: Fixed> Fixed for Option<T> {
    fn given(self) -> Given {
        self.and_then(Fixed::given)
    }
}

// Most of what is given is one of these two: each has a way of its own, short at the place of call.

impl Value for &'static str {
    fn give(self, node: &Node, slot: Slot, name: &'static str) {
        slot(node, name, Some(self));
    }
}

impl Value for Key {
    fn give(self, node: &Node, slot: Slot, name: &'static str) {
        slot(node, name, Some(text(self)));
    }
}

macro_rules! given_once {
    ($($kind:ty),+) => {$(
        impl Value for $kind {
            fn give(self, node: &Node, slot: Slot, name: &'static str) {
                slot(node, name, self.given().as_deref());
            }
        }
    )+};
}

given_once!(String, bool, usize, f64, Option<&'static str>, Option<String>);

impl<F: Fn() -> V + 'static, V: Fixed> Value for F {
    fn give(self, node: &Node, slot: Slot, name: &'static str) {
        follow(node.clone(), slot, name, Box::new(move || self().given()));
    }
}

/// Gives what is read, now and whenever it has become something else.
fn follow(node: Node, slot: Slot, name: &'static str, read: Box<dyn Fn() -> Given>) {
    let mut before: Option<Given> = None;
    keep(Box::new(move || {
        let now = read();
        if before.as_ref() != Some(&now) {
            slot(&node, name, now.as_deref());
            before = Some(now);
        }
    }));
}
