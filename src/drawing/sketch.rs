use super::curve::{Curve, Path};
use super::remark::{Element, Remark, Why};
use super::unit::UnitSaid;
use crate::io::limits::{DRAWING_CURVES, DRAWING_ENTITIES, OverLimit};
use std::collections::BTreeMap;

/// What stands in a drawing file, in its own unit, Y upwards: every element has become paths or a
/// remark.
#[derive(Debug, Clone, PartialEq)]
pub struct Sketch {
    /// What the file says of its unit.
    pub unit: UnitSaid,
    /// Lines, arcs and curves.
    pub paths: Vec<Path>,
    /// What no path has come of, or another one than is seen.
    pub remarks: Vec<Remark>,
}

/// Gathers a sketch, and keeps it within its limits.
#[derive(Debug, Default)]
pub(super) struct Gathered {
    paths: Vec<Path>,
    remarks: BTreeMap<(Element, Why), usize>,
    curves: usize,
    elements: usize,
}

impl Gathered {
    /// Counts one more element that is looked at.
    pub(super) fn look(&mut self) -> Result<(), OverLimit> {
        self.elements += 1;
        DRAWING_ENTITIES.check(self.elements)
    }

    /// Remarks something about an element.
    pub(super) fn remark(&mut self, element: &Element, why: Why) {
        *self.remarks.entry((element.clone(), why)).or_default() += 1;
    }

    /// Takes what an element draws. Curves without length are left out; if nothing is left, that is
    /// remarked, and so is a number that is none.
    pub(super) fn path(
        &mut self,
        element: &Element,
        mut curves: Vec<Curve>,
        closed: bool,
    ) -> Result<(), OverLimit> {
        self.curves += curves.len();
        DRAWING_CURVES.check(self.curves)?;
        if curves.iter().flat_map(Curve::hull).any(|p| !p.is_finite()) {
            self.remark(element, Why::Broken("a number in it is out of range".into()));
            return Ok(());
        }
        curves.retain(|curve| {
            let hull = curve.hull();
            hull.iter().any(|p| *p != hull[0])
        });
        if curves.is_empty() {
            self.remark(element, Why::NoLength);
        } else {
            self.paths.push(Path { curves, closed, element: element.clone() });
        }
        Ok(())
    }

    pub(super) fn sketch(self, unit: UnitSaid) -> Sketch {
        let remark = |((element, why), times)| Remark { element, why, times };
        let mut remarks: Vec<Remark> = self.remarks.into_iter().map(remark).collect();
        remarks.sort_by_key(|remark| remark.element.line);
        Sketch { unit, paths: self.paths, remarks }
    }
}
