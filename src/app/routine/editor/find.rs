use crate::app::controls::{LabelledField, TextField};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::describe::freedom_name;
use crate::app::logic::told::Told;
use crate::app::routine::step_handle::StepHandle;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::locate::{Freedom, Freedoms};
use nudgeproof::routine::Instruction;

/// The place that a find works out, what the part may have done, and whether the touches tell it.
#[component]
pub(super) fn FindEditor(step: StepHandle) -> impl IntoView {
    let place = move || match step.instruction.get() {
        Some(Instruction::Find { place, .. }) => place,
        _ => String::new(),
    };
    let set_place = move |new: String| step.rename_place(&new);
    view! {
        <div class="find-form" data-testid="find-form">
            <LabelledField name=text(Key::PlaceIs)>
                <TextField test_id="find-place" value=place on_commit=set_place />
            </LabelledField>
            <FreedomBoxes step />
            <ToldLines step />
        </div>
    }
}

/// Six boxes for what the part may have done.
#[component]
fn FreedomBoxes(step: StepHandle) -> impl IntoView {
    let may = Memo::new(move |_| match step.instruction.get() {
        Some(Instruction::Find { may, .. }) => may,
        _ => Freedoms::empty(),
    });
    let toggle = move |freedom: Freedom| {
        step.change(|instruction| {
            if let Instruction::Find { may, .. } = instruction {
                may.toggle(freedom.into());
            }
        });
    };
    let each = |freedom: Freedom| {
        let test_id = match freedom {
            Freedom::X => "may-x",
            Freedom::Y => "may-y",
            Freedom::Height => "may-height",
            Freedom::Turn => "may-turn",
            Freedom::TiltX => "may-tilt-x",
            Freedom::TiltY => "may-tilt-y",
        };
        view! {
            <label class="freedom">
                <input
                    type="checkbox"
                    data-testid=test_id
                    prop:checked=move || may.get().has(freedom)
                    on:change=move |_| toggle(freedom)
                />
                {freedom_name(freedom)}
            </label>
        }
    };
    view! {
        <fieldset class="freedoms" data-testid="find-may">
            <legend>{text(Key::PartMayHave)}</legend>
            {Freedom::ALL.map(each)}
        </fieldset>
    }
}

/// The unknowns against the touches, and what no touch sees.
#[component]
fn ToldLines(step: StepHandle) -> impl IntoView {
    let workspace = workspace();
    let told = Memo::new(move |_| Told::of(&workspace.routine(), step.index.get()?));
    let blind = Memo::new(move |_| told.get().map_or(Freedoms::empty(), |told| told.unseen));
    view! {
        <p class="fine" data-testid="find-told">
            {move || told.get().map(counts)}
        </p>
        <Show when=move || !blind.get().is_empty()>
            <p class="fine blind" data-testid="find-blind">
                {move || blind_words(blind.get())}
            </p>
        </Show>
    }
}

/// "3 unknowns · 4 touches · 1 to spare".
fn counts(told: Told) -> String {
    let count = |n: usize, one, many| format(if n == 1 { one } else { many }, &[&n.to_string()]);
    let unknown = count(told.unknown, Key::OneUnknown, Key::Unknowns);
    let touches = count(told.touches, Key::OneTouch, Key::Touches);
    let rest = if told.touches < told.unknown {
        format(Key::TouchesMissing, &[&(told.unknown - told.touches).to_string()])
    } else {
        format(Key::TouchesToSpare, &[&(told.touches - told.unknown).to_string()])
    };
    [unknown, touches, rest].join(" · ")
}

/// "Nothing sees a slide along Y or a turn."
fn blind_words(unseen: Freedoms) -> String {
    let motion = |freedom| {
        text(match freedom {
            Freedom::X => Key::SlideX,
            Freedom::Y => Key::SlideY,
            Freedom::Height => Key::ChangeOfHeight,
            Freedom::Turn => Key::ATurn,
            Freedom::TiltX => Key::ATiltX,
            Freedom::TiltY => Key::ATiltY,
        })
    };
    let all: Vec<_> = unseen.list().map(motion).collect();
    match all.as_slice() {
        [most @ .., last] if !most.is_empty() => {
            format(Key::NothingSees, &[&format(Key::OrLast, &[&most.join(", "), last])])
        }
        rest => format(Key::NothingSees, &[&rest.concat()]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_no_touch_sees_is_told_in_words() {
        assert_eq!(blind_words(Freedoms::Y), "Nothing sees a slide along Y.");
        let two = Freedoms::HEIGHT | Freedoms::TURN;
        assert_eq!(blind_words(two), "Nothing sees a change of height or a turn.");
        let three = two | Freedoms::X;
        let words = "Nothing sees a slide along X, a change of height or a turn.";
        assert_eq!(blind_words(three), words);
    }

    #[test]
    fn touches_are_counted_against_the_unknowns() {
        let told = |unknown, touches| Told { unknown, touches, unseen: Freedoms::empty() };
        assert_eq!(counts(told(3, 4)), "3 unknowns · 4 touches · 1 to spare");
        assert_eq!(counts(told(1, 1)), "1 unknown · 1 touch · 0 to spare");
        assert_eq!(counts(told(3, 1)), "3 unknowns · 1 touch · 2 missing");
    }
}
