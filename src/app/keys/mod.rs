//! The keys of the page. One table, `table.rs`, is what the handlers, the help and the tooltips of
//! buttons read.

mod button;
mod chord;
mod table;

pub(crate) use button::CommandButton;
pub(crate) use chord::Chord;
pub(crate) use table::{KeyCommand, Scope};

use crate::app::controls::is_typing;
use crate::app::settings::Settings;
use chord::Press;
use gloo::timers::callback::Timeout;
use leptos::ev;
use leptos::prelude::*;
use std::sync::Arc;
use table::SHORTCUTS;
use wasm_bindgen::JsCast;
use web_sys::{Element, KeyboardEvent};

impl From<&KeyboardEvent> for Press {
    fn from(event: &KeyboardEvent) -> Self {
        Self {
            key: event.key(),
            code: event.code(),
            ctrl: event.ctrl_key() || event.meta_key(),
            alt: event.alt_key(),
            shift: event.shift_key(),
            repeat: event.repeat(),
        }
    }
}

fn find(scope: Scope, press: &Press) -> Option<KeyCommand> {
    let mut all = SHORTCUTS.iter().filter(|s| s.scope == scope);
    all.find(|s| s.chords.iter().any(|c| c.is(press))).map(|s| s.command)
}

/// What a key does that was pressed on the sheet, or with Alt anywhere.
fn find_on_sheet(press: &Press) -> Option<KeyCommand> {
    find(Scope::Sheet, press).or_else(|| find(Scope::Palette, press))
}

/// The command of a key pressed in `scope`, if there is one; the browser's own action is then
/// prevented.
pub(crate) fn command(scope: Scope, event: &KeyboardEvent) -> Option<KeyCommand> {
    let found = find(scope, &event.into());
    if found.is_some() {
        event.prevent_default();
    }
    found
}

/// Whether a key was pressed in a dialog: the page behind it waits.
fn in_dialog(event: &KeyboardEvent) -> bool {
    let element = event.target().and_then(|t| t.dyn_into::<Element>().ok());
    element.is_some_and(|e| matches!(e.closest("dialog"), Ok(Some(_))))
}

type Act = Arc<dyn Fn() + Send + Sync>;

/// How long the key that says which fault is waited for, ms.
const WAIT: u32 = 5000;

/// The handlers of the commands of the whole page, each set by the component with its button.
#[derive(Clone, Copy)]
pub(crate) struct Shortcuts {
    handlers: StoredValue<Vec<(KeyCommand, Act)>>,
    /// While the next key says which fault is planted.
    waits: StoredValue<Option<Timeout>, LocalStorage>,
    settings: Settings,
}

impl Shortcuts {
    /// No key does anything yet.
    pub(crate) fn deaf(settings: Settings) -> Self {
        Self { handlers: StoredValue::default(), waits: StoredValue::new_local(None), settings }
    }

    /// Listens to the keys of the whole page.
    pub(crate) fn listen(settings: Settings) -> Self {
        let shortcuts = Self::deaf(settings);
        let listener = window_event_listener(ev::keydown, move |event| shortcuts.on_page(&event));
        on_cleanup(move || listener.remove());
        shortcuts
    }

    /// Sets what a command does, for as long as the component is shown that calls this.
    pub(crate) fn on(self, command: KeyCommand, act: impl Fn() + Send + Sync + 'static) {
        let act: Act = Arc::new(act);
        self.handlers.update_value(|all| all.push((command, act.clone())));
        on_cleanup(move || {
            self.handlers
                .try_update_value(|all| all.retain(|(_, other)| !Arc::ptr_eq(other, &act)));
        });
    }

    fn on_page(self, event: &KeyboardEvent) {
        // What has the focus goes first.
        if event.default_prevented() || in_dialog(event) || self.plants(event) {
            return;
        }
        let press = Press::from(event);
        // A character that acts by itself can be turned off (WCAG 2.2, 2.1.4).
        if press.is_character() && !untrack(|| self.settings.single_keys()) {
            return;
        }
        // In a text field a key without Alt belongs to the text.
        let on_page = || find(Scope::Page, &press).or_else(|| find(Scope::Shift, &press));
        let on_page = if is_typing(event) { None } else { on_page() };
        let with_alt = press.alt.then(|| find_on_sheet(&press)).flatten();
        self.run(on_page.or(with_alt), event);
    }

    /// The next key says which fault is planted: nothing on the page shows that it is waited for.
    pub(crate) fn wait_for_fault(self) {
        let forget = move || self.waits.set_value(None);
        self.waits.set_value(Some(Timeout::new(WAIT, forget)));
    }

    /// Handles the key that says which fault. Any other key is what it always is.
    fn plants(self, event: &KeyboardEvent) -> bool {
        let held = ["Alt", "Control", "Meta", "Shift", "AltGraph"].contains(&&*event.key());
        if held || self.waits.with_value(Option::is_none) {
            return false;
        }
        self.waits.set_value(None);
        let command = find(Scope::Fault, &event.into());
        self.run(command, event);
        command.is_some()
    }

    /// Handles a key that was pressed on the sheet.
    pub(crate) fn on_sheet(self, event: &KeyboardEvent) {
        if self.plants(event) {
            return event.stop_propagation();
        }
        let press = Press::from(event);
        // With Alt it is one of the whole page.
        if !press.alt {
            self.run(find_on_sheet(&press), event);
        }
    }

    fn run(self, command: Option<KeyCommand>, event: &KeyboardEvent) {
        let act = self.handlers.with_value(|all| {
            all.iter().find(|(c, _)| Some(*c) == command).map(|(_, act)| act.clone())
        });
        if let Some(act) = act {
            event.prevent_default();
            act();
        }
    }
}

/// The shortcuts of this page.
pub(crate) fn shortcuts() -> Shortcuts {
    expect_context()
}

fn chords(command: KeyCommand) -> &'static [Chord] {
    let line = SHORTCUTS.iter().find(|s| s.command == command);
    line.map_or(&[], |s| s.chords)
}

/// The letter that plants the fault of this place among the kinds.
pub(crate) fn fault_key(kind: usize) -> String {
    let key = chords(KeyCommand::PlantKind(kind)).first();
    key.map_or_else(String::new, |chord| chord.help_label())
}

/// The keys in the tooltip of a command's button: `Ctrl+Z`.
pub(crate) fn tooltip(command: KeyCommand) -> Option<String> {
    chords(command).first().map(|c| c.label())
}

/// The value of `aria-keyshortcuts` for a command's button: `Control+Y Control+Shift+Z`.
pub(crate) fn aria(command: KeyCommand) -> String {
    chords(command).iter().map(|c| c.aria()).collect::<Vec<_>>().join(" ")
}

/// The lines of the help about one scope: keys, and what they do.
pub(crate) fn help_lines(scope: Scope) -> Vec<(Vec<Chord>, &'static str)> {
    let mut lines: Vec<(Vec<Chord>, &'static str)> = Vec::new();
    for shortcut in SHORTCUTS.iter().filter(|s| s.scope == scope) {
        match lines.last_mut() {
            Some((chords, says)) if *says == shortcut.says() => chords.extend(shortcut.chords),
            _ => lines.push((shortcut.chords.to_vec(), shortcut.says())),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::cell::FAULT_KINDS;

    fn name(command: KeyCommand, chord: &Chord) -> String {
        format!("{command:?} by {}", chord.aria())
    }

    #[test]
    fn every_chord_of_the_table_is_found_by_its_press() {
        for shortcut in SHORTCUTS {
            for chord in shortcut.chords {
                let found = find(shortcut.scope, &chord.press());
                assert_eq!(found, Some(shortcut.command), "{}", name(shortcut.command, chord));
            }
        }
    }

    #[test]
    fn keys_that_hold_on_the_sheet_each_do_one_thing() {
        let scopes = [Scope::Sheet, Scope::Palette];
        for shortcut in SHORTCUTS.iter().filter(|s| scopes.contains(&s.scope)) {
            for chord in shortcut.chords {
                let found = find_on_sheet(&chord.press());
                assert_eq!(found, Some(shortcut.command), "{}", name(shortcut.command, chord));
            }
        }
    }

    #[test]
    fn every_chord_of_the_table_is_in_the_help() {
        for shortcut in SHORTCUTS {
            let scope = Scope::ALL.into_iter().find(|s| *s == shortcut.scope);
            let lines = scope.map(help_lines).unwrap_or_default();
            for chord in shortcut.chords {
                let shown = lines.iter().any(|(c, t)| *t == shortcut.says() && c.contains(chord));
                assert!(shown, "{}: not in the help", name(shortcut.command, chord));
            }
        }
    }

    #[test]
    fn every_fault_has_a_key_of_its_own() {
        for (kind, fault) in FAULT_KINDS.iter().enumerate() {
            let lines = help_lines(Scope::Fault);
            let (chords, _) = lines.iter().find(|(_, says)| *says == fault.says).expect("a line");
            let [chord] = chords[..] else { panic!("{}: one key, and not {chords:?}", fault.name) };
            let command = Some(KeyCommand::PlantKind(kind));
            assert_eq!(find(Scope::Fault, &chord.press()), command, "{}", fault.name);
            let without_alt = Press { alt: false, ..chord.press() };
            assert_eq!(find(Scope::Fault, &without_alt), command, "{}, without Alt", fault.name);
        }
    }

    #[test]
    fn a_button_tells_its_keys() {
        assert_eq!(tooltip(KeyCommand::Redo).as_deref(), Some("Ctrl+Y"), "the first of them");
        assert_eq!(aria(KeyCommand::Redo), "Control+Y Control+Shift+Z", "all of them");
        assert_eq!(
            tooltip(KeyCommand::PlantFault).as_deref(),
            Some("Alt+F"),
            "what holds anywhere"
        );
    }
}
