//! The page in one file.

use crate::page::{GLUE, packed, page, text};
use base64::prelude::{BASE64_STANDARD, Engine as _};
use sha2::{Digest as _, Sha256};
use std::io::Read as _;

/// The texts between two marks.
fn between<'t>(text: &'t str, start: &str, end: &str) -> Vec<&'t str> {
    text.split(start).skip(1).filter_map(|rest| rest.split(end).next()).collect()
}

#[test]
fn it_loads_nothing_and_its_policy_knows_each_of_its_scripts() {
    let files = packed(&page()).expect("packed");
    let html = text(&files, "nudgeproof.html");
    assert!(!html.contains(" src="), "no script from elsewhere");
    assert!(!html.contains("href=./"), "no style from elsewhere");
    assert!(!html.contains("type=module"), "no module, which does not run from disk");
    let policy = between(html, "<meta content=\"", "\"")[0];
    assert!(!policy.contains("'self'") && !policy.contains("unsafe-inline"), "{policy}");
    let scripts = between(html, "<script>", "</script>");
    let styles = between(html, "<style>", "</style>");
    assert_eq!((scripts.len(), styles.len()), (2, 1), "what starts it, and its style");
    for inline in scripts.into_iter().chain(styles) {
        let hash = format!("'sha256-{}'", BASE64_STANDARD.encode(Sha256::digest(inline)));
        assert!(policy.contains(&hash), "{hash} of {inline}");
    }
}

#[test]
fn it_holds_both_programs_byte_by_byte_and_the_licences() {
    let files = packed(&page()).expect("packed");
    let html = text(&files, "nudgeproof.html");
    for (id, name) in [
        ("id=program>", "page-0123456789abc_bg.wasm"),
        ("id=worker-program>", "worker-0123456789abc_bg.wasm"),
    ] {
        let coded = between(html, id, "</script>")[0];
        let gzipped = BASE64_STANDARD.decode(coded).expect("base64");
        let mut program = Vec::new();
        flate2::read::GzDecoder::new(gzipped.as_slice()).read_to_end(&mut program).expect("gzip");
        assert_eq!(program, page()[name], "{name}");
    }
    assert!(html.contains("Library 1.0: MIT &lt;by> &amp; others"), "as a text, and no markup");
}

#[test]
fn glue_that_loads_more_is_refused() {
    for more in ["import { a } from './snippets/a.js';\n", "const a = import('./a.js');\n"] {
        let mut page = page();
        page.insert("page-0123456789abc.js".into(), format!("{more}{GLUE}").into_bytes());
        let refused = packed(&page).expect_err("more to load");
        assert!(refused.contains("expected it to load nothing"), "{refused}");
    }
}

#[test]
fn a_script_that_would_end_early_is_refused() {
    let mut page = page();
    page.insert("boot-0123456789abc.js".into(), b"const a = \"</script>\";".to_vec());
    assert!(packed(&page).is_err_and(|why| why.contains("</script")), "it names what would end it");
}
