use std::borrow::Cow;

/// Whether a character takes no room of its own: control characters, marks of direction, joiners, and blanks
/// of no width.
pub(super) fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}')
}

/// Whether a character steers what shows a text, or makes it look like another one.
fn steers(c: char) -> bool {
    c.is_control() || matches!(c, '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// The text with `�` for each character that would steer a terminal or turn the direction of writing:
/// names and file names come from outside.
pub fn visible(text: &str) -> Cow<'_, str> {
    if text.chars().any(steers) {
        text.chars().map(|c| if steers(c) { '\u{fffd}' } else { c }).collect()
    } else {
        Cow::Borrowed(text)
    }
}
