use super::glyph;
use crate::app::dom::{View, button, el};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::names::Aim;
use crate::app::logic::palette::{Piece, Placing};
use crate::app::workspace::{Workspace, workspace};
use leptos::prelude::*;

fn name(piece: Piece) -> &'static str {
    text(match piece {
        Piece::Home => Key::AddHome,
        Piece::BeginProbing => Key::AddBegin,
        Piece::Arrive => Key::AddArrive,
        Piece::FinishProbing => Key::AddFinish,
        Piece::Clear => Key::AddClear,
        Piece::Follow => Key::AddFollow,
        Piece::Approach => Key::AddApproach,
        Piece::WeldStart => Key::AddWeldStart,
        Piece::WeldEnd => Key::AddWeldEnd,
        Piece::Retreat => Key::AddRetreat,
        Piece::StopFollowing => Key::AddStop,
    })
}

/// The box a part fills on the plan, mm.
fn part_box(workspace: Workspace) -> ([f64; 2], [f64; 2]) {
    let part = workspace.part();
    let corners = part.bodies.iter().flat_map(|b| &b.outline.corners).map(|c| c.at);
    corners.fold(([f64::MAX, f64::MIN], [f64::MAX, f64::MIN]), |(x, y), c| {
        ([x[0].min(c.x), x[1].max(c.x)], [y[0].min(c.y), y[1].max(c.y)])
    })
}

/// The steps that can be added: each teaches the place of the torch and goes in after the step
/// that is selected.
pub(super) fn palette() -> View {
    let workspace = workspace();
    let bounds = Memo::new(move |_| part_box(workspace));
    // What the learner chose; until then the way from the torch to the part.
    let chosen = RwSignal::new(None::<Aim>);
    let aim = Memo::new(move |_| {
        let (x, y) = bounds.get();
        chosen.get().unwrap_or_else(|| Aim::towards(&workspace.hand.read(), x, y))
    });
    let add = move |piece: Piece| {
        let state = workspace.state_untracked();
        let routine = &state.routine;
        let cursor = workspace.cursor.get_untracked().and_then(|id| routine.index_of(id));
        let at = cursor.map_or(routine.steps.len(), |i| i + 1);
        let aim = aim.get_untracked();
        let torch = workspace.hand.get_untracked();
        let placing = Placing { routine, torch, at, aim: aim.vector(), face: aim.face() };
        let (actions, added) = placing.actions(piece);
        if !workspace.act_all(actions) {
            return;
        }
        chosen.set(None);
        let after = workspace.state_untracked();
        // While steps are added at the end nothing is selected: the end stays the place to add.
        let last = at + added;
        let step = after.routine.steps.get(last - 1);
        if cursor.is_some() {
            workspace.cursor.set(step.map(|s| s.id));
        }
        let point = step.and_then(|s| s.instruction.point()).unwrap_or_default();
        if piece.teaches(routine) {
            workspace.notify(format(Key::AddedTaught, &[name(piece), point]));
        } else {
            workspace.notify(format(Key::Added, &[name(piece)]));
        }
    };
    el("fieldset")
        .class("palette")
        .test_id("palette")
        .child(el("legend").text(Key::AddStep).text(" ").child(el("span").class("where").text(
            move || match workspace.cursor.get() {
                Some(_) => text(Key::AfterSelected),
                None => text(Key::AtTheEnd),
            },
        )))
        .child(
            el("div")
                .class("aims")
                .group(Key::ProbeDirection)
                .child(el("span").class("aims-name").text(Key::ProbeDirection))
                .child(Aim::ALL.map(|a| {
                    button(format!("aim-{}", a.id()))
                        .class("aim")
                        .attr("aria-pressed", move || (aim.get() == a).to_string())
                        .attr("title", format(Key::AimTitle, &[a.label(), a.face()]))
                        .click(move || chosen.set(Some(a)))
                        .text(a.label())
                }))
                .child(
                    el("span")
                        .class("aim-face")
                        .text(move || format(Key::AimFace, &[aim.get().face()])),
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
