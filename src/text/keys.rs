//! The keys of the tables. A key without a text, and a text whose blanks are not its key's values, do not
//! compile.

use super::english::{every_rule_text, every_sentence};
use super::template::fits;
use super::words::{Language, lengthen};
use serde::{Deserialize, Serialize};
use std::borrow::Cow;
use strum::{Display, EnumString, IntoStaticStr};

macro_rules! keys {
    ($($key:ident($($value:ident),*): $text:literal,)*) => {
        /// Which sentence: named as the function of `say` that says it.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        #[allow(non_camel_case_types, reason = "named as functions are")]
        pub enum Key { $(#[doc = $text] $key),* }

        impl Key {
            /// All of them.
            pub const ALL: &[Self] = &[$(Self::$key),*];

            /// Names of its values, in order.
            pub const fn names(self) -> &'static [&'static str] {
                match self { $(Self::$key => &[$(stringify!($value)),*]),* }
            }

            /// The English text, with blanks.
            const fn english(self) -> &'static str {
                match self { $(Self::$key => $text),* }
            }
        }

        $(const _: () = assert!(
            fits($text, Key::$key.names()),
            concat!(stringify!($key), ": its blanks are not its values")
        );)*
    };
}

every_sentence!(keys);

impl Key {
    /// Its text in a language, with blanks.
    pub fn template(self, language: Language) -> Cow<'static, str> {
        in_language(self.english(), language)
    }
}

/// A text of the English table in a language.
pub(super) fn in_language(english: &str, language: Language) -> Cow<'_, str> {
    match language {
        Language::English => english.into(),
        Language::Long => lengthen(english).into(),
    }
}

/// The texts of a rule of the coach.
#[derive(Debug, Clone, Copy)]
pub(super) struct RuleWords {
    pub(super) title: &'static str,
    pub(super) asks: &'static str,
    pub(super) hints: [&'static str; 3],
}

macro_rules! rule_texts {
    ($($rule:ident { title: $title:literal, asks: $asks:literal, hints: $hints:expr, })*) => {
        /// The name of a rule of the coach: names the mistake. Kebab-case in files.
        #[derive(
            Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, Display,
            EnumString, IntoStaticStr,
        )]
        #[serde(rename_all = "kebab-case")]
        #[strum(serialize_all = "kebab-case")]
        pub enum RuleName { $(#[doc = $title] $rule),* }

        impl RuleName {
            pub(super) const fn words(self) -> RuleWords {
                match self {
                    $(Self::$rule => RuleWords { title: $title, asks: $asks, hints: $hints },)*
                }
            }
        }

        $(const _: () = {
            let RuleWords { title, asks, hints: [first, second, third] } =
                RuleName::$rule.words();
            assert!(
                fits(title, &[]) && fits(asks, &[]) && fits(first, &[]) && fits(second, &[])
                    && fits(third, &[]),
                concat!(stringify!($rule), ": a text of a rule has no values")
            );
        };)*
    };
}

every_rule_text!(rule_texts);
