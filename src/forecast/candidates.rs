//! The touches that could find a place of a part.

use super::planned::difference_sigma;
use crate::cell::{
    Body, Cell, CellSettings, ModelTouch, ONE_FACE_COSINE, OwnMotions, Part, SearchResult,
    WireContact,
};
use crate::geometry::{Outline, Point2, Point3, Pose, Vector2, Vector3};
use crate::routine::{DEFAULT_REACH_MM, DEFAULT_SENSING_SPEED_MM_S};

/// How far from a face its search starts, mm.
const START_MM: f64 = 16.0;
/// A side is touched in the middle of its height, or this far below its top, where that is higher: beside a
/// tall one the nozzle would have no room, mm.
const BELOW_TOP_MM: f64 = 8.0;
/// From one touch that could be made to the next along a face, mm.
const STEP_MM: f64 = 10.0;
/// At most so many touches are tried along a face.
const MOST_ALONG: usize = 24;
/// Rows and columns of touches tried on top of a body.
const ON_TOP: usize = 5;
/// Cosine of the greatest angle between a search and the face it is meant for.
const SQUARE_ENOUGH: f64 = 0.9;

/// A touch that could be made, as the cell makes it with the part as drawn.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Candidate {
    pub(super) touch: ModelTouch,
    /// Work frame, mm.
    pub(super) contact: Point3<f64>,
    /// Normal of the face, out of the part.
    pub(super) normal: Vector3<f64>,
    /// The body it is on.
    pub(super) body: String,
    /// Standard deviation of its two readings' difference along the normal, mm.
    pub(super) sigma_mm: f64,
}

/// Every touch that is sure to land on its own face wherever part and bodies may lie: those of the part's
/// own layout first.
pub(super) fn candidates(
    part: &Part,
    settings: &CellSettings,
    place: Option<&str>,
    from_above: bool,
) -> Vec<Candidate> {
    let Ok(mut cell) = Cell::new(part, settings, &[]) else { return Vec::new() };
    let own: Vec<ModelTouch> = part.layout_of(place).cloned().collect();
    let named = |touch: &ModelTouch| met(&cell, touch).map(|c| (c, touch.face.clone()));
    let mut names: Vec<(WireContact, String)> = own.iter().filter_map(named).collect();
    let mut tried = own;
    for body in part.bodies.iter().filter(|body| carries(part, place, body)) {
        let height = f64::midpoint(body.z[0], body.z[1]).max(body.z[1] - BELOW_TOP_MM);
        for outline in std::iter::once(&body.outline).chain(&body.holes) {
            tried.extend(along(outline, height));
        }
        if from_above {
            tried.extend(on_top(body));
        }
    }
    let places = places(part, place);
    let mut found: Vec<Candidate> = Vec::new();
    for mut touch in tried {
        let Some(here) = met(&cell, &touch) else { continue };
        let direction = Vector3::from(touch.direction);
        let on_owner = part.body(&here.body).is_some_and(|body| carries(part, place, body));
        if !on_owner || -here.normal.dot(&direction) < SQUARE_ENOUGH {
            continue;
        }
        touch.place = place.map(Into::into);
        if touch.face.is_empty() {
            touch.face = name(part, &mut names, &here);
        }
        let speed = DEFAULT_SENSING_SPEED_MM_S;
        let sigma_mm =
            difference_sigma(settings, here.scatter, speed) * -here.normal.dot(&direction);
        let WireContact { contact, normal, body, .. } = here;
        let candidate = Candidate { touch, contact, normal, body, sigma_mm };
        let twice = |c: &Candidate| {
            (c.contact - contact).norm() < 1.0 && c.normal.dot(&normal) > ONE_FACE_COSINE
        };
        if !found.iter().any(twice) && lands_everywhere(&mut cell, &places, &candidate) {
            found.push(candidate);
        }
    }
    found
}

/// The part with touch `n` of its layout, from 0, moved along its face by so much of this, mm on the plan, in
/// whole millimetres. `None` where it would not be sure to land on that face wherever part and bodies may lie.
pub fn with_touch_moved(part: &Part, n: usize, by: Vector2<f64>) -> Option<Part> {
    let touch = part.model_touches.get(n)?;
    let mut cell = Cell::new(part, &CellSettings::default(), &[]).ok()?;
    let WireContact { contact, normal, body, .. } = met(&cell, touch)?;
    let by = Vector3::new(by.x, by.y, 0.0);
    let along = by - normal * normal.dot(&by);
    let far = along.norm();
    let whole = if far > 0.0 { along * (far.round() / far) } else { along };
    let moved = ModelTouch { from: touch.from + whole, ..touch.clone() };
    let there = met(&cell, &moved)?;
    let on_face = (there.contact - contact).dot(&normal).abs() < 1.0;
    let candidate = Candidate { touch: moved, contact, normal, body, sigma_mm: 0.0 };
    let places = places(part, touch.place.as_deref());
    if !on_face || !lands_everywhere(&mut cell, &places, &candidate) {
        return None;
    }
    let mut part = part.clone();
    part.model_touches[n] = candidate.touch;
    Some(part)
}

/// Where part and bodies may lie at most while a place is found.
fn places(part: &Part, place: Option<&str>) -> Vec<(Pose, OwnMotions)> {
    match place {
        None => part.extremes(),
        // Its touches ride with the part's own place.
        Some(_) => part.extremes().into_iter().map(|(_, own)| (Pose::identity(), own)).collect(),
    }
}

/// Whether a body moves with what this place finds: a body with a play of its own is found on itself, all
/// others on each other.
fn carries(part: &Part, place: Option<&str>, body: &Body) -> bool {
    let moving = |name: &str| part.body(name).is_some_and(|b| b.play.is_some());
    let mut seams = part.seams.iter().filter(|seam| seam.place.as_deref() == place);
    let on = seams.find_map(|seam| seam.body.as_deref().filter(|name| moving(name)));
    match on {
        Some(name) => body.name == name,
        None => body.play.is_none(),
    }
}

/// What a touch meets with everything where it is put.
fn met(cell: &Cell, touch: &ModelTouch) -> Option<WireContact> {
    match cell.search(&touch.from, &touch.direction.into(), DEFAULT_REACH_MM) {
        SearchResult::Touch(contact) => Some(contact),
        _ => None,
    }
}

fn lands_everywhere(cell: &mut Cell, places: &[(Pose, OwnMotions)], c: &Candidate) -> bool {
    let lands = places.iter().all(|(pose, own)| {
        cell.place_bodies(own);
        cell.place_part(*pose);
        met(cell, &c.touch).is_some_and(|m| {
            let turned = own.get(&m.body).copied().unwrap_or_default();
            m.is_on(&c.body, &(*pose * turned).vector(&c.normal))
        })
    });
    cell.place_bodies(&OwnMotions::new());
    cell.place_part(Pose::identity());
    lands
}

/// Searches along the axes towards each straight edge, at this height, from end to end.
fn along(outline: &Outline, height: f64) -> Vec<ModelTouch> {
    let corners = &outline.corners;
    let edges = corners.iter().zip(corners.iter().cycle().skip(1));
    let mut all = Vec::new();
    for (a, b) in edges {
        let (way, length) = (b.at - a.at, (b.at - a.at).norm());
        if length < STEP_MM {
            continue;
        }
        let across = Vector3::new(way.y, -way.x, 0.0) / length;
        let axes = [Vector3::x(), -Vector3::x(), Vector3::y(), -Vector3::y()];
        // From either side: which one is metal, the cell tells.
        for direction in axes.into_iter().filter(|d| d.dot(&across).abs() > SQUARE_ENOUGH) {
            let steps = ((length / STEP_MM) as usize).clamp(1, MOST_ALONG);
            all.extend((0..=steps).map(|n| {
                // From 4 mm inside one end to 4 mm inside the other.
                let share = (4.0 + (length - 8.0) * n as f64 / steps as f64) / length;
                let at: Point2<f64> = a.at + way * share;
                let from = Point3::new(at.x, at.y, height) - direction * START_MM;
                ModelTouch { face: String::new(), place: None, from, direction: direction.into() }
            }));
        }
    }
    all
}

/// Searches from above, in rows and columns.
fn on_top(body: &Body) -> Vec<ModelTouch> {
    let (low, high) = body.outline.bounds();
    let share = |n: usize| 0.08 + 0.84 * n as f64 / (ON_TOP - 1) as f64;
    let grid = (0..ON_TOP * ON_TOP).map(|n| {
        let x = low.x + (high.x - low.x) * share(n % ON_TOP);
        let y = low.y + (high.y - low.y) * share(n / ON_TOP);
        let from = Point3::new(x, y, body.z[1] + START_MM);
        ModelTouch { face: String::new(), place: None, from, direction: [0.0, 0.0, -1.0] }
    });
    grid.collect()
}

/// Sides that look along +X, −X, +Y and −Y: as somebody in front of the part calls them, and by the compass.
const AS_SEEN: [&str; 4] = ["right", "left", "back", "front"];
const BY_COMPASS: [&str; 4] = ["east", "west", "north", "south"];

/// What the layout calls this face, or else the side it looks to, in the layout's way; with its body where that
/// is not the first, and a number where another face has that name. Names are of one face each: the solver goes
/// by them.
fn name(part: &Part, names: &mut Vec<(WireContact, String)>, here: &WireContact) -> String {
    let same = |m: &WireContact| {
        let off = (m.contact - here.contact).dot(&here.normal).abs();
        m.is_on(&here.body, &here.normal) && off < 1.0
    };
    if let Some((_, name)) = names.iter().find(|(m, _)| same(m)) {
        return name.clone();
    }
    let as_seen = names.iter().any(|(_, name)| AS_SEEN.contains(&name.as_str()));
    let [east, west, north, south] = if as_seen { AS_SEEN } else { BY_COMPASS };
    let n = here.normal;
    let side = match n.iamax() {
        0 if n.x > 0.0 => east,
        0 => west,
        1 if n.y > 0.0 => north,
        1 => south,
        _ => "top",
    };
    let first = part.bodies.first().is_some_and(|body| body.name == here.body);
    let plain = if first { side.to_owned() } else { [&here.body, " ", side].concat() };
    let numbered = (2..).map(|n| format!("{plain} {n}"));
    let mut free = std::iter::once(plain.clone()).chain(numbered);
    let name = free.find(|name| names.iter().all(|(_, taken)| taken != name)).unwrap_or(plain);
    names.push((here.clone(), name.clone()));
    name
}
