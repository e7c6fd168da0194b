//! `nudgeproof lessons`: checks lessons by playing them, and prints their solutions.

use crate::files::read_text;
use crate::output::{Problem, print};
use crate::progress::Progress;
use nudgeproof::lesson::{
    AnswerCounts, LESSON_FILES, Lesson, answer_counts, lesson, lesson_files, prove_all,
};
use rayon::prelude::*;
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
        let mut says = String::new();
        for result in proved {
            match result {
                Ok(line) => says += &line,
                Err(problem) => wrong.push(problem),
            }
        }
        print(&says)?;
        if wrong.is_empty() { Ok(()) } else { Err(wrong.join("\n")) }
    }
}

fn read(path: &Path) -> Result<(String, String), Problem> {
    let name = path.display().to_string();
    let text = read_text(path, "a lesson file").map_err(|e| format!("{name}: {e}"))?;
    Ok((name, text))
}

/// One line about a correct lesson, or the problem in one sentence.
fn prove(name: &str, text: &str, check: &CheckArgs) -> Result<String, Problem> {
    let seeds = check.seeds;
    let lesson = Lesson::from_toml(text).map_err(|e| format!("{name}: {e}"))?;
    let file = Path::new(name).file_stem().map(|s| s.to_string_lossy().into_owned());
    if file.as_deref() != Some(&*lesson.name) {
        return Err(format!(
            "{name}: key `name`: expected the file's own name without .toml, and found {:?}",
            lesson.name
        ));
    }
    let mut says = String::new();
    if check.answers {
        let counts = answer_counts(&lesson, seeds).map_err(|e| format!("{name}: {e}"))?;
        says.extend(counts.iter().map(answers_line));
    }
    prove_all(&lesson, seeds).map_err(|e| format!("{name}: {e}"))?;
    let solved = lesson.solved().map_err(|(_, e)| format!("{name}: {e}"))?;
    Ok(format!(
        "{name}: {} stages, {:.1} minutes, sound with {} seeds\n{says}",
        lesson.stages.len(),
        lesson.minutes_of(&solved),
        seeds + 1
    ))
}

/// With how many seeds each answer to a question is right, in one line.
fn answers_line(counts: &AnswerCounts) -> String {
    let kind = if counts.predicted { "predicted" } else { "read" };
    let answers: Vec<_> =
        counts.answers.iter().map(|(answer, n)| format!("{answer}: {n}")).collect();
    let AnswerCounts { stage, title, .. } = counts;
    format!("  stage {stage} ({title}), {kind}: {}\n", answers.join(", "))
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
