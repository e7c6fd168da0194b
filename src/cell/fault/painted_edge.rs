use super::data::{Fault, FaultKind, body_index};
use super::edge::first_edge_touched;
use super::look::Look;
use super::mend::Mend;
use crate::cell::part::on_stretch;
use crate::cell::part_check::range;
use crate::cell::{CellSettings, Part, PartError};
use crate::geometry::{Point2, Point3};

pub(super) const KIND: FaultKind = FaultKind {
    name: "painted-edge",
    says: "paint on an edge",
    sign: "The touches disagree. One of them lies too deep, and the others are right.",
    look: Some(Look::Edges),
    mends: &[Mend::CleanEdge, Mend::LoadPart],
    typical,
};

/// How deep the wire presses in, mm: more than the usual tolerance of a seam.
const DEPTH_MM: f64 = 1.5;
/// How far the paint reaches to each side of the touch, mm.
const REACH_MM: f64 = 30.0;

/// Paint where the first level touch lands.
fn typical(part: &Part, _: &CellSettings) -> Option<Fault> {
    let met = first_edge_touched(part)?;
    let [from_mm, to_mm] = met.around(REACH_MM);
    let (body, edge, depth_mm) = (met.body, met.edge, DEPTH_MM);
    Some(Fault::PaintedEdge { body, edge, from_mm, to_mm, depth_mm })
}

/// A painted stretch of a side face, part frame, mm: it does not conduct until the wire presses in.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::cell) struct Paint {
    pub(in crate::cell) body: String,
    from: Point2<f64>,
    to: Point2<f64>,
    pub(in crate::cell) depth: f64,
}

/// Greatest depth of paint, mm: pressed further, the wire would stay bent.
const MOST_PAINT_MM: f64 = 5.0;
impl Paint {
    /// Whether the point (part frame, mm) is on the painted stretch.
    pub(in crate::cell) fn covers(&self, p: &Point3<f64>) -> bool {
        on_stretch(p.xy(), [self.from, self.to])
    }
}

pub(super) fn paint(
    part: &Part,
    body: &str,
    edge: usize,
    [from_mm, to_mm]: [f64; 2],
    depth: f64,
) -> Result<Paint, PartError> {
    let on = &part.bodies[body_index(part, body)?];
    let Some([a, b]) = on.edge(edge) else {
        return Err(PartError::Value {
            place: "edge".into(),
            expected: "the number of an edge of the body's outline, from 0",
            found: edge.to_string(),
        });
    };
    range("from_mm", from_mm, 0.0, to_mm, "0 to to_mm")?;
    range("to_mm", to_mm, 0.0, 1e6, "a length along the edge")?;
    range("depth_mm", depth, 0.0, MOST_PAINT_MM, "0 to 5 mm")?;
    let along = (b - a).normalize();
    let (from, to) = (a + along * from_mm, a + along * to_mm);
    Ok(Paint { body: body.into(), from, to, depth })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cell::part_by_name;

    #[test]
    fn paint_lies_where_the_touch_lands() {
        let part = part_by_name("bench-side").expect("it comes with the program");
        // By hand: the first touch comes from (50, −16) along +Y and lands 50 mm along edge 0.
        let fault = typical(&part, &CellSettings::default()).expect("it lands on an edge");
        let Fault::PaintedEdge { body, edge: 0, from_mm, to_mm, .. } = fault else {
            panic!("{fault:?}")
        };
        assert_eq!((body.as_str(), from_mm, to_mm), ("side plate", 20.0, 80.0), "30 mm each side");
    }
}
