//! Arithmetic on blocks of runs, written so that the compiler turns every loop
//! into vector instructions: arrays of fixed length, no branches, no calls.

/// Number of runs in a block. The working memory of a usual layout fits into the
/// first-level cache.
pub(super) const LANES: usize = 128;

/// One number for every run of a block.
pub(super) type Block = [f64; LANES];

/// `a b + c`; with one rounding if the target has the instruction.
#[inline]
pub(super) fn fma(a: f64, b: f64, c: f64) -> f64 {
    if cfg!(target_feature = "fma") { a.mul_add(b, c) } else { a * b + c }
}

#[inline]
fn fma32(a: f32, b: f32, c: f32) -> f32 {
    if cfg!(target_feature = "fma") { a.mul_add(b, c) } else { a * b + c }
}

#[inline]
fn polynomial32<const N: usize>(x: f32, c: [f32; N]) -> f32 {
    c.into_iter().rev().fold(0.0, |sum, c| fma32(sum, x, c))
}

/// Taylor coefficients of sin x / x in x², to x¹⁶: below 10⁻¹⁶ up to 45°.
const SIN: [f64; 9] = [
    1.0,
    -1.0 / 6.0,
    1.0 / 120.0,
    -1.0 / 5_040.0,
    1.0 / 362_880.0,
    -1.0 / 39_916_800.0,
    1.0 / 6_227_020_800.0,
    -1.0 / 1_307_674_368_000.0,
    1.0 / 355_687_428_096_000.0,
];

/// Taylor coefficients of cos x in x², to x¹⁶.
const COS: [f64; 9] = [
    1.0,
    -1.0 / 2.0,
    1.0 / 24.0,
    -1.0 / 720.0,
    1.0 / 40_320.0,
    -1.0 / 3_628_800.0,
    1.0 / 479_001_600.0,
    -1.0 / 87_178_291_200.0,
    1.0 / 20_922_789_888_000.0,
];

/// Sine and cosine for |x| ≤ 45°.
#[inline]
pub(super) fn sin_cos(x: f64) -> (f64, f64) {
    let square = x * x;
    let sum = |c: [f64; 9]| c.into_iter().rev().fold(0.0, |sum, c| fma(sum, square, c));
    (x * sum(SIN), sum(COS))
}

// Least-squares polynomials for single precision, fitted here: sin(πw)/w and
// cos(πw) in w² for |w| ≤ ½, ln(1+r)/r for 1+r from √½ to √2; errors below 4·10⁻⁸.
const SIN_PI: [f32; 5] = [std::f32::consts::PI, -5.167_71, 2.550_077_4, -0.598_291_3, 0.077_657_66];
const COS_PI: [f32; 6] = [1.0, -4.934_802, 4.058_709, -1.335_212, 0.234_937_31, -0.024_396_32];
const LN_1P: [f32; 9] = [
    1.0,
    -0.499_999_87,
    0.333_341_84,
    -0.250_021_52,
    0.199_569_77,
    -0.165_606_96,
    0.149_490_95,
    -0.143_773_31,
    0.087_439_45,
];

/// Natural logarithm of a positive normal number, single precision.
#[inline]
fn ln32(x: f32) -> f32 {
    let root_half = std::f32::consts::FRAC_1_SQRT_2.to_bits().cast_signed();
    let bits = x.to_bits().cast_signed();
    let exponent = (bits - root_half) >> 23;
    let r = f32::from_bits((bits - (exponent << 23)).cast_unsigned()) - 1.0;
    fma32(exponent as f32, std::f32::consts::LN_2, r * polynomial32(r, LN_1P))
}

/// Two independent normal numbers with standard deviation √(½ `scale`) from 64
/// random bits (Box and Muller 1958), `scale` = 2 σ²; up to 6.6 σ.
#[inline]
pub(super) fn two_normals(bits: u64, scale: f32) -> (f32, f32) {
    const STEP: f32 = 1.0 / 4_294_967_296.0;
    let (high, low) = ((bits >> 32) as i32, bits as i32);
    // (0, 1], never zero.
    let uniform = fma32(high as f32, STEP, 0.5 + 0.5 * STEP).max(STEP);
    let radius = (-scale * ln32(uniform)).max(0.0).sqrt();
    // Half turns, [−1, 1]: sin πx = ± cos πw, cos πx = − sin πw with w = |x| − ½.
    let x = low as f32 * (2.0 * STEP);
    let w = x.abs() - 0.5;
    let square = w * w;
    let sine = polynomial32(square, COS_PI).copysign(x);
    let cosine = -w * polynomial32(square, SIN_PI);
    (radius * sine, radius * cosine)
}

/// A uniform number in [−½, ½) from 64 random bits.
#[inline]
pub(super) fn centred_uniform(bits: u64) -> f64 {
    f64::from_bits((bits >> 12) | 1.0_f64.to_bits()) - 1.5
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sine_and_cosine_are_the_library_s() {
        for i in -1000..=1000 {
            let x = f64::from(i) * std::f64::consts::FRAC_PI_4 / 1000.0;
            let (s, c) = sin_cos(x);
            assert!((s - libm::sin(x)).abs() < 3e-16 && (c - libm::cos(x)).abs() < 3e-16, "at {x}");
        }
    }

    #[test]
    fn the_logarithm_is_the_library_s() {
        for i in 1..4000 {
            let x = (i as f32 * 0.004).exp2() / 65_536.0;
            assert!(
                (ln32(x) - libm::logf(x)).abs() <= 2e-7 * libm::logf(x).abs().max(1.0),
                "at {x}"
            );
        }
    }
}
