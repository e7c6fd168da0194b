use super::{
    BURR_MM, Body, Bump, BumpKind, CellSettings, FixturePlay, Gap, Joint, Part, PartError,
};
use crate::geometry::{MAX_COORDINATE_MM, Outline, Prism, Vector2};
use crate::io::limits::{NAME, OverLimit, PART_EDGES, PART_ITEMS};

/// Name of the plane z = 0 in logs; reserved.
pub const TABLE: &str = "table";
/// Tolerance for the length of a unit vector in a file.
const UNIT_SLACK: f64 = 1e-6;

impl Part {
    /// Whether the part can be used.
    ///
    /// # Errors
    /// The first problem; places are named as in the file, counted from 0.
    pub fn check(&self) -> Result<(), PartError> {
        self.checked_prisms().map(drop)
    }

    /// The prisms of all bodies, then of all clamps, then of what sticks out of the bodies, if the part
    /// can be used.
    pub(super) fn checked_prisms(&self) -> Result<Vec<Prism>, PartError> {
        let kebab = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        if self.name.is_empty() || !self.name.chars().all(kebab) {
            return value("name", "small letters, digits and hyphens", &format!("{:?}", self.name));
        }
        if self.title.trim().is_empty() {
            return value("title", "what stands in the title block", "nothing");
        }
        name_length("name", &self.name)?;
        name_length("title", &self.title)?;
        if self.bodies.is_empty() {
            return value("bodies", "at least one body", "none");
        }
        for (what, n) in [
            ("bodies", self.bodies.len()),
            ("clamps", self.clamps.len()),
            ("seams", self.seams.len()),
            ("model_touches", self.model_touches.len()),
        ] {
            PART_ITEMS.check(n).map_err(|over| too_much(what, over))?;
        }
        let prisms = self.prisms()?;
        self.check_names()?;
        self.check_numbers()?;
        Ok(prisms)
    }

    fn prisms(&self) -> Result<Vec<Prism>, PartError> {
        // Before any outline is looked at: that takes time in proportion to the square of its corners.
        let bodies = self.bodies.iter().chain(&self.clamps);
        let outlines = bodies.flat_map(|body| body.holes.iter().chain([&body.outline]));
        let corners = outlines.map(|outline| outline.corners.len()).sum();
        PART_EDGES.check(corners).map_err(|over| too_much("bodies and clamps", over))?;
        let of = |list: &'static str, bodies: &[Body]| {
            let prism = move |(i, b): (usize, &Body)| {
                Prism::new(&b.outline, &b.holes, b.z).map_err(|source| PartError::Body {
                    place: format!("{list}[{i}] {:?}", b.name),
                    source,
                })
            };
            bodies.iter().enumerate().map(prism).collect::<Result<Vec<_>, _>>()
        };
        let mut all = of("bodies", &self.bodies)?;
        all.extend(of("clamps", &self.clamps)?);
        all.extend(self.bumps()?);
        let edges = all.iter().flat_map(|prism| &prism.loops).map(Vec::len).sum();
        PART_EDGES.check(edges).map_err(|over| too_much("bodies and clamps", over))?;
        Ok(all)
    }

    /// What sticks out of the bodies, body by body.
    fn bumps(&self) -> Result<Vec<Prism>, PartError> {
        let mut all = Vec::new();
        for (list, bodies) in [("bodies", &self.bodies), ("clamps", &self.clamps)] {
            for (i, body) in bodies.iter().enumerate() {
                let place = format!("{list}[{i}]");
                if list == "clamps" && !(body.bumps.is_empty() && body.edges.is_empty()) {
                    return value(&place, "edges and bumps on bodies of the part alone", "a clamp");
                }
                PART_ITEMS
                    .check(body.edges.len().max(body.bumps.len()))
                    .map_err(|over| too_much(&place, over))?;
                let edges = body.outline.corners.len();
                if let Some(k) = body.edges.iter().position(|e| e.edge >= edges) {
                    let found = body.edges[k].edge.to_string();
                    return value(&format!("{place}.edges[{k}].edge"), EDGE_NUMBER, &found);
                }
                for (k, bump) in body.bumps.iter().enumerate() {
                    all.push(bump_prism(&format!("{place}.bumps[{k}]"), body, bump)?);
                }
            }
        }
        Ok(all)
    }

    fn check_names(&self) -> Result<(), PartError> {
        let mut taken = vec![TABLE];
        let bodies = self.bodies.iter().enumerate().map(|(i, b)| ("bodies", i, b.name.as_str()));
        let clamps = self.clamps.iter().enumerate().map(|(i, b)| ("clamps", i, b.name.as_str()));
        for (list, i, name) in bodies.chain(clamps) {
            if name.trim().is_empty() || taken.contains(&name) {
                return Err(PartError::Name { place: format!("{list}[{i}]"), name: name.into() });
            }
            name_length(&format!("{list}[{i}].name"), name)?;
            taken.push(name);
        }
        let mut taken = Vec::new();
        for (i, seam) in self.seams.iter().enumerate() {
            if seam.name.trim().is_empty() || taken.contains(&&seam.name) {
                let name = seam.name.clone();
                return Err(PartError::Name { place: format!("seams[{i}]"), name });
            }
            name_length(&format!("seams[{i}].name"), &seam.name)?;
            taken.push(&seam.name);
        }
        Ok(())
    }

    fn check_numbers(&self) -> Result<(), PartError> {
        for (i, s) in self.seams.iter().enumerate() {
            coordinates(&format!("seams[{i}].from"), s.from.coords.as_slice())?;
            coordinates(&format!("seams[{i}].to"), s.to.coords.as_slice())?;
            if (s.to - s.from).xy().norm() < 1.0 {
                let found = format!("{:?}", s.to.coords.as_slice());
                return value(
                    &format!("seams[{i}].to"),
                    "a point at least 1 mm along the plan from its other end",
                    &found,
                );
            }
            if let Some(body) = s.body.as_ref().filter(|n| self.body(n).is_none()) {
                let found = format!("{body:?}");
                return value(&format!("seams[{i}].body"), "the name of a body", &found);
            }
            let place = format!("seams[{i}].work_angle_deg");
            range(&place, s.work_angle_deg(), 0.0, 80.0, "0 to 80 degrees")?;
            if let Joint::Butt(gap) = &s.joint {
                self.check_gap(&format!("seams[{i}].joint.butt"), gap)?;
            }
            range(
                &format!("seams[{i}].tolerance_mm"),
                s.tolerance_mm,
                0.01,
                100.0,
                "0.01 to 100 mm",
            )?;
        }
        coordinates("rest", self.rest.coords.as_slice())?;
        coordinates("cutter", self.cutter().coords.as_slice())?;
        coordinates("arm_base", &self.arm_base)?;
        check_play("play", &self.play)?;
        for (i, body) in self.bodies.iter().enumerate() {
            if let Some(play) = &body.play {
                check_play(&format!("bodies[{i}].play"), play)?;
            }
        }
        if let Some(i) = self.clamps.iter().position(|c| c.play.is_some()) {
            return value(&format!("clamps[{i}].play"), "a clamp that does not move", "a play");
        }
        self.check_places()?;
        for (i, t) in self.model_touches.iter().enumerate() {
            name_length(&format!("model_touches[{i}].face"), &t.face)?;
            coordinates(&format!("model_touches[{i}].from"), t.from.coords.as_slice())?;
            let length = t.direction.iter().map(|v| v * v).sum::<f64>().sqrt();
            if length.is_nan() || (length - 1.0).abs() > UNIT_SLACK {
                let found = format!("{:?}", t.direction);
                return value(
                    &format!("model_touches[{i}].direction"),
                    "a direction of unit length",
                    &found,
                );
            }
        }
        Ok(())
    }
}

impl Part {
    /// Every place of a seam is touched, and every place that is touched is one of a seam.
    fn check_places(&self) -> Result<(), PartError> {
        for (i, seam) in self.seams.iter().enumerate() {
            let place = format!("seams[{i}].place");
            let Some(name) = &seam.place else { continue };
            name_length(&place, name)?;
            if self.layout_of(Some(name)).next().is_none() {
                return value(&place, "the place of a model touch", &format!("{name:?}"));
            }
        }
        let fine = self.fine_places();
        for (i, touch) in self.model_touches.iter().enumerate() {
            if let Some(name) = touch.place.as_deref().filter(|name| !fine.contains(name)) {
                let place = format!("model_touches[{i}].place");
                return value(&place, "the place of a seam", &format!("{name:?}"));
            }
        }
        Ok(())
    }

    fn check_gap(&self, place: &str, Gap { walls, gap_mm }: &Gap) -> Result<(), PartError> {
        let unknown = walls.iter().any(|wall| self.body(wall).is_none());
        if unknown || walls[0] == walls[1] {
            return value(
                &format!("{place}.walls"),
                "the names of two bodies",
                &format!("{walls:?}"),
            );
        }
        range(&format!("{place}.gap_mm"), *gap_mm, 0.0, 100.0, "0 to 100 mm")
    }
}

const EDGE_NUMBER: &str = "the number of an edge of the body's outline, from 0";

/// The prism of something that sticks out of a body.
fn bump_prism(place: &str, body: &Body, bump: &Bump) -> Result<Prism, PartError> {
    let Some([a, b]) = body.edge(bump.edge) else {
        return value(&format!("{place}.edge"), EDGE_NUMBER, &bump.edge.to_string());
    };
    let length = (b - a).norm();
    range(&format!("{place}.from_mm"), bump.from_mm, 0.0, length, "a length along the edge")?;
    range(
        &format!("{place}.to_mm"),
        bump.to_mm,
        bump.from_mm,
        length,
        "from_mm to the edge's end",
    )?;
    range(&format!("{place}.out_mm"), bump.out_mm, 0.05, 20.0, "0.05 to 20 mm")?;
    let (along, [low, high]) = ((b - a) / length, body.z);
    // The body is to the left of its edge.
    let out = Vector2::new(along.y, -along.x) * bump.out_mm;
    let (from, to) = (a + along * bump.from_mm, a + along * bump.to_mm);
    let corners = [from, from + out, to + out, to].map(|p| [p.x, p.y]);
    let z = match bump.kind {
        BumpKind::Tack => [low, high],
        BumpKind::Burr => [low.max(high - BURR_MM), high],
    };
    let sharp = Outline::sharp(&corners);
    Prism::new(&sharp, &[], z).map_err(|source| PartError::Body { place: place.into(), source })
}

fn check_play(place: &str, play: &FixturePlay) -> Result<(), PartError> {
    coordinates(&format!("{place}.about"), &play.about)?;
    for (name, v) in [("dx", play.dx), ("dy", play.dy), ("dz", play.dz)] {
        range(&format!("{place}.{name}"), v, 0.0, 500.0, "0 to 500 mm")?;
    }
    range(&format!("{place}.turn_deg"), play.turn_deg, 0.0, 180.0, "0 to 180 degrees")?;
    range(&format!("{place}.tilt_deg"), play.tilt_deg, 0.0, 45.0, "0 to 45 degrees")
}

impl CellSettings {
    /// Whether all settings are in range.
    ///
    /// # Errors
    /// The first setting out of range.
    pub fn check(&self) -> Result<(), PartError> {
        range("wire_mm", self.wire_mm, 0.1, 10.0, "0.1 to 10 mm")?;
        range("stick_out_mm", self.stick_out_mm, 1.0, 100.0, "1 to 100 mm")?;
        range("nozzle_mm", self.nozzle_mm, self.wire_mm, 200.0, "wire_mm to 200 mm")?;
        range("latency_s", self.latency_s, 0.0, 1.0, "0 to 1 s")?;
        range("scan_s", self.scan_s, 0.0, 1.0, "0 to 1 s")?;
        range("sigma_mm", self.sigma_mm, 0.0, 10.0, "0 to 10 mm")?;
        range("travel_mm_s", self.travel_mm_s, 1.0, 10_000.0, "1 to 10000 mm/s")?;
        range("weld_mm_s", self.weld_mm_s, 0.1, 1000.0, "0.1 to 1000 mm/s")
    }
}

pub(super) fn range(
    place: &str,
    v: f64,
    lo: f64,
    hi: f64,
    expected: &'static str,
) -> Result<(), PartError> {
    if lo <= v && v <= hi { Ok(()) } else { value(place, expected, &v.to_string()) }
}

fn coordinates(place: &str, values: &[f64]) -> Result<(), PartError> {
    if values.iter().all(|v| v.abs() <= MAX_COORDINATE_MM) {
        return Ok(());
    }
    value(place, "coordinates within ±10000 mm", &format!("{values:?}"))
}

fn name_length(place: &str, name: &str) -> Result<(), PartError> {
    NAME.check_text(name).map_err(|over| too_much(place, over))
}

fn too_much(place: &str, source: OverLimit) -> PartError {
    PartError::TooMuch { place: place.into(), source }
}

fn value<T>(place: &str, expected: &'static str, found: &str) -> Result<T, PartError> {
    Err(PartError::Value { place: place.into(), expected, found: found.into() })
}
