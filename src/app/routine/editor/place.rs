use crate::app::controls::{LabelledField, Select};
use crate::app::i18n::{Key, text};
use crate::app::routine::step_handle::StepHandle;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::routine::Instruction;

/// Which of the places that the routine finds a step follows.
#[component]
pub(super) fn PlaceChoice(step: StepHandle) -> impl IntoView {
    let workspace = workspace();
    let place = Memo::new(move |_| match step.instruction.get() {
        Some(Instruction::Follow { place }) => place,
        _ => String::new(),
    });
    let options = Memo::new(move |_| {
        let (routine, place) = (workspace.routine(), place.get());
        let mut places: Vec<String> = routine.places().into_iter().map(str::to_owned).collect();
        // The place it names may not be found anywhere (yet).
        if !places.contains(&place) {
            places.push(place);
        }
        places.into_iter().map(|name| (name.clone(), name)).collect::<Vec<_>>()
    });
    let on_change = move |place: String| {
        step.change(|instruction| *instruction = Instruction::Follow { place });
    };
    view! {
        <LabelledField name=text(Key::PlaceIs)>
            <Select test_id="follow-place" options value=place on_change />
        </LabelledField>
    }
}
