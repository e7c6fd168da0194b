//! The end of a lesson: how it went, what was mastered, and one thing to do next.

use super::score::{ScoreLine, ScoreList};
use crate::app::i18n::{Key, format, text};
use crate::app::lessons::{Next, SkillRow, course, today};
use crate::app::place::Place;
use crate::app::screen;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::coach::Skill;
use nudgeproof::lesson::{Criterion, Lesson, LessonKind, Stage, due};
use nudgeproof::session::Certainty;
use std::sync::Arc;

/// What a part of the score is for.
fn part_name(what: Criterion) -> &'static str {
    text(match what {
        Criterion::Cause => Key::ScoreCause,
        Criterion::Evidence => Key::ScoreEvidence,
        Criterion::Repair => Key::ScoreRepair,
        Criterion::Minutes => Key::ScoreMinutes,
        Criterion::Questions => Key::ScoreQuestions,
        Criterion::Shift => Key::ScoreShift,
        Criterion::Method => Key::ScoreMethod,
    })
}

#[component]
pub(super) fn LessonEnd(lesson: Arc<Lesson>) -> impl IntoView {
    let (workspace, course) = (workspace(), course());
    let score = workspace.with_session(|s| lesson.score(s));
    let line = |(what, part)| ScoreLine { name: part_name(what), test_id: what.name(), part };
    let lines = score.parts.into_iter().map(line).collect();
    let sure = lesson.calibration(&course.standing.read_untracked().answers);
    let said = sure.rows().into_iter().filter(|(_, tally)| tally.said > 0);
    let said = said.map(|(certainty, tally)| {
        let line = match certainty {
            Certainty::Guessing => Key::EndGuessing,
            Certainty::FairlySure => Key::EndFairly,
            Certainty::Certain => Key::EndCertain,
        };
        let line = format(line, &[&tally.said.to_string(), &tally.right.to_string()]);
        view! { <li>{line}</li> }
    });
    let sure = (!sure.is_empty()).then(|| {
        view! {
            <section class="sure-end" data-testid="sure-end">
                <h4>{text(Key::SureHead)}</h4>
                <ul>{said.collect_view()}</ul>
                <p class="fine">{text(Key::SureNote)}</p>
            </section>
        }
    });
    let is_test = lesson.kind == LessonKind::Test;
    let about = (lesson.kind != LessonKind::Refresher && !is_test)
        .then(|| view! { <p>{format(Key::YouCanNow, &[&lesson.about])}</p> });
    let mut skills: Vec<Skill> = lesson.stages.iter().filter_map(Stage::skill).collect();
    skills.sort_unstable();
    skills.dedup();
    // The record of this attempt is kept a moment after the last stage is done.
    let rows = move || {
        let all = due(&course.records.read(), today());
        let own = all.into_iter().filter(|d| skills.contains(&d.skill));
        own.map(|due| view! { <SkillRow due /> }).collect_view()
    };
    let next = course.next(&lesson, score.total);
    let (name, why) = match &next {
        Next::Item(left) => (format(Key::NextItem, &[&left.to_string()]), None),
        Next::Over if is_test => (text(Key::NextOver).into(), Some(Key::TestOver)),
        Next::Over => (text(Key::NextOver).into(), Some(Key::RefresherOver)),
        Next::Again if lesson.kind == LessonKind::Drill => (text(Key::NextFault).into(), None),
        Next::Again => (text(Key::NextAgain).into(), Some(Key::NextAgainWhy)),
        Next::Lesson(l) => (format(Key::NextLesson, &[&l.title]), None),
        Next::Refresher => (text(Key::RefresherBegin).into(), Some(Key::CourseDone)),
    };
    let other = match &next {
        Next::Again => course.unpassed_after(&lesson),
        _ => None,
    };
    let other = other.map(|other| {
        view! {
            <button type="button" data-testid="lesson-other" on:click=move |_| course.begin(other)>
                {format(Key::NextLesson, &[&other.title])}
            </button>
        }
    });
    let go = move |_| match &next {
        Next::Item(_) => course.next_refresher_item(),
        Next::Over => {
            course.next_refresher_item();
            screen::go(Place::Record.hash());
        }
        Next::Again => course.begin_again(&lesson),
        Next::Lesson(next) => course.begin(next),
        Next::Refresher => course.begin_refresher(),
    };
    view! {
        <div class="stage finished" data-testid="lesson-finished">
            <h3>{text(if is_test { Key::TestNoted } else { Key::LessonFinished })}</h3>
            {about}
            {(!is_test)
                .then(|| {
                    view! {
                        <ScoreList
                            name=Key::LessonScore
                            test_id="lesson-score"
                            total=score.total
                            lines
                        />
                        {sure}
                        <ul class="skills">{rows}</ul>
                    }
                })}
            {why.map(|why| view! { <p>{text(why)}</p> })}
            <div class="row-tools">
                <button type="button" class="run-button" data-testid="lesson-next" on:click=go>
                    {name}
                </button>
                {other}
                <a class="button" href=Place::Lessons.hash()>
                    {text(Key::PlaceLessons)}
                </a>
            </div>
        </div>
    }
}
