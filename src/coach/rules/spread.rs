//! Helpers for the rules about the forecast.

use crate::coach::facts::{Facts, Spread, WeldEnd};
use crate::routine::FindBlock;
use crate::text::{Sentence, mm_against, say};

/// The forecast of a weld end, ± mm, against its tolerance.
pub(in crate::coach) fn says_forecast(end: &WeldEnd, mm: f64) -> Sentence {
    let [wide, allowed] = mm_against(mm, end.tolerance_mm);
    say::forecast(wide, &end.point, allowed)
}

/// The weld ends that a find of the routine decides, each with its forecast, ± mm. None where a touch
/// meets no face: that is a mistake of its own.
pub(super) fn forecasts(f: &Facts, find: usize) -> Vec<(WeldEnd, f64)> {
    let block = &f.structure.finds[find];
    let touches = f.found_touches(block);
    if touches.len() < block.feels.len() {
        return Vec::new();
    }
    let Some(spread) = Spread::of(block.may, &touches) else { return Vec::new() };
    let ends = f.weld_ends().into_iter().filter(|end| end.find == Some(find));
    ends.map(|end| {
        let mm = spread.forecast(&end);
        (end, mm)
    })
    .collect()
}

/// The weld end that a find of the routine forecasts worst, of those outside tolerance, with its
/// forecast, ± mm.
pub(super) fn worst(f: &Facts, find: usize) -> Option<(WeldEnd, f64)> {
    let outside = forecasts(f, find).into_iter().filter(|(end, mm)| *mm > end.tolerance_mm);
    outside
        .max_by(|(a, a_mm), (b, b_mm)| (a_mm / a.tolerance_mm).total_cmp(&(b_mm / b.tolerance_mm)))
}

/// The worst forecast of the routine outside tolerance, with its weld end, ± mm.
pub(in crate::coach) fn worst_forecast(f: &Facts) -> Option<(WeldEnd, f64)> {
    let all = (0..f.structure.finds.len()).filter_map(|n| worst(f, n));
    all.max_by(|a, b| a.1.total_cmp(&b.1))
}

/// The worst forecast at the weld ends of a find, in tolerances, if all are inside.
pub(super) fn least_inside(f: &Facts, find: usize, spread: &Spread) -> Option<f64> {
    let ends = f.weld_ends().into_iter().filter(|end| end.find == Some(find));
    let worst = ends.map(|end| spread.forecast(&end) / end.tolerance_mm).reduce(f64::max)?;
    (worst <= 1.0).then_some(worst)
}

/// Whether the touches of a find place every weld end inside its tolerance.
pub(super) fn is_forecast_inside(f: &Facts, find: &FindBlock) -> bool {
    let Some(n) = f.structure.finds.iter().position(|other| other.step == find.step) else {
        return false;
    };
    let spread = Spread::of(find.may, &f.found_touches(find));
    spread.is_some_and(|spread| least_inside(f, n, &spread).is_some())
}
