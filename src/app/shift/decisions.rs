use super::work::shift_work;
use crate::app::i18n::{Key, format, text};
use crate::app::keys::{CommandButton, KeyCommand, tooltip};
use crate::app::logic::shift_words::{about_look, about_now, look_name};
use leptos::prelude::*;
use nudgeproof::session::{Decision, LookAt};
use nudgeproof::shift::{LOOK_MINUTES, STOP_MINUTES};

/// What is known of the part that waits, and the three things that can be done.
#[component]
pub(super) fn Decisions() -> impl IntoView {
    let work = shift_work();
    let says = Memo::new(move |_| about_now(&work.shift.read()).unwrap_or_default());
    let looked = Memo::new(move |_| about_look(&work.shift.read()));
    let lost = Memo::new(move |_| work.shift.read().now().is_some_and(|f| f.offset.is_none()));
    let of = move || {
        let shift = work.shift.read();
        let now = shift.now().map_or(0, |f| f.part).to_string();
        format(Key::ShiftPartOf, &[&now, &shift.parts().to_string()])
    };
    let at = RwSignal::new(LookAt::WireTip);
    let choices = LookAt::all().enumerate().map(|(i, choice)| {
        view! {
            <label class="choice">
                <input
                    type="radio"
                    name="look-at"
                    data-testid=format!("look-{}", i + 1)
                    prop:checked=move || at.get() == choice
                    on:change=move |_| at.set(choice)
                />
                {look_name(choice)}
            </label>
        }
    });
    let minutes = |minutes: u32| format(Key::ShiftTakes, &[&minutes.to_string()]);
    view! {
        <div class="shift-now" role="status" data-testid="shift-now">
            <p class="kick">{of}</p>
            <p class="headline">{move || says.read()[0].clone()}</p>
            <p>{move || says.read()[1].clone()}</p>
            {move || looked.get().map(|found| view! { <p class="found" data-testid="found">{found}</p> })}
        </div>
        <div class="decision">
            <CommandButton
                command=KeyCommand::ShiftGoOn
                test_id="shift-go-on"
                disabled=lost
                act=move || work.decide(Decision::GoOn)
            >
                {text(Key::ShiftGoOn)}
                <Kbd command=KeyCommand::ShiftGoOn />
            </CommandButton>
            <p>{text(Key::ShiftGoOnAbout)}</p>
            <p class="takes">{text(Key::ShiftTakesNone)}</p>
        </div>
        <div class="decision">
            <CommandButton
                command=KeyCommand::ShiftLook
                test_id="shift-look"
                act=move || work.decide(Decision::Look(at.get_untracked()))
            >
                {text(Key::ShiftLook)}
                <Kbd command=KeyCommand::ShiftLook />
            </CommandButton>
            <fieldset class="look-at">
                <legend>{text(Key::ShiftLookAt)}</legend>
                {choices.collect_view()}
            </fieldset>
            <p class="takes">{minutes(LOOK_MINUTES)}</p>
        </div>
        <div class="decision">
            <CommandButton
                command=KeyCommand::ShiftStop
                test_id="shift-stop"
                act=move || work.decide(Decision::Stop)
            >
                {text(Key::ShiftStop)}
                <Kbd command=KeyCommand::ShiftStop />
            </CommandButton>
            <p>{text(Key::ShiftStopAbout)}</p>
            <p class="takes">{minutes(STOP_MINUTES)}</p>
        </div>
    }
}

/// The key of a command.
#[component]
fn Kbd(command: KeyCommand) -> impl IntoView {
    view! { <kbd aria-hidden="true">{tooltip(command)}</kbd> }
}
