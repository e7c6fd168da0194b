//! The folder for a web server.

use crate::page::{packed, page, text};
use base64::prelude::{BASE64_STANDARD, Engine as _};
use sha2::{Digest as _, Sha384};
use std::collections::BTreeMap;
use std::io::Read as _;

#[test]
fn what_is_packed_in_advance_unpacks_to_the_file_beside_it() {
    let files = packed(&page()).expect("packed");
    let mut count = 0;
    for (name, packed) in &files {
        let mut bytes = Vec::new();
        if let Some(plain) = name.strip_suffix(".br") {
            brotli::Decompressor::new(packed.as_slice(), 4096)
                .read_to_end(&mut bytes)
                .expect("brotli");
            assert_eq!(bytes, files[plain], "{name}");
            count += 1;
        } else if let Some(plain) = name.strip_suffix(".gz") {
            flate2::read::GzDecoder::new(packed.as_slice()).read_to_end(&mut bytes).expect("gzip");
            assert_eq!(bytes, files[plain], "{name}");
            // RFC 1952: a time of 0 is none.
            assert_eq!(packed[4..8], [0; 4], "{name} holds no time");
        }
    }
    assert!(count > 6, "files are packed: {count}");
}

/// What the service worker lists: addresses with checksums.
fn listed(files: &nudgeproof_pack::Files) -> BTreeMap<String, String> {
    let worker = text(files, "site/sw.js");
    let line = worker.lines().find_map(|l| l.strip_prefix("const FILES = ")).expect("a list");
    serde_json::from_str(line.trim_end_matches(';')).expect("JSON")
}

#[test]
fn the_service_worker_lists_every_file_with_its_checksum() {
    let files = packed(&page()).expect("packed");
    let served =
        files.iter().filter_map(|(name, bytes)| Some((name.strip_prefix("site/")?, bytes)));
    let packed_too = |name: &str| [".br", ".gz"].iter().any(|end| name.ends_with(end));
    let whole = served.filter(|(name, _)| !packed_too(name) && *name != "sw.js");
    let address = |name: &str| if name == "index.html" { "./".into() } else { format!("./{name}") };
    let sum = |bytes: &[u8]| format!("sha384-{}", BASE64_STANDARD.encode(Sha384::digest(bytes)));
    let expected: BTreeMap<_, _> = whole.map(|(name, bytes)| (address(name), sum(bytes))).collect();
    assert_eq!(listed(&files), expected);
}

#[test]
fn any_change_of_a_file_is_another_version() {
    let version = |files: &nudgeproof_pack::Files| {
        text(files, "site/sw.js").lines().next().expect("a version").to_owned()
    };
    let first = packed(&page()).expect("packed");
    let mut changed = page();
    changed.get_mut("main-0123456789abc.css").expect("a style").push(b' ');
    let second = packed(&changed).expect("packed");
    assert_ne!(version(&first), version(&second));
}

#[test]
fn the_page_names_its_manifest_and_icons_and_may_load_them() {
    let files = packed(&page()).expect("packed");
    let html = text(&files, "site/index.html");
    assert!(html.contains("manifest-src 'self'"), "{html}");
    assert!(!html.contains("href=data:,"), "in place of the icon that was none");
    let named = html.split("href=./").skip(1).filter_map(|rest| rest.split([' ', '>']).next());
    let named: Vec<_> = named.collect();
    for name in &named {
        assert!(files.contains_key(&format!("site/{name}")), "{name} is there");
    }
    let manifest = named.iter().find(|name| name.ends_with(".webmanifest")).expect("a manifest");
    let manifest: serde_json::Value =
        serde_json::from_str(text(&files, &format!("site/{manifest}"))).expect("JSON");
    // What browsers ask of a page that can be installed: a name, a start, and icons of 192 and 512 pixels.
    let icons = manifest["icons"].as_array().expect("icons");
    for sizes in ["192x192", "512x512"] {
        let icon = icons.iter().find(|icon| icon["sizes"] == sizes).expect(sizes);
        let name = icon["src"].as_str().expect("a name");
        let png = &files[&format!("site/{name}")];
        let wide = u32::from_be_bytes([png[16], png[17], png[18], png[19]]);
        assert_eq!(sizes, format!("{wide}x{wide}"), "as wide as the PNG itself says");
    }
    assert!(manifest["name"].is_string() && manifest["start_url"].is_string());
}

#[test]
fn the_servers_settings_have_the_policy_and_forbid_frames() {
    let files = packed(&page()).expect("packed");
    for server in ["servers/nginx.conf", "servers/apache.conf"] {
        let settings = text(&files, server);
        for header in [
            "Content-Security-Policy \"default-src 'none'; script-src 'self' 'wasm-unsafe-eval';",
            "frame-ancestors 'none'",
            "X-Content-Type-Options nosniff",
            "Referrer-Policy no-referrer",
            "Permissions-Policy \"",
            "Cross-Origin-Opener-Policy same-origin",
            "Cross-Origin-Resource-Policy same-origin",
        ] {
            assert!(settings.contains(header), "{server}: {header}");
        }
        assert!(
            !settings.contains('{') || !settings.contains("{policy}"),
            "{server}: no blank is left"
        );
    }
}
