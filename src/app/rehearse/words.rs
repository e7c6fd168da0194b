//! What the page calls templates and their dimensions.

use crate::app::i18n::Key;
use crate::app::logic::number::Quantity;
use nudgeproof::cell::{Dimension as D, EdgeMade, Section, Template as T};

pub(super) fn template(template: T) -> Key {
    match template {
        T::Rail => Key::TemplateRail,
        T::Angle => Key::TemplateAngle,
        T::Frame => Key::TemplateFrame,
        T::Tube => Key::TemplateTube,
        T::Lap => Key::TemplateLap,
        T::Butt => Key::TemplateButt,
    }
}

pub(super) fn section(template: T, section: Section) -> Key {
    match section {
        Section::Base => match template {
            T::Rail | T::Angle | T::Lap => Key::OfPlate,
            T::Frame => Key::OfFrame,
            T::Tube => Key::OfTube,
            T::Butt => Key::OfBars,
        },
        Section::Piece => match template {
            T::Angle => Key::OfAngle,
            T::Frame => Key::OfRibs,
            T::Tube => Key::OfLug,
            T::Lap => Key::OfSheet,
            T::Rail | T::Butt => Key::OfRail,
        },
        Section::Joint => Key::OfJoint,
        Section::Play => Key::OfPlay,
        Section::Clamps => Key::OfClamps,
    }
}

pub(super) fn dimension(template: T, dimension: D) -> Key {
    match dimension {
        D::Length | D::PieceLength => Key::DimLength,
        D::Thickness if template == T::Tube => Key::DimHeight,
        D::Thickness | D::PieceThickness => Key::DimThickness,
        D::MemberWidth => Key::DimMemberWidth,
        D::BarWidth => Key::DimBarWidth,
        D::Gap => Key::DimGap,
        D::HoleDiameter => Key::DimHoleDiameter,
        D::HoleFromRight => Key::DimHoleFromRight,
        D::PieceHeight if template == T::Angle => Key::DimUprightLeg,
        D::PieceHeight | D::ClampHeight => Key::DimHeight,
        D::PieceFromFront => Key::DimPieceFromFront,
        D::PieceWidth if template == T::Angle => Key::DimFlatLeg,
        D::Width | D::PieceWidth => Key::DimWidth,
        D::PieceFromLeft => Key::DimPieceFromLeft,
        D::WorkAngle => Key::DimWorkAngle,
        D::Tolerance => Key::DimTolerance,
        D::PlayX => Key::DimPlayX,
        D::PlayY => Key::DimPlayY,
        D::PlayTurn => Key::DimPlayTurn,
        D::PlayHeight => Key::DimPlayHeight,
        D::ClampDistance => Key::DimClampDistance,
    }
}

/// How an edge was made: its value, its name for tests and in the list, and its text.
pub(super) const EDGES: [(EdgeMade, &str, Key); 4] = [
    (EdgeMade::Machined, "machined", Key::EdgeMachined),
    (EdgeMade::Cut, "cut", Key::EdgeCut),
    (EdgeMade::Sawn, "sawn", Key::EdgeSawn),
    (EdgeMade::Rolled, "rolled", Key::EdgeRolled),
];

/// What it is shown and typed as.
pub(super) fn quantity(dimension: D) -> Quantity {
    if dimension.is_angle() { Quantity::Angle } else { Quantity::Length }
}

/// A value of it as it is shown, without its unit.
pub(super) fn show(dimension: D, value: f64) -> String {
    quantity(dimension).show(value, if dimension.is_angle() { 2 } else { 1 })
}
