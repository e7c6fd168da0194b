//! Numbers from the real cell: typed where the sheet on paper has its blanks, and what they say.

use super::measured::Measured;
use crate::app::i18n::{Key, format, text};
use crate::app::logic::describe::freedoms_name;
use crate::app::logic::number::{
    Quantity, length, length_unit, plain, signed, signed_length, unit,
};
use crate::app::storage;
use crate::app::workspace::{Workspace, workspace};
use leptos::prelude::*;
use nudgeproof::forecast::{
    Beyond, CellFindings, CellNumbers, EndSeen, MoveSeen, OffsetNumbers, PlaceNumbers, PlannedFind,
    ScatterSeen, SeamForecast, StillSeen,
};
use nudgeproof::locate::{Freedom, Freedoms};

/// The numbers of the part on the sheet. Kept in this browser, for each part by itself.
#[derive(Clone, Copy)]
pub(super) struct AtCell {
    workspace: Workspace,
    part: Memo<String>,
    numbers: RwSignal<CellNumbers>,
}

impl AtCell {
    /// Those of the part at hand, for all below.
    pub(super) fn provide() -> Self {
        let workspace = workspace();
        let part = Memo::new(move |_| workspace.part().name.clone());
        let numbers = RwSignal::new(stored(&part.get_untracked()));
        Effect::watch(move || part.get(), move |name, _, _| numbers.set(stored(name)), false);
        let here = Self { workspace, part, numbers };
        provide_context(here);
        here
    }

    fn here() -> Self {
        expect_context()
    }

    fn write(self, change: impl FnOnce(&mut CellNumbers)) {
        self.numbers.update(change);
        let written = self.numbers.with_untracked(serde_json::to_string).expect("plain data");
        if !storage::set_setting(&setting(&self.part.get_untracked()), &written) {
            self.workspace.warn(text(Key::NotStored).into());
        }
    }
}

fn setting(part: &str) -> String {
    format!("cell.{part}")
}

/// What is kept for a part; nothing, where that cannot be read.
fn stored(part: &str) -> CellNumbers {
    let text = storage::setting(&setting(part));
    text.and_then(|text| serde_json::from_str(&text).ok()).unwrap_or_default()
}

/// One of the two readings of a touch.
#[component]
pub(super) fn ReadingField(
    /// Number of the touch, from 1.
    number: usize,
    /// Its name in [`CellNumbers`].
    touch: String,
    /// That of the proof, and not of the reference.
    proof: bool,
    /// How far its search goes, mm.
    reach_mm: f64,
) -> impl IntoView {
    let at_cell = AtCell::here();
    let column = text(if proof { Key::ColProofReading } else { Key::ColReferenceReading });
    let name = touch.clone();
    let value = Signal::derive(move || {
        let readings = at_cell.numbers.with(|n| n.touches.get(&name).copied()).unwrap_or_default();
        if proof { readings.proof } else { readings.reference }
    });
    let take = move |mm: Option<f64>| {
        at_cell.write(|n| {
            let readings = n.touches.entry(touch.clone()).or_default();
            *(if proof { &mut readings.proof } else { &mut readings.reference }) = mm;
        });
    };
    let test_id = format!("{}-{number}", if proof { "proof" } else { "reference" });
    view! { <Measured test_id label=format(Key::CellReading, &[column, &number.to_string()]) value on_commit=take within=[0.0, reach_mm] /> }
}

/// The numbers of an offset, one for each thing that the part may have done.
#[component]
pub(super) fn OffsetFields(
    find: PlannedFind,
    /// That of the first moved part, and not of the proof.
    moved: bool,
) -> impl IntoView {
    let says = if moved { Key::MovedFound } else { Key::ProofFound };
    let fields = find.may.list().map(|freedom| {
        view! { <OffsetField place=find.place.clone() freedom moved /> }
    });
    let test_id = if moved { "cell-moved" } else { "cell-proof" };
    view! {
        <p class="to-fill-in" data-testid=test_id>
            {format(says, &[&find.place])}
            {fields.collect_view()}
        </p>
    }
}

fn of_run(place: &PlaceNumbers, moved: bool) -> &OffsetNumbers {
    if moved { &place.moved } else { &place.proof }
}

#[component]
fn OffsetField(place: String, freedom: Freedom, moved: bool) -> impl IntoView {
    let at_cell = AtCell::here();
    let name = freedoms_name(Freedoms::from(freedom));
    let quantity = quantity(freedom);
    let of = place.clone();
    let value = Signal::derive(move || {
        at_cell.numbers.with(|n| of_run(n.places.get(&of)?, moved).get(&freedom).copied())
    });
    let take = move |number: Option<f64>| {
        at_cell.write(|n| {
            let place = n.places.entry(place.clone()).or_default();
            let offset = if moved { &mut place.moved } else { &mut place.proof };
            match number {
                Some(number) => offset.insert(freedom, number),
                None => offset.remove(&freedom),
            };
        });
    };
    let run = if moved { "moved" } else { "proof" };
    let most = if freedom.is_turn() { MOST_DEG } else { MOST_MM };
    view! {
        <label class="blank">
            <span>{name.clone()}</span>
            <Measured test_id=format!("{run}-{}", freedom.label().replace(' ', "-")) label=name quantity value on_commit=take within=[-most, most] />
            <span>{quantity.unit()}</span>
        </label>
    }
}

/// No offset of a part in its fixture is larger, either way: mm and degrees.
const MOST_MM: f64 = 500.0;
const MOST_DEG: f64 = 45.0;

fn quantity(freedom: Freedom) -> Quantity {
    if freedom.is_turn() { Quantity::Angle } else { Quantity::Length }
}

/// What the numbers say of what was assumed.
#[component]
pub(super) fn CellSays(forecast: SeamForecast) -> impl IntoView {
    let AtCell { workspace, numbers, .. } = AtCell::here();
    let found =
        Memo::new(move |_| CellFindings::of(&workspace.state(), &forecast, &numbers.read()));
    let sentence = |(fine, says): (bool, String)| {
        view! { <li class=if fine { "fits" } else { "differs" }>{says}</li> }
    };
    view! {
        <section class="cell-says" class:no-print=move || found.read().is_empty() aria-live="polite" data-testid="cell-says">
            <h2>{text(Key::CellSays)}</h2>
            <Show when=move || found.read().is_empty()>
                <p>{text(Key::CellSaysNothing)}</p>
            </Show>
            <ul>{move || found.with(sentences).into_iter().map(sentence).collect_view()}</ul>
        </section>
    }
}

/// Whether it is as assumed, and in words.
fn sentences(found: &CellFindings) -> Vec<(bool, String)> {
    let scatter = found.scatter.iter().map(of_scatter);
    let proof = found.proof.iter().map(of_proof);
    let still = found.still.iter().map(of_still);
    let moved = found.moved.iter().flat_map(of_move);
    scatter.chain(proof).chain(still).chain(moved).collect()
}

fn of_scatter(seen: &ScatterSeen) -> (bool, String) {
    let [factor, limit] = [seen.factor, seen.limit].map(|n| plain(n, 2));
    let (touches, worst) = (seen.touches.to_string(), (seen.worst + 1).to_string());
    let key = if seen.as_assumed() { Key::ScatterAsAssumed } else { Key::ScatterGreater };
    (seen.as_assumed(), format(key, &[&touches, &factor, &limit, &worst]))
}

fn of_proof(seen: &EndSeen) -> (bool, String) {
    let side = text(if seen.at_end { Key::StudyEnd } else { Key::StudyStart });
    let [off, forecast] = [seen.off_mm.abs(), seen.forecast_mm].map(|mm| length_unit(mm, 2));
    let key = if seen.as_forecast() { Key::ProofAsForecast } else { Key::ProofBeyond };
    (seen.as_forecast(), format(key, &[&seen.seam, side, &off, &forecast]))
}

fn of_still(seen: &StillSeen) -> (bool, String) {
    let chance = seen.beyond.iter().map(|beyond| further(Key::MoreThanChance, *beyond, 2));
    let chance = chance.collect::<Vec<_>>().join(", ");
    (false, format(Key::ProofNotStill, &[&seen.place, &chance]))
}

fn of_move(seen: &MoveSeen) -> Vec<(bool, String)> {
    let inside = seen.beyond.is_empty();
    let further = seen.beyond.iter().map(|beyond| further(Key::FurtherThan, *beyond, 1));
    let further = further.collect::<Vec<_>>().join(", ");
    let key = if inside { Key::PlayAsAssumed } else { Key::PlayBeyond };
    let [x, y, _] = seen.about.map(|mm| length(mm, 0));
    let mut all = vec![(inside, format(key, &[&seen.place, &x, &y, &further]))];
    if !seen.lost.is_empty() {
        let lost = seen.lost.iter().map(|n| (n + 1).to_string()).collect::<Vec<_>>().join(", ");
        all.push((false, format(Key::TouchesLost, &[&lost])));
    }
    all
}

/// How far it went, and how far it may go.
fn further(says: Key, beyond: Beyond, decimals: usize) -> String {
    let name = freedoms_name(Freedoms::from(beyond.freedom));
    let (by, limit) = match quantity(beyond.freedom) {
        Quantity::Angle => (signed(beyond.by, decimals) + "°", plain(beyond.limit, decimals) + "°"),
        _ => (
            [&signed_length(beyond.by, decimals), " ", unit()].concat(),
            length_unit(beyond.limit, decimals),
        ),
    };
    format(says, &[&name, &by, &limit])
}
