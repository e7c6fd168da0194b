//! Whether the touches agree with one rigid motion: the limit of chi-squared.

/// 99 % points of chi-squared with 1, 2, … degrees of freedom.
/// Source: standard tables, e.g. NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4.
const CHI2_99: [f64; 10] =
    [6.635, 9.210, 11.345, 13.277, 15.086, 16.812, 18.475, 20.090, 21.666, 23.209];

/// 99 % point of the standard normal distribution (same source).
const NORMAL_99: f64 = 2.326_347_874;

/// 99 % point of chi-squared with `redundancy` degrees of freedom; infinite at 0, where
/// nothing can disagree. Beyond the table the approximation of Wilson and Hilferty
/// (1931), too high by 0.12 % at 11 and by less beyond.
pub fn chi2_limit(redundancy: usize) -> f64 {
    match redundancy {
        0 => f64::INFINITY,
        n if n <= CHI2_99.len() => CHI2_99[n - 1],
        n => {
            let k = 2.0 / (9.0 * n as f64);
            let root = 1.0 - k + NORMAL_99 * k.sqrt();
            n as f64 * root * root * root
        }
    }
}
