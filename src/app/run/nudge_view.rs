use crate::app::desk::desk;
use crate::app::field::NumberField;
use crate::app::live::{memo, when};
use crate::app::logic::nudge::{self, Nudge};
use crate::app::logic::number::length;
use crate::app::sheet::place;
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::geometry::Pose;
use nudgeproof::session::Action;

/// Where the part lies: typed, at random, or back in its place.
#[component]
pub(crate) fn NudgePanel() -> impl IntoView {
    let desk = desk();
    let now = memo(move || {
        Nudge::of(&desk.dragged.get().unwrap_or_else(|| desk.now.read().state.part_shown()))
    });
    let field = move |read: fn(&Nudge) -> f64, write: fn(&mut Nudge, f64)| {
        let value = Signal::derive(move || now.with(read));
        let commit = move |v: f64| {
            let mut n = Nudge::of(&desk.peek().part_shown());
            write(&mut n, v);
            place(n);
        };
        (value, commit)
    };
    let (dx, set_dx) = field(|n| n.dx, |n, v| n.dx = v);
    let (dy, set_dy) = field(|n| n.dy, |n, v| n.dy = v);
    let (turn, set_turn) = field(|n| n.turn_deg, |n, v| n.turn_deg = v);
    let (dz, set_dz) = field(|n| n.dz, |n, v| n.dz = v);
    let (tilt_x, set_tilt_x) = field(|n| n.tilt_x_deg, |n, v| n.tilt_x_deg = v);
    let (tilt_y, set_tilt_y) = field(|n| n.tilt_y_deg, |n, v| n.tilt_y_deg = v);
    // What the fixture rules out is not asked for, unless it has happened all the same.
    let lifts = move || desk.part().play.dz != 0.0 || now.with(|n| n.dz.abs() > 1e-9);
    let tilts = move || {
        let out = |n: &Nudge| n.tilt_x_deg.abs() > 1e-9 || n.tilt_y_deg.abs() > 1e-9;
        desk.part().play.tilt_deg != 0.0 || now.with(out)
    };
    let outside = move || {
        let state = desk.state();
        !state.part.play.allows(&state.part_shown())
    };
    let random = move |_| {
        let round = desk.nudges.get_untracked();
        desk.nudges.set(round + 1);
        let state = desk.peek();
        let seed = desk.with_session(|s| s.header().seed);
        place(nudge::random(&state.part.play, seed, state.runs.len() * 1000 + round));
    };
    let bent = move || desk.now.read().state.bend_shown().norm() > 1e-9;
    view! {
        <div class="nudge" role="group" aria-label=say(Word::PartPlace) data-testid="nudge">
            <span class="row-name">{say(Word::PartPlace)}</span>
            <NumberField label="ΔX" value=dx commit=set_dx test_id="nudge-x"/>
            <NumberField label="ΔY" value=dy commit=set_dy test_id="nudge-y"/>
            <NumberField label=say(Word::Turn) unit="°" step=0.5 value=turn commit=set_turn test_id="nudge-turn"/>
            {when(lifts, move || view! {
                <NumberField label="ΔZ" value=dz commit=set_dz test_id="nudge-z"/>
            }.into_any())}
            {when(tilts, move || view! {
                <NumberField label=say(Word::TiltX) unit="°" step=0.5 value=tilt_x commit=set_tilt_x test_id="nudge-tilt-x"/>
                <NumberField label=say(Word::TiltY) unit="°" step=0.5 value=tilt_y commit=set_tilt_y test_id="nudge-tilt-y"/>
            }.into_any())}
            <button type="button" data-testid="nudge-random" on:click=random>{say(Word::NudgeMe)}</button>
            <button type="button" data-testid="nudge-reset"
                disabled=move || desk.now.read().state.part_shown() == Pose::identity()
                on:click=move |_| place(Nudge::default())>{say(Word::BackToPlace)}</button>
            {when(outside, move || view! {
                <span class="warning" data-testid="outside-play">
                    {move || {
                        let play = desk.part().play;
                        if play.dz != 0.0 || play.tilt_deg != 0.0 {
                            return tell(Word::OutsidePlaySix, &[
                                &length(play.dx, 0), &length(play.dy, 0), &length(play.dz, 0),
                                &play.turn_deg.to_string(), &play.tilt_deg.to_string(),
                            ]);
                        }
                        tell(Word::OutsidePlay, &[
                            &length(play.dx, 0), &length(play.dy, 0), &play.turn_deg.to_string(),
                        ])
                    }}
                </span>
            }.into_any())}
            {when(bent, move || view! {
                <button type="button" class="danger" data-testid="cut-wire" on:click=move |_| {
                    let stick_out_mm = desk.peek().settings.stick_out_mm;
                    if desk.act(Action::CutWire { stick_out_mm }) {
                        desk.tell(say(Word::WireCut).into());
                    }
                }>{say(Word::CutWire)}</button>
            }.into_any())}
        </div>
    }
}
