/// How the name of every part of one's own begins. No part of the program begins like this.
pub const OWN_NAME: &str = "own-";
/// Longest rest of the name: names of parts are short.
const LONGEST: usize = 40;

/// The name of a part of one's own with this title: never that of a part that comes with the program, and with
/// another title another one.
pub fn own_part_name(title: &str) -> String {
    let title = title.trim();
    let words = title.split(|c: char| !c.is_ascii_alphanumeric()).filter(|word| !word.is_empty());
    let name = words.map(str::to_ascii_lowercase).collect::<Vec<_>>().join("-");
    let read_back = name.replace('-', " ");
    // Most titles begin with a capital and have no other.
    let (first, rest) = read_back.split_at(usize::from(!read_back.is_empty()));
    let whole = [&first.to_ascii_uppercase(), rest].concat() == title;
    own_name(&name, title, whole)
}

/// The name under which a part that was read is one's own.
pub fn own_name_of_part(name: &str) -> String {
    own_name(name.strip_prefix(OWN_NAME).unwrap_or(name), name, true)
}

/// The short name, with a mark of what it stands for where it does not say all of that.
fn own_name(name: &str, of: &str, whole: bool) -> String {
    if whole && !name.is_empty() && name.len() <= LONGEST {
        return format!("{OWN_NAME}{name}");
    }
    let mark = format!("-{:08x}", fnv(of));
    let short: String = name.chars().take(LONGEST - mark.len()).collect();
    let short = short.trim_end_matches('-');
    format!("{OWN_NAME}{}{mark}", if short.is_empty() { "part" } else { short })
}

/// FNV-1a with 32 bits (IETF draft-eastlake-fnv).
fn fnv(text: &str) -> u32 {
    text.bytes().fold(0x811c_9dc5, |hash, byte| (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cell::{held_back_parts, parts};
    use std::collections::BTreeSet;

    #[test]
    fn names_are_made_of_titles_and_are_nobody_elses() {
        assert_eq!(own_part_name("Bus shelter post 2"), "own-bus-shelter-post-2", "words");
        assert_eq!(own_part_name(" Bench side "), "own-bench-side", "not the program's");
        let taken = |name: &str| name.starts_with(OWN_NAME);
        assert!(parts().iter().chain(&held_back_parts()).all(|p| !taken(&p.name)), "kept free");
    }

    #[test]
    fn another_title_is_another_name() {
        let long = "Bus shelter with a bench and a bin, the left";
        let titles = [
            "Lid",
            "lid",
            "LID",
            "Lid-",
            "Lid 2",
            "Lid.2",
            "Überdach",
            "Oberdach",
            "berdach",
            "座椅",
            "垃圾桶",
            "Лавка",
            "???",
            "!",
            long,
            &[long, " one"].concat(),
            &[long, " two"].concat(),
        ];
        let names: BTreeSet<_> = titles.iter().map(|title| own_part_name(title)).collect();
        assert_eq!(names.len(), titles.len(), "{names:?}");
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        for name in &names {
            assert!(name.len() <= OWN_NAME.len() + LONGEST && name.chars().all(plain), "{name}");
            assert_eq!(own_name_of_part(name), *name, "named once");
        }
        // The same on every machine: files are named so. FNV-1a of "a" by the draft's test vectors.
        assert_eq!(own_part_name("a"), "own-a-e40c292c");
    }

    #[test]
    fn a_part_that_was_read_has_its_name_marked_as_ones_own() {
        assert_eq!(own_name_of_part("bench-side"), "own-bench-side", "not the program's");
        assert_eq!(own_name_of_part("own-bench-side"), "own-bench-side", "named once");
        let [a, b] =
            ["a", "b"].map(|end| own_name_of_part(&["x".repeat(60).as_str(), end].concat()));
        assert_ne!(a, b, "cut");
    }
}
