//! The folder for a web server: the page, what makes it work without a network and able to be installed, each
//! file packed in advance, and the settings of two common servers.

use crate::compress::packings;
use crate::files::{Files, Problem, hashed, hex};
use crate::index::{
    BOOT, FIRST, ICON, Index, put_after, put_before, remove, rewritten, set_policy,
};
use crate::policy::{Policy, integrity};
use serde_json::json;
use sha2::{Digest as _, Sha256};

/// The script of the page that looks after the service worker, and the notice that it shows.
const OFFLINE: &str = include_str!("offline.js");
const NOTICE: &str = include_str!("update_notice.html");
/// The service worker, which begins with the version and its files.
const SERVICE_WORKER: &str = include_str!("service_worker.js");
const ICONS: [(&str, &[u8]); 3] = [
    ("icon.svg", include_bytes!("icon/icon.svg")),
    ("icon-192.png", include_bytes!("icon/icon-192.png")),
    ("icon-512.png", include_bytes!("icon/icon-512.png")),
];
const SERVERS: [(&str, &str); 2] = [
    ("nginx.conf", include_str!("servers/nginx.conf")),
    ("apache.conf", include_str!("servers/apache.conf")),
];
/// Where the settings of a server have the policy.
const POLICY_BLANK: &str = "{policy}";

/// The folder `site/`, and `servers/` beside it.
pub(crate) fn site(page: &Files) -> Result<Files, Problem> {
    let index = Index::of(page)?;
    let mut files = page.clone();
    let icons = ICONS.map(|(name, bytes)| keep(&mut files, name, bytes));
    let manifest = manifest(&icons);
    let manifest = keep(&mut files, "nudgeproof.webmanifest", manifest.as_bytes());
    let offline = keep(&mut files, "offline.js", OFFLINE.as_bytes());

    // A frame's ancestors can be named in a header alone.
    let policy = index.policy.with("manifest-src", &["'self'"]);
    let head = format!(
        "<link rel=icon href=./{} type=image/svg+xml><link rel=apple-touch-icon href=./{}><link rel=manifest href=./{manifest}>",
        icons[0], icons[1]
    );
    let script = format!(
        "<script defer integrity={} src=./{offline}></script>",
        integrity(OFFLINE.as_bytes())
    );
    let html = rewritten(
        index.html,
        vec![
            set_policy(&policy),
            put_after(ICON, &head),
            remove(ICON),
            put_before(BOOT, &script),
            put_before(FIRST, NOTICE),
        ],
    )?;
    files.insert("index.html".into(), html.into_bytes());
    files.insert("sw.js".into(), service_worker(&files).into_bytes());

    let mut packed = Files::new();
    for (name, bytes) in files {
        for (name, bytes) in packings(&name, &bytes)? {
            packed.insert(format!("site/{name}"), bytes);
        }
        packed.insert(format!("site/{name}"), bytes);
    }
    for (name, text) in SERVERS {
        packed.insert(format!("servers/{name}"), settings(text, &policy)?.into_bytes());
    }
    Ok(packed)
}

/// Takes a file in under a name with its hash, which is returned.
fn keep(files: &mut Files, name: &str, bytes: &[u8]) -> String {
    let name = hashed(name, bytes);
    files.insert(name.clone(), bytes.to_vec());
    name
}

/// The manifest of the page as an installed program.
fn manifest([svg, small, large]: &[String; 3]) -> String {
    let icon = |name: &String, sizes, kind| json!({ "src": name, "sizes": sizes, "type": kind });
    json!({
        "name": "Nudgeproof",
        "short_name": "Nudgeproof",
        "description": "Learn to write robot routines that still weld on the seam after the part was nudged.",
        "lang": "en",
        "start_url": "./",
        "scope": "./",
        "display": "standalone",
        "background_color": "#f7f8f4",
        "theme_color": "#f7f8f4",
        "icons": [
            icon(svg, "any", "image/svg+xml"),
            icon(small, "192x192", "image/png"),
            icon(large, "512x512", "image/png"),
        ],
    })
    .to_string()
}

/// The service worker of these files. Its version is a hash of all of them, so it changes with each.
fn service_worker(files: &Files) -> String {
    let address = |name: &str| if name == "index.html" { "./".into() } else { format!("./{name}") };
    let list: serde_json::Map<_, _> =
        files.iter().map(|(name, bytes)| (address(name), integrity(bytes).into())).collect();
    let list = serde_json::Value::from(list).to_string();
    let version = hex(&Sha256::digest(format!("{list}{SERVICE_WORKER}"))[..8]);
    format!("const VERSION = \"{version}\";\nconst FILES = {list};\n{SERVICE_WORKER}")
}

/// The settings of a server, with the policy as a header: what the page says of itself, and who may frame it.
fn settings(template: &str, policy: &Policy) -> Result<String, Problem> {
    let policy = policy.clone().with("frame-ancestors", &["'none'"]).text();
    if template.contains(POLICY_BLANK) {
        Ok(template.replace(POLICY_BLANK, &policy))
    } else {
        Err("the settings of a server: expected a place for the policy".into())
    }
}
