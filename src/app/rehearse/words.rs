//! What the page calls templates and their dimensions.

use crate::app::i18n::{Key, format, text};
use crate::app::logic::number::{Quantity, length};
use nudgeproof::cell::{
    Dimension as D, DraftError, EdgeMade, OutlineDraft, OutlinePartError, Section, Template as T,
};
use nudgeproof::drawing::Unit;

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

/// What one unit of a drawing is called.
pub(super) fn unit(unit: Unit) -> Key {
    match unit {
        Unit::Mm => Key::UnitOfMm,
        Unit::Cm => Key::UnitOfCm,
        Unit::M => Key::UnitOfM,
        Unit::Inch => Key::UnitOfInch,
        Unit::Foot => Key::UnitOfFoot,
        Unit::Pixel => Key::UnitOfPixel,
        Unit::Point => Key::UnitOfPoint,
    }
}

/// The section of a dimension, and its name.
pub(super) fn named(template: T, of: D) -> [&'static str; 2] {
    [section(template, of.section()), dimension(template, of)].map(text)
}

/// Why no part can be made of an outline, in a sentence.
pub(super) fn why_no_part(why: &OutlinePartError) -> String {
    match why {
        OutlinePartError::NotOutermost | OutlinePartError::NoSuchEdge { .. } => {
            text(Key::OutlineNotOutermost).to_owned()
        }
        OutlinePartError::FrontTooShort { least, found } => {
            format(Key::OutlineFrontTooShort, &[&length(*least, 0), &length(*found, 0)])
        }
        OutlinePartError::NoSide { least } => format(Key::OutlineNoSide, &[&length(*least, 0)]),
        OutlinePartError::RailOffPlate => {
            format(Key::OutlineRailOff, &[&length(OutlineDraft::AROUND_RAIL_MM, 0)])
        }
        OutlinePartError::Draft(DraftError::Dimension { dimension, low, high, found }) => {
            let values = [*low, *high, *found].map(|value| show(*dimension, value));
            let [section, name] = named(T::Rail, *dimension);
            let unit = quantity(*dimension).unit();
            let [low, high, found] = &values;
            format(Key::OutlineDimension, &[section, name, low, high, &unit, found])
        }
        OutlinePartError::Draft(_) => text(Key::OwnTitleMissing).to_owned(),
        OutlinePartError::Part(why) => why.to_string(),
    }
}
