//! Guided tasks, as files.

mod catalogue;
mod check;
mod file;
mod goal;
mod progress;

pub use catalogue::{LESSON_FILES, lesson, lessons};
pub use check::Unsound;
pub use file::{LESSON_VERSION, Lesson, LessonError, Place, Stage};
pub use goal::Goal;
pub use progress::Progress;
