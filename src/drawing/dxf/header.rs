//! What the header says of the unit.

use super::records::Section;
use crate::drawing::unit::UnitSaid;

/// Length of each unit that `$INSUNITS` may name, mm, by its number; 0 for none.
const UNITS_MM: [f64; 15] = [
    0.0,
    25.4,
    304.8,
    1_609_344.0,
    1.0,
    10.0,
    1000.0,
    1_000_000.0,
    25.4e-6,
    0.0254,
    914.4,
    1e-7,
    1e-6,
    1e-3,
    100.0,
];

/// `$INSUNITS` names the unit. `$MEASUREMENT` tells whether it is metric or of feet and inches; where it
/// says the other thing than `$INSUNITS`, nobody knows.
pub(super) fn unit(sections: &[Section]) -> UnitSaid {
    let header = sections.iter().find(|section| section.name() == "HEADER");
    let variable = |name: &str| {
        let pairs = &header?.own.pairs;
        let at = pairs.iter().position(|pair| pair.code == 9 && pair.value == name)?;
        pairs.get(at + 1)?.value.parse::<usize>().ok()
    };
    let named = variable("$INSUNITS").and_then(|n| UNITS_MM.get(n).copied()).filter(|mm| *mm > 0.0);
    match (named, variable("$MEASUREMENT")) {
        (None, _) => UnitSaid::Nothing,
        (Some(mm), Some(0)) if is_metric(mm) => UnitSaid::Contradiction(mm, 25.4),
        (Some(mm), Some(1)) if !is_metric(mm) => UnitSaid::Contradiction(mm, 1.0),
        (Some(mm), _) => UnitSaid::Mm(mm),
    }
}

/// Whether a unit of so many mm is a power of ten of a millimetre.
fn is_metric(mm: f64) -> bool {
    let tens = libm::log10(mm);
    (tens - tens.round()).abs() < 1e-9
}
