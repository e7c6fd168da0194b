use super::caution::with_caution;
use crate::app::dom::{View, button, el, svg, when};
use crate::app::i18n::{Key, format, text};
use crate::app::lessons::course;
use crate::app::logic::describe::{self, run_kind};
use crate::app::logic::number::{length, read};
use crate::app::logic::playback::{Playback, RATES};
use crate::app::logic::shown::{Verdict, verdict};
use crate::app::panels::{Panel, panels};
use crate::app::workspace::{Workspace, workspace};
use leptos::prelude::*;
use nudgeproof::routine::RunSpeed;
use nudgeproof::session::Action;

/// Starts the routine, or goes on with a paused one; `steps` of it, or all.
fn start(workspace: Workspace, steps: Option<usize>) {
    let course = course();
    if course.standing.read_untracked().asks {
        workspace.warn(text(Key::AnswerFirst).into());
        panels().show(Panel::Question);
        return;
    }
    let before = workspace.state_untracked();
    if before.routine.steps.is_empty() {
        workspace.warn(text(Key::NothingToRun).into());
        return;
    }
    let paused = before.runs.last().filter(|_| before.paused.is_some());
    let (from, action) = if let Some(log) = paused {
        (log.duration, Action::Resume { steps })
    } else {
        let (speed, arc) = (workspace.speed.get_untracked(), workspace.arc.get_untracked());
        (0.0, Action::Run { speed, arc, steps })
    };
    if !workspace.act(action) {
        return;
    }
    let state = workspace.state_untracked();
    let Some(log) = state.runs.last() else { return };
    workspace.hand.set(state.torch);
    workspace.playback.set(Some(Playback::play(state.runs.len() - 1, from, log.duration)));
    workspace.notify(format(Key::RunStarted, &[&log.number.to_string(), run_kind(log.kind)]));
}

/// Says how the run on show ended, once it has been shown to its end.
pub(super) fn announce_end(workspace: Workspace) {
    let Some((log, p)) = untrack(|| workspace.on_show()) else { return };
    let n = log.number.to_string();
    let text = match verdict(Some(&log), Some(&p)) {
        Verdict::OnSeam(m) => format(Key::SaidOnSeam, &[&n, &length(m, 2)]),
        Verdict::Missed(m) => format(Key::SaidMissed, &[&n, &length(m, 2)]),
        Verdict::Stopped(_) => {
            let last = log.events.last().map(|e| describe::event(&log, e)).unwrap_or_default();
            format(Key::SaidStopped, &[&n, &last])
        }
        Verdict::NoWeld => format(Key::SaidNoWeld, &[&n]),
        Verdict::Paused => text(Key::SaidPaused).into(),
        Verdict::None | Verdict::Running => return,
    };
    workspace.notify(text);
}

/// Run, step, pause; speed and arc; how fast it is shown.
pub(super) fn controls() -> View {
    let (workspace, course) = (workspace(), course());
    let paused = move || workspace.state().paused.is_some();
    let playing = move || workspace.playback.playing();
    let unfinished = move || workspace.playback.beat().is_some_and(|p| p.t < p.until);
    // A prediction comes before its run.
    let held = move || course.standing.read().asks.then_some("true");
    let pause = move || {
        workspace.playback.update(|p| {
            if let Some(p) = p {
                p.playing = !p.playing && p.t < p.until;
            }
        });
    };
    let skip = move || {
        workspace.playback.update(|p| {
            if let Some(p) = p {
                *p = Playback::at(p.run, p.until, p.until);
            }
        });
        announce_end(workspace);
    };
    el("div")
        .class("controls")
        .node_ref(panels().run_controls)
        .group(Key::Run)
        .child(
            button("run")
                .class("run-button")
                .attr("aria-disabled", held)
                .click(move || with_caution(move || start(workspace, None)))
                .child(
                    svg("svg")
                        .class("glyph")
                        .attr("viewBox", "0 0 16 16")
                        .attr("aria-hidden", "true")
                        .child(svg("path").class("solid").attr("d", "M4 2.500l9 5.500l-9 5.500z")),
                )
                .child(el("span").text(move || if paused() { Key::GoOn } else { Key::Run })),
        )
        .child(
            button("run-step")
                .attr("aria-disabled", held)
                .click(move || with_caution(move || start(workspace, Some(1))))
                .text(Key::SingleStep),
        )
        .child(
            button("pause")
                .attr("disabled", move || !unfinished())
                .click(pause)
                .text(move || if playing() || !unfinished() { Key::Pause } else { Key::Play }),
        )
        .child(
            button("run-end").attr("disabled", move || !unfinished()).click(skip).text(Key::ToEnd),
        )
        .child(when(paused, move || {
            button("abort")
                .click(move || {
                    if workspace.act(Action::Abort) {
                        workspace.playback.set(None);
                        workspace.notify(text(Key::RunGivenUp).into());
                    }
                })
                .text(Key::GiveUp)
        }))
        .child(
            el("div")
                .class("choice")
                .group(Key::Speed)
                .child(
                    button("run-reduced")
                        .attr("aria-pressed", move || {
                            (workspace.speed.get() == RunSpeed::Reduced).to_string()
                        })
                        .click(move || workspace.speed.set(RunSpeed::Reduced))
                        .text(Key::SpeedReduced),
                )
                .child(
                    button("run-full")
                        .attr("aria-pressed", move || {
                            (workspace.speed.get() == RunSpeed::Full).to_string()
                        })
                        .click(move || workspace.speed.set(RunSpeed::Full))
                        .text(Key::SpeedFull),
                ),
        )
        .child(
            button("arc")
                .class("arc")
                .attr("role", "switch")
                .attr("aria-checked", move || workspace.arc.get().to_string())
                .click(move || workspace.arc.update(|a| *a = !*a))
                .text(move || if workspace.arc.get() { Key::ArcIsOn } else { Key::ArcIsOff }),
        )
        .child(
            el("label").class("pick rate").child(el("span").text(Key::ShowAt)).child(
                el("select")
                    .test_id("rate")
                    .on("change", move |event: web_sys::Event| {
                        workspace.rate.set(read(&event_target_value(&event)).unwrap_or(1.0));
                    })
                    .children(RATES.map(|r| {
                        el("option")
                            .attr("value", r.to_string())
                            .attr("selected", move || workspace.rate.get() == r)
                            .text(format!("{r} ×"))
                    })),
            ),
        )
}
