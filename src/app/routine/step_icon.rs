//! The signs of steps, paths in a square of 16 units: the same in the palette and in the routine.

use crate::app::logic::palette::Piece;
use nudgeproof::routine::{Instruction, PathKind};

const HOME: &str = "M2 8L8 2.500L14 8M4 7v6.500h8V7";
const JOINT: &str = "M2.500 12C4 5 9 3 13 5.500M13 5.500l-3.500 .5M13 5.500l-1.500 -3";
const LINEAR: &str = "M2 13L13 4M13 4h-3.500M13 4v3.500";
const SENSING_ON: &str = "M8 1.500v9M8 10.500v1M3 6a7 7 0 0 0 0 8M13 6a7 7 0 0 1 0 8";
const SENSING_OFF: &str = "M8 1.500v9M8 10.500v1M3 6a7 7 0 0 0 0 8M13 6a7 7 0 0 1 0 8M2 2l12 12";
const FEEL: &str = "M1.500 8h8M9.500 8l-3 -2.500M9.500 8l-3 2.500M12 3v10";
const FIND: &str = "M8 3a5 5 0 1 1 0 10a5 5 0 1 1 0 -10M8 1v4M8 11v4M1 8h4M11 8h4";
const FOLLOW: &str = "M2 11h5V6h7M14 6l-3 -2.500M14 6l-3 2.500";
const STOP: &str = "M2 11h5V6h3M12 3v6";
const WELD_FROM: &str = "M8 2v7M8 9l-2 -2M8 9l2 -2M2 13h2l1.500 -2l2 3l2 -3l1.500 2h3";
const WELD_THROUGH: &str = "M8 2v4M8 8v1M2 13h2l1.500 -2l2 3l2 -3l1.500 2h3";
const WELD_TO: &str = "M8 9V2M8 2L6 4M8 2l2 2M2 13h2l1.500 -2l2 3l2 -3l1.500 2h3";
const TRIM: &str = "M8 1.500v6M8 10v4M1.500 6l5 2.500l-5 2.500zM14.500 6l-5 2.500l5 2.500z";

/// The sign of what a button of the palette adds.
pub(super) fn piece_icon(piece: Piece) -> &'static str {
    match piece {
        Piece::Home => HOME,
        Piece::GoTo => LINEAR,
        Piece::SensingOn => SENSING_ON,
        Piece::Feel => FEEL,
        Piece::SensingOff => SENSING_OFF,
        Piece::Find => FIND,
        Piece::Follow => FOLLOW,
        Piece::WeldFrom => WELD_FROM,
        Piece::WeldThrough => WELD_THROUGH,
        Piece::WeldTo => WELD_TO,
        Piece::StopFollowing => STOP,
        Piece::TrimWire => TRIM,
    }
}

/// The sign of a step.
pub(super) fn step_icon(instruction: &Instruction) -> &'static str {
    match instruction {
        Instruction::Move { .. } if instruction.is_home() => HOME,
        Instruction::Move { way: PathKind::Joint, .. } => JOINT,
        Instruction::Move { way: PathKind::Linear, .. } => LINEAR,
        Instruction::SensingOn { .. } => SENSING_ON,
        Instruction::Feel { .. } => FEEL,
        Instruction::SensingOff => SENSING_OFF,
        Instruction::Find { .. } => FIND,
        Instruction::Follow { .. } => FOLLOW,
        Instruction::StopFollowing => STOP,
        Instruction::WeldStart { .. } => WELD_FROM,
        Instruction::WeldThrough { .. } => WELD_THROUGH,
        Instruction::WeldEnd { .. } => WELD_TO,
        Instruction::TrimWire => TRIM,
    }
}
