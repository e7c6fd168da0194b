//! The set-up of a class as a file: what it begins with, and what the page shows and allows.

use crate::app::i18n::{Key, format, text};
use crate::app::logic::number::read;
use nudgeproof::cell::{part_by_name, parts};
use nudgeproof::coach::check_house_rules;
use nudgeproof::io::{from_file, to_json, visible};
use nudgeproof::lesson::{Lesson, lesson_file, lesson_files};
use nudgeproof::routine::RunSpeed;
use nudgeproof::session::{Header, HouseRules, Session};
use serde::{Deserialize, Serialize};

/// What the first key of the file says.
const FORMAT: &str = "nudgeproof-class";
const VERSION: u32 = 1;
/// The greatest number of a task, as everywhere on the page.
pub(crate) const MOST_SEED: u64 = 999_999;
/// The number of a task as typed; nothing if it is none.
pub(crate) fn task_number(typed: &str) -> Option<u64> {
    let number = read(typed).filter(|n| (1.0..=MOST_SEED as f64).contains(n))?;
    Some(number as u64)
}
/// Every hint: it asks, it points, it shows.
pub(crate) const ALL_HINTS: u8 = 3;

/// A panel that a class may do without.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum ClassPanel {
    Coach,
    Readings,
    Charts,
    Forecast,
}

impl ClassPanel {
    pub(crate) const ALL: [Self; 4] = [Self::Coach, Self::Readings, Self::Charts, Self::Forecast];

    pub(crate) fn name(self) -> Key {
        match self {
            Self::Coach => Key::Coach,
            Self::Readings => Key::Readings,
            Self::Charts => Key::TabCharts,
            Self::Forecast => Key::PanelForecast,
        }
    }

    /// Its name for tests.
    pub(crate) fn id(self) -> &'static str {
        match self {
            Self::Coach => "coach",
            Self::Readings => "readings",
            Self::Charts => "charts",
            Self::Forecast => "forecast",
        }
    }
}

/// What a class begins with.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum ClassStart {
    /// The lesson of this name.
    Lesson(String),
    /// An empty bench with the part of this name.
    Part(String),
}

/// The unit of lengths.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) enum ClassUnits {
    #[serde(rename = "mm")]
    Millimetres,
    #[serde(rename = "in")]
    Inches,
}

/// The colours of the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum ClassTheme {
    Paper,
    Blueprint,
}

/// The set-up of a class. What is left out stays as the page has it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ClassSetup {
    format: String,
    format_version: u32,
    pub(crate) start: ClassStart,
    /// The number of the task: everyone gets the same.
    pub(crate) seed: u64,
    /// The panels that are not shown.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) hide: Vec<ClassPanel>,
    /// How many of the three hints may be asked for.
    #[serde(default = "all_hints")]
    pub(crate) hints: u8,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) speed: Option<RunSpeed>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) units: Option<ClassUnits>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) theme: Option<ClassTheme>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) projector: Option<bool>,
    /// The house rules that the class is judged by.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) house_rules: Option<HouseRules>,
}

fn all_hints() -> u8 {
    ALL_HINTS
}

impl ClassSetup {
    /// A class that begins with this, and may do everything.
    pub(crate) fn new(start: ClassStart, seed: u64) -> Self {
        Self {
            format: FORMAT.into(),
            format_version: VERSION,
            start,
            seed,
            hide: Vec::new(),
            hints: ALL_HINTS,
            speed: None,
            units: None,
            theme: None,
            projector: None,
            house_rules: None,
        }
    }

    /// Reads a file: TOML if its name ends so, else JSON.
    ///
    /// # Errors
    /// One sentence that names the place and what was expected there.
    pub(crate) fn read(name: &str, content: &str) -> Result<Self, String> {
        let setup: Self = from_file(name, content).map_err(|e| e.to_string())?;
        setup.check()?;
        Ok(setup)
    }

    fn check(&self) -> Result<(), String> {
        let wrong = |key: &str, expected: &str, found: &str| {
            Err(format(Key::SetupExpected, &[key, expected, &visible(found)]))
        };
        if self.format != FORMAT {
            return wrong("format", FORMAT, &self.format);
        }
        if self.format_version != VERSION {
            return wrong("format_version", &VERSION.to_string(), &self.format_version.to_string());
        }
        if !(1..=MOST_SEED).contains(&self.seed) {
            return wrong(
                "seed",
                &format(Key::NumberUpTo, &["1", &MOST_SEED.to_string()]),
                &self.seed.to_string(),
            );
        }
        if self.hints > ALL_HINTS {
            return wrong(
                "hints",
                &format(Key::NumberUpTo, &["0", &ALL_HINTS.to_string()]),
                &self.hints.to_string(),
            );
        }
        if let Some(house) = &self.house_rules {
            check_house_rules(house)
                .map_err(|e| format(Key::SetupHouseRules, &[&e.to_string()]))?;
        }
        match &self.start {
            ClassStart::Lesson(name) if lesson_files().all(|l| l.name != *name) => {
                let known: Vec<_> = lesson_files().map(|l| l.name.as_str()).collect();
                wrong("start.lesson", &known.join(", "), name)
            }
            ClassStart::Part(name) if part_by_name(name).is_none() => {
                let known: Vec<_> = parts().into_iter().map(|p| p.name).collect();
                wrong("start.part", &known.join(", "), name)
            }
            _ => Ok(()),
        }
    }

    /// The text of a file.
    pub(crate) fn write(&self) -> String {
        to_json(self)
    }

    /// The session that the class begins with.
    ///
    /// # Errors
    /// One sentence why it cannot be set up.
    pub(crate) fn session(&self) -> Result<Session, String> {
        match &self.start {
            ClassStart::Lesson(name) => {
                let lesson = lesson_file(name);
                let lesson = lesson.ok_or_else(|| text(Key::SetupGone).to_owned())?;
                let lesson = Lesson::of_file(lesson, self.seed).map_err(|e| e.to_string())?;
                Ok(lesson.start())
            }
            ClassStart::Part(name) => {
                let part = part_by_name(name).ok_or_else(|| text(Key::SetupGone).to_owned())?;
                Session::new(Header::new(part, self.seed)).map_err(|e| e.to_string())
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::coach::RuleName;
    use proptest::prelude::*;
    use proptest::test_runner::RngSeed;

    fn whole() -> ClassSetup {
        ClassSetup {
            hide: vec![ClassPanel::Coach, ClassPanel::Forecast],
            hints: 1,
            speed: Some(RunSpeed::Full),
            units: Some(ClassUnits::Inches),
            theme: Some(ClassTheme::Blueprint),
            projector: Some(true),
            house_rules: Some(HouseRules {
                name: "Harbour Street school".into(),
                off: vec![RuleName::NoHomeEnd],
                touches_agree_mm: Some(0.5),
            }),
            ..ClassSetup::new(ClassStart::Lesson("one-touch".into()), 12)
        }
    }

    #[test]
    fn a_setup_is_read_as_it_is_written() {
        for setup in [whole(), ClassSetup::new(ClassStart::Part("planter-base".into()), 999_999)] {
            assert_eq!(ClassSetup::read("class.json", &setup.write()), Ok(setup));
        }
    }

    #[test]
    fn a_setup_may_be_written_by_hand_as_toml() {
        let file = r#"
            format = "nudgeproof-class"
            format_version = 1
            start = { lesson = "one-touch" }
            seed = 12
            hide = ["coach", "forecast"]
            hints = 1
            speed = "full"
            units = "in"
            theme = "blueprint"
            projector = true

            [house_rules]
            name = "Harbour Street school"
            off = ["no-home-end"]
            touches_agree_mm = 0.5
        "#;
        assert_eq!(ClassSetup::read("My class.TOML", file), Ok(whole()));
    }

    #[test]
    fn a_class_begins_with_its_lesson_or_part() {
        let lesson = whole().session().expect("a lesson");
        assert_eq!(lesson.header().lesson.as_deref(), Some("one-touch"));
        let setup = ClassSetup::new(ClassStart::Part("planter-base".into()), 3);
        let part = setup.session().expect("a part");
        assert_eq!((part.header().part.name.as_str(), part.header().seed), ("planter-base", 3));
        assert!(part.actions().is_empty(), "an empty bench");
    }

    #[track_caller]
    fn refused(change: (&str, &str), expected: &[&str]) {
        let text = whole().write();
        assert!(text.contains(change.0), "the case changes nothing: {}", change.0);
        let why =
            ClassSetup::read("a.json", &text.replace(change.0, change.1)).expect_err("refused");
        for part in expected {
            assert!(why.contains(part), "{why:?} names {part:?}");
        }
    }

    #[test]
    fn what_is_wrong_is_named_with_its_place_and_what_was_expected() {
        refused(("\"seed\": 12", "\"seed\": 0"), &["seed", "1 to 999999", "found 0"]);
        refused(("\"seed\": 12", "\"seed\": \"12\""), &["line", "seed", "a whole number"]);
        refused(("\"hints\": 1", "\"hints\": 4"), &["hints", "0 to 3", "found 4"]);
        refused(("\"hints\": 1", "\"hint\": 1"), &["line", "hint", "unknown key"]);
        refused(("one-touch", "no-touch"), &["start.lesson", "one-touch", "no-touch"]);
        refused(("\"lesson\"", "\"part\""), &["start.part", "planter-base", "one-touch"]);
        refused(("\"coach\"", "\"couch\""), &["hide[0]", "couch", "coach"]);
        refused(("\"full\"", "\"fast\""), &["speed", "fast", "full"]);
        refused(("\"in\"", "\"ft\""), &["units", "ft", "mm"]);
        refused(("nudgeproof-class", "nudgeproof-session"), &["format", "nudgeproof-class"]);
        refused(
            ("\"format_version\": 1", "\"format_version\": 2"),
            &["format_version", "expected 1"],
        );
        refused(("no-home-end", "arc-in-trial"), &["house_rules", "arc-in-trial", "safe"]);
        refused(("0.5", "50"), &["house_rules", "touches_agree_mm", "found 50"]);
        assert!(ClassSetup::read("a.json", "{").is_err(), "no JSON");
        assert!(ClassSetup::read("a.toml", "seed = ").is_err(), "no TOML");
        assert!(ClassSetup::read("a.json", "").is_err(), "nothing");
    }

    const BY_HAND: &str = "format = \"nudgeproof-class\"\nformat_version = 1\nstart = { part = \"planter-base\" }\n\
        seed = 12\nhints = 1\n[house_rules]\nname = \"School\"\ntouches_agree_mm = 0.5\n";

    /// A text in which a few places were typed over.
    fn damaged(text: String) -> impl Strategy<Value = String> {
        let place =
            (any::<prop::sample::Index>(), 0..8usize, "[ -~\n]{0,3}|\u{feff}|1e999|[^\u{0}]");
        prop::collection::vec(place, 1..4).prop_map(move |places| {
            let mut all: Vec<char> = text.chars().collect();
            for (at, cut, more) in places {
                let at = at.index(all.len() + 1);
                all.splice(at..(at + cut).min(all.len()), more.chars());
            }
            all.into_iter().collect()
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 4000, rng_seed: RngSeed::Fixed(14), failure_persistence: None, ..Default::default() })]

        /// From a file, a link, or the launch data of a course system.
        #[test]
        fn whatever_comes_is_taken_or_refused_in_a_sentence(
            json in damaged(whole().write()),
            toml in damaged(BY_HAND.into()),
        ) {
            for (name, text) in [("class.json", json), ("class.toml", toml)] {
                match ClassSetup::read(name, &text) {
                    Ok(setup) => {
                        prop_assert_eq!(ClassSetup::read("again.json", &setup.write()), Ok(setup.clone()));
                        prop_assert!(setup.session().is_ok(), "{text}");
                    }
                    Err(why) => prop_assert!(why.len() > 5 && !why.contains('\n'), "{why:?} of {text:?}"),
                }
            }
        }
    }
}
