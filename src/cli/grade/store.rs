//! A learning record store that is asked over HTTP (xAPI 1.0.3, part three, 2.1.3): its answers, page by page.

use super::source::{Source, Text};
use super::statements;
use crate::output::Problem;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use nudgeproof::io::limits::FILE_KIB;
use std::env;
use std::time::Duration;
use ureq::Agent;
use ureq::http::StatusCode;

/// Where key and secret of the store stand. On the command line everybody at the machine would see them.
const KEY: &str = "NUDGEPROOF_STORE_KEY";
const SECRET: &str = "NUDGEPROOF_STORE_SECRET";
/// The longest that an answer may take.
const WAIT: Duration = Duration::from_secs(120);

/// Whether this is the address of a store rather than of a folder.
pub(super) fn is_address(from: &str) -> bool {
    from.starts_with("https://") || from.starts_with("http://")
}

/// The answers to a query, one after the other.
pub(super) struct Store {
    agent: Agent,
    authorization: String,
    /// The address up to the path: key and secret go nowhere else.
    origin: String,
    next: Option<String>,
    read: usize,
}

impl Store {
    /// The store that is asked by this address, a whole query.
    pub(super) fn at(address: &str) -> Result<Self, Problem> {
        let host = address.find("://").map_or(0, |at| at + "://".len());
        let (origin, path) = match address[host..].find('/') {
            Some(at) => address.split_at(host + at),
            None => (address, ""),
        };
        if !path.split('?').next().is_some_and(|path| path.ends_with("/statements")) {
            return Err(format!(
                "{address}: expected the address of a query, https://…/statements?…"
            ));
        }
        let [key, secret] = [KEY, SECRET].map(|name| {
            env::var(name).map_err(|_| {
                format!("{address}: expected the key and the secret of the store in {KEY} and {SECRET}, and {name} is not set")
            })
        });
        let config = Agent::config_builder()
            .timeout_global(Some(WAIT))
            .http_status_as_error(false)
            .max_redirects(0)
            .build();
        Ok(Self {
            agent: config.new_agent(),
            authorization: format!("Basic {}", STANDARD.encode(format!("{}:{}", key?, secret?))),
            origin: origin.into(),
            next: Some(address.into()),
            read: 0,
        })
    }

    fn page(&self, address: &str) -> Result<String, Problem> {
        let said = |e: ureq::Error| format!("expected the store to answer, and it did not: {e}");
        let request = self.agent.get(address).header("Authorization", &self.authorization);
        let mut answer =
            request.header("X-Experience-API-Version", "1.0.3").call().map_err(said)?;
        match answer.status() {
            StatusCode::OK => {}
            StatusCode::UNAUTHORIZED | StatusCode::FORBIDDEN => {
                return Err(format!(
                    "expected the store to take {KEY} and {SECRET}, and it refused"
                ));
            }
            other => return Err(format!("expected the store to answer, and it answered {other}")),
        }
        let most = FILE_KIB.most as u64 * 1024;
        answer.body_mut().with_config().limit(most).read_to_string().map_err(said)
    }

    /// Where the page after this one is, within the store.
    fn after(&self, page: &str) -> Result<Option<String>, Problem> {
        let Some(more) = statements::rest(page)? else { return Ok(None) };
        let whole = if more.starts_with('/') { format!("{}{more}", self.origin) } else { more };
        let within = whole.strip_prefix(&self.origin).is_some_and(|path| path.starts_with('/'));
        if !within {
            return Err(
                "expected more of the answer at the same store, and it names another".into()
            );
        }
        Ok(Some(whole))
    }
}

impl Iterator for Store {
    type Item = Source;

    fn next(&mut self) -> Option<Source> {
        let address = self.next.take()?;
        self.read += 1;
        let name = format!("page {} of the store", self.read);
        let page = self.page(&address).and_then(|page| {
            self.next = self.after(&page)?.filter(|next| *next != address);
            Ok(Text::Here(page))
        });
        Some(Source { name, text: page })
    }
}
