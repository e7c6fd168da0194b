use crate::app::i18n::{Key, text};

/// The modifiers held down with a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Modifiers {
    /// Neither Ctrl nor Alt. Shift is allowed, since some characters need it.
    Plain,
    /// The same; Shift makes the step finer.
    Fine,
    /// Ctrl, or the key that takes its place on this machine.
    Ctrl,
    CtrlShift,
    Alt,
    /// Alt, or nothing on the sheet. The letter is found by the place of its key: with Alt some
    /// keyboards write other characters.
    AltOrSheet,
    /// The key is itself a modifier, held down during something else.
    Held,
}

/// A key and what is held down with it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Chord {
    /// As in `KeyboardEvent.key`; letters in upper case.
    key: &'static str,
    with: Modifiers,
}

/// The parts of a keyboard event that decide.
#[allow(clippy::struct_excessive_bools, reason = "as the browser's event has them")]
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Press {
    /// `KeyboardEvent.key`.
    pub(super) key: String,
    /// `KeyboardEvent.code`: the place of the key, named after an American keyboard.
    pub(super) code: String,
    pub(super) ctrl: bool,
    pub(super) alt: bool,
    pub(super) shift: bool,
    /// The key is being held down; this is not the first event.
    pub(super) repeat: bool,
}

impl Press {
    /// Whether it writes a character.
    pub(super) fn is_character(&self) -> bool {
        !self.ctrl && !self.alt && self.key.chars().count() == 1
    }
}

impl Chord {
    pub(super) const fn plain(key: &'static str) -> Self {
        Self { key, with: Modifiers::Plain }
    }

    pub(super) const fn fine(key: &'static str) -> Self {
        Self { key, with: Modifiers::Fine }
    }

    pub(super) const fn ctrl(key: &'static str) -> Self {
        Self { key, with: Modifiers::Ctrl }
    }

    pub(super) const fn ctrl_shift(key: &'static str) -> Self {
        Self { key, with: Modifiers::CtrlShift }
    }

    pub(super) const fn alt(key: &'static str) -> Self {
        Self { key, with: Modifiers::Alt }
    }

    pub(super) const fn alt_or_sheet(key: &'static str) -> Self {
        Self { key, with: Modifiers::AltOrSheet }
    }

    pub(super) const fn held(key: &'static str) -> Self {
        Self { key, with: Modifiers::Held }
    }

    /// Whether this was pressed.
    pub(super) fn is(self, press: &Press) -> bool {
        let key = press.key.eq_ignore_ascii_case(self.key);
        let &Press { ctrl, alt, shift, repeat, .. } = press;
        match self.with {
            Modifiers::Plain | Modifiers::Fine => key && !ctrl && !alt,
            Modifiers::Ctrl => key && ctrl && !alt && !shift,
            Modifiers::CtrlShift => key && ctrl && !alt && shift,
            Modifiers::Alt => key && alt && !ctrl,
            Modifiers::Held => key,
            Modifiers::AltOrSheet => {
                let place = press.code.strip_prefix("Key") == Some(self.key);
                place && !ctrl && !shift && !repeat
            }
        }
    }

    /// The event of this chord.
    #[cfg(test)]
    pub(super) fn press(self) -> Press {
        let with = |any: &[Modifiers]| any.contains(&self.with);
        Press {
            key: self.key.to_lowercase(),
            code: format!("Key{}", self.key),
            ctrl: with(&[Modifiers::Ctrl, Modifiers::CtrlShift]),
            alt: with(&[Modifiers::Alt, Modifiers::AltOrSheet]),
            shift: with(&[Modifiers::CtrlShift]),
            repeat: false,
        }
    }

    /// In the syntax of `aria-keyshortcuts`: `Control+Z`.
    pub(crate) fn aria(self) -> String {
        self.spelled("Control", "Shift", "Alt", self.key)
    }

    /// As the learner reads it where it holds on the whole page: `Ctrl+Z`.
    pub(crate) fn label(self) -> String {
        self.spelled(text(Key::CtrlKey), text(Key::ShiftKey), text(Key::AltKey), self.name())
    }

    /// As the help shows it. What holds on the sheet goes without its Alt there.
    pub(crate) fn help_label(self) -> String {
        match self.with {
            Modifiers::AltOrSheet => self.name().to_owned(),
            _ => self.label(),
        }
    }

    fn spelled(self, ctrl: &str, shift: &str, alt: &str, key: &str) -> String {
        match self.with {
            Modifiers::Plain | Modifiers::Fine | Modifiers::Held => key.to_owned(),
            Modifiers::Ctrl => [ctrl, key].join("+"),
            Modifiers::CtrlShift => [ctrl, shift, key].join("+"),
            Modifiers::Alt | Modifiers::AltOrSheet => [alt, key].join("+"),
        }
    }

    /// The label on the key.
    fn name(self) -> &'static str {
        match self.key {
            "ArrowUp" => "↑",
            "ArrowDown" => "↓",
            "ArrowLeft" => "←",
            "ArrowRight" => "→",
            "PageUp" => text(Key::PageUpKey),
            "PageDown" => text(Key::PageDownKey),
            "Home" => text(Key::HomeKey),
            "End" => text(Key::EndKey),
            "Escape" => text(Key::EscapeKey),
            "Enter" => text(Key::EnterKey),
            "Delete" => text(Key::DeleteKey),
            "Alt" => text(Key::AltKey),
            "Control" => text(Key::CtrlKey),
            letter => letter,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn press(key: &str, held: &[&str]) -> Press {
        let is_held = |name: &str| held.contains(&name);
        Press {
            key: key.into(),
            code: format!("Key{}", key.to_uppercase()),
            ctrl: is_held("ctrl"),
            alt: is_held("alt"),
            shift: is_held("shift"),
            repeat: is_held("repeat"),
        }
    }

    #[track_caller]
    fn check(chord: Chord, key: &str, held: &[&str], expected: bool) {
        assert_eq!(
            chord.is(&press(key, held)),
            expected,
            "{} by {key} with {held:?}",
            chord.aria()
        );
    }

    #[test]
    fn modifiers_tell_chords_apart() {
        check(Chord::ctrl("Z"), "z", &["ctrl"], true);
        check(Chord::ctrl("Z"), "Z", &["ctrl", "shift"], false);
        check(Chord::ctrl_shift("Z"), "Z", &["ctrl", "shift"], true);
        check(Chord::ctrl("Z"), "z", &[], false);
        // AltGr is reported as both.
        check(Chord::ctrl("Z"), "z", &["ctrl", "alt"], false);
        check(Chord::fine("ArrowUp"), "ArrowUp", &["shift"], true);
        check(Chord::fine("ArrowUp"), "ArrowUp", &["alt"], false);
        check(Chord::alt("ArrowUp"), "ArrowUp", &["alt"], true);
        check(Chord::plain("?"), "?", &["shift"], true);
        check(Chord::held("Alt"), "Alt", &["alt"], true);
        check(Chord::held("Alt"), "a", &["alt"], false);
    }

    #[test]
    fn a_character_is_a_key_that_writes_one() {
        for (key, held, is_one) in [
            ("g", &[][..], true),
            ("?", &["shift"], true),
            ("g", &["ctrl"], false),
            ("g", &["alt"], false),
            ("Enter", &[], false),
            ("ArrowUp", &[], false),
        ] {
            assert_eq!(press(key, held).is_character(), is_one, "{key} with {held:?}");
        }
    }

    #[test]
    fn a_letter_with_alt_is_found_by_the_place_of_its_key() {
        let pi = Press { key: "π".into(), ..press("p", &["alt"]) };
        assert!(Chord::alt_or_sheet("P").is(&pi), "Alt+P as some keyboards write it");
        check(Chord::alt_or_sheet("P"), "p", &[], true);
        check(Chord::alt_or_sheet("P"), "p", &["repeat"], false);
        check(Chord::alt_or_sheet("P"), "p", &["ctrl"], false);
    }

    #[test]
    fn chords_are_spelled_for_readers_and_for_the_browser() {
        assert_eq!(Chord::ctrl_shift("Z").aria(), "Control+Shift+Z", "ARIA's names");
        assert_eq!(Chord::ctrl("Z").label(), "Ctrl+Z", "as on the keys");
        assert_eq!(Chord::alt_or_sheet("P").label(), "Alt+P", "anywhere");
        assert_eq!(Chord::alt_or_sheet("P").help_label(), "P", "under 'on the sheet'");
        assert_eq!(Chord::fine("ArrowUp").label(), "↑", "an arrow");
    }
}
