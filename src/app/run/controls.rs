use super::caution::with_caution;
use crate::app::desk::{Desk, desk};
use crate::app::guide::ASK;
use crate::app::lessons::course;
use crate::app::live::when;
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
#[component]
pub(super) fn Controls() -> impl IntoView {
    let (desk, course) = (desk(), course());
    let paused = move || desk.now.read().state.paused.is_some();
    let playing = move || desk.playback.playing();
    let unfinished = move || desk.playback.beat().is_some_and(|p| p.t < p.until);
    // A prediction comes before its run.
    let held = move || course.standing.read().asks.then_some("true");
    let pause = move |_| {
        desk.playback.update(|p| {
            if let Some(p) = p {
                p.playing = !p.playing && p.t < p.until;
            }
        });
    };
    let skip = move |_| {
        desk.playback.update(|p| {
            if let Some(p) = p {
                *p = Playback::at(p.run, p.until, p.until);
            }
        });
        announce_end(desk);
    };
    view! {
        <div class="controls" role="group" aria-label=say(Word::Run)>
            <button type="button" class="run-button" data-testid="run" aria-disabled=held
                on:click=move |_| with_caution(move || start(desk, None))>
                <svg class="glyph" viewBox="0 0 16 16" aria-hidden="true"><path class="solid" d="M4 2.500l9 5.500l-9 5.500z"/></svg>
                <span>{move || say(if paused() { Word::GoOn } else { Word::Run })}</span>
            </button>
            <button type="button" data-testid="run-step" aria-disabled=held
                on:click=move |_| with_caution(move || start(desk, Some(1)))>{say(Word::SingleStep)}</button>
            <button type="button" data-testid="pause" disabled=move || !unfinished() on:click=pause>
                {move || say(if playing() || !unfinished() { Word::Pause } else { Word::Play })}
            </button>
            <button type="button" data-testid="run-end" disabled=move || !unfinished() on:click=skip>
                {say(Word::ToEnd)}
            </button>
            {when(paused, move || view! {
                <button type="button" data-testid="abort" on:click=move |_| {
                    if desk.act(Action::Abort) {
                        desk.playback.set(None);
                        desk.tell(say(Word::RunGivenUp).into());
                    }
                }>{say(Word::GiveUp)}</button>
            }.into_any())}
            <div class="choice" role="group" aria-label=say(Word::Speed)>
                <button type="button" data-testid="run-reduced"
                    aria-pressed=move || (desk.speed.get() == RunSpeed::Reduced).to_string()
                    on:click=move |_| desk.speed.set(RunSpeed::Reduced)>{say(Word::SpeedReduced)}</button>
                <button type="button" data-testid="run-full"
                    aria-pressed=move || (desk.speed.get() == RunSpeed::Full).to_string()
                    on:click=move |_| desk.speed.set(RunSpeed::Full)>{say(Word::SpeedFull)}</button>
            </div>
            <button type="button" class="arc" role="switch" data-testid="arc"
                aria-checked=move || desk.arc.get().to_string()
                on:click=move |_| desk.arc.update(|a| *a = !*a)>
                {move || say(if desk.arc.get() { Word::ArcIsOn } else { Word::ArcIsOff })}
            </button>
            <label class="pick rate">
                <span>{say(Word::ShowAt)}</span>
                <select data-testid="rate" on:change:target=move |event| {
                    desk.rate.set(read(&event.target().value()).unwrap_or(1.0));
                }>
                    {RATES.map(|r| view! {
                        <option value=r.to_string() selected=move || desk.rate.get() == r>{format!("{r} ×")}</option>
                    }).collect_view()}
                </select>
            </label>
        </div>
    }
}
