//! Bytes as text that any address may carry: base64url without padding (RFC 4648, section 5).

const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";

/// Three bytes become four letters.
pub(super) fn write(bytes: &[u8]) -> String {
    let mut out = String::with_capacity(bytes.len() * 4 / 3 + 4);
    for chunk in bytes.chunks(3) {
        let at = |i: usize| u32::from(chunk.get(i).copied().unwrap_or(0));
        let all = at(0) << 16 | at(1) << 8 | at(2);
        for i in 0..=chunk.len() {
            let letter = all >> (18 - 6 * i) & 63;
            out.push(char::from(LETTERS[letter as usize]));
        }
    }
    out
}

/// The bytes again, or the place (from 1) of the first character that is none of the letters or
/// stands alone at the end.
pub(super) fn read(text: &str) -> Result<Vec<u8>, usize> {
    let mut out = Vec::with_capacity(text.len() * 3 / 4);
    let (mut held, mut bits) = (0_u32, 0);
    for (i, c) in text.bytes().enumerate() {
        let value = match c {
            b'A'..=b'Z' => c - b'A',
            b'a'..=b'z' => c - b'a' + 26,
            b'0'..=b'9' => c - b'0' + 52,
            b'-' => 62,
            b'_' => 63,
            _ => return Err(i + 1),
        };
        held = held << 6 | u32::from(value);
        bits += 6;
        if bits >= 8 {
            bits -= 8;
            out.push((held >> bits) as u8);
            held &= (1 << bits) - 1;
        }
    }
    if bits == 6 { Err(text.len()) } else { Ok(out) }
}

#[cfg(test)]
mod tests {
    use super::*;

    // RFC 4648, section 10, without its padding.
    const VECTORS: [(&str, &str); 7] = [
        ("", ""),
        ("f", "Zg"),
        ("fo", "Zm8"),
        ("foo", "Zm9v"),
        ("foob", "Zm9vYg"),
        ("fooba", "Zm9vYmE"),
        ("foobar", "Zm9vYmFy"),
    ];

    #[test]
    fn the_vectors_of_the_standard_hold_both_ways() {
        for (plain, coded) in VECTORS {
            assert_eq!(write(plain.as_bytes()), coded, "{plain}");
            assert_eq!(read(coded).as_deref(), Ok(plain.as_bytes()), "{coded}");
        }
        assert_eq!(write(&[0xfb, 0xff]), "-_8", "the letters of addresses, section 5");
    }

    #[test]
    fn a_strange_letter_is_named_by_its_place() {
        assert_eq!(read("Zm9v+mFy"), Err(5), "a letter of the other alphabet");
        assert_eq!(read("Zm9vY"), Err(5), "one letter too few or too many");
    }
}
