//! What can be known of a part's job before it is taught in the cell.

use super::model::{model_routine, sure_job, with_reference};
use crate::cell::{CellSettings, Part};
use crate::forecast::{PlaceLayouts, SeamForecast, with_layout};
use crate::routine::LegKind;
use crate::session::{ActionError, Session};
use serde::{Deserialize, Serialize};

/// Beyond the fewest touches that can find a place, so many more are tried.
const MOST_MORE: usize = 2;

/// A session in which the part has a routine that feels for it and welds it wherever the fixture lets it lie,
/// and the reference is taken; where there is none, the model routine.
///
/// # Errors
/// If the part cannot be used.
pub fn rehearsed(part: &Part, seed: u64) -> Result<Session, ActionError> {
    match sure_job(part, seed) {
        Some(session) => Ok(session),
        None => with_reference(part, model_routine(part), seed),
    }
}

/// A layout of touches, and what it will give.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LayoutChoice {
    /// The part with this layout as its own.
    pub part: Part,
    /// How many touches a run makes.
    pub touches: usize,
    /// Three standard deviations across the wire at the worst weld end, mm.
    pub across_mm: f64,
    /// The same as a share of what is allowed there.
    pub share: f64,
    /// How long the searches of a run take, s.
    pub searching_s: f64,
}

impl LayoutChoice {
    /// What the part's own layout will give; `None` where it does not hold every weld.
    pub fn of(part: &Part) -> Option<Self> {
        Self::of_session(&rehearsed(part, 0).ok()?)
    }

    fn of_session(session: &Session) -> Option<Self> {
        let part = &session.state().part;
        let run = session.state().last_run()?;
        let of_searches = run.legs.iter().filter(|leg| leg.kind == LegKind::Search);
        let searching_s = of_searches.map(|leg| leg.time[1] - leg.time[0]).sum();
        let forecast = SeamForecast::of(session.state());
        let mut worst = (0.0, 0.0);
        for weld in &forecast.welds {
            for mm in weld.across()? {
                if mm / weld.tolerance_mm >= worst.1 {
                    worst = (mm, mm / weld.tolerance_mm);
                }
            }
        }
        let (part, touches) = (Part::clone(part), part.model_touches.len());
        let (across_mm, share) = worst;
        Some(Self { part, touches, across_mm, share, searching_s })
    }
}

/// The layouts with the least spread at the worst weld end: with the fewest touches that can find each place,
/// and with one and two more. Touches stay off the faces that are kept out.
pub fn best_layouts(part: &Part, kept_out: &[String]) -> Vec<LayoutChoice> {
    let fine = part.fine_places().into_iter().map(Some);
    let places: Vec<(Option<&str>, PlaceLayouts)> = std::iter::once(None)
        .chain(fine)
        .filter_map(|place| {
            Some((place, PlaceLayouts::new(part, &CellSettings::default(), place)?))
        })
        .collect();
    let with = |more: usize, out: Option<&str>| {
        let mut best = part.clone();
        for (place, layouts) in &places {
            let allowed = |face: &str| out != Some(face) && !kept_out.iter().any(|k| k == face);
            let chosen = layouts.best(layouts.least() + more, allowed)?;
            let touches = chosen.into_iter().map(|n| layouts.touch(n).clone()).collect();
            best = with_layout(&best, *place, touches);
        }
        Some(best)
    };
    let sure = |layout: &Part| LayoutChoice::of_session(&sure_job(layout, 0)?);
    // Where no way leads to all its touches, the best one that spares one of its faces.
    let best = |more: usize| {
        let layout = with(more, None)?;
        sure(&layout).or_else(|| {
            let mut faces: Vec<&str> =
                layout.model_touches.iter().map(|t| t.face.as_str()).collect();
            faces.dedup();
            let spared = faces.into_iter().filter_map(|face| sure(&with(more, Some(face))?));
            spared.min_by(|a, b| a.share.total_cmp(&b.share))
        })
    };
    (0..=MOST_MORE).filter_map(best).collect()
}
