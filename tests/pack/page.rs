//! A page as Trunk writes one, small.

use nudgeproof_pack::{Course, Files, Problem, Traces, pack, traces_of_this_machine};
use std::path::Path;

const INDEX: &str = "<!doctype html><html lang=en><meta charset=utf-8>\
<meta content=\"default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data:; \
connect-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'\" http-equiv=Content-Security-Policy>\
<title>Page</title><link href=data:, rel=icon>\
<link href=./main-0123456789abc.css integrity=sha384-x rel=stylesheet>\
<script defer integrity=sha384-x src=./boot-0123456789abc.js></script>\
<meta content=./worker-0123456789abc_loader.js name=worker>\
<link crossorigin href=./page-0123456789abc.js rel=modulepreload>\
<link as=fetch crossorigin href=./page-0123456789abc_bg.wasm rel=preload type=application/wasm></head>\
<body><div id=app></div><main id=panic hidden></main></body></html>";

pub(crate) const GLUE: &str = "export class Sink {}\nlet wasm;\nasync function __wbg_init(path) {\n  \
path ??= new URL('page_bg.wasm', import.meta.url);\n  return path;\n}\nexport { __wbg_init as default };\n";

/// The page's folder.
pub(crate) fn page() -> Files {
    let program: Vec<u8> = (0..4000u32).map(|n| (n % 251) as u8).collect();
    [
        ("index.html", INDEX.as_bytes()),
        ("main-0123456789abc.css", b"body { color: black }".repeat(40).as_slice()),
        ("boot-0123456789abc.js", b"\"use strict\";\nstart();\n".repeat(40).as_slice()),
        (
            "worker-0123456789abc_loader.js",
            b"import init from './worker-0123456789abc.js';await init();",
        ),
        ("worker-0123456789abc.js", GLUE.as_bytes()),
        ("worker-0123456789abc_bg.wasm", &program[..1000]),
        ("page-0123456789abc.js", GLUE.as_bytes()),
        ("page-0123456789abc_bg.wasm", &program),
    ]
    .map(|(name, bytes)| (name.to_owned(), bytes.to_vec()))
    .into()
}

pub(crate) fn traces() -> Traces {
    traces_of_this_machine(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../.."))
}

/// The page packed, without a set-up.
pub(crate) fn packed(page: &Files) -> Result<Files, Problem> {
    pack(page, &Course::default(), "Library 1.0: MIT <by> & others", &traces())
}

/// A packed file as a text.
pub(crate) fn text<'f>(files: &'f Files, name: &str) -> &'f str {
    let bytes = files.get(name).unwrap_or_else(|| panic!("{name} is packed: {:?}", files.keys()));
    std::str::from_utf8(bytes).expect("text")
}
