//! Published values that bear on the estimator.

use crate::support::assert_near;
use crate::{assert_published, assert_published_within, check, number, numbers, points};
use nudgeproof::geometry::{Point3, Pose, Vector3};
use nudgeproof::locate::{Fit, Freedoms, Touch, chi2_limit, forecast, locate};

/// The entries recomputed here.
pub(crate) const IDS: &[&str] = &[
    NORRIS,
    GUM_H3,
    FOUR_POINTS,
    UMEYAMA,
    SINE_BAR,
    TAPER,
    PEARSON,
    ALIGNED_VECTORS,
    MAVRO,
    THREE_LOCATORS,
    CHI_SQUARE,
];

const NORRIS: &str = "norris";
const GUM_H3: &str = "gum-h3";
const FOUR_POINTS: &str = "four-points";
const UMEYAMA: &str = "umeyama";
const SINE_BAR: &str = "sine-bar";
const TAPER: &str = "taper";
const PEARSON: &str = "pearson-1901-line";
const ALIGNED_VECTORS: &str = "scipy-align-vectors";
const MAVRO: &str = "nist-strd-mavro";
const THREE_LOCATORS: &str = "polini-moroni-three-locators";
const CHI_SQUARE: &str = "nist-chi-square";

/// A least-squares line y = b0 + b1 x becomes a slide and a turn when y is made this
/// small: turning by θ lifts an edge by x tan θ, and what a turn does beyond that is of
/// second order, 10⁻¹² of the answer.
const SMALL: f64 = 1e-6;

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
fn point_sets(moving: &[Vec<f64>], fixed: &[Vec<f64>], freedoms: Freedoms, sigma: f64) -> Fit {
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
    locate(freedoms, &touches, sigma).expect("a fit")
}

/// Source: Biopython's `SVDSuperimposer` test, values of its documentation. Its rotation acts on row vectors.
#[test]
fn four_points_superpose_as_published() {
    let check = check(FOUR_POINTS);
    let given = &check["given"];
    let fit = point_sets(&points(&given["moving"]), &points(&given["fixed"]), Freedoms::SIX, 0.1);
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
    let fit = point_sets(&x, &points(&check["given"]["y"]), Freedoms::PLAN, 0.1);
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

/// Slope and intercept of the line to which a motion takes the face y = 0.
fn line_of(motion: &Pose) -> [f64; 2] {
    let (on_it, along) = (motion.point(&Point3::origin()), motion.vector(&Vector3::x()));
    let slope = along.y / along.x;
    [slope, on_it.y - slope * on_it.x]
}

/// Source: K. Pearson, Phil. Mag. (6) 2 (1901) 559–572, example with ten points. The residual of a
/// touch is its distance square to the moved face, so the face comes to lie on the line of smallest
/// squared distances: whether it is found through many touches or taught through them.
#[test]
fn a_face_lies_on_the_line_of_closest_fit() {
    let check = check(PEARSON);
    let (x, y) = (numbers(&check["given"]["x"]), numbers(&check["given"]["y"]));
    let mean = |v: &[f64]| v.iter().sum::<f64>() / v.len() as f64;
    let may = Freedoms::Y | Freedoms::TURN;
    let located = |swap: bool| {
        let touch = |(&x, &y): (&f64, &f64)| {
            let (straight, measured) = (Point3::new(x, 0.0, 0.0), Point3::new(x, y, 0.0));
            let (taught, now) = if swap { (measured, straight) } else { (straight, measured) };
            Touch::taught(0, Vector3::y(), taught).found(now)
        };
        let touches: Vec<_> = x.iter().zip(&y).map(touch).collect();
        locate(may, &touches, 0.25).expect("a line")
    };
    let found = located(false);
    let [slope, intercept] = line_of(&found.motion);
    assert_published(&check, &[slope, intercept]);
    assert_near("through the centroid", intercept + slope * mean(&x), mean(&y), 1e-12);
    // Taught through the ten points and found on y = 0: the motion back is the same.
    let taught = located(true);
    let [slope, intercept] = line_of(&taught.motion.inverse());
    assert_published(&check, &[slope, intercept]);
    assert!(taught.rms < 1e-9, "all of the face came to lie on y = 0: {}", taught.rms);
}

/// Source: `SciPy` 1.17.1, reference page of `Rotation.align_vectors`, first example: the rotation, and
/// its sensitivity matrix, which is the covariance of the rotation vector for vectors of scatter 1.
#[test]
fn a_rotation_has_the_published_covariance() {
    let check = check(ALIGNED_VECTORS);
    let given = |name: &str| {
        let vectors = points(&check["given"][name]);
        vectors.iter().map(|v| Vector3::from_column_slice(v)).collect::<Vec<_>>()
    };
    // The published rotation is by 120° about (1, 1, 1), and a part is located within a quarter turn.
    // So the part is taught turned by half of it.
    let half = Pose::new(Vector3::zeros(), Vector3::repeat(1.0).normalize() * 60_f64.to_radians());
    let list = |v: Vector3<f64>| v.as_slice().to_vec();
    let taught: Vec<_> = given("b").iter().map(|v| list(half.vector(v))).collect();
    let now: Vec<_> = given("a").into_iter().map(list).collect();
    let sigma = 0.01;
    let fit = point_sets(&taught, &now, Freedoms::TURN | Freedoms::TILTS, sigma);
    let rotation = (fit.motion * half).rotation_matrix();
    let mut found: Vec<f64> = rotation.transpose().iter().copied().collect();
    found.push(fit.residuals.iter().map(|e| e * e).sum::<f64>().sqrt());
    for row in 0..3 {
        found.extend((0..3).map(|column| fit.covariance.entry(row, column) / (sigma * sigma)));
    }
    assert_published(&check, &found);
}

/// Source: NIST/ITL Statistical Reference Datasets, Mavro.dat, certified values: touches on one spot
/// slide the part by their mean, and what they disagree by is their standard deviation.
#[test]
fn touches_on_one_spot_give_the_certified_mean_and_scatter() {
    let check = check(MAVRO);
    let touch =
        |x: f64| Touch::taught(0, Vector3::x(), Point3::origin()).found(Point3::new(x, 0.0, 0.0));
    let touches: Vec<_> = numbers(&check["given"]["x"]).into_iter().map(touch).collect();
    let fit = locate(Freedoms::X, &touches, 1.0).expect("a mean");
    let scatter = (fit.chi2 / fit.redundancy as f64).sqrt();
    // 13 digits of the standard deviation: of numbers about 2, read to 10⁻⁴, a double keeps no more.
    assert_published_within(
        &check,
        &[fit.motion.translation().x, scatter],
        &[0.0, 1e-13 * scatter],
    );
}

/// Source: W. Polini and G. Moroni, Position deviation of a holes pattern due to fixturing, p. 204
/// (the formula; its numbers are worked out in the entry).
#[test]
fn three_locators_have_the_error_ellipse_of_the_formula() {
    let check = check(THREE_LOCATORS);
    let given = &check["given"];
    let [x2, x3, y1, sigma] = ["x2", "x3", "y1", "sigma"].map(|name| number(&given[name]));
    let touches = [
        Touch::taught(0, Vector3::y(), Point3::new(x2, 0.0, 0.0)),
        Touch::taught(0, Vector3::y(), Point3::new(x3, 0.0, 0.0)),
        Touch::taught(1, Vector3::x(), Point3::new(0.0, y1, 0.0)),
    ];
    let layout = forecast(Freedoms::PLAN, &touches, sigma).expect("a good layout");
    let size = |p: &Vec<f64>| {
        let spread = layout.covariance.of_point(&Vector3::new(p[0], p[1], 0.0));
        (spread.m11 * spread.m22 - spread.m12 * spread.m21).sqrt()
    };
    assert_published(&check, &points(&given["points"]).iter().map(size).collect::<Vec<_>>());
}

/// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4. Up to 10 degrees of freedom
/// the points stand in a table, beyond that an approximation is good to 0.12 %.
#[test]
fn touches_may_disagree_as_far_as_chi_squared_says() {
    let check = check(CHI_SQUARE);
    assert_eq!(number(&check["given"]["probability"]), 0.99, "the level of the test");
    let redundancy = numbers(&check["given"]["degrees_of_freedom"]);
    let found: Vec<f64> = redundancy.iter().map(|n| chi2_limit(*n as usize)).collect();
    let room = |(n, limit): (&f64, &f64)| if *n > 10.0 { 0.0012 * limit } else { 0.0 };
    let room: Vec<f64> = redundancy.iter().zip(&found).map(room).collect();
    assert_published_within(&check, &found, &room);
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
