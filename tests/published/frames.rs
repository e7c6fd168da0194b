//! Published frames: how a pose moves a point, its inverse, and a rotation about an axis anywhere.
//! They are what carries a taught point when a routine follows a place.

use crate::support::assert_near;
use crate::{assert_published, check, number, numbers};
use nalgebra::Matrix2;
use nudgeproof::cell::{Cell, CellSettings, FixturePlay, part_by_name};
use nudgeproof::geometry::{Point3, Pose, Vector3};
use nudgeproof::routine::{
    Instruction, Memory, PART_PLACE, PathKind, Routine, RunOptions, RunSpeed, Runner, Step, StepId,
    Stop, TaughtPoint,
};
use serde_json::Value;
use std::collections::BTreeMap;

/// The entries recomputed here.
pub(crate) const IDS: &[&str] =
    &[TURNED, TURNED_AND_MOVED, INVERSE, ABOUT_AXIS, THROUGH_POINT, POLE];

const TURNED: &str = "craig-2.1-2.3";
const TURNED_AND_MOVED: &str = "craig-2.2";
const INVERSE: &str = "craig-2.5";
const ABOUT_AXIS: &str = "craig-2.8";
const THROUGH_POINT: &str = "craig-2.9";
const POLE: &str = "pole-of-craig-2.2";

fn point(value: &Value) -> Point3<f64> {
    Point3::from_slice(&numbers(value))
}

/// The motion on the table that an entry gives.
fn motion(given: &Value) -> Pose {
    let shift = given.get("shift").map_or_else(|| vec![0.0; 2], numbers);
    Pose::planar(shift[0], shift[1], number(&given["rotation_z_deg"]).to_radians())
}

/// The rotation vector that an entry gives by axis and angle.
fn rotation_vector(given: &Value) -> Vector3<f64> {
    Vector3::from_column_slice(&numbers(&given["axis"])) * number(&given["angle_deg"]).to_radians()
}

/// Where the torch goes that follows a place with this offset to a point taught `taught`. Driven well
/// above the part, since the height of a point takes no part in a motion on the table.
fn carried(offset: Pose, taught: Point3<f64>) -> Point3<f64> {
    let above = Vector3::z() * 300.0;
    let part = part_by_name("bench-side").expect("it comes with the program");
    let mut cell = Cell::new(&part, &CellSettings::default(), &[]).expect("a sound cell");
    let steps = [
        Instruction::Follow { place: PART_PLACE.into() },
        Instruction::Move { to: "taught".into(), way: PathKind::Linear, stop: Stop::Full },
    ];
    let step = |(instruction, id)| Step { id: StepId(id), instruction };
    let routine = Routine {
        points: vec![TaughtPoint { name: "taught".into(), at: taught + above }],
        steps: steps.into_iter().zip(1..).map(step).collect(),
    };
    let options = RunOptions {
        number: 1,
        speed: RunSpeed::Full,
        arc: false,
        seed: 7,
        believed: Pose::identity(),
        sensing_speed: None,
        slip: None,
    };
    let offsets = BTreeMap::from([(PART_PLACE.into(), offset)]);
    let mut memory = Memory { offsets, ..Memory::default() };
    let mut runner = Runner::new(options, &cell, part.rest);
    runner.advance(&routine, &mut cell, &mut memory, None);
    assert!(runner.log().finished(), "{:?}", runner.log().events);
    runner.torch() - above
}

/// Source: J. J. Craig, Introduction to Robotics, 3rd ed. (2005), Examples 2.1 to 2.3. The offset of
/// the place is the published frame, the taught point the published point.
#[test]
fn a_followed_place_carries_a_taught_point_as_published() {
    let turned = check(TURNED);
    let given = &turned["given"];
    let torch = carried(motion(given), point(&given["point"]));
    assert_published(&turned, torch.coords.as_slice());

    let moved = check(TURNED_AND_MOVED);
    let given = &moved["given"];
    let offset = motion(given);
    let torch = carried(offset, point(&given["point"]));
    let r = offset.rotation_matrix();
    assert_published(&moved, &[torch.x, torch.y, torch.z, r.m11, r.m21]);
}

/// Source: as above, Example 2.5. Touches felt inside a follow are seen from the place by the inverse.
#[test]
fn the_inverse_of_a_motion_is_not_its_shift_turned_round() {
    let check = check(INVERSE);
    let motion = motion(&check["given"]);
    let back = motion.inverse();
    let (t, r) = (back.translation(), back.rotation_matrix());
    assert_published(&check, &[t.x, t.y, t.z, r.m11, r.m12, r.m21]);
    let taught = Point3::new(3.0, 7.0, 0.0);
    assert_near("and back again", back.point(&carried(motion, taught)), taught, 1e-12);
}

/// Source: as above, Example 2.8 (its number from memory).
#[test]
fn a_rotation_vector_gives_the_published_matrix() {
    let check = check(ABOUT_AXIS);
    let pose = Pose::new(Vector3::zeros(), rotation_vector(&check["given"]));
    let rows = pose.rotation_matrix().transpose();
    assert_published(&check, rows.as_slice());
}

/// Source: as above, Example 2.9 (from memory). A part that turns in its fixture about a point moves
/// the frame origin, and leaves that point alone.
#[test]
fn a_turn_about_a_point_of_the_fixture_shifts_the_origin_as_published() {
    let check = check(THROUGH_POINT);
    let through = point(&check["given"]["through"]);
    let play = FixturePlay { about: through.into(), ..FixturePlay::default() };
    let pose = play.pose(Vector3::zeros(), rotation_vector(&check["given"]));
    assert_published(&check, pose.translation().as_slice());
    assert_near("the point stays", pose.point(&through), through, 1e-12);
}

/// Source: plane kinematics (the centre of a rotation by θ with the shift t is
/// t/2 + cot(θ/2)/2 · (t turned by 90°)); the exact numbers are worked out in the entry. A part that
/// turned about that centre, with no shift there, has the shift t.
#[test]
fn a_motion_on_the_table_is_a_turn_about_its_pole() {
    let check = check(POLE);
    let motion = motion(&check["given"]);
    let (r, t) = (motion.rotation_matrix(), motion.translation());
    // The point that does not move: R c + t = c.
    let stays = (Matrix2::identity() - r.fixed_view::<2, 2>(0, 0)).try_inverse().expect("it turns");
    let pole = stays * t.xy();
    assert_published(&check, pole.as_slice());
    let published = numbers(&check["published"]);
    let about = [published[0], published[1], 0.0];
    let play = FixturePlay { about, ..FixturePlay::default() };
    let turned = play.pose(Vector3::zeros(), motion.rotation_vector());
    assert_near("shift of the origin", turned.translation(), t, 1e-12);
    assert_near("shift at the pole", motion.displacement(&about.into()), Vector3::zeros(), 1e-12);
}
