//! The parts of the street-furniture workshop do what they are there for, over all their play.

use crate::support::assert_near;
use nudgeproof::cell::{
    AllowedContact, Body, Cell, CellSettings, Contacts, END_MM, Joint, ModelTouch, Noise,
    OwnMotions, Part, STANDOFF_MM, Seam, SeamLine, SearchResult, WireContact, held_back_parts,
    parts,
};
use nudgeproof::geometry::{Point3, Pose, Vector3};
use nudgeproof::locate::{Touch, locate};
use parry3d_f64::math::{Pose as ParryPose, Vector};
use parry3d_f64::query;
use parry3d_f64::shape::SharedShape;

/// A joint move along a face may bow towards it by so much, mm: where touches lie close together.
const BOW_MM: f64 = 0.1;

/// Default reach of a search, mm.
const REACH: f64 = 30.0;

/// Every part that comes with the program, offered or held back.
fn every_part() -> impl Iterator<Item = Part> {
    parts().into_iter().chain(held_back_parts())
}

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

/// A touch of the layout, made where a place that is followed carries it.
fn model_touch(cell: &Cell, touch: &ModelTouch, carried: &Pose) -> WireContact {
    let (from, direction) = (carried.point(&touch.from), carried.vector(&touch.direction.into()));
    match cell.search(&from, &direction, REACH) {
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
    let mut names: Vec<_> = every_part().map(|p| p.name).collect();
    files.sort();
    names.sort();
    assert_eq!(names, files, "part files and the names in them");
}

#[test]
fn model_touches_land_on_their_face_over_the_whole_play() {
    for part in every_part() {
        let mut cell = cell(&part);
        let drawn = Pose::identity();
        let touch = |t| model_touch(&cell, t, &drawn);
        let in_place: Vec<_> = part.model_touches.iter().map(touch).collect();
        for place in places(&part) {
            put(&mut cell, &place);
            let (pose, own) = &place;
            for (touch, at_home) in part.model_touches.iter().zip(&in_place) {
                // What finds a place of a seam rides on the part, which is found before.
                let carried = if touch.place.is_some() { *pose } else { drawn };
                let found = model_touch(&cell, touch, &carried);
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
    for part in every_part() {
        let mut cell = cell(&part);
        let tip = Vector3::z() * CellSettings::default().wire_radius();
        let mut faces: Vec<&str> = part.model_touches.iter().map(|t| t.face.as_str()).collect();
        faces.dedup();
        let drawn = Pose::identity();
        let reference = |t: &&ModelTouch| model_touch(&cell, t, &drawn).contact + tip;
        let taught = |place: Option<&str>| {
            part.layout_of(place).map(|t| (t.clone(), reference(&t))).collect::<Vec<_>>()
        };
        let places_found: Vec<_> = std::iter::once(None)
            .chain(part.fine_places().into_iter().map(Some))
            .map(|place| (place, taught(place)))
            .collect();
        for place in places(&part) {
            put(&mut cell, &place);
            let (pose, own) = &place;
            // The offset of a place; that of an end is the part's, corrected as seen from there.
            let find = |of: Option<&str>, carried: &Pose| {
                let (_, layout) = places_found.iter().find(|(p, _)| *p == of).expect("a place");
                let touch = |(t, before): &(ModelTouch, Point3<f64>)| {
                    let now = model_touch(&cell, t, carried).contact + tip;
                    Touch {
                        face: faces.iter().position(|f| *f == t.face).expect("listed above"),
                        search: t.direction.into(),
                        reference: *before,
                        current: Some(carried.inverse().point(&now)),
                    }
                };
                let touches: Vec<_> = layout.iter().map(touch).collect();
                let may = of.map_or(part.play.freedoms(), |place| part.may_of(place));
                let found = locate(may, &touches, 0.1);
                let found = found.unwrap_or_else(|r| panic!("{}, {of:?}: {r:?}", part.name));
                *carried * found.motion
            };
            let of_part = find(None, &drawn);
            for seam in &part.seams {
                let offset = match seam.place.as_deref() {
                    Some(end) => find(Some(end), &of_part),
                    None => of_part,
                };
                let on_part = seam.body.as_ref().and_then(|b| own.get(b)).copied();
                let pose = *pose * on_part.unwrap_or_default();
                for end in [seam.from, seam.to] {
                    let off = (offset.point(&end) - pose.point(&end)).norm();
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
    for part in every_part() {
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
    for part in every_part() {
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
    for part in every_part() {
        let mut cell = cell(&part);
        // Between the walls of a gap the torch rises from touch to touch.
        let in_a_gap = part.seams.iter().any(|s| matches!(s.joint, Joint::Butt(_)));
        let pairs = part.model_touches.windows(2).filter(|w| w[0].face == w[1].face && !in_a_gap);
        for pair in pairs {
            let path = cell.joint_path(&pair[0].from, &pair[1].from);
            let towards = Vector3::from(pair[0].direction);
            if towards.z != 0.0 {
                continue;
            }
            for p in &path {
                let on = (p - pair[0].from).dot(&towards);
                assert!(on <= BOW_MM, "{}: {} mm nearer to {}", part.name, on, pair[0].face);
            }
            // What rides on the part meets it as drawn, but for what moves by itself on it.
            let rides = pair[0].place.is_some();
            for (pose, own) in places(&part) {
                put(&mut cell, &(if rides { Pose::identity() } else { pose }, own));
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
    for part in every_part() {
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
    for part in every_part() {
        for seam in &part.seams {
            let top = part.bodies.iter().map(|b| b.z[1]).fold(f64::MIN, f64::max);
            assert!(top - seam.from.z <= 12.0, "{}: {} stands too high", part.name, seam.name);
        }
    }
}

/// What a search on a built-in part meets first: body, and unit vector out of it.
fn meets(name: &str, from: [f64; 3], along: [f64; 3]) -> (String, Vector3<f64>) {
    let part = every_part().find(|p| p.name == name).expect("it comes with the trainer");
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
    let tub = every_part().find(|p| p.name == "planter-tub").expect("built in");
    let found = cell(&tub).search(&Point3::new(50.0, -15.0, 40.0), &Vector3::y(), REACH);
    assert!(matches!(found, SearchResult::Collision(_)), "{found:?}");
    // In the crook of the bracket, a search meets the clamp that stands there.
    assert_eq!(
        meets("bin-bracket", [190.0, 110.0, 40.0], [0.0, 1.0, 0.0]).0,
        "crook clamp",
        "clamp"
    );
}

/// What stands beside each kind of joint, felt by a wire: a search from the seam, a little above it, meets
/// the side that a positive miss points to, and how far the torch leans goes with the joint.
#[test]
fn a_seam_lies_where_its_joint_says() {
    let mut kinds = Vec::new();
    for part in every_part() {
        let cell = cell(&part);
        for seam in &part.seams {
            let line = seam.at(&Pose::identity());
            let middle = Point3::from((seam.from.coords + seam.to.coords) / 2.0);
            let beside = |by: f64, up: f64, d: Vector3<f64>| {
                let from = middle + line.across * by + Vector3::z() * up;
                match cell.search(&from, &d, 60.0) {
                    SearchResult::Touch(t) => (t.body, t.travel),
                    other => panic!("{}, {}: {other:?}", part.name, seam.name),
                }
            };
            let radius = CellSettings::default().wire_radius();
            let (side, far) = match &seam.joint {
                Joint::Butt(gap) => {
                    let walls = [line.across, -line.across].map(|d| beside(0.0, 3.0, d));
                    for ((body, travel), wall) in walls.into_iter().zip(&gap.walls) {
                        assert_eq!(&body, wall, "{}: the wall on this side", part.name);
                        // A square groove with backing: as wide as the plate is thick, up to 10 mm
                        // (AWS D1.1, joint B-L1a-GF; from memory).
                        let [low, high] = part.body(wall).expect("a body").z;
                        assert_eq!(gap.gap_mm, high - low, "{}: its gap", part.name);
                        assert!(high - low <= 10.0, "{}: its thickness", part.name);
                        assert_near("half the gap", travel, gap.gap_mm / 2.0 - radius, 1e-9);
                    }
                    (gap.walls[0].clone(), gap.gap_mm / 2.0 - radius)
                }
                _ => beside(-10.0, 2.5, line.across),
            };
            if !matches!(seam.joint, Joint::Butt(_)) {
                assert_near("the seam lies at its foot", far, 10.0 - radius, 1e-4);
            }
            // Below the seam something carries the weld: on the other side of it, or at its root.
            let aside = if matches!(seam.joint, Joint::Butt(_)) { 0.0 } else { -3.0 };
            let (below, down) = beside(aside, 5.0, -Vector3::z());
            assert_ne!(below, side, "{}: what it is welded to", part.name);
            assert_near("the seam's height", down, 5.0, 1e-9);
            let lean = seam.work_angle_deg();
            assert_near("its lean", lean.to_radians(), libm::atan(line.lean()), 1e-9);
            let sheet = part.body(&side).expect("a body").z;
            // Thin enough to be melted down at its edge: 30° from upright, and not 45°.
            let thin = sheet[1] - sheet[0] <= 6.0;
            let expected = match seam.joint {
                Joint::Fillet | Joint::Corner => 45.0,
                Joint::Lap => {
                    assert!(thin, "{}: a sheet", part.name);
                    30.0
                }
                Joint::Butt(_) => 0.0,
            };
            assert_eq!(lean, expected, "{}, {}", part.name, seam.name);
            let kind = std::mem::discriminant(&seam.joint);
            if !kinds.contains(&kind) {
                kinds.push(kind);
            }
        }
    }
    assert_eq!(kinds.len(), 4, "each kind of joint is there");
}

/// Beside its seam by less than the tolerance a weld lands, by more it misses: across the wire, whichever
/// way the torch leans, in the distance of the tip, and at its ends.
#[test]
fn a_weld_lands_on_its_seam_and_misses_beside_it() {
    each_seam(|cell, seam, line| {
        let lands = |by: [Vector3<f64>; 2]| {
            let miss = line.weld_miss([line.from + by[0], line.to + by[1]], true);
            miss.iter().all(|m| m.lands(seam.tolerance_mm))
        };
        let (name, none) = (&cell.part().name, Vector3::zeros());
        let limits = [
            ("across the wire", line.across_wire, seam.tolerance_mm),
            ("in distance", line.torch_axis, STANDOFF_MM),
            ("along the seam", line.along, END_MM),
        ];
        assert!(lands([none; 2]), "{name}: on its seam");
        for (what, towards, most) in limits {
            for sign in [1.0, -1.0] {
                let off = |share: f64| towards * (sign * most * share);
                for end in 0..2 {
                    let at = |share: f64| [0, 1].map(|n| if n == end { off(share) } else { none });
                    assert!(lands(at(0.99)), "{name}: {what}, within");
                    assert!(!lands(at(1.01)), "{name}: {what}, beyond");
                }
            }
        }
    });
}
