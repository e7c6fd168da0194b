use super::file::Lesson;
use std::sync::LazyLock;

/// The lessons that come with the program, in the order of the course: file name and text.
pub const LESSON_FILES: &[(&str, &str)] =
    &[("slide-and-turn.toml", include_str!("../../lessons/slide-and-turn.toml"))];

static LESSONS: LazyLock<Vec<Lesson>> = LazyLock::new(|| {
    LESSON_FILES.iter().filter_map(|(_, text)| Lesson::from_toml(text).ok()).collect()
});

/// The lessons that come with the program, in the order of the course.
///
/// A file that cannot be read is left out; the tests see to it that there is none.
pub fn lessons() -> &'static [Lesson] {
    &LESSONS
}

/// The lesson of that name.
pub fn lesson(name: &str) -> Option<&'static Lesson> {
    lessons().iter().find(|l| l.name == name)
}
