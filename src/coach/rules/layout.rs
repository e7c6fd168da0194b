//! Helpers for the rules about the layout of touches.

use super::help::{above_of, add, clear_of, go, new_name, teach};
use super::spread::is_forecast_inside;
use crate::cell::ModelTouch;
use crate::coach::facts::{Facts, Meets, TouchFacts, apart, look, most_on_one_face, unseen};
use crate::geometry::Vector3;
use crate::locate::Freedoms;
use crate::routine::{FindBlock, Instruction, PathKind};
use crate::session::Action;

/// Least distance of a second touch from the first for it to add information, mm (common practice, no
/// source).
pub(super) const WORTH_MM: f64 = 20.0;

/// The freedoms that the fixture leaves and the find solves for, and that the touches do not determine.
pub(super) fn lacking(f: &Facts, find: &FindBlock) -> Freedoms {
    untold(f, find, f.state.part.play.free())
}

/// The freedoms that the find solves for and the touches do not determine.
pub(super) fn blind(f: &Facts, find: &FindBlock) -> Freedoms {
    untold(f, find, Freedoms::SIX)
}

fn untold(f: &Facts, find: &FindBlock, counts: Freedoms) -> Freedoms {
    let touches = f.touches_of(find);
    let asked = find.may & counts;
    let untold = unseen(asked - Freedoms::TURN, &touches);
    // Two touches along one face determine a turn; touches of other faces, where the forecast says so.
    let told = touches.len() >= asked.count()
        && (most_on_one_face(&touches).0 >= 2 || is_forecast_inside(f, find));
    if told { untold } else { untold | (asked & Freedoms::TURN) }
}

/// Whether a touch of the find meets no face, and would not at another height either: that must be
/// corrected first.
pub(super) fn misses_a_face(f: &Facts, find: &FindBlock) -> bool {
    let misses = |t: &&TouchFacts| {
        !matches!(t.taught, Meets::Face(_)) && !super::touch_height::is_wrong(f, t)
    };
    f.touches_of(find).iter().any(misses)
}

/// The touches of the part's layout for the place that a find works out.
pub(super) fn layout_of<'f>(
    f: &'f Facts<'_>,
    find: &'f FindBlock,
) -> impl Iterator<Item = &'f ModelTouch> {
    let part = &f.state.part;
    let fine = part.fine_places().contains(&find.place.as_str());
    part.layout_of(fine.then_some(&find.place))
}

/// The touch of the part's model layout that adds most information.
pub(super) fn add_model_touch(f: &Facts, find: &FindBlock) -> Option<Vec<Action>> {
    let touches = f.touches_of(find);
    let mut cell = f.cell.clone()?;
    let mut best: Option<(&ModelTouch, (usize, f64))> = None;
    for m in layout_of(f, find) {
        let d = Vector3::from(m.direction);
        let reach = f.structure.search_of(find.step).1;
        let Meets::Face(face) = look(&mut cell, f.taught, &m.from, &d, reach) else { continue };
        let on: Vec<_> = touches
            .iter()
            .filter(|t| {
                t.meets().is_some_and(|o| o.body == face.body && o.normal.dot(&face.normal) > 0.99)
            })
            .collect();
        let nearest = on.iter().map(|t| apart(&t.start, &m.from, &d)).fold(f64::INFINITY, f64::min);
        if nearest < WORTH_MM {
            continue;
        }
        let merit = (usize::MAX - on.len(), nearest);
        if best.is_none_or(|(_, b)| merit.0 > b.0 || (merit.0 == b.0 && merit.1 > b.1)) {
            best = Some((m, merit));
        }
    }
    let (m, _) = best?;
    let d = Vector3::from(m.direction);
    let name = new_name(f, &m.face);
    let clear = new_name(f, "clear");
    // From high above its start, so that the path there leads over the part.
    let above = new_name(f, "above");
    let mut edits = vec![teach(&name, m.from)];
    // The learner's own name for that face, if it is already touched.
    let label = touches
        .iter()
        .find(|t| t.direction.dot(&d) > 0.99)
        .map_or_else(|| m.face.clone(), |t| t.face.clone());
    // After the last touch; before *sensing off*, where there is none yet.
    let off = f
        .structure
        .sensing
        .iter()
        .rfind(|s| s.begin < find.step)
        .map_or(find.step, |s| s.end.filter(|end| *end < find.step).unwrap_or(find.step));
    let mut at = find.feels.last().map_or(off, |last| last + 1);
    if let Some(last) = touches.last() {
        edits.push(teach(&clear, clear_of(&last.start, &last.direction)));
        edits.push(add(at, go(&clear, PathKind::Linear)));
        at += 1;
    }
    edits.push(teach(&above, above_of(&m.from, &d)));
    edits.push(add(at, go(&above, PathKind::Joint)));
    let (from, way) = (name.clone(), PathKind::Joint);
    edits.push(add(at + 1, Instruction::Feel { from, way, direction: d, face: label }));
    let leave = new_name(f, &format!("{name}-clear"));
    edits.push(teach(&leave, clear_of(&m.from, &d)));
    edits.push(add(at + 2, go(&leave, PathKind::Linear)));
    Some(edits)
}
