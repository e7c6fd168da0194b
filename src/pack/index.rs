//! The page's `index.html`, as Trunk has written it: what it names, and the same with something changed.

use crate::files::{Files, Problem, text};
use crate::policy::Policy;
use lol_html::html_content::{ContentType, Element};
use lol_html::{ElementContentHandlers, RewriteStrSettings, Selector, element, rewrite_str};
use std::borrow::Cow;
use std::cell::RefCell;

/// The element that holds the content-security policy.
pub(crate) const POLICY: &str = "meta[http-equiv=Content-Security-Policy]";
pub(crate) const ICON: &str = "link[rel=icon]";
pub(crate) const STYLE: &str = "link[rel=stylesheet]";
/// The script that starts the program.
pub(crate) const BOOT: &str = "script[defer][src]";
/// What names the script of a worker.
pub(crate) const WORKER: &str = "meta[name=worker]";
pub(crate) const GLUE: &str = "link[rel=modulepreload]";
pub(crate) const PROGRAM: &str = "link[rel=preload][as=fetch]";
/// Where the program draws itself, the first element of the body, and the last.
pub(crate) const FIRST: &str = "div#app";
pub(crate) const LAST: &str = "main#panic";

/// A change of the elements that a selector finds.
pub(crate) type Change<'c> = (Cow<'c, Selector>, ElementContentHandlers<'c>);

/// Changes the elements that `selector` finds.
pub(crate) fn change<'c>(
    selector: &'static str,
    mut edit: impl FnMut(&mut Element) -> Result<(), Problem> + 'c,
) -> Change<'c> {
    element!(selector, move |el| edit(el).map_err(Into::into))
}

/// The page with these changes.
pub(crate) fn rewritten(html: &str, changes: Vec<Change>) -> Result<String, Problem> {
    let settings = changes
        .into_iter()
        .fold(RewriteStrSettings::new(), RewriteStrSettings::append_element_content_handler);
    rewrite_str(html, settings).map_err(|e| format!("index.html: {e}"))
}

/// Sets the policy anew.
pub(crate) fn set_policy(policy: &Policy) -> Change<'_> {
    change(POLICY, |el| el.set_attribute("content", &policy.text()).map_err(|e| e.to_string()))
}

/// Puts markup after the elements that `selector` finds.
pub(crate) fn put_after<'c>(selector: &'static str, html: &'c str) -> Change<'c> {
    change(selector, move |el| {
        el.after(html, ContentType::Html);
        Ok(())
    })
}

/// Puts markup before the elements that `selector` finds.
pub(crate) fn put_before<'c>(selector: &'static str, html: &'c str) -> Change<'c> {
    change(selector, move |el| {
        el.before(html, ContentType::Html);
        Ok(())
    })
}

/// Takes away the elements that `selector` finds.
pub(crate) fn remove<'c>(selector: &'static str) -> Change<'c> {
    change(selector, |el| {
        el.remove();
        Ok(())
    })
}

/// What `index.html` names.
pub(crate) struct Index<'p> {
    pub(crate) html: &'p str,
    pub(crate) policy: Policy,
    /// Names of files.
    pub(crate) styles: Vec<String>,
    pub(crate) boot: String,
    pub(crate) glue: String,
    pub(crate) program: String,
    pub(crate) worker_glue: String,
    pub(crate) worker_program: String,
}

impl<'p> Index<'p> {
    /// Reads it, and sees that all files that it names are there.
    pub(crate) fn of(page: &'p Files) -> Result<Self, Problem> {
        let html = text(page, "index.html")?;
        let named = |selector, attribute| named(page, html, selector, attribute);
        let loader = the_one(WORKER, named(WORKER, "content")?)?;
        let worker = loader.strip_suffix("_loader.js").ok_or_else(|| {
            format!("index.html: expected the script of a worker, and found {loader}")
        })?;
        let (worker_glue, worker_program) = (format!("{worker}.js"), format!("{worker}_bg.wasm"));
        is_there(page, &worker_glue)?;
        is_there(page, &worker_program)?;
        Ok(Self {
            html,
            policy: Policy::read(&the_one(POLICY, attributes(html, POLICY, "content")?)?)?,
            styles: named(STYLE, "href")?,
            boot: the_one(BOOT, named(BOOT, "src")?)?,
            glue: the_one(GLUE, named(GLUE, "href")?)?,
            program: the_one(PROGRAM, named(PROGRAM, "href")?)?,
            worker_glue,
            worker_program,
        })
    }
}

/// The values of an attribute of all elements that `selector` finds.
fn attributes(html: &str, selector: &'static str, attribute: &str) -> Result<Vec<String>, Problem> {
    let found = RefCell::new(Vec::new());
    let look = change(selector, |el| {
        found.borrow_mut().extend(el.get_attribute(attribute));
        Ok(())
    });
    rewritten(html, vec![look])?;
    Ok(found.into_inner())
}

/// The files that an attribute of all elements that `selector` finds names.
fn named(
    page: &Files,
    html: &str,
    selector: &'static str,
    attribute: &str,
) -> Result<Vec<String>, Problem> {
    let names: Vec<_> =
        attributes(html, selector, attribute)?.iter().map(|a| file_name(a).to_owned()).collect();
    names.iter().try_for_each(|name| is_there(page, name))?;
    Ok(names)
}

fn is_there(page: &Files, name: &str) -> Result<(), Problem> {
    if page.contains_key(name) {
        return Ok(());
    }
    Err(format!("index.html: names {name}, and there is no such file beside it"))
}

/// The name of a file as an address of the page has it.
pub(crate) fn file_name(address: &str) -> &str {
    address.strip_prefix("./").unwrap_or(address)
}

fn the_one(selector: &str, mut found: Vec<String>) -> Result<String, Problem> {
    match (found.pop(), found.len()) {
        (Some(one), 0) => Ok(one),
        (found, more) => {
            let count = more + usize::from(found.is_some());
            Err(format!("index.html: expected one element {selector}, and found {count}"))
        }
    }
}
