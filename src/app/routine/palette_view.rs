use super::glyph;
use crate::app::desk::{Desk, desk};
use crate::app::dom::{View, button, el};
use crate::app::live::{Var, memo};
use crate::app::logic::names::Aim;
use crate::app::logic::palette::{Piece, Placing};
use crate::app::words::{Word, say, tell};

fn name(piece: Piece) -> &'static str {
    say(match piece {
        Piece::Home => Word::AddHome,
        Piece::BeginProbing => Word::AddBegin,
        Piece::Arrive => Word::AddArrive,
        Piece::FinishProbing => Word::AddFinish,
        Piece::Clear => Word::AddClear,
        Piece::Follow => Word::AddFollow,
        Piece::Approach => Word::AddApproach,
        Piece::WeldStart => Word::AddWeldStart,
        Piece::WeldEnd => Word::AddWeldEnd,
        Piece::Retreat => Word::AddRetreat,
        Piece::StopFollowing => Word::AddStop,
    })
}

/// The box a part fills on the plan, mm.
fn part_box(desk: Desk) -> ([f64; 2], [f64; 2]) {
    let part = desk.part();
    let corners = part.bodies.iter().flat_map(|b| &b.outline.corners).map(|c| c.at);
    corners.fold(([f64::MAX, f64::MIN], [f64::MAX, f64::MIN]), |(x, y), c| {
        ([x[0].min(c.x), x[1].max(c.x)], [y[0].min(c.y), y[1].max(c.y)])
    })
}

/// The steps that can be added: each teaches the place of the torch and goes in after the step
/// that is selected.
pub(super) fn palette() -> View {
    let desk = desk();
    let bounds = memo(move || part_box(desk));
    // What the learner chose; until then the way from the torch to the part.
    let chosen = Var::new(None::<Aim>);
    let aim = memo(move || {
        let (x, y) = bounds.get();
        chosen.get().unwrap_or_else(|| Aim::towards(&desk.hand.read(), x, y))
    });
    let add = move |piece: Piece| {
        let state = desk.peek();
        let routine = &state.routine;
        let cursor = desk.cursor.get_untracked().and_then(|id| routine.index_of(id));
        let at = cursor.map_or(routine.steps.len(), |i| i + 1);
        let aim = aim.get_untracked();
        let torch = desk.hand.get_untracked();
        let placing = Placing { routine, torch, at, aim: aim.vector(), face: aim.face() };
        let (actions, added) = placing.actions(piece);
        if !desk.act_all(actions) {
            return;
        }
        chosen.set(None);
        let after = desk.peek();
        // While steps are added at the end nothing is selected: the end stays the place to add.
        let last = at + added;
        let step = after.routine.steps.get(last - 1);
        if cursor.is_some() {
            desk.cursor.set(step.map(|s| s.id));
        }
        let point = step.and_then(|s| s.act.point()).unwrap_or_default();
        if piece.teaches(routine) {
            desk.tell(tell(Word::AddedTaught, &[name(piece), point]));
        } else {
            desk.tell(tell(Word::Added, &[name(piece)]));
        }
    };
    el("fieldset")
        .class("palette")
        .test_id("palette")
        .child(el("legend").text(Word::AddStep).text(" ").child(el("span").class("where").text(
            move || match desk.cursor.get() {
                Some(_) => say(Word::AfterSelected),
                None => say(Word::AtTheEnd),
            },
        )))
        .child(
            el("div")
                .class("aims")
                .group(Word::ProbeDirection)
                .child(el("span").class("aims-name").text(Word::ProbeDirection))
                .child(Aim::ALL.map(|a| {
                    button(format!("aim-{}", a.id()))
                        .class("aim")
                        .attr("aria-pressed", move || (aim.get() == a).to_string())
                        .attr("title", tell(Word::AimTitle, &[a.label(), a.face()]))
                        .click(move || chosen.set(Some(a)))
                        .text(a.label())
                }))
                .child(
                    el("span")
                        .class("aim-face")
                        .text(move || tell(Word::AimFace, &[aim.get().face()])),
                ),
        )
        .child(el("div").class("pieces").child(Piece::ALL.map(|piece| {
            button(format!("add-{}", piece.id()))
                .class("piece")
                .click(move || add(piece))
                .child(glyph::piece(piece))
                .child(el("span").text(name(piece)))
        })))
}
