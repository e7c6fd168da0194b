//! Published values of how numbers scatter: the draws of the cell's noise, the percentiles of a
//! study, and covariance carried from the motion to a point.

use crate::support::assert_near;
use crate::{assert_published, assert_published_within, check, number, numbers, points};
use nalgebra::Matrix6;
use nudgeproof::cell::{CellSettings, Noise};
use nudgeproof::geometry::Vector3;
use nudgeproof::locate::{Covariance, Freedoms};
use nudgeproof::routine::reading_sigma;
use nudgeproof::session::{BIN_MM, Histogram};
use nudgeproof::shift::individuals_chart;

/// The entries recomputed here.
pub(crate) const IDS: &[&str] =
    &[FOUR_NORMAL, FOUR_EVEN, ONE_WIDE, SHARED_INPUT, NORMAL_POINTS, PERCENTILE, INDIVIDUALS];

const FOUR_NORMAL: &str = "jcgm101-9.2.2";
const FOUR_EVEN: &str = "jcgm101-9.2.3";
const ONE_WIDE: &str = "jcgm101-9.2.4";
const SHARED_INPUT: &str = "jcgm102-9.2";
const NORMAL_POINTS: &str = "normal-points";
const PERCENTILE: &str = "nist-percentile";
const INDIVIDUALS: &str = "nist-individuals-chart";

const DRAWS: usize = 200_000;

/// A figure of [`DRAWS`] draws may be this many of its standard errors off.
const ERRORS: f64 = 4.0;

/// Draws of the sum of what `input` makes of the noise and the number of the input, 0 to 3: each sum
/// from a generator of its own, as a search has it.
fn sums(input: impl Fn(&mut Noise, usize) -> f64) -> Vec<f64> {
    let sum = |i| {
        let mut noise = Noise::new(1, 1, i);
        (0..4).map(|number| input(&mut noise, number)).sum()
    };
    (0..DRAWS as u64).map(sum).collect()
}

/// An even input of mean 0 and standard deviation 1: half width √3.
fn even(noise: &mut Noise) -> f64 {
    (2.0 * noise.uniform() - 1.0) * 3_f64.sqrt()
}

/// Draws are scaled down by this, to be as small as misses are.
const SCALE: f64 = 10.0;

/// Draws as a study keeps its misses.
fn histogram(draws: impl IntoIterator<Item = f64>) -> Histogram {
    let mut all = Histogram::default();
    for mm in draws {
        all.add(mm / SCALE);
    }
    all
}

/// A percentile of draws, and how far it may be off: the rank of a share among n draws scatters by
/// √(n share (1 − share)).
fn percentile(draws: &Histogram, share: f64) -> (f64, f64) {
    let off = ERRORS * (share * (1.0 - share) / draws.count() as f64).sqrt();
    let [low, middle, high] = [share - off, share, share + off]
        .map(|share| draws.percentile(share).expect("there are draws") * SCALE);
    (middle, (high - middle).max(middle - low))
}

/// Mean and standard deviation of draws, the ends of the interval that holds the share `p` of them by
/// the percentiles of a study, and how far each of the four may be off.
fn figures(draws: Vec<f64>, p: f64) -> ([f64; 4], [f64; 4]) {
    let n = draws.len() as f64;
    let mean = draws.iter().sum::<f64>() / n;
    let u = (draws.iter().map(|y| (y - mean) * (y - mean)).sum::<f64>() / (n - 1.0)).sqrt();
    let draws = histogram(draws);
    let (low, low_room) = percentile(&draws, (1.0 - p) / 2.0);
    let (high, high_room) = percentile(&draws, f64::midpoint(1.0, p));
    // The standard deviation scatters as that of a normal sum, or less.
    let room = [ERRORS * u / n.sqrt(), ERRORS * u / (2.0 * n).sqrt(), low_room, high_room];
    ([mean, u, low, high], room)
}

/// Source: JCGM 101:2008, 9.2.2, Table 2.
#[test]
fn four_normal_draws_add_up_as_published() {
    let check = check(FOUR_NORMAL);
    let draws = sums(|noise, _| noise.normal());
    let (found, room) = figures(draws, number(&check["given"]["p"]));
    assert_published_within(&check, &found, &room);
}

/// Source: JCGM 101:2008, 9.2.3, Table 3; the ends by its closed form, Annex E.
#[test]
fn four_even_draws_add_up_as_published() {
    let check = check(FOUR_EVEN);
    let draws = sums(|noise, _| even(noise));
    let (found, room) = figures(draws, number(&check["given"]["p"]));
    assert_published_within(&check, &found, &room);
    let end = 2.0 * 3_f64.sqrt() * (2.0 - libm::pow(0.6, 0.25));
    assert_near("closed form, lower end", found[2], -end, room[2]);
    assert_near("closed form, upper end", found[3], end, room[3]);
}

/// Source: JCGM 101:2008, 9.2.4, Table 4. A reading is such a sum: normal scatter, and an even delay
/// that a fast search makes its widest part. By its standard deviation 95 of 100 lie within 19.9, and they
/// lie within 17.0.
#[test]
fn a_wide_even_part_ends_sooner_than_its_standard_deviation_says() {
    let check = check(ONE_WIDE);
    let p = number(&check["given"]["p"]);
    let draws = sums(|noise, i| even(noise) * if i == 3 { 10.0 } else { 1.0 });
    let (found, room) = figures(draws, p);
    // By the law of propagation: three inputs of standard deviation 1, and one of 10 as the scan.
    let (speed, scan_s) = (1.0, 10.0 * 12_f64.sqrt());
    let settings = CellSettings { sigma_mm: 3_f64.sqrt(), scan_s, ..CellSettings::default() };
    let claimed = reading_sigma(&settings, speed);
    assert_near("standard deviation of the draws", found[1], claimed, room[1]);
    // The point of the normal distribution, NIST/SEMATECH e-Handbook, 1.3.6.7.1.
    let k = 1.96;
    assert_published_within(&check, &[claimed, k * claimed, found[3]], &[0.0, 0.0, room[3]]);
}

/// Source: JCGM 102:2011, 9.2.2 and 9.2.4. A point one along X and one back along Y from the origin is
/// moved along X by dx + turn and along Y by dy + turn: both share the turn.
#[test]
fn two_displacements_that_share_a_turn_are_correlated_as_published() {
    let check = check(SHARED_INPUT);
    let mut found = Vec::new();
    for variances in points(&check["given"]["variance_of_inputs"]) {
        let mut covariance = Covariance { freedoms: Freedoms::PLAN, full: Matrix6::zeros() };
        for (axis, variance) in [0, 1, 5].into_iter().zip(variances) {
            covariance.full[(axis, axis)] = variance;
        }
        let arm = Vector3::new(1.0, -1.0, 0.0);
        let both = covariance.of_point(&arm);
        found.extend([both.m11, both.m22, both.m12 / (both.m11 * both.m22).sqrt()]);
        // Carried to the point, the covariance of the motion says the same.
        let about = covariance.about(&arm);
        assert_near("carried to the point", about.entry(0, 1), both.m12, 1e-12);
        // The displacement along X with the turn: they share its variance.
        assert_near("with the turn", about.entry(0, 2), covariance.entry(2, 2), 1e-12);
    }
    assert_published(&check, &found);
}

/// Source: NIST/SEMATECH e-Handbook, 1.3.6.7.1 (points); E. W. Weisstein, CRC Concise Encyclopedia of
/// Mathematics, entry Confidence Interval (shares).
#[test]
fn the_noise_of_a_search_is_normal() {
    let check = check(NORMAL_POINTS);
    let given = &check["given"];
    let draws: Vec<f64> = (0..DRAWS as u64).map(|i| Noise::new(1, 2, i).normal()).collect();
    let sorted = histogram(draws.iter().copied());
    let points = numbers(&given["p"]).into_iter().map(|p| percentile(&sorted, p));
    let (mut found, mut room): (Vec<_>, Vec<_>) = points.unzip();
    let n = DRAWS as f64;
    for k in numbers(&given["sigmas"]) {
        let within = draws.iter().filter(|z| z.abs() <= k).count() as f64 / n;
        found.push(within);
        room.push(ERRORS * (within * (1.0 - within) / n).sqrt());
    }
    assert_published_within(&check, &found, &room);
}

/// Source: NIST/SEMATECH e-Handbook, 7.2.6.2. A study takes the nearest rank, so the 90th percentile of
/// twelve is the 11th value, 95.1959; NIST interpolates, 0.7 of the way from there to the 12th.
#[test]
fn a_percentile_is_the_nearest_rank() {
    let check = check(PERCENTILE);
    let (x, p) = (numbers(&check["given"]["x"]), number(&check["given"]["p"]));
    let place = p * (x.len() + 1) as f64;
    // A study's misses are small: the values less 95.
    let tally = histogram(x.iter().map(|x| x - 95.0));
    let eleventh = tally.percentile(p).expect("twelve values") * SCALE + 95.0;
    let twelfth = tally.percentile(1.0).expect("twelve values") * SCALE + 95.0;
    let fine = SCALE * BIN_MM;
    assert!((eleventh - 95.1959).abs() <= fine / 2.0, "the 11th of the twelve: {eleventh}");
    assert_published_within(&check, &[eleventh + place.fract() * (twelfth - eleventh)], &[fine]);
}

#[test]
fn the_limits_of_an_individuals_chart_agree_with_the_handbook() {
    let check = check(INDIVIDUALS);
    let chart = individuals_chart(&numbers(&check["given"]["x"])).expect("ten values");
    assert_published(&check, &[chart.mean, chart.moving_range, chart.upper, chart.lower]);
}
