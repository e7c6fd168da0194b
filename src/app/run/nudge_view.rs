use crate::app::desk::desk;
use crate::app::dom::{View, button, el, row_name, several, when};
use crate::app::field::NumberField;
use crate::app::live::memo;
use crate::app::logic::nudge::{self, Nudge};
use crate::app::logic::number::length;
use crate::app::sheet::place;
use crate::app::words::{Word, say, tell};
use nudgeproof::geometry::Pose;
use nudgeproof::session::Action;

/// Where the part lies: typed, at random, or back in its place.
pub(crate) fn nudge_panel() -> View {
    let desk = desk();
    let now = memo(move || {
        Nudge::of(&desk.dragged.get().unwrap_or_else(|| desk.now.read().state.part_shown()))
    });
    let field = move |read: fn(&Nudge) -> f64, write: fn(&mut Nudge, f64)| {
        let value = move || now.with(read);
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
    let random = move || {
        let round = desk.nudges.get_untracked();
        desk.nudges.set(round + 1);
        let state = desk.peek();
        let seed = desk.with_session(|s| s.header().seed);
        place(nudge::random(&state.part.play, seed, state.runs.len() * 1000 + round));
    };
    let bent = move || desk.now.read().state.bend_shown().norm() > 1e-9;
    el("div")
        .class("nudge")
        .group(Word::PartPlace)
        .test_id("nudge")
        .child(row_name(Word::PartPlace))
        .child(NumberField::new("nudge-x", "ΔX", dx, set_dx).view())
        .child(NumberField::new("nudge-y", "ΔY", dy, set_dy).view())
        .child(
            NumberField::new("nudge-turn", say(Word::Turn), turn, set_turn)
                .unit("°")
                .step(0.5)
                .view(),
        )
        .child(when(lifts, move || NumberField::new("nudge-z", "ΔZ", dz, set_dz).view()))
        .child(when(tilts, move || {
            several()
                .child(
                    NumberField::new("nudge-tilt-x", say(Word::TiltX), tilt_x, set_tilt_x)
                        .unit("°")
                        .step(0.5)
                        .view(),
                )
                .child(
                    NumberField::new("nudge-tilt-y", say(Word::TiltY), tilt_y, set_tilt_y)
                        .unit("°")
                        .step(0.5)
                        .view(),
                )
        }))
        .child(button("nudge-random").click(random).text(Word::NudgeMe))
        .child(
            button("nudge-reset")
                .attr("disabled", move || desk.now.read().state.part_shown() == Pose::identity())
                .click(move || place(Nudge::default()))
                .text(Word::BackToPlace),
        )
        .child(when(outside, move || {
            el("span").class("warning").test_id("outside-play").text(move || {
                let play = desk.part().play;
                if play.dz != 0.0 || play.tilt_deg != 0.0 {
                    return tell(
                        Word::OutsidePlaySix,
                        &[
                            &length(play.dx, 0),
                            &length(play.dy, 0),
                            &length(play.dz, 0),
                            &play.turn_deg.to_string(),
                            &play.tilt_deg.to_string(),
                        ],
                    );
                }
                tell(
                    Word::OutsidePlay,
                    &[&length(play.dx, 0), &length(play.dy, 0), &play.turn_deg.to_string()],
                )
            })
        }))
        .child(when(bent, move || {
            button("cut-wire")
                .class("danger")
                .click(move || {
                    let stick_out_mm = desk.peek().settings.stick_out_mm;
                    if desk.act(Action::CutWire { stick_out_mm }) {
                        desk.tell(say(Word::WireCut).into());
                    }
                })
                .text(Word::CutWire)
        }))
}
