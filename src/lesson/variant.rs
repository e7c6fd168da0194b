//! What the seed of an attempt decides: part, nudge, direction of the weld, and in a drill the fault.

use super::drill::{self, Drawn, FaultTemplate};
use super::file::{LessonFile, StartDraw, StartRoutine};
use super::model;
use super::nudge::{self, Nudge};
use super::sheet;
use crate::cell::{Noise, Part};
use crate::geometry::PoseFile;
use crate::locate::Freedoms;
use crate::routine::Routine;

/// What one attempt has of its own.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Variant {
    pub(super) part: Part,
    /// The touches of the job, face by face, in the order in which they are made.
    pub(super) faces: model::Faces,
    /// The model routine of this part.
    pub(super) model: Routine,
    /// The weld of the model routine alone.
    pub(super) plain: Routine,
    /// What is on the sheet at the start, without the mistakes in it.
    pub(super) mended: Routine,
    /// Where the part is moved to.
    pub(super) nudge: Nudge,
    /// Where it is moved to later on.
    pub(super) nudge_again: Nudge,
    /// How the lesson begins, of what it may draw.
    pub(super) drawn: StartDraw,
    /// What is planted in a drill.
    pub(super) planted: Option<Drawn>,
}

/// How often a drill may draw its fault until one shows.
pub(super) const DRAWS: usize = 60;

impl Variant {
    /// Draws the attempt of this seed. The file's own seed takes the first part and welds forwards;
    /// `draw` counts earlier draws of the fault. `None` if a part is unknown.
    pub(super) fn draw(file: &LessonFile, seed: u64, draw: usize) -> Option<Self> {
        let mut dice = Noise::new(seed, 0, draw as u64);
        let own = seed == file.seed;
        let names: Vec<&str> =
            std::iter::once(&file.part).chain(&file.other_parts).map(String::as_str).collect();
        let (other, direction) = (dice.index(names.len()), dice.uniform());
        let mut name = if own { names[0] } else { names[other] };
        let first = file.causes.get(drill::first_cause(seed, draw, file.causes.len()));
        if let Some(on) = first.and_then(FaultTemplate::on) {
            name = on;
        }
        let part = file.find_part(name)?;
        // Of another stream, so that the rest of an attempt does not depend on what may be drawn.
        let mut other_dice = Noise::new(seed, u64::MAX, draw as u64);
        let drawn = other_dice.index(file.start.draws.len());
        let drawn = file.start.draws.get(if own { 0 } else { drawn }).cloned().unwrap_or_default();
        let backwards = !own && direction < 0.5;
        let (faces, model) = model::job(&part, backwards);
        let plain = model::plain(&part, backwards);
        let put = if own && file.nudge != PoseFile::default() {
            file.nudge
        } else if file.start.sheet == StartRoutine::Plain {
            nudge::missing(&part, &plain, &mut dice)
        } else {
            nudge::missed_if_not_carried(&part, drawn.still, &mut dice)
        };
        let put_again = nudge::missed_if_not_carried(&part, Freedoms::default(), &mut other_dice);
        let mended = sheet::with_gaps(file, sheet::named(file, &model, &plain));
        let planted = if file.causes.is_empty() {
            None
        } else {
            let next = nudge::near(&part.play, &mut dice);
            let far = nudge::far(&part.play, &mut dice);
            let on = (&part, &faces);
            Some(drill::draw(&file.causes, on, [put, next, far], (seed, draw))?)
        };
        // Of a third stream, so that other parts lie where they lay without it.
        let mut own_dice = Noise::new(seed, u64::MAX - 1, draw as u64);
        let bodies = nudge::of_bodies(&part, &drawn.still_bodies, &mut own_dice);
        let again = nudge::of_bodies(&part, &[], &mut own_dice);
        let nudge = Nudge { part: put, bodies };
        let nudge_again = Nudge { part: put_again, bodies: again };
        Some(Self { part, faces, model, plain, mended, nudge, nudge_again, drawn, planted })
    }
}
