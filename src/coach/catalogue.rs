use super::rule::Rule;
use super::rule_name::{RuleName, every_rule};
use super::rules;

macro_rules! catalogue {
    ($($name:ident $file:ident,)*) => {
        /// The whole catalogue, in the order of a routine and then of a session.
        ///
        /// Status of every rule: common practice, no source, unless its page names one.
        pub static RULES: &[Rule] = &[$(rules::$file::RULE),*];
    };
}

every_rule!(catalogue);

/// The rule of that name.
pub fn rule(name: RuleName) -> &'static Rule {
    &RULES[name as usize]
}
