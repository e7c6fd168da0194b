use super::units::Units;

/// A language of the texts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Language {
    /// English.
    #[default]
    English,
    /// English with every word half as long again, to test the layout.
    Long,
}

/// How a sentence is written: in which language, and with which unit of lengths.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Words {
    /// The language.
    pub language: Language,
    /// The unit of lengths.
    pub units: Units,
}

/// A text with every word half as long again.
pub fn lengthen(text: &str) -> String {
    // What is filled in is not longer in another language.
    let mut out = String::new();
    let mut blank = false;
    for word in text.split(' ') {
        if !out.is_empty() {
            out.push(' ');
        }
        let filled = blank || word.contains('{');
        blank = match (word.rfind('{'), word.rfind('}')) {
            (Some(open), Some(close)) => open > close,
            (Some(_), None) => true,
            (None, Some(_)) => false,
            (None, None) => blank,
        };
        out.push_str(word);
        if !filled {
            out.push_str(&"~".repeat(word.chars().count().div_ceil(2)));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_longer_language_lengthens_each_word() {
        assert_eq!(lengthen("Touch {0} now"), "Touch~~~ {0} now~~", "but not what is filled in");
        assert_eq!(lengthen("at most {60 mm/s}"), "at~ most~~ {60 mm/s}", "nor a length");
    }
}
