use super::data::{Fault, FaultKind, body_index};
use super::look::Look;
use super::mend::Mend;
use crate::cell::part::on_stretch;
use crate::cell::part_check::range;
use crate::cell::{Body, CellSettings, Part, PartError, Seam};
use crate::geometry::{Pose, Vector2, Vector3};

pub(super) const KIND: FaultKind = FaultKind {
    name: "loose-upright",
    says: "the upright plate is loose and has moved on the part",
    sign: "The touches agree and the offset is right. The weld lies beside the seam on every run, on the same side.",
    look: Some(Look::Square),
    mends: &[Mend::TackUpright, Mend::LoadPart],
    typical,
};

/// How far it has moved, mm: more than the usual tolerance of a seam.
const MOVED_MM: f64 = 2.0;

/// The body that carries the first seam, moved away from the torch.
fn typical(part: &Part, _: &CellSettings) -> Option<Fault> {
    let seam = part.seams.first()?;
    let body = upright_of(part, seam)?;
    let by = seam.at(&Pose::identity()).across * MOVED_MM;
    Some(Fault::LooseUpright { body: body.name.clone(), dx: by.x, dy: by.y })
}

/// The body along whose foot a seam runs, on top of another one.
pub(super) fn upright_of<'p>(part: &'p Part, seam: &Seam) -> Option<&'p Body> {
    let lowest = part.bodies.iter().map(|b| b.z[0]).fold(f64::MAX, f64::min);
    part.bodies.iter().find(|b| b.z[0] > lowest && carries(b, seam))
}

/// Whether a seam moves with this body: it says so, or runs along its foot.
fn carries(body: &Body, seam: &Seam) -> bool {
    if let Some(name) = &seam.body {
        return *name == body.name;
    }
    let along = |ends| [seam.from, seam.to].iter().all(|p| on_stretch(p.xy(), ends));
    (0..body.outline.corners.len()).filter_map(|edge| body.edge(edge)).any(along)
}

pub(super) fn apply(part: &mut Part, name: &str, dx: f64, dy: f64) -> Result<(), PartError> {
    range("dx", dx, -50.0, 50.0, "-50 to 50 mm")?;
    range("dy", dy, -50.0, 50.0, "-50 to 50 mm")?;
    let i = body_index(part, name)?;
    let body = &mut part.bodies[i];
    for seam in part.seams.iter_mut().filter(|seam| carries(body, seam)) {
        let by = Vector3::new(dx, dy, 0.0);
        seam.from += by;
        seam.to += by;
    }
    let by = Vector2::new(dx, dy);
    for outline in std::iter::once(&mut body.outline).chain(&mut body.holes) {
        outline.corners.iter_mut().for_each(|c| c.at += by);
    }
    Ok(())
}
