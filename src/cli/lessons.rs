//! `nudgeproof lessons`: checks lessons by playing them, and prints their solutions.

use crate::files::read_text;
use crate::output::{Problem, print, print_json};
use crate::progress::Progress;
use nudgeproof::lesson::{
    AnswerCounts, LESSON_FILES, Lesson, answer_counts, lesson, lesson_files, prove_all,
};
use rayon::prelude::*;
use serde::Serialize;
use std::path::{Path, PathBuf};

/// Arguments of `lessons`.
#[derive(clap::Args)]
pub(crate) struct LessonsArgs {
    #[command(subcommand)]
    command: LessonsCommand,
}

#[derive(clap::Subcommand)]
enum LessonsCommand {
    /// Play every lesson and report problems
    Check(CheckArgs),
    /// Print a session with the solution of a lesson
    Solve(SolveLessonArgs),
}

#[derive(clap::Args)]
struct SolveLessonArgs {
    /// Name of the lesson
    name: String,
    /// Seed of the attempt; the lesson's own if left out
    #[arg(long)]
    seed: Option<u64>,
}

#[derive(clap::Args)]
struct CheckArgs {
    /// Lesson files; the course that comes with the program if left out
    files: Vec<PathBuf>,
    /// How many other attempts at each lesson are played
    #[arg(long, default_value_t = 199)]
    seeds: u64,
    /// Print for each question with how many seeds each answer is right
    #[arg(long)]
    answers: bool,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

/// All that is told, as JSON.
#[derive(Serialize)]
struct Report {
    lessons: Vec<Proved>,
    /// One sentence each.
    problems: Vec<Problem>,
}

/// A correct lesson.
#[derive(Serialize)]
struct Proved {
    file: String,
    name: String,
    stages: usize,
    minutes: f64,
    /// How many attempts were played.
    seeds: u64,
    /// Its questions, if answers were counted.
    #[serde(skip_serializing_if = "Option::is_none")]
    questions: Option<Vec<Question>>,
}

/// A question of a lesson.
#[derive(Serialize)]
struct Question {
    stage: usize,
    title: String,
    predicted: bool,
    answers: Vec<Answer>,
}

/// With how many seeds an answer is right.
#[derive(Serialize)]
struct Answer {
    answer: String,
    right: usize,
}

impl From<AnswerCounts> for Question {
    fn from(AnswerCounts { stage, title, predicted, answers }: AnswerCounts) -> Self {
        let answers = answers.into_iter().map(|(answer, right)| Answer { answer, right }).collect();
        Self { stage, title, predicted, answers }
    }
}

impl LessonsArgs {
    pub(crate) fn run(&self) -> Result<(), Problem> {
        match &self.command {
            LessonsCommand::Check(check) => check.run(),
            LessonsCommand::Solve(solve) => solve.run(),
        }
    }
}

impl SolveLessonArgs {
    fn run(&self) -> Result<(), Problem> {
        let name = &self.name;
        let known = || lesson_files().map(|l| l.name.as_str()).collect::<Vec<_>>().join(", ");
        let lesson = lesson(name)
            .ok_or_else(|| format!("expected one of {}, and found {name:?}", known()))?;
        let attempt = lesson.variant(self.seed.unwrap_or(lesson.seed));
        let attempt = attempt.map_err(|e| format!("{name}: {e}"))?;
        let solved = attempt.solved().map_err(|(n, e)| format!("{name}: action {n}: {e}"))?;
        print(&(solved.to_json() + "\n"))
    }
}

impl CheckArgs {
    fn run(&self) -> Result<(), Problem> {
        let mut wrong = Vec::new();
        let texts: Vec<(String, String)> = if self.files.is_empty() {
            wrong.extend(unlisted(Path::new("lessons")));
            LESSON_FILES.iter().map(|(f, t)| (format!("lessons/{f}"), (*t).to_owned())).collect()
        } else {
            self.files.iter().map(|path| read(path)).collect::<Result<_, _>>()?
        };
        let progress = Progress::of(Some(texts.len() as u64), "lessons");
        let prove = |(name, text): &(String, String)| {
            let proved = prove(name, text, self);
            progress.advance(1);
            proved
        };
        let proved: Vec<_> = texts.par_iter().map(prove).collect();
        drop(progress);
        let mut lessons = Vec::new();
        for result in proved {
            match result {
                Ok(proved) => lessons.push(proved),
                Err(problem) => wrong.push(problem),
            }
        }
        let report = Report { lessons, problems: wrong };
        if self.json {
            print_json(&report)?;
        } else {
            print(&report.lessons.iter().map(Proved::words).collect::<String>())?;
        }
        if report.problems.is_empty() { Ok(()) } else { Err(report.problems.join("\n")) }
    }
}

fn read(path: &Path) -> Result<(String, String), Problem> {
    let name = path.display().to_string();
    let text = read_text(path, "a lesson file").map_err(|e| format!("{name}: {e}"))?;
    Ok((name, text))
}

/// A correct lesson, or the problem in one sentence.
fn prove(name: &str, text: &str, check: &CheckArgs) -> Result<Proved, Problem> {
    let seeds = check.seeds;
    let lesson = Lesson::from_toml(text).map_err(|e| format!("{name}: {e}"))?;
    let file = Path::new(name).file_stem().map(|s| s.to_string_lossy().into_owned());
    if file.as_deref() != Some(&*lesson.name) {
        return Err(format!(
            "{name}: key `name`: expected the file's own name without .toml, and found {:?}",
            lesson.name
        ));
    }
    let counts = || answer_counts(&lesson, seeds).map_err(|e| format!("{name}: {e}"));
    let counts = check.answers.then(counts).transpose()?;
    prove_all(&lesson, seeds).map_err(|e| format!("{name}: {e}"))?;
    let solved = lesson.solved().map_err(|(_, e)| format!("{name}: {e}"))?;
    Ok(Proved {
        file: name.to_owned(),
        name: lesson.name.clone(),
        stages: lesson.stages.len(),
        minutes: lesson.minutes_of(&solved),
        seeds: seeds + 1,
        questions: counts.map(|counts| counts.into_iter().map(Question::from).collect()),
    })
}

impl Proved {
    /// One line, and one for each question.
    fn words(&self) -> String {
        let Self { file, stages, minutes, seeds, questions, .. } = self;
        let answers: String = questions.iter().flatten().map(Question::words).collect();
        format!(
            "{file}: {stages} stages, {minutes:.1} minutes, sound with {seeds} seeds\n{answers}"
        )
    }
}

impl Question {
    /// With how many seeds each answer is right, in one line.
    fn words(&self) -> String {
        let kind = if self.predicted { "predicted" } else { "read" };
        let answers =
            self.answers.iter().map(|Answer { answer, right }| format!("{answer}: {right}"));
        let answers: Vec<_> = answers.collect();
        let Self { stage, title, .. } = self;
        format!("  stage {stage} ({title}), {kind}: {}\n", answers.join(", "))
    }
}

/// Lesson files in the folder that are not in the course's list.
fn unlisted(folder: &Path) -> Vec<Problem> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut names: Vec<String> = entries
        .filter_map(|e| Some(e.ok()?.path()))
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .filter_map(|p| Some(p.file_name()?.to_string_lossy().into_owned()))
        .filter(|n| n != "glossary.toml")
        .filter(|n| LESSON_FILES.iter().all(|(f, _)| f != n))
        .collect();
    names.sort();
    names
        .into_iter()
        .map(|n| format!("lessons/{n}: expected it in the list of src/lesson/catalogue.rs"))
        .collect()
}
