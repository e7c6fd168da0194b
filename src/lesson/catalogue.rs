use super::file::LessonFile;
use super::lesson::{Lesson, split_name};
use super::test_item::{self, TestTime};
use crate::session::Session;
use std::sync::{Arc, LazyLock, OnceLock};

macro_rules! files {
    ($($name:literal),* $(,)?) => {
        /// The lessons that come with the program, in the order of the course: file name and text.
        pub const LESSON_FILES: &[(&str, &str)] = &[
            $((concat!($name, ".toml"), include_str!(concat!("../../lessons/", $name, ".toml")))),*
        ];
    };
}

files![
    "taught-path",
    "wire-as-finger",
    "one-touch",
    "two-faces",
    "turn",
    "slide-and-turn",
    "reference-and-proof",
    "what-follows",
    "where-to-touch",
    "heights",
    "slide-and-tilt",
    "reading-an-offset",
    "several-places",
    "datum-of-the-seam",
    "sensing-circuit",
    "when-it-goes-wrong",
    "forty-parts",
    "unseen-part",
];

/// A lesson of the course: its file, and the attempt with the file's own seed. Each is made when it is asked
/// for, and once: a first visit needs one lesson.
struct Built {
    file_name: &'static str,
    text: &'static str,
    read: OnceLock<Arc<LessonFile>>,
    attempt: OnceLock<Lesson>,
}

static COURSE: LazyLock<Vec<Built>> = LazyLock::new(|| {
    let built = |&(file_name, text): &(&'static str, &'static str)| Built {
        file_name,
        text,
        read: OnceLock::new(),
        attempt: OnceLock::new(),
    };
    LESSON_FILES.iter().map(built).collect()
});

impl Built {
    fn file(&self) -> &Arc<LessonFile> {
        // A bug of the program; `tests/lesson/course.rs` reads every file.
        let read = || {
            LessonFile::from_toml(self.text)
                .map_or_else(|e| panic!("lessons/{}: {e}", self.file_name), Arc::new)
        };
        self.read.get_or_init(read)
    }

    fn lesson(&self) -> &Lesson {
        // A bug of the program, as above.
        let set_up = || {
            let file = self.file();
            Lesson::of_file(file, file.seed).unwrap_or_else(|e| panic!("lesson {}: {e}", file.name))
        };
        self.attempt.get_or_init(set_up)
    }

    fn has_name(&self, name: &str) -> bool {
        self.file_name.strip_suffix(".toml") == Some(name)
    }
}

/// The files of the lessons that come with the program, in the order of the course. Each is read when the
/// iterator comes to it for the first time.
pub fn lesson_files() -> impl ExactSizeIterator<Item = &'static Arc<LessonFile>> + Clone {
    COURSE.iter().map(Built::file)
}

/// The file of the lesson of that name, if it comes with the program.
pub fn lesson_file(name: &str) -> Option<&'static Arc<LessonFile>> {
    COURSE.iter().find(|built| built.has_name(name)).map(Built::file)
}

/// The lessons that come with the program, in the order of the course, each with its own seed. To set
/// one up takes longer than to read it: each is set up once.
pub fn lessons() -> Vec<&'static Lesson> {
    COURSE.iter().map(Built::lesson).collect()
}

/// The lesson of that name, with its own seed.
pub fn lesson(name: &str) -> Option<&'static Lesson> {
    COURSE.iter().find(|built| built.has_name(name)).map(Built::lesson)
}

/// The attempt that a session belongs to: its lesson, or the single stage of a refresher, with the
/// session's seed. `None` for free practice, for a lesson that does not come with the program, and for
/// a session of another version of the lesson, which starts with other actions.
pub fn of_session(session: &Session) -> Option<Lesson> {
    of_session_among(session, &[])
}

/// The same, also among other lessons than those that come with the program.
pub fn of_session_among(session: &Session, others: &[Arc<Lesson>]) -> Option<Lesson> {
    let header = session.header();
    let found = attempt(header.lesson.as_deref()?, header.seed, others)?;
    found.is_start_of(session).then_some(found)
}

/// The attempt of that name and seed: a whole lesson, or a single stage of one (`slide-and-turn#7`),
/// among those that come with the program and `others`.
pub fn attempt(name: &str, seed: u64, others: &[Arc<Lesson>]) -> Option<Lesson> {
    if TestTime::of(name).is_some() {
        return test_item::named(name, seed, lesson_file);
    }
    let (name, stage) = split_name(name);
    let file = lesson_file(name)
        .or_else(|| others.iter().map(|lesson| &lesson.file).find(|file| file.name == name))?;
    let whole = Lesson::of_file(file, seed).ok()?;
    match stage {
        Some(n) if n < whole.stages.len() => whole.single_stage(n).ok(),
        Some(_) => None,
        None => Some(whole),
    }
}
