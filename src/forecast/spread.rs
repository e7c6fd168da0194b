use super::no_forecast::{Lack, NoForecast};
use super::planned::PlannedFind;
use crate::locate::Covariance;
use nalgebra::Matrix6;

/// How far the place that a find finds will be off, with the part near where it was taught. The touches
/// scatter independently, so their squares add up (JCGM 100:2008, 5.1.2). Touches that ride with a coarse place
/// see how far that one is off, and mend of it what they can tell: of its error ε, `ε − Σ gᵢ sᵢ·ε` stays.
pub(super) fn place_covariance(finds: &[PlannedFind], n: usize) -> Result<Covariance, NoForecast> {
    let find = &finds[n];
    let (forecast, faces) = find.forecast();
    let effects = forecast
        .map_err(|error| NoForecast { why: error.said(faces.all()), lack: Lack::from(&error) })?
        .effects;
    let mut full = Matrix6::zeros();
    if let Some(coarse) = find.after {
        let mended: Matrix6<f64> = effects.iter().map(|e| e.gain * e.slope.transpose()).sum();
        let left = Matrix6::identity() - mended;
        full = left * place_covariance(finds, coarse)?.full * left.transpose();
    }
    for (touch, effect) in find.touches.iter().zip(&effects) {
        let off = effect.gain * touch.sigma_mm;
        full += off * off.transpose();
    }
    Ok(Covariance { freedoms: find.may, full })
}
