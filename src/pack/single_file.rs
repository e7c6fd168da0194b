//! One HTML file that opens from disk. There a browser loads no module, fetches nothing and has no service
//! worker; so the glue stands in a classic script, and the program in the page itself, packed, as base64.

use crate::compress::gzip;
use crate::files::{Files, Problem, text};
use crate::index::{
    BOOT, GLUE, Index, LAST, PROGRAM, STYLE, change, file_name, put_after, remove, rewritten,
    set_policy,
};
use crate::policy::{Policy, allowing};
use base64::prelude::{BASE64_STANDARD, Engine as _};

/// Unpacks the program, and starts workers from what stands in the page.
const EMBEDDED: &str = include_str!("embedded.js");

/// The whole page in one file.
pub(crate) fn single_file(page: &Files) -> Result<Vec<u8>, Problem> {
    let index = Index::of(page)?;
    let glue = [
        classic("nudgeproofGlue", text(page, &index.glue)?)?,
        classic("nudgeproofWorker", text(page, &index.worker_glue)?)?,
    ];
    let scripts = [
        format!("\"use strict\";\n{}\n{}\n{EMBEDDED}", glue[0], glue[1]),
        text(page, &index.boot)?.to_owned(),
    ];
    let coded = |name: &str| gzip(name, &page[name]).map(|bytes| BASE64_STANDARD.encode(bytes));
    let body = format!(
        "<script type=application/octet-stream id=program>{}</script>\
         <script type=application/octet-stream id=worker-program>{}</script>\
         <pre id=licences hidden>{}</pre><script>{}</script><script>{}</script>",
        coded(&index.program)?,
        coded(&index.worker_program)?,
        escaped(text(page, "licences.txt")?),
        inline(&scripts[0])?,
        inline(&scripts[1])?,
    );
    let styles = index.styles.iter().map(|name| text(page, name)).collect::<Result<Vec<_>, _>>()?;
    let policy = policy(index.policy, &scripts, &styles);
    let html = rewritten(
        index.html,
        vec![
            set_policy(&policy),
            change(STYLE, |el| {
                let name = el.get_attribute("href").unwrap_or_default();
                let css = inline(text(page, file_name(&name))?)?;
                el.replace(
                    &format!("<style>{css}</style>"),
                    lol_html::html_content::ContentType::Html,
                );
                Ok(())
            }),
            remove(BOOT),
            remove(GLUE),
            remove(PROGRAM),
            put_after(LAST, &body),
        ],
    )?;
    Ok(html.into_bytes())
}

/// Nothing is loaded, and nothing runs but these very scripts.
fn policy(of_page: Policy, scripts: &[String], styles: &[&str]) -> Policy {
    let mut run: Vec<_> = scripts.iter().map(|script| allowing(script)).collect();
    run.push("'wasm-unsafe-eval'".into());
    let drawn: Vec<_> = styles.iter().map(|style| allowing(style)).collect();
    let sources = |all: &[String]| all.iter().map(String::as_str).collect::<Vec<_>>().join(" ");
    of_page
        .with("script-src", &[&sources(&run)])
        .with("style-src", &[&sources(&drawn)])
        .with("img-src", &["data:"])
        .with("worker-src", &["blob:"])
        .without("connect-src")
}

/// A text as it stands in an element.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;")
}

/// A text as it may stand in a script or a style of the page.
fn inline(text: &str) -> Result<&str, Problem> {
    let lower = text.to_ascii_lowercase();
    match ["</script", "</style", "<!--"].iter().find(|end| lower.contains(**end)) {
        Some(end) => {
            Err(format!("a text that is to stand in the page: it holds {end}, which would end it"))
        }
        None => Ok(text),
    }
}

/// The glue of wasm-bindgen as a function of this name that returns what its module hands out first: how to run
/// a program.
fn classic(name: &str, module: &str) -> Result<String, Problem> {
    let mut run = None;
    let mut lines = Vec::new();
    for line in module.lines() {
        if let Some(names) = line.strip_prefix("export {") {
            run = names
                .split([',', '}'])
                .find_map(|name| name.trim().strip_suffix(" as default").map(str::to_owned));
        } else if line.starts_with("import ") {
            return Err(format!("the glue: expected it to load nothing, and found: {line}"));
        } else {
            lines.push(line.strip_prefix("export ").unwrap_or(line));
        }
    }
    let run = run.ok_or("the glue: expected it to hand out a default")?;
    let text = lines.join("\n").replace("import.meta.url", "location.href");
    if text.contains("import.meta") || text.contains("import(") {
        return Err("the glue: expected it to load nothing, and it does".into());
    }
    Ok(format!("const {name} = () => {{\n{text}\nreturn {run};\n}};"))
}
