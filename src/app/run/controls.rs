use super::caution::with_caution;
use crate::app::desk::{Desk, desk};
use crate::app::dom::{View, button, el, svg, when};
use crate::app::lessons::{ASK, course};
use crate::app::logic::describe::{self, run_kind};
use crate::app::logic::number::{length, read};
use crate::app::logic::playback::{Playback, RATES};
use crate::app::logic::shown::{Verdict, verdict};
use crate::app::screen;
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::routine::RunSpeed;
use nudgeproof::session::Action;

/// Starts the routine, or goes on with a paused one; `steps` of it, or all.
fn start(desk: Desk, steps: Option<usize>) {
    let course = course();
    if course.standing.read_untracked().asks {
        desk.tell_grave(say(Word::AnswerFirst).into());
        course.guide.set(true);
        // Once it is in front.
        request_animation_frame(|| screen::show_first_button(ASK));
        return;
    }
    let before = desk.peek();
    if before.routine.steps.is_empty() {
        desk.tell_grave(say(Word::NothingToRun).into());
        return;
    }
    let paused = before.runs.last().filter(|_| before.paused.is_some());
    let (from, action) = if let Some(log) = paused {
        (log.duration, Action::Resume { steps })
    } else {
        let (speed, arc) = (desk.speed.get_untracked(), desk.arc.get_untracked());
        (0.0, Action::Run { speed, arc, steps })
    };
    if !desk.act(action) {
        return;
    }
    let state = desk.peek();
    let Some(log) = state.runs.last() else { return };
    desk.hand.set(state.torch);
    desk.playback.set(Some(Playback::play(state.runs.len() - 1, from, log.duration)));
    desk.tell(tell(Word::RunStarted, &[&log.number.to_string(), run_kind(log.kind)]));
}

/// Says how the run on show ended, once it has been shown to its end.
pub(super) fn announce_end(desk: Desk) {
    let Some((log, p)) = untrack(|| desk.on_show()) else { return };
    let n = log.number.to_string();
    let text = match verdict(Some(&log), Some(&p)) {
        Verdict::OnSeam(m) => tell(Word::SaidOnSeam, &[&n, &length(m, 2)]),
        Verdict::Missed(m) => tell(Word::SaidMissed, &[&n, &length(m, 2)]),
        Verdict::Stopped(_) => {
            let last = log.events.last().map(|e| describe::event(&log, e)).unwrap_or_default();
            tell(Word::SaidStopped, &[&n, &last])
        }
        Verdict::NoWeld => tell(Word::SaidNoWeld, &[&n]),
        Verdict::Paused => say(Word::SaidPaused).into(),
        Verdict::None | Verdict::Running => return,
    };
    desk.tell(text);
}

/// Run, step, pause; speed and arc; how fast it is shown.
pub(super) fn controls() -> View {
    let (desk, course) = (desk(), course());
    let paused = move || desk.now.read().state.paused.is_some();
    let playing = move || desk.playback.playing();
    let unfinished = move || desk.playback.beat().is_some_and(|p| p.t < p.until);
    // A prediction comes before its run.
    let held = move || course.standing.read().asks.then_some("true");
    let pause = move || {
        desk.playback.update(|p| {
            if let Some(p) = p {
                p.playing = !p.playing && p.t < p.until;
            }
        });
    };
    let skip = move || {
        desk.playback.update(|p| {
            if let Some(p) = p {
                *p = Playback::at(p.run, p.until, p.until);
            }
        });
        announce_end(desk);
    };
    el("div")
        .class("controls")
        .group(Word::Run)
        .child(
            button("run")
                .class("run-button")
                .attr("aria-disabled", held)
                .click(move || with_caution(move || start(desk, None)))
                .child(
                    svg("svg")
                        .class("glyph")
                        .attr("viewBox", "0 0 16 16")
                        .attr("aria-hidden", "true")
                        .child(svg("path").class("solid").attr("d", "M4 2.500l9 5.500l-9 5.500z")),
                )
                .child(el("span").text(move || if paused() { Word::GoOn } else { Word::Run })),
        )
        .child(
            button("run-step")
                .attr("aria-disabled", held)
                .click(move || with_caution(move || start(desk, Some(1))))
                .text(Word::SingleStep),
        )
        .child(
            button("pause")
                .attr("disabled", move || !unfinished())
                .click(pause)
                .text(move || if playing() || !unfinished() { Word::Pause } else { Word::Play }),
        )
        .child(
            button("run-end").attr("disabled", move || !unfinished()).click(skip).text(Word::ToEnd),
        )
        .child(when(paused, move || {
            button("abort")
                .click(move || {
                    if desk.act(Action::Abort) {
                        desk.playback.set(None);
                        desk.tell(say(Word::RunGivenUp).into());
                    }
                })
                .text(Word::GiveUp)
        }))
        .child(
            el("div")
                .class("choice")
                .group(Word::Speed)
                .child(
                    button("run-reduced")
                        .attr("aria-pressed", move || {
                            (desk.speed.get() == RunSpeed::Reduced).to_string()
                        })
                        .click(move || desk.speed.set(RunSpeed::Reduced))
                        .text(Word::SpeedReduced),
                )
                .child(
                    button("run-full")
                        .attr("aria-pressed", move || {
                            (desk.speed.get() == RunSpeed::Full).to_string()
                        })
                        .click(move || desk.speed.set(RunSpeed::Full))
                        .text(Word::SpeedFull),
                ),
        )
        .child(
            button("arc")
                .class("arc")
                .attr("role", "switch")
                .attr("aria-checked", move || desk.arc.get().to_string())
                .click(move || desk.arc.update(|a| *a = !*a))
                .text(move || if desk.arc.get() { Word::ArcIsOn } else { Word::ArcIsOff }),
        )
        .child(
            el("label").class("pick rate").child(el("span").text(Word::ShowAt)).child(
                el("select")
                    .test_id("rate")
                    .on("change", move |event: web_sys::Event| {
                        desk.rate.set(read(&event_target_value(&event)).unwrap_or(1.0));
                    })
                    .children(RATES.map(|r| {
                        el("option")
                            .attr("value", r.to_string())
                            .attr("selected", move || desk.rate.get() == r)
                            .text(format!("{r} ×"))
                    })),
            ),
        )
}
