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

/// The limits that a shift's own first parts set: of an individuals chart, once there are so many of
/// them. They stay what they are, whatever comes after.
pub fn own_limits(values: &[Option<f64>], parts: usize) -> Option<[f64; 2]> {
    let first: Vec<f64> = values.iter().flatten().copied().take(first_parts(parts)).collect();
    let chart = individuals_chart(&first).filter(|_| first.len() == first_parts(parts))?;
    Some([chart.lower, chart.upper])
}

/// How many parts set the limits: a fifth of them, eight at least.
pub const fn first_parts(parts: usize) -> usize {
    let fifth = parts / 5;
    if fifth < 8 { 8 } else { fifth }
}

/// Whether a value is outside its limits.
pub fn is_outside(v: f64, [low, high]: [f64; 2]) -> bool {
    v < low || v > high
}

fn mean(values: impl ExactSizeIterator<Item = f64>) -> Option<f64> {
    let count = values.len();
    (count > 0).then(|| values.sum::<f64>() / count as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The worked example of an individuals chart that the library's own test has from a handbook uses
    /// the mean ± 2.66 moving ranges: here 1, 2, 1, 2 … with a mean of 1.5 and moving ranges of 1.
    #[test]
    fn the_first_parts_set_the_limits_and_later_ones_do_not() {
        let mut values: Vec<Option<f64>> =
            (0..7).map(|i| Some(if i % 2 == 0 { 1.0 } else { 2.0 })).collect();
        assert_eq!(own_limits(&values, 40), None, "seven are too few");
        values.push(Some(2.0));
        let [low, high] = own_limits(&values, 40).expect("eight");
        assert!((low - (1.5 - 3.0 / 1.128)).abs() < 0.01, "{low}");
        assert!((high - (1.5 + 3.0 / 1.128)).abs() < 0.01, "{high}");
        values.extend([Some(90.0), None]);
        assert_eq!(own_limits(&values, 40), Some([low, high]), "whatever comes");
        assert_eq!(first_parts(200), 40, "a fifth of a long one");
    }
}
