use crate::app::dom::{View, button, el, row_name, several, when};
use crate::app::field::NumberField;
use crate::app::i18n::{Key, format, text};
use crate::app::logic::nudge::{self, Nudge};
use crate::app::logic::number::length;
use crate::app::panels::panels;
use crate::app::sheet::place;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::geometry::Pose;
use nudgeproof::session::Action;

/// Where the part lies: typed, at random, or back in its place.
pub(crate) fn nudge_panel() -> View {
    let workspace = workspace();
    let now = Memo::new(move |_| {
        Nudge::of(&workspace.dragged.get().unwrap_or_else(|| workspace.state().part_shown()))
    });
    let field = move |read: fn(&Nudge) -> f64, write: fn(&mut Nudge, f64)| {
        let value = move || now.with(read);
        let commit = move |v: f64| {
            let mut n = Nudge::of(&workspace.state_untracked().part_shown());
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
    let lifts = move || workspace.part().play.dz != 0.0 || now.with(|n| n.dz.abs() > 1e-9);
    let tilts = move || {
        let out = |n: &Nudge| n.tilt_x_deg.abs() > 1e-9 || n.tilt_y_deg.abs() > 1e-9;
        workspace.part().play.tilt_deg != 0.0 || now.with(out)
    };
    let outside = move || {
        let state = workspace.state();
        !state.part.play.allows(&state.part_shown())
    };
    let random = move || {
        let round = workspace.nudges.get_untracked();
        workspace.nudges.set(round + 1);
        let state = workspace.state_untracked();
        let seed = workspace.with_session(|s| s.header().seed);
        place(nudge::random(&state.part.play, seed, state.runs.len() * 1000 + round));
    };
    let bent = move || workspace.state().bend_shown().norm() > 1e-9;
    el("div")
        .class("nudge")
        .node_ref(panels().nudge)
        .group(Key::PartPlace)
        .test_id("nudge")
        .child(row_name(Key::PartPlace))
        .child(NumberField::new("nudge-x", "ΔX", dx, set_dx).view())
        .child(NumberField::new("nudge-y", "ΔY", dy, set_dy).view())
        .child(
            NumberField::new("nudge-turn", text(Key::Turn), turn, set_turn)
                .unit("°")
                .step(0.5)
                .view(),
        )
        .child(when(lifts, move || NumberField::new("nudge-z", "ΔZ", dz, set_dz).view()))
        .child(when(tilts, move || {
            several()
                .child(
                    NumberField::new("nudge-tilt-x", text(Key::TiltX), tilt_x, set_tilt_x)
                        .unit("°")
                        .step(0.5)
                        .view(),
                )
                .child(
                    NumberField::new("nudge-tilt-y", text(Key::TiltY), tilt_y, set_tilt_y)
                        .unit("°")
                        .step(0.5)
                        .view(),
                )
        }))
        .child(button("nudge-random").click(random).text(Key::NudgeMe))
        .child(
            button("nudge-reset")
                .attr("disabled", move || workspace.state().part_shown() == Pose::identity())
                .click(move || place(Nudge::default()))
                .text(Key::BackToPlace),
        )
        .child(when(outside, move || {
            el("span").class("warning").test_id("outside-play").text(move || {
                let play = workspace.part().play;
                if play.dz != 0.0 || play.tilt_deg != 0.0 {
                    return format(
                        Key::OutsidePlaySix,
                        &[
                            &length(play.dx, 0),
                            &length(play.dy, 0),
                            &length(play.dz, 0),
                            &play.turn_deg.to_string(),
                            &play.tilt_deg.to_string(),
                        ],
                    );
                }
                format(
                    Key::OutsidePlay,
                    &[&length(play.dx, 0), &length(play.dy, 0), &play.turn_deg.to_string()],
                )
            })
        }))
        .child(when(bent, move || {
            button("cut-wire")
                .class("danger")
                .click(move || {
                    let stick_out_mm = workspace.state_untracked().settings.stick_out_mm;
                    if workspace.act(Action::CutWire { stick_out_mm }) {
                        workspace.notify(text(Key::WireCut).into());
                    }
                })
                .text(Key::CutWire)
        }))
}
