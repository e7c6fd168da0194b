//! Icons of steps: told apart by shape.

use crate::app::controls::Icon;
use crate::app::logic::instruction_kind::InstructionKind;
use crate::app::logic::palette::Piece;
use leptos::prelude::*;
use nudgeproof::routine::{Instruction, PathKind};

const HOME: &str = "M2 8L8 2.500L14 8M4 7v6.500h8V7";
const SWING: &str = "M2.500 12C4 5 9 3 13 5.500M13 5.500l-3.500 .5M13 5.500l-1.500 -3";
const STRAIGHT: &str = "M2 13L13 4M13 4h-3.500M13 4v3.500";
const PROBE: &str = "M1.500 8h8M9.500 8l-3 -2.500M9.500 8l-3 2.500M12 3v10";
const BEGIN: &str = "M11 2.500H5v11h6M8 8h5";
const FINISH: &str = "M5 2.500h6v11H5M3 8h5";
const FOLLOW: &str = "M2 11h5V6h7M14 6l-3 -2.500M14 6l-3 2.500";
const STOP: &str = "M2 11h5V6h3M12 3v6";
const WELD_START: &str = "M8 2v7M8 9l-2 -2M8 9l2 -2M2 13h2l1.500 -2l2 3l2 -3l1.500 2h3";
const WELD_END: &str = "M8 9V2M8 2L6 4M8 2l2 2M2 13h2l1.500 -2l2 3l2 -3l1.500 2h3";

/// Icon of what a button of the palette adds.
#[component]
pub(super) fn PieceIcon(piece: Piece) -> impl IntoView {
    let d = match piece {
        Piece::Home => HOME,
        Piece::BeginProbing => BEGIN,
        Piece::Arrive => PROBE,
        Piece::FinishProbing => FINISH,
        Piece::Clear | Piece::Retreat => STRAIGHT,
        Piece::Follow => FOLLOW,
        Piece::Approach => SWING,
        Piece::WeldStart => WELD_START,
        Piece::WeldEnd => WELD_END,
        Piece::StopFollowing => STOP,
    };
    view! { <Icon d /> }
}

/// Path of the icon of a step.
pub(super) fn step_icon(instruction: &Instruction) -> &'static str {
    match InstructionKind::of(instruction) {
        InstructionKind::Move if instruction.is_home() => HOME,
        InstructionKind::Move => match instruction {
            Instruction::Move { path: PathKind::Linear, .. } => STRAIGHT,
            _ => SWING,
        },
        InstructionKind::Probe => PROBE,
        InstructionKind::BeginProbing => BEGIN,
        InstructionKind::FinishProbing => FINISH,
        InstructionKind::Follow => FOLLOW,
        InstructionKind::StopFollowing => STOP,
        InstructionKind::WeldStart => WELD_START,
        InstructionKind::WeldEnd => WELD_END,
    }
}
