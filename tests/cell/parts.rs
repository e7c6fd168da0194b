//! The parts of the street-furniture workshop do what they are there for, over all their play.

use crate::support::assert_near;
use nudgeproof::cell::{
    AllowedContact, Body, Cell, CellSettings, Contacts, ModelTouch, Noise, OwnMotions, Part, Seam,
    SeamLine, SearchResult, WireContact, parts,
};
use nudgeproof::geometry::{Point3, Pose, Vector3};
use nudgeproof::locate::{Touch, locate};
use parry3d_f64::math::{Pose as ParryPose, Vector};
use parry3d_f64::query;
use parry3d_f64::shape::SharedShape;

/// Default reach of a search, mm.
const REACH: f64 = 30.0;

fn cell(part: &Part) -> Cell {
    Cell::new(part, &CellSettings::default(), &[]).expect("a sound part")
}

/// Where a part lies, and where the bodies lie on it that move by themselves.
type Place = (Pose, OwnMotions);

/// Every extreme of the play, the drawn place, and a hundred places between.
fn places(part: &Part) -> Vec<Place> {
    let mut all = part.extremes();
    all.push(Place::default());
    all.extend((0..100).map(|i| part.nudge(&mut Noise::new(5, 0, i))));
    for (pose, own) in &all {
        assert!(part.play.allows(pose), "{}: {pose:?} is not within its play", part.name);
        for (name, motion) in own {
            let play = part.body(name).and_then(|b| b.play).expect("a body with a play");
            assert!(play.allows(motion), "{}: {name} is not within its play", part.name);
        }
    }
    all
}

fn put(cell: &mut Cell, (pose, own): &Place) {
    cell.place_part(*pose);
    cell.place_bodies(own);
}

fn model_touch(cell: &Cell, touch: &ModelTouch) -> WireContact {
    match cell.search(&touch.from, &touch.direction.into(), REACH) {
        SearchResult::Touch(found) => found,
        other => {
            let (name, pose) = (&cell.part().name, cell.work_from_part());
            panic!("{name}, {touch:?} with the part at {pose:?}: {other:?}")
        }
    }
}

#[test]
fn every_part_file_is_in_the_catalogue() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/src/cell/parts");
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .expect("the folder of the parts")
        .map(|f| f.expect("a file").file_name().to_string_lossy().replace(".toml", ""))
        .collect();
    let mut names: Vec<_> = parts().into_iter().map(|p| p.name).collect();
    files.sort();
    names.sort();
    assert_eq!(names, files, "part files and the names in them");
}

#[test]
fn model_touches_land_on_their_face_over_the_whole_play() {
    for part in parts() {
        let mut cell = cell(&part);
        let in_place: Vec<_> = part.model_touches.iter().map(|t| model_touch(&cell, t)).collect();
        for place in places(&part) {
            put(&mut cell, &place);
            let (pose, own) = &place;
            for (touch, at_home) in part.model_touches.iter().zip(&in_place) {
                let found = model_touch(&cell, touch);
                assert_eq!(found.body, at_home.body, "{}, {touch:?} at {pose:?}", part.name);
                // The same face: the normal has turned with the part and no more.
                // Where the face overhangs, an upright wire leans on its top edge: a tilt off.
                let on_part = own.get(&found.body).copied().unwrap_or_default();
                let turned = (found.normal - (*pose * on_part).vector(&at_home.normal)).norm();
                assert!(
                    turned < 1e-6 + 1.5 * part.play.tilt_deg.to_radians(),
                    "{}, {touch:?} at {pose:?}: it slipped off",
                    part.name
                );
                assert!(found.travel > 1.0, "{}, {touch:?}: starts too near", part.name);
            }
        }
    }
}

#[test]
fn model_touches_settle_what_the_fixture_lets_the_part_do() {
    for part in parts() {
        let mut cell = cell(&part);
        let tip = Vector3::z() * CellSettings::default().wire_radius();
        let mut faces: Vec<&str> = part.model_touches.iter().map(|t| t.face.as_str()).collect();
        faces.dedup();
        let reference: Vec<_> = part.model_touches.iter().map(|t| model_touch(&cell, t)).collect();
        for place in places(&part) {
            put(&mut cell, &place);
            let (pose, own) = &place;
            let touch = |(t, before): (&ModelTouch, &WireContact)| Touch {
                face: faces.iter().position(|f| *f == t.face).expect("listed above"),
                search: t.direction.into(),
                reference: before.contact + tip,
                current: Some(model_touch(&cell, t).contact + tip),
            };
            let touches: Vec<_> = part.model_touches.iter().zip(&reference).map(touch).collect();
            let found = locate(part.play.freedoms(), &touches, 0.1)
                .unwrap_or_else(|r| panic!("{}: {r:?}", part.name));
            for seam in &part.seams {
                let on_part = seam.body.as_ref().and_then(|b| own.get(b)).copied();
                let pose = *pose * on_part.unwrap_or_default();
                for end in [seam.from, seam.to] {
                    let off = (found.motion.point(&end) - pose.point(&end)).norm();
                    // Leaning on an edge up to 13 mm above the tip costs 13 · tan tilt at that touch.
                    let most = 1e-6 + 13.0 * libm::tan(part.play.tilt_deg.to_radians());
                    assert!(off < most, "{} at {pose:?}: seam off by {off}", part.name);
                }
            }
        }
    }
}

/// Every seam of every part, with the part at every place that is tried.
fn each_seam(mut check: impl FnMut(&Cell, &Seam, &SeamLine)) {
    for part in parts() {
        let mut cell = cell(&part);
        for place in places(&part) {
            put(&mut cell, &place);
            for seam in cell.seams() {
                check(&cell, seam, &cell.seam_in_work(seam));
            }
        }
    }
}

#[test]
fn a_torch_at_its_work_angle_reaches_every_seam_over_the_whole_play() {
    let free = Contacts::default();
    each_seam(|cell, seam, line| {
        let (name, pose) = (&cell.part().name, cell.work_from_part());
        let (axis, up) = (line.torch_axis, line.torch_axis * 60.0);
        let path = [line.from + up, line.from, line.to, line.to + up];
        let met = cell.travel_leaning(&path[..3], AllowedContact::WireOnPart, &axis);
        assert_eq!(met, free, "{name}, {} at {pose:?}", seam.name);
        let met = cell.travel_leaning(&path[2..], AllowedContact::Nothing, &axis);
        assert_eq!(met, free, "{name}, off {} at {pose:?}", seam.name);
    });
}

#[test]
fn the_way_to_the_wire_cutter_is_free() {
    let free = Contacts::default();
    each_seam(|cell, seam, line| {
        let (part, pose) = (cell.part(), cell.work_from_part());
        for end in [line.from, line.to] {
            let way = cell.joint_path(&(end + Vector3::z() * 60.0), &part.cutter());
            let met = cell.travel(&way, AllowedContact::Nothing);
            assert_eq!(met, free, "{}, off {} at {pose:?}", part.name, seam.name);
        }
        let home = cell.joint_path(&part.cutter(), &part.rest);
        assert_eq!(cell.travel(&home, AllowedContact::Nothing), free, "{}", part.name);
    });
}

#[test]
fn the_part_cannot_reach_its_clamps_or_the_table() {
    for part in parts() {
        let hull = |body: &Body, pose: Pose| {
            let at = |x, y, z| pose.point(&Point3::new(x, y, z));
            let corners = &body.outline.corners;
            let points: Vec<Vector> = corners
                .iter()
                .flat_map(|c| body.z.map(|z| at(c.at.x, c.at.y, z)))
                .map(|p| Vector::new(p.x, p.y, p.z))
                .collect();
            SharedShape::convex_hull(&points).expect("a solid")
        };
        for (pose, own) in places(&part) {
            for body in &part.bodies {
                let pose = pose * own.get(&body.name).copied().unwrap_or_default();
                for clamp in &part.clamps {
                    // The bracket is an L, and its clamp stands in the crook: two convex halves.
                    let halves: Vec<Body> = match body.outline.corners.len() {
                        6 => [0.0, 110.0].map(|x| half(body, x)).into(),
                        _ => vec![body.clone()],
                    };
                    for piece in &halves {
                        let (a, b) = (hull(piece, pose), hull(clamp, Pose::identity()));
                        let id = ParryPose::IDENTITY;
                        let gap = query::distance(&id, &*a, &id, &*b).expect("supported").distance;
                        let (name, with) = (&body.name, &clamp.name);
                        assert!(gap > 0.5, "{}: {name} reaches {with}", part.name);
                    }
                }
                let lowest = body
                    .outline
                    .corners
                    .iter()
                    .map(|c| pose.point(&Point3::new(c.at.x, c.at.y, body.z[0])).z);
                assert!(lowest.fold(f64::MAX, f64::min) >= -1e-9, "{} into the table", part.name);
            }
        }
    }
}

/// The corners of an L-shaped body on one side of its inner corner.
fn half(body: &Body, x: f64) -> Body {
    let mut piece = body.clone();
    piece.outline.corners.retain(|c| if x == 0.0 { c.at.x <= 110.0 } else { c.at.y <= 90.0 });
    piece
}

#[test]
fn joint_moves_along_a_touched_face_bow_away_from_the_part() {
    for part in parts() {
        let mut cell = cell(&part);
        for pair in part.model_touches.windows(2).filter(|w| w[0].face == w[1].face) {
            let path = cell.joint_path(&pair[0].from, &pair[1].from);
            let towards = Vector3::from(pair[0].direction);
            if towards.z != 0.0 {
                continue;
            }
            for p in &path {
                let on = (p - pair[0].from).dot(&towards);
                assert!(on <= 1e-9, "{}: {} mm nearer to {}", part.name, on, pair[0].face);
            }
            for place in places(&part) {
                put(&mut cell, &place);
                assert_eq!(
                    cell.travel(&path, AllowedContact::Nothing),
                    Contacts::default(),
                    "{} {pair:?}",
                    part.name
                );
            }
        }
    }
}

#[test]
fn the_way_from_rest_to_above_any_touch_is_free() {
    for part in parts() {
        let cell = cell(&part);
        for touch in &part.model_touches {
            let above = Point3::new(touch.from.x, touch.from.y, part.rest.z);
            let mut path = cell.joint_path(&part.rest, &above);
            path.push(touch.from);
            assert_eq!(
                cell.travel(&path, AllowedContact::Nothing),
                Contacts::default(),
                "{} {touch:?}",
                part.name
            );
        }
    }
}

#[test]
fn upright_plates_are_low_enough_for_the_nozzle() {
    // At 15 mm stick-out; a plate up to 12 mm above the seam clears it with 3 mm to spare.
    for part in parts() {
        for seam in &part.seams {
            let top = part.bodies.iter().map(|b| b.z[1]).fold(f64::MIN, f64::max);
            assert!(top - seam.from.z <= 12.0, "{}: {} stands too high", part.name, seam.name);
        }
    }
}

/// What a search on a built-in part meets first: body, and unit vector out of it.
fn meets(name: &str, from: [f64; 3], along: [f64; 3]) -> (String, Vector3<f64>) {
    let part = parts().into_iter().find(|p| p.name == name).expect("it comes with the trainer");
    match cell(&part).search(&from.into(), &along.into(), 50.0) {
        SearchResult::Touch(found) => (found.body, found.normal),
        other => panic!("{name}: {other:?}"),
    }
}

#[test]
fn the_obvious_touch_on_the_awkward_parts_goes_wrong() {
    // Down in the middle of the foot plate: through the drain hole, onto the table.
    assert_eq!(meets("stand-foot", [150.0, 100.0, 35.0], [0.0, 0.0, -1.0]).0, "table", "the hole");
    // Too near the corners of the planter: on the chamfer at 45°, on the rounding aslant.
    let chamfer = meets("planter-base", [25.0, -14.0, 5.0], [0.0, 1.0, 0.0]).1;
    assert_near("chamfer", chamfer, Vector3::new(-1.0, -1.0, 0.0).normalize(), 1e-9);
    let rounding = meets("planter-base", [350.0, -14.0, 5.0], [0.0, 1.0, 0.0]).1;
    assert!(rounding.x > 0.5 && rounding.y < -0.5, "{rounding}");
    // The door leans by the stated angle.
    let leaning = meets("bin-door", [-18.0, 30.0, 4.0], [1.0, 0.0, 0.0]).1;
    assert_near("lean, degrees", libm::atan(leaning.y / leaning.x).to_degrees(), 1.5, 1e-3);
    // Low beside the tub the nozzle has no room: its rim meets the wall before the wire does.
    let tub = parts().into_iter().find(|p| p.name == "planter-tub").expect("built in");
    let found = cell(&tub).search(&Point3::new(50.0, -15.0, 40.0), &Vector3::y(), REACH);
    assert!(matches!(found, SearchResult::Collision(_)), "{found:?}");
    // In the crook of the bracket, a search meets the clamp that stands there.
    assert_eq!(
        meets("bin-bracket", [190.0, 110.0, 40.0], [0.0, 1.0, 0.0]).0,
        "crook clamp",
        "clamp"
    );
}
