/// Mean moving range over standard deviation, for ranges of two: d₂ as tables print it (NIST/SEMATECH
/// e-Handbook, 6.3.2.2).
const D2: f64 = 1.128;

/// Limits of a chart of single values (an individuals chart).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IndividualsChart {
    /// Mean of the values, in their unit; so are the others.
    pub mean: f64,
    /// Mean of the differences between neighbours.
    pub moving_range: f64,
    /// Mean less three standard deviations.
    pub lower: f64,
    /// Mean and three standard deviations.
    pub upper: f64,
}

/// The chart of these values, in the order in which they came; `None` for less than two.
///
/// The limits are mean ± 3 · (mean moving range) / 1.128 (NIST/SEMATECH e-Handbook, 6.3.2.2).
pub fn individuals_chart(values: &[f64]) -> Option<IndividualsChart> {
    let ranges = values.windows(2).map(|pair| (pair[1] - pair[0]).abs());
    let moving_range = mean(ranges)?;
    let (mean, reach) = (mean(values.iter().copied())?, 3.0 * moving_range / D2);
    Some(IndividualsChart { mean, moving_range, lower: mean - reach, upper: mean + reach })
}

fn mean(values: impl ExactSizeIterator<Item = f64>) -> Option<f64> {
    let count = values.len();
    (count > 0).then(|| values.sum::<f64>() / count as f64)
}
