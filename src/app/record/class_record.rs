//! A class: the files of many learners, read in this browser, and what they come to.

use super::files::download;
use crate::app::controls::{ColumnHead, FilesDrop, Group, Note, or_dash};
use crate::app::i18n::{Key, format, text, words};
use crate::app::logic::number::signed_length;
use crate::app::screen;
use crate::app::workspace::workspace;
use gloo::file::File;
use leptos::prelude::*;
use leptos::task::spawn_local;
use nudgeproof::coach::{MASTERY_PASSES, Review, Skill, review_in_pieces};
use nudgeproof::lesson::{
    ClassBook, ClassFile, ClassSummary, LearnerRow, RecordBook, class_to_csv, lesson_file,
};
use nudgeproof::session::{Certainty, Session};

const CLASS_FILE: &str = "nudgeproof-class.csv";
/// How many of the rules that are broken most are named.
const NAMED: usize = 3;

/// What is read of a class, and how far that has come.
#[derive(Debug, Clone, Copy)]
struct Reading {
    class: RwSignal<ClassBook>,
    /// How many files have been read, of how many; `None` while none are.
    at: RwSignal<Option<(usize, usize)>>,
    /// How often files were chosen: those that were chosen before are read no further.
    turn: StoredValue<usize>,
}

impl Reading {
    /// Reads files one after the other; the page stays at hand meanwhile.
    fn read(self, files: Vec<File>) {
        let mut files: Vec<_> = files.into_iter().filter(is_json).collect();
        files.sort_by_key(File::name);
        let count = files.len();
        let turn = self.turn.get_value() + 1;
        self.turn.set_value(turn);
        self.class.set(ClassBook::default());
        self.at.set(Some((0, count)));
        spawn_local(async move {
            for (n, file) in files.iter().enumerate() {
                let read = read(file).await;
                // Meanwhile the page may have left this place, or other files were chosen.
                if self.turn.try_get_value() != Some(turn) {
                    return;
                }
                self.add(&file.name(), read);
                self.at.set(Some((n + 1, count)));
            }
            self.at.set(None);
        });
    }

    fn add(self, name: &str, read: Result<Graded, String>) {
        self.class.update(|class| match read {
            Ok(Graded::Session(session, review)) => class.add_session(name, &session, &review),
            Ok(Graded::Records(book)) => class.add_records(name, &book),
            Err(problem) => class.add_broken(name, problem),
        });
    }
}

/// A file that was read, a session with the coach's review.
enum Graded {
    Session(Box<Session>, Review),
    Records(RecordBook),
}

async fn read(file: &File) -> Result<Graded, String> {
    let content = screen::text_of(file).await;
    let content = content.ok_or_else(|| text(Key::FileNotRead).to_owned())?;
    let session = match ClassFile::read(&content)? {
        ClassFile::Records(book) => return Ok(Graded::Records(book)),
        ClassFile::Session(session) => session,
    };
    let mut pieces = review_in_pieces((*session).clone());
    loop {
        if let Some(review) = pieces.go_on() {
            return Ok(Graded::Session(session, review));
        }
        // Lets the browser draw and answer.
        screen::pause().await;
    }
}

fn is_json(file: &File) -> bool {
    file.name().rsplit('.').next().is_some_and(|end| end.eq_ignore_ascii_case("json"))
}

/// Where an instructor drops what the learners have handed in.
#[component]
pub(super) fn ClassRecord() -> impl IntoView {
    let workspace = workspace();
    let reading =
        Reading { class: RwSignal::default(), at: RwSignal::new(None), turn: StoredValue::new(0) };
    let rows = Memo::new(move |_| reading.class.read().rows());
    let summary = Memo::new(move |_| ClassSummary::of(&rows.read()));
    let save = move |_| download(workspace, CLASS_FILE, &class_to_csv(&rows.read_untracked()));
    let progress = move || {
        let (read, of) = reading.at.get()?;
        Some(format(Key::ClassReading, &[&read.to_string(), &of.to_string()]))
    };
    view! {
        <section class="class-record no-print" aria-labelledby="class-record" data-testid="class-record">
            <h2 id="class-record">{text(Key::ClassRecord)}</h2>
            <Note>{text(Key::ClassRecordNote)}</Note>
            <Group class="files" name=text(Key::ClassRecord)>
                {[("class-files", false, Key::ClassFiles), ("class-folder", true, Key::ClassFolder)]
                    .map(|(test_id, folder, name)| {
                        view! {
                            <FilesDrop test_id folder on_files=move |files| reading.read(files)>
                                {text(name)}
                            </FilesDrop>
                        }
                    })}
                <Show when=move || !rows.read().is_empty()>
                    <button type="button" data-testid="save-class" on:click=save>
                        {text(Key::ClassSave)}
                    </button>
                </Show>
            </Group>
            <p class="fine" role="status" data-testid="class-progress">{progress}</p>
            <Show when=move || !rows.read().is_empty()>
                <Summary summary learners=Signal::derive(move || rows.read().len()) />
                <LearnerTable rows />
            </Show>
            <LeftOut reading />
        </section>
    }
}

/// What the class breaks most, and what to teach next.
#[component]
fn Summary(summary: Memo<ClassSummary>, learners: Signal<usize>) -> impl IntoView {
    let broken = move || {
        let all = summary.read();
        let of = learners.get().to_string();
        let named = all.most_broken.iter().take(NAMED).map(|(rule, count)| {
            format(Key::ClassBroken, &[&rule.title(words()), &count.to_string(), &of])
        });
        named.map(|says| view! { <li>{says}</li> }).collect_view()
    };
    let next = move || {
        let all = summary.read();
        let next = all.teach_next.as_ref()?;
        let title = |name: &String| lesson_file(name).map(|l| l.title.clone());
        let titles: Vec<_> = next.lessons.iter().filter_map(title).take(NAMED).collect();
        let count = all.mastered[&next.skill].to_string();
        let values = [next.skill.label(), &count, &learners.get().to_string(), &titles.join("; ")];
        Some(view! { <p data-testid="teach-next">{format(Key::ClassTeachNext, &values)}</p> })
    };
    view! {
        <ul data-testid="most-broken">{broken}</ul>
        {next}
    }
}

const HEADS: [Key; 11] = [
    Key::ColLearner,
    Key::ColAttempts,
    Key::ColBest,
    Key::ColLatest,
    Key::ColWorst,
    Key::ColHints,
    Key::ColFirstTry,
    Key::ColAlarms,
    Key::ColCertain,
    Key::ColTestBefore,
    Key::ColTestAfter,
];

/// A row for each learner.
#[component]
fn LearnerTable(rows: Memo<Vec<LearnerRow>>) -> impl IntoView {
    let skill = |skill: Skill| {
        view! {
            <ColumnHead>
                <span class="skill-name">{skill.label()}</span>
            </ColumnHead>
        }
    };
    view! {
        <div class="table-holder" tabindex="0" role="region" aria-label=text(Key::ClassLearners)>
            <table class="readings figures" data-testid="learners">
                <thead>
                    <tr>
                        {HEADS.map(|h| view! { <ColumnHead>{format(h, &[])}</ColumnHead> })}
                        {Skill::ALL.map(skill)}
                    </tr>
                </thead>
                <tbody>{move || rows.get().into_iter().map(learner_row).collect_view()}</tbody>
            </table>
        </div>
    }
}

fn learner_row(row: LearnerRow) -> impl IntoView {
    let known = row.understanding;
    let of = |part: usize, of: usize| or_dash((of > 0).then(|| format!("{part} / {of}")));
    let certain = known.predictions.of(Certainty::Certain);
    let [before, after] = [row.test_before, row.test_after].map(Option::unwrap_or_default);
    let cells = [
        row.sessions.to_string(),
        row.best_score.to_string(),
        row.latest_score.to_string(),
        or_dash(row.latest_miss_mm.map(|mm| signed_length(mm, 2))),
        known.hints.to_string(),
        of(known.causes_at_first_try, known.drills),
        of(known.decisions_at_alarms, known.alarms),
        of(certain.right, certain.said),
        of(before.right, before.of),
        of(after.right, after.of),
    ];
    let skill = |skill: Skill| {
        let estimate = &row.skills[&skill];
        let says = if estimate.mastered {
            text(Key::Mastered).to_owned()
        } else {
            format!("{} / {MASTERY_PASSES}", estimate.in_a_row.min(MASTERY_PASSES))
        };
        view! { <td>{says}</td> }
    };
    let skills = Skill::ALL.map(skill);
    view! {
        <tr>
            <th scope="row">{row.learner}</th>
            {cells.map(|cell| view! { <td>{cell}</td> })}
            {skills}
        </tr>
    }
}

/// The files that could not be read, each with the reason.
#[component]
fn LeftOut(reading: Reading) -> impl IntoView {
    let any = Memo::new(move |_| !reading.class.read().broken().is_empty());
    let all = move || {
        let class = reading.class.read();
        let line = |file: &nudgeproof::lesson::BrokenFile| {
            view! { <li>{format!("{}: {}", file.file, file.problem)}</li> }
        };
        class.broken().iter().map(line).collect_view()
    };
    view! {
        <Show when=move || any.get()>
            <p>{text(Key::ClassLeftOut)}</p>
            <ul class="left-out" data-testid="left-out">{all}</ul>
        </Show>
    }
}
