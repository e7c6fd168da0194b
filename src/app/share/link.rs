//! A session in an address: the text of a session file, deflated (RFC 1951) by the browser, as
//! base64url behind a version mark. What stands behind the hash is never sent to a server.

use crate::app::i18n::{Key, format, text};
use base64::DecodeError;
use base64::prelude::{BASE64_URL_SAFE_NO_PAD, Engine as _};
use js_sys::{Array, Function, Reflect, Uint8Array};
use nudgeproof::session::Session;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Blob, ReadableWritablePair, Response};

/// What stands before the session in the address.
const BEFORE: &str = "#/open?";
/// How the rest is written.
const VERSION: &str = "1";
/// Longest address, characters. Everything that passes addresses on is asked to bear 8000
/// (RFC 9110, section 4.1), and a chat or a mail program breaks longer ones.
pub(super) const LONGEST: usize = 8000;
/// Most that a link may unpack to, KiB: hundreds of times a long lesson.
const LARGEST_KIB: usize = 1024;

/// Whether an address carries a session.
pub(super) fn is_link(hash: &str) -> bool {
    hash.starts_with(BEFORE)
}

/// The address of a session on this page, or one sentence why there is none.
pub(super) async fn write(session_file: &str) -> Result<String, String> {
    // Without the line breaks and indents of the file.
    let compact: String = session_file.lines().map(str::trim_start).collect();
    let packed = through("CompressionStream", compact.as_bytes()).await;
    let packed = packed.map_err(|_| text(Key::LinkNotMade).to_owned())?;
    let address = web_sys::window().and_then(|w| w.location().href().ok()).unwrap_or_default();
    let page = address.split('#').next().unwrap_or_default();
    let link = [page, BEFORE, VERSION, ".", &BASE64_URL_SAFE_NO_PAD.encode(&packed)].concat();
    if link.len() > LONGEST {
        let numbers = [link.len(), LONGEST].map(|n| n.to_string());
        return Err(format(Key::LinkWouldBeLong, &[&numbers[0], &numbers[1]]));
    }
    Ok(link)
}

/// The session of an address, or one sentence that names what was expected.
pub(super) async fn read(hash: &str) -> Result<Session, String> {
    let rest = hash.strip_prefix(BEFORE).unwrap_or_default();
    if hash.len() > LONGEST {
        let numbers = [hash.len(), LONGEST].map(|n| n.to_string());
        return Err(format(Key::LinkTooLong, &[&numbers[0], &numbers[1]]));
    }
    let Some((version, coded)) = rest.split_once('.') else {
        return Err(text(Key::LinkUnmarked).into());
    };
    if version != VERSION {
        return Err(format(Key::LinkOtherVersion, &[VERSION, version]));
    }
    let packed = BASE64_URL_SAFE_NO_PAD.decode(coded).map_err(|e| match e {
        DecodeError::InvalidByte(at, _) => {
            let place = BEFORE.len() + VERSION.len() + 1 + at + 1;
            format(Key::LinkStrange, &[&place.to_string()])
        }
        // The end is missing.
        _ => text(Key::LinkTorn).to_owned(),
    })?;
    let bytes = through("DecompressionStream", &packed).await;
    let bytes = bytes.map_err(|_| text(Key::LinkTorn).to_owned())?;
    let kib = bytes.len() / 1024;
    if kib > LARGEST_KIB {
        return Err(format(Key::LinkTooBig, &[&kib.to_string(), &LARGEST_KIB.to_string()]));
    }
    let text = String::from_utf8(bytes).map_err(|_| text(Key::LinkTorn).to_owned())?;
    Session::from_json(&text).map_err(|why| format(Key::LinkBadSession, &[&why.to_string()]))
}

/// The bytes after one of the browser's own transforms, which is named.
async fn through(transform: &str, bytes: &[u8]) -> Result<Vec<u8>, JsValue> {
    let class: Function = Reflect::get(&js_sys::global(), &transform.into())?.dyn_into()?;
    let pair = Reflect::construct(&class, &Array::of1(&"deflate-raw".into()))?;
    let parts = Array::of1(&Uint8Array::from(bytes));
    let blob = Blob::new_with_u8_array_sequence(&parts)?;
    let stream = blob.stream().pipe_through(pair.unchecked_ref::<ReadableWritablePair>());
    let answer = Response::new_with_opt_readable_stream(Some(&stream))?;
    let buffer = answer.array_buffer()?.await?;
    Ok(Uint8Array::new(&buffer).to_vec())
}
