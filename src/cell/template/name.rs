/// How the name of every part of one's own begins. No part of the program begins like this.
pub const OWN_NAME: &str = "own-";
/// Longest rest of the name: names of parts are short.
const LONGEST: usize = 40;

/// The name of a part of one's own with this title: never that of a part that comes with the program.
pub fn own_part_name(title: &str) -> String {
    let plain = title.strip_prefix(OWN_NAME).unwrap_or(title);
    let words = plain.split(|c: char| !c.is_ascii_alphanumeric()).filter(|word| !word.is_empty());
    let joined = words.map(str::to_ascii_lowercase).collect::<Vec<_>>().join("-");
    let short: String = joined.chars().take(LONGEST).collect();
    match short.trim_end_matches('-') {
        "" => format!("{OWN_NAME}part"),
        name => format!("{OWN_NAME}{name}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cell::{held_back_parts, parts};

    #[test]
    fn names_are_made_of_titles_and_are_nobody_elses() {
        assert_eq!(own_part_name("Bus shelter, post foot"), "own-bus-shelter-post-foot", "words");
        assert_eq!(own_part_name("bench-side"), "own-bench-side", "not the program's");
        assert_eq!(own_part_name("own-bench-side"), "own-bench-side", "named once");
        assert_eq!(own_part_name("Überdach"), "own-berdach", "letters that names have");
        assert_eq!(own_part_name("???"), "own-part", "nothing left");
        let taken = |name: &str| name.starts_with(OWN_NAME);
        assert!(parts().iter().chain(&held_back_parts()).all(|p| !taken(&p.name)), "kept free");
    }
}
