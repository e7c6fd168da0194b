use super::data::{Fault, FaultKind};
use super::look::Look;
use super::mend::Mend;
use crate::cell::{CellSettings, Part, PartError, part_by_name, parts};

pub(super) const KIND: FaultKind = FaultKind {
    name: "wrong-part",
    says: "another part was loaded",
    sign: "The touches agree, and the weld runs into something that the drawing shows elsewhere.",
    look: Some(Look::Tag),
    mends: &[Mend::LoadPart],
    typical,
};

/// The built-in part nearest in size to this one.
fn typical(part: &Part, _: &CellSettings) -> Option<Fault> {
    let size = |p: &Part| {
        let (low, high) = p.bodies.first()?.outline.bounds();
        Some((high - low, p.bodies.first()?.z[1]))
    };
    let (mine, my_top) = size(part)?;
    let others = parts().into_iter().filter(|p| p.name != part.name);
    let far =
        |p: &Part| size(p).map_or(f64::MAX, |(s, top)| (s - mine).norm() + (top - my_top).abs());
    let nearest = others.min_by(|a, b| far(a).total_cmp(&far(b)))?;
    Some(Fault::WrongPart { part: nearest.name })
}

pub(super) fn apply(part: &mut Part, name: &str) -> Result<(), PartError> {
    let other = part_by_name(name).ok_or_else(|| {
        let all = parts();
        PartError::unknown("built-in part", name, all.iter().map(|p| p.name.as_str()))
    })?;
    part.bodies = other.bodies;
    part.seams = other.seams;
    // Its touches name the places of its seams.
    part.model_touches = other.model_touches;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_short_side_plate_passes_for_the_long_one() {
        let part = part_by_name("bench-side").expect("it comes with the program");
        let fault = typical(&part, &CellSettings::default());
        assert_eq!(fault, Some(Fault::WrongPart { part: "bench-side-short".into() }));
    }
}
