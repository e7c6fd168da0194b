//! The form that makes the set-up of a class.

use crate::app::controls::{ChosenText, FileButton, Group, LabelledField, Select};
use crate::app::house_rules::{self, in_words};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::class_setup::{
    ALL_HINTS, ClassPanel, ClassSetup, ClassStart, ClassTheme, ClassUnits, MOST_SEED,
};
use crate::app::logic::number::read;
use crate::app::share::{LinkButton, LinkKind};
use crate::app::storage;
use leptos::prelude::*;
use nudgeproof::cell::parts;
use nudgeproof::lesson::lesson_files;
use nudgeproof::routine::RunSpeed;

/// Name of the file that is saved.
const FILE: &str = "nudgeproof-class.json";

/// One of two things, or neither.
#[derive(Clone, Copy)]
struct EitherOrOwn<T: 'static>([(T, &'static str); 2]);

impl<T: Copy + PartialEq + Send + Sync> EitherOrOwn<T> {
    /// The list, and what it stands at. `other` names the choice of neither.
    fn list(
        self,
        test_id: &'static str,
        other: Key,
        of: impl Fn() -> Option<T> + Copy + Send + Sync + 'static,
        set: impl Fn(Option<T>) + Copy + Send + Sync + 'static,
    ) -> impl IntoView {
        let mut options = vec![(String::new(), text(other).to_owned())];
        options.extend(self.0.iter().map(|(_, name)| ((*name).to_owned(), (*name).to_owned())));
        let name = move |value: T| self.0.iter().find(|(v, _)| *v == value).map(|(_, name)| *name);
        let value = Signal::derive(move || of().and_then(name).unwrap_or_default().to_owned());
        let on_change = move |chosen: String| {
            set(self.0.iter().find(|(_, name)| *name == chosen).map(|(value, _)| *value));
        };
        view! { <Select test_id options value on_change /> }
    }
}

/// The form; `open` is called with the set-up to open it on the page of the class.
#[component]
pub(super) fn SetupForm(#[prop(into)] open: Callback<ClassSetup>) -> impl IntoView {
    let first = lesson_files().next().map_or_else(String::new, |lesson| lesson.name.clone());
    let setup = RwSignal::new(ClassSetup::new(ClassStart::Lesson(first), 1));
    let says = RwSignal::new(String::new());
    let change = move |change: &dyn Fn(&mut ClassSetup)| setup.update(|setup| change(setup));
    let save = move |_| {
        if storage::download(FILE, &setup.with_untracked(ClassSetup::write)).is_err() {
            says.set(text(Key::NotExported).into());
        }
    };
    let load = move |(name, content): ChosenText| match content
        .and_then(|content| ClassSetup::read(&name, &content))
    {
        Ok(read) => {
            setup.set(read);
            says.set(format(Key::Imported, &[&name]));
        }
        Err(why) => says.set(format(Key::SetupRefused, &[&name, &why])),
    };
    let seed = move |typed: String| {
        if let Some(n) = read(&typed).filter(|n| (1.0..=MOST_SEED as f64).contains(n)) {
            change(&|setup| setup.seed = n as u64);
        }
        setup.notify();
    };
    let panel = move |panel: ClassPanel| {
        view! {
            <label class="check">
                <input
                    type="checkbox"
                    data-testid=format!("hide-{}", panel.id())
                    prop:checked=move || setup.read().hide.contains(&panel)
                    on:change:target=move |event| {
                        let hide = event.target().checked();
                        change(&|setup| {
                            setup.hide.retain(|p| *p != panel);
                            setup.hide.extend(hide.then_some(panel));
                        });
                    }
                />
                <span>{text(panel.name())}</span>
            </label>
        }
    };
    let speeds = EitherOrOwn([
        (RunSpeed::Reduced, text(Key::SpeedReduced)),
        (RunSpeed::Full, text(Key::SpeedFull)),
    ]);
    let units = EitherOrOwn([(ClassUnits::Millimetres, "mm"), (ClassUnits::Inches, "in")]);
    let themes = EitherOrOwn([
        (ClassTheme::Paper, text(Key::ThemePaper)),
        (ClassTheme::Blueprint, text(Key::ThemeBlueprint)),
    ]);
    view! {
        <section aria-labelledby="setup-title" data-testid="setup-form">
            <h2 id="setup-title">{text(Key::SetupTitle)}</h2>
            <Starts setup />
            <LabelledField name=text(Key::SetupSeed)>
                <input
                    type="number"
                    min="1"
                    max=MOST_SEED.to_string()
                    data-testid="setup-seed"
                    prop:value=move || setup.read().seed.to_string()
                    on:change:target=move |event| seed(event.target().value())
                />
            </LabelledField>
            <Group class="pick" name=text(Key::SetupHide)>
                <span>{text(Key::SetupHide)}</span>
                {ClassPanel::ALL.map(panel)}
            </Group>
            <Hints setup />
            <label class="pick">
                <span>{text(Key::SetupSpeed)}</span>
                {speeds.list(
                    "setup-speed",
                    Key::SetupOwn,
                    move || setup.read().speed,
                    move |speed| change(&|setup| setup.speed = speed),
                )}
            </label>
            <label class="pick">
                <span>{text(Key::SetupUnits)}</span>
                {units.list(
                    "setup-units",
                    Key::SetupOwn,
                    move || setup.read().units,
                    move |units| change(&|setup| setup.units = units),
                )}
            </label>
            <label class="pick">
                <span>{text(Key::SetupTheme)}</span>
                {themes.list(
                    "setup-theme",
                    Key::SetupOwn,
                    move || setup.read().theme,
                    move |theme| change(&|setup| setup.theme = theme),
                )}
            </label>
            <label class="check">
                <input
                    type="checkbox"
                    data-testid="setup-projector"
                    prop:checked=move || setup.read().projector == Some(true)
                    on:change:target=move |event| {
                        let on = event.target().checked();
                        change(&|setup| setup.projector = on.then_some(true));
                    }
                />
                <span>{text(Key::SetupProjector)}</span>
            </label>
            <HouseRulesOf setup says />
            <div class="class-buttons">
                <LinkButton
                    kind=LinkKind::Class
                    track=move || setup.track()
                    content=move || setup.with_untracked(ClassSetup::write)
                    say=move |text: String| says.set(text)
                />
                <button type="button" data-testid="save-setup" on:click=save>
                    {text(Key::SetupAsFile)}
                </button>
                <FileButton test_id="load-setup" accept=".toml,.json,application/json" on_read=load>
                    {text(Key::SetupOpenFile)}
                </FileButton>
                <button
                    type="button"
                    data-testid="open-here"
                    on:click=move |_| open.run(setup.get_untracked())
                >
                    {text(Key::SetupOpenHere)}
                </button>
            </div>
            <p class="fine" role="status" data-testid="setup-says">{says}</p>
            <p class="fine">{text(Key::SetupNote)}</p>
        </section>
    }
}

/// The house rules that come with the set-up.
#[component]
fn HouseRulesOf(setup: RwSignal<ClassSetup>, says: RwSignal<String>) -> impl IntoView {
    let open = move |(name, content): ChosenText| match house_rules::read(&name, content) {
        Ok(house) => {
            says.set(in_words(&house));
            setup.update(|setup| setup.house_rules = Some(house));
        }
        Err(why) => says.set(format(Key::SetupRefused, &[&name, &why])),
    };
    let whose = move || setup.read().house_rules.as_ref().map(|house| house.name.clone());
    view! {
        <Group class="pick" name=text(Key::HouseRules)>
            <span>{text(Key::HouseRules)}</span>
            <span data-testid="setup-house">
                {move || whose().unwrap_or_else(|| text(Key::SetupOwn).into())}
            </span>
            <FileButton
                test_id="setup-house-rules"
                accept=".toml,.json,application/json"
                on_read=open
            >
                {text(Key::Import)}
            </FileButton>
            <Show when=move || setup.read().house_rules.is_some()>
                <button
                    type="button"
                    data-testid="setup-no-house"
                    on:click=move |_| setup.update(|setup| setup.house_rules = None)
                >
                    {text(Key::HouseSetAside)}
                </button>
            </Show>
        </Group>
    }
}

/// Which lesson, or part, the class begins with.
#[component]
fn Starts(setup: RwSignal<ClassSetup>) -> impl IntoView {
    let lesson = |name: &str| format!("lesson {name}");
    let part = |name: &str| format!("part {name}");
    let mut options: Vec<_> = lesson_files().map(|l| (lesson(&l.name), l.title.clone())).collect();
    let title = |title: &str| format(Key::SetupStartPart, &[title]);
    options.extend(parts().iter().map(|p| (part(&p.name), title(&p.title))));
    let value = Signal::derive(move || match &setup.read().start {
        ClassStart::Lesson(name) => lesson(name),
        ClassStart::Part(name) => part(name),
    });
    let on_change = move |chosen: String| {
        let start = match chosen.split_once(' ') {
            Some(("lesson", name)) => ClassStart::Lesson(name.into()),
            Some((_, name)) => ClassStart::Part(name.into()),
            None => return,
        };
        setup.update(|setup| setup.start = start);
    };
    view! {
        <label class="pick">
            <span>{text(Key::SetupStart)}</span>
            <Select test_id="setup-start" options value on_change />
        </label>
    }
}

/// How many of the hints the class may ask for.
#[component]
fn Hints(setup: RwSignal<ClassSetup>) -> impl IntoView {
    let names = [Key::SetupHintsNone, Key::SetupHintsOne, Key::SetupHintsTwo, Key::SetupHintsAll];
    let options: Vec<_> =
        (0..=ALL_HINTS).zip(names).map(|(n, name)| (n.to_string(), text(name).into())).collect();
    let value = Signal::derive(move || setup.read().hints.to_string());
    let on_change = move |chosen: String| {
        if let Ok(hints) = chosen.parse() {
            setup.update(|setup| setup.hints = hints);
        }
    };
    view! {
        <label class="pick">
            <span>{text(Key::SetupHints)}</span>
            <Select test_id="setup-hints" options value on_change />
        </label>
    }
}
