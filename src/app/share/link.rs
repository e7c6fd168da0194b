//! A file in an address: the text of a session or of the set-up of a class, deflated (RFC 1951) by the browser, as
//! base64url behind a version mark. What stands behind the hash is never sent to a server.

use crate::app::i18n::{Key, format, text};
use base64::DecodeError;
use base64::prelude::{BASE64_URL_SAFE_NO_PAD, Engine as _};
use js_sys::{Array, Function, Reflect, Uint8Array};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Blob, ReadableWritablePair, Response};

/// What a link carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum LinkKind {
    Session,
    /// The set-up of a class.
    Class,
}

impl LinkKind {
    const ALL: [Self; 2] = [Self::Session, Self::Class];

    /// What stands before the text in the address.
    fn before(self) -> &'static str {
        match self {
            Self::Session => "#/open?",
            Self::Class => "#/class-setup?",
        }
    }

    /// What an address carries, if it is a link.
    pub(super) fn of(hash: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| hash.starts_with(kind.before()))
    }
}

/// How the rest is written.
const VERSION: &str = "1";
/// Longest address, characters. Everything that passes addresses on is asked to bear 8000
/// (RFC 9110, section 4.1), and a chat or a mail program breaks longer ones.
pub(super) const LONGEST: usize = 8000;
/// Most that a link may unpack to, KiB: hundreds of times a long lesson.
const LARGEST_KIB: usize = 1024;

/// The address of a file on this page, or one sentence why there is none.
pub(super) async fn write(kind: LinkKind, file: &str) -> Result<String, String> {
    // Without the line breaks and indents of the file.
    let compact: String = file.lines().map(str::trim_start).collect();
    let packed = through("CompressionStream", compact.as_bytes()).await;
    let packed = packed.map_err(|_| text(Key::LinkNotMade).to_owned())?;
    let address = web_sys::window().and_then(|w| w.location().href().ok()).unwrap_or_default();
    let page = address.split('#').next().unwrap_or_default();
    let link =
        [page, kind.before(), VERSION, ".", &BASE64_URL_SAFE_NO_PAD.encode(&packed)].concat();
    if link.len() > LONGEST {
        let numbers = [link.len(), LONGEST].map(|n| n.to_string());
        return Err(format(Key::LinkWouldBeLong, &[&numbers[0], &numbers[1]]));
    }
    Ok(link)
}

/// The file of an address, or one sentence that names what was expected.
pub(super) async fn read(kind: LinkKind, hash: &str) -> Result<String, String> {
    let before = kind.before();
    let rest = hash.strip_prefix(before).unwrap_or_default();
    if hash.len() > LONGEST {
        let numbers = [hash.len(), LONGEST].map(|n| n.to_string());
        return Err(format(Key::LinkTooLong, &[&numbers[0], &numbers[1]]));
    }
    let Some((version, coded)) = rest.split_once('.') else {
        return Err(format(Key::LinkUnmarked, &[before]));
    };
    if version != VERSION {
        return Err(format(Key::LinkOtherVersion, &[VERSION, version]));
    }
    let packed = BASE64_URL_SAFE_NO_PAD.decode(coded).map_err(|e| match e {
        DecodeError::InvalidByte(at, _) => {
            let place = before.len() + VERSION.len() + 1 + at + 1;
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
    String::from_utf8(bytes).map_err(|_| text(Key::LinkTorn).to_owned())
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
