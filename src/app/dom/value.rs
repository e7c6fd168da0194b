//! What an attribute, a property or a text is given: once, or anew whenever it changes.

use std::borrow::Cow;

/// A text, or none.
pub(super) type Given = Option<Cow<'static, str>>;

/// Where what is given comes from.
pub(crate) enum Source {
    Fixed(Given),
    Live(Box<dyn Fn() -> Given>),
}

/// What can be given: texts, numbers, `bool` (there, without a text, or not there), and closures
/// of them, which are asked again whenever what they read has changed.
pub(crate) trait Value {
    fn source(self) -> Source;
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

impl Fixed for String {
    fn given(self) -> Given {
        Some(Cow::Owned(self))
    }
}

impl Fixed for Cow<'static, str> {
    fn given(self) -> Given {
        Some(self)
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

macro_rules! fixed_values {
    ($($kind:ty),+) => {$(
        impl Value for $kind {
            fn source(self) -> Source {
                Source::Fixed(self.given())
            }
        }
    )+};
}

fixed_values!(
    &'static str,
    String,
    Cow<'static, str>,
    bool,
    usize,
    Option<&'static str>,
    Option<String>
);

impl<F: Fn() -> V + 'static, V: Fixed> Value for F {
    fn source(self) -> Source {
        Source::Live(Box::new(move || self().given()))
    }
}
