//! The content-security policy of the page, and what each way of packing changes in it.

use crate::files::Problem;
use base64::prelude::{BASE64_STANDARD, Engine as _};
use sha2::{Digest as _, Sha256, Sha384};

/// Directives with their sources, in the order in which they stand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Policy(Vec<(String, Vec<String>)>);

impl Policy {
    /// Reads what stands in the page's `meta` element.
    pub(crate) fn read(text: &str) -> Result<Self, Problem> {
        let directive = |text: &str| {
            let mut words = text.split_whitespace().map(str::to_owned);
            Some((words.next()?, words.collect()))
        };
        let policy = Self(text.split(';').filter_map(directive).collect());
        if policy.sources("default-src") == Some(&["'none'".to_owned()]) {
            Ok(policy)
        } else {
            Err("index.html: expected a content-security policy that begins with default-src 'none'".into())
        }
    }

    fn sources(&self, directive: &str) -> Option<&[String]> {
        self.0.iter().find(|(name, _)| name == directive).map(|(_, sources)| sources.as_slice())
    }

    /// The same with this directive.
    pub(crate) fn with(mut self, directive: &str, sources: &[&str]) -> Self {
        self.0.retain(|(name, _)| name != directive);
        self.0.push((directive.into(), sources.iter().map(|s| (*s).to_owned()).collect()));
        self
    }

    /// The same without this directive: `default-src` holds in its place.
    pub(crate) fn without(mut self, directive: &str) -> Self {
        self.0.retain(|(name, _)| name != directive);
        self
    }

    /// As it stands in a `meta` element or a header.
    pub(crate) fn text(&self) -> String {
        let directive =
            |(name, sources): &(String, Vec<String>)| format!("{name} {}", sources.join(" "));
        self.0.iter().map(directive).collect::<Vec<_>>().join("; ")
    }
}

/// The source that allows this very text as an inline script or style.
pub(crate) fn allowing(text: &str) -> String {
    format!("'sha256-{}'", BASE64_STANDARD.encode(Sha256::digest(text)))
}

/// The checksum that a browser compares a file with before it takes it.
pub(crate) fn integrity(bytes: &[u8]) -> String {
    format!("sha384-{}", BASE64_STANDARD.encode(Sha384::digest(bytes)))
}
