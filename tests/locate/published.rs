//! Published values that bear on the estimator, each with its source. Given and
//! published numbers stand in `tests/cases/published.json`; each entry is recomputed here.

use crate::support::assert_near;
use nudgeproof::geometry::{Point3, Vector3};
use nudgeproof::locate::{Fit, Freedoms, Touch, locate};
use serde_json::Value;

/// A least-squares line y = b0 + b1 x becomes a slide and a turn when y is made this
/// small: turning by θ lifts an edge by x tan θ, and what a turn does beyond that is of
/// second order, 10⁻¹² of the answer.
const SMALL: f64 = 1e-6;

/// The beginnings of the names in the file, one for each test.
const NORRIS: &str = "NIST StRD Norris";
const GUM_H3: &str = "GUM H.3";
const FOUR_POINTS: &str = "rigid fit of 4 points";
const UMEYAMA: &str = "Umeyama 1991";
const SINE_BAR: &str = "sine bar 5 in";
const TAPER: &str = "taper 6 1/8";

fn file() -> Value {
    serde_json::from_str(include_str!("../cases/published.json")).expect("JSON")
}

fn check(name: &str) -> Value {
    let file = file();
    let checks = file["checks"].as_array().expect("checks");
    let found =
        checks.iter().find(|check| check["name"].as_str().is_some_and(|n| n.starts_with(name)));
    found.unwrap_or_else(|| panic!("{name} is not among the checks")).clone()
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().expect("an array").iter().map(|v| v.as_f64().expect("a number")).collect()
}

fn points(value: &Value) -> Vec<Vec<f64>> {
    value.as_array().expect("an array").iter().map(numbers).collect()
}

/// Fits a line to (x, y): touches along an edge, plus one that stops the slide along it.
fn line(x: &[f64], y: &[f64], sigma: f64) -> Fit {
    let touch = |(&x, &y): (&f64, &f64)| {
        Touch::taught(0, Vector3::y(), Point3::new(x, 0.0, 0.0)).found(Point3::new(
            x,
            y * SMALL,
            0.0,
        ))
    };
    let mut touches: Vec<_> = x.iter().zip(y).map(touch).collect();
    touches.push(Touch::taught(1, Vector3::x(), Point3::origin()).found(Point3::origin()));
    locate(Freedoms::PLAN, &touches, sigma * SMALL).expect("a line")
}

/// Intercept, slope, their standard errors and correlation, residual standard deviation.
struct Line {
    b: [f64; 2],
    u: [f64; 2],
    r: f64,
    s: f64,
    fit: Fit,
}

fn fitted(x: &[f64], y: &[f64]) -> Line {
    let s = {
        let fit = line(x, y, 1.0);
        (fit.chi2 / fit.redundancy as f64).sqrt()
    };
    let fit = line(x, y, s);
    let u = [fit.covariance.sigma(1), fit.covariance.sigma(2)].map(|u| u / SMALL);
    Line {
        b: [fit.motion.translation().y / SMALL, libm::tan(fit.motion.rotation_vector().z) / SMALL],
        r: fit.covariance.entry(1, 2) / (u[0] * u[1] * SMALL * SMALL),
        u,
        s,
        fit,
    }
}

#[test]
fn every_published_entry_is_recomputed() {
    let recomputed = [NORRIS, GUM_H3, FOUR_POINTS, UMEYAMA, SINE_BAR, TAPER];
    let file = file();
    let checks = file["checks"].as_array().expect("checks");
    assert_eq!(checks.len(), recomputed.len(), "an entry of the file is in no test");
    for name in recomputed {
        check(name);
    }
}

/// Source: NIST/ITL Statistical Reference Datasets, Norris.dat, certified values.
#[test]
fn touches_along_an_edge_give_the_certified_line() {
    let check = check(NORRIS);
    let fit = fitted(&numbers(&check["given"]["x"]), &numbers(&check["given"]["y"]));
    let published = numbers(&check["published"]);
    let found = [fit.b[0], fit.b[1], fit.u[0], fit.u[1], fit.s];
    // The certified values have 15 digits; a turn instead of a slope leaves 10⁻¹².
    for ((found, published), name) in
        found.into_iter().zip(published).zip(["B0", "B1", "s(B0)", "s(B1)", "s"])
    {
        assert_near(name, found, published, 1e-11 * published.abs().max(1.0));
    }
}

/// Source: JCGM 100:2008 (GUM), Annex H.3, calibration of a thermometer, data Table H.6.
#[test]
fn the_covariance_carries_to_another_point_as_in_the_gum() {
    let check = check(GUM_H3);
    let t0 = check["given"]["t0"].as_f64().expect("t0");
    let t: Vec<_> = numbers(&check["given"]["t"]).iter().map(|t| t - t0).collect();
    let fit = fitted(&t, &numbers(&check["given"]["b"]));
    // The correction at 30 °C is the lift of the point ten along the edge.
    let at_30 = fit.fit.at_point(&Point3::new(30.0 - t0, 0.0, 0.0), &Vector3::x());
    let squares = fit.s * fit.s * (t.len() - 2) as f64;
    let found = [
        fit.b[0],
        fit.u[0],
        fit.b[1],
        fit.u[1],
        fit.r,
        at_30.displacement.y / SMALL,
        at_30.sigma_across_mm / SMALL,
        squares,
    ];
    let (published, tolerance) = (numbers(&check["published"]), numbers(&check["tolerance"]));
    for (i, found) in found.into_iter().enumerate() {
        assert_near(&format!("value {i}"), found, published[i], tolerance[i]);
    }
}

/// Touches square to three faces through a point hold that point: the fit of touches is the
/// fit of point sets.
fn point_sets(moving: &[Vec<f64>], fixed: &[Vec<f64>], freedoms: Freedoms) -> Fit {
    let axes = moving[0].len();
    let point = |v: &[f64]| Point3::new(v[0], v[1], v.get(2).copied().unwrap_or(0.0));
    let touches: Vec<_> = moving
        .iter()
        .zip(fixed)
        .enumerate()
        .flat_map(|(i, (from, to))| {
            (0..axes).map(move |axis| {
                let search = Vector3::ith(axis, 1.0);
                Touch::taught(axes * i + axis, search, point(from)).found(point(to))
            })
        })
        .collect();
    locate(freedoms, &touches, 0.1).expect("a fit")
}

/// Source: Biopython's `SVDSuperimposer` test, values of its documentation. Its rotation acts on row vectors.
#[test]
fn four_points_superpose_as_published() {
    let check = check(FOUR_POINTS);
    let given = &check["given"];
    let fit = point_sets(&points(&given["moving"]), &points(&given["fixed"]), Freedoms::SIX);
    let (r, t) = (fit.motion.rotation_matrix(), fit.motion.translation());
    // Column by column, R is the transposed row-vector rotation.
    let mut found: Vec<f64> = r.iter().copied().collect();
    found.extend(t.iter());
    found.push(fit.rms * 3.0_f64.sqrt());
    let (published, tolerance) = (numbers(&check["published"]), numbers(&check["tolerance"]));
    assert_eq!(found.len(), published.len());
    for i in 0..found.len() {
        assert_near(&format!("value {i}"), found[i], published[i], tolerance[i]);
    }
}

/// Source: S. Umeyama, IEEE Trans. PAMI 13(4), 1991, 376–380, numerical example. Mirrored
/// points: the answer is a rotation, never a reflection. Its scale c does not exist
/// for a rigid part, so t is compared as t + (c − 1) R x̄.
#[test]
fn mirrored_points_give_the_published_rotation() {
    let check = check(UMEYAMA);
    let x = points(&check["given"]["x"]);
    let fit = point_sets(&x, &points(&check["given"]["y"]), Freedoms::PLAN);
    let r = fit.motion.rotation_matrix();
    let published = numbers(&check["published"]);
    for (i, found) in [r.m11, r.m12, r.m21, r.m22].into_iter().enumerate() {
        assert_near(&format!("R {i}"), found, published[i], 1e-12);
    }
    let mean = Vector3::new(
        x.iter().map(|p| p[0]).sum::<f64>() / 3.0,
        x.iter().map(|p| p[1]).sum::<f64>() / 3.0,
        0.0,
    );
    let expected = Vector3::new(published[4], published[5], 0.0) + r * mean * (published[6] - 1.0);
    assert_near("t", (fit.motion.translation() - expected).norm(), 0.0, 1e-12);
}

/// An edge with two touches `length` apart, lifted at the far one; degrees.
fn lifted(run: f64, rise: f64) -> f64 {
    let touch = |x: f64, to: Point3<f64>| {
        Touch::taught(0, Vector3::y(), Point3::new(x, 0.0, 0.0)).found(to)
    };
    let touches = [
        touch(0.0, Point3::origin()),
        touch(run, Point3::new(run, rise, 0.0)),
        Touch::taught(1, Vector3::x(), Point3::origin()).found(Point3::origin()),
    ];
    let located = locate(Freedoms::PLAN, &touches, 0.1).expect("solvable");
    located.motion.rotation_vector().z.to_degrees()
}

/// Source: Machinery's Handbook, 31st ed., p. 695 (sine bars): heights of a 5 in bar.
#[test]
fn a_sine_bar_turns_the_edge_by_its_angle() {
    let check = check(SINE_BAR);
    let length = check["given"]["length_in"].as_f64().expect("length") * 25.4;
    let (angles, tolerance) =
        (numbers(&check["given"]["angles_deg"]), numbers(&check["tolerance"]));
    for (i, height) in numbers(&check["published"]).into_iter().enumerate() {
        let height = height * 25.4;
        let run = (length * length - height * height).sqrt();
        let allowed = (tolerance[i] * 25.4 / run).to_degrees();
        assert_near("angle", lifted(run, height), angles[i], allowed);
    }
}

/// Source: Machinery's Handbook, 31st ed., p. 695, quoting the table on p. 698: taper 6 1/8 in per foot.
#[test]
fn a_taper_is_twice_the_turn_of_its_side() {
    let check = check(TAPER);
    let taper = check["given"]["taper_per_foot_in"].as_f64().expect("taper");
    let (published, tolerance) = (numbers(&check["published"]), numbers(&check["tolerance"]));
    assert_near(
        "included angle",
        2.0 * lifted(12.0 * 25.4, taper / 2.0 * 25.4),
        published[0],
        tolerance[0],
    );
}

/// Right triangles with whole sides (exact, no source needed): sine and cosine are rational.
#[test]
fn whole_number_triangles_come_out_exactly() {
    for [a, b, c] in [
        [3.0, 4.0, 5.0],
        [5.0, 12.0, 13.0],
        [8.0, 15.0, 17.0],
        [7.0, 24.0, 25.0],
        [20.0, 21.0, 29.0],
        [9.0, 40.0, 41.0_f64],
    ] {
        let angle = lifted(10.0 * b, 10.0 * a).to_radians();
        assert_near("sine", libm::sin(angle), a / c, 1e-14);
        assert_near("cosine", libm::cos(angle), b / c, 1e-14);
    }
}
