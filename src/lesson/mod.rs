//! Lessons, drills and the refresher: what is learned, in which order, and how progress is measured.
//!
//! A lesson is a file (`lessons/README.md`). An attempt at it is a [`Lesson`]: the seed decides its
//! part, its place, the direction of the weld and, in a drill, the fault. Progress, answers and score
//! follow from the learner's session alone.
//!
//! The files depend on each other in this order: what a lesson file holds (`because`, `ask`, `goal`, `drill`,
//! `scripted_action`, `file`), its checks (`error`, `file_check`), what a seed decides (`model`, `nudge`,
//! `variant`, `fill`, `shift_task`), the attempt (`lesson`), how far it has come and how it is done
//! (`progress`, `solve`, `mistakes`, `calibration`, `shift_progress`, `score`), how it is set up and proved
//! (`shift_draw`, `setup`, `test_item`, `proof`), what spans lessons (`record`, `catalogue`, `refresher`,
//! `course_report`, `course_test`), the job of a prepared shift (`shift_job`), and a class of learners (`grading`, `learner`,
//! `class`, `class_table`).

mod ask;
mod because;
mod calibration;
mod catalogue;
mod class;
mod class_table;
mod course_report;
mod course_test;
mod drill;
mod error;
mod file;
mod file_check;
mod fill;
mod glossary;
mod goal;
mod grading;
mod learner;
#[expect(clippy::module_inception, reason = "named for what it holds, as every file here")]
mod lesson;
mod mistakes;
mod model;
mod nudge;
mod on_part;
mod progress;
mod proof;
mod record;
mod refresher;
mod rehearsal;
mod score;
mod scripted_action;
mod setup;
mod sheet;
mod shift_draw;
mod shift_job;
mod shift_progress;
mod shift_task;
mod solve;
mod test_item;
mod variant;

pub use ask::{Ask, Axis, Question, ShiftPoint, WhichRun};
pub use because::Because;
pub use calibration::{Calibration, Tally};
pub use catalogue::{
    LESSON_FILES, attempt, lesson, lesson_file, lesson_files, lessons, of_session, of_session_among,
};
pub use class::{BrokenFile, ClassBook, ClassSummary, TeachNext};
pub use class_table::{ClassCell, class_heads, class_to_csv};
pub use course_report::{CourseReport, SkillReport, StageReport};
pub use course_test::{TEST_ITEMS, TestResult, course_test, test_result};
pub use drill::{FaultTemplate, Judged, JudgedCause, may_come_together};
pub use error::LessonError;
pub use file::{
    LESSON_VERSION, LessonFile, LessonKind, LessonStart, LookAt, Stage, StartDraw, StartRoutine,
};
pub use glossary::{GLOSSARY_FILE, Glossary, Term, glossary};
pub use goal::Goal;
pub use grading::{ClassFile, GradedFile};
pub use learner::{LearnerRow, Understanding};
pub use lesson::Lesson;
pub use model::{model_routine, plain_routine};
pub use on_part::OnPartError;
pub use progress::{GivenAnswer, Progress, ProgressTracker};
pub use proof::{AnswerCounts, LONGEST, LessonProblem, answer_counts, prove_all};
pub use record::{LessonRecord, RecordBook, RecordError, merge, records_to_csv};
pub use refresher::{
    Due, REFRESHER_ITEMS, REFRESHER_MINUTES, REVIEW_INTERVALS_DAYS, due, refresher,
};
pub use rehearsal::{LayoutChoice, best_layouts, rehearsed};
pub use score::{Criterion, LessonScore, PASS_SCORE};
pub use scripted_action::ScriptedAction;
pub use shift_job::{SHIFT_PARTS, prepared_shift};
pub use test_item::TestTime;
