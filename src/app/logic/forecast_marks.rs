//! The forecast at the ends of each weld as the plan shows it.

use super::describe::freedoms_name;
use super::number::length;
use super::projection::{PlanProjection, direction};
use crate::app::i18n::{Key, format, text};
use kurbo::{BezPath, Ellipse, Line, Point, Shape};
use nudgeproof::forecast::{EndSpread, Lack, SeamForecast, WeldForecast};
use nudgeproof::geometry::Vector3;
use nudgeproof::locate::{Freedom, STATED_SIGMAS};
use nudgeproof::routine::{Instruction, Routine};

/// The forecast at both ends of a weld, and how many times too large it is drawn.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ForecastMarks {
    pub(crate) ends: [EndMark; 2],
    pub(crate) times: f64,
    /// What is allowed across the wire, mm.
    pub(crate) tolerance_mm: f64,
}

/// The forecast at one end of the weld.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct EndMark {
    /// The end as drawn.
    pub(crate) at: Point,
    /// Three standard deviations on the plan: with the touch in hand, where there is one.
    pub(crate) ellipse: BezPath,
    /// The same without it.
    pub(crate) without: Option<BezPath>,
    /// The limits of the tolerance.
    pub(crate) strip: [Line; 2],
    /// Three standard deviations across the wire, mm: as the routine stands, and with the touch in hand.
    pub(crate) across: f64,
    pub(crate) across_with: Option<f64>,
}

/// Greatest distance of a limit from the seam as drawn, pixels.
const STRIP: f64 = 26.0;
/// How far the limits run along the seam to both sides of an end, pixels.
const STRIP_HALF: f64 = 24.0;
/// Spreads are drawn one of these times too large.
const TIMES: [f64; 6] = [50.0, 30.0, 20.0, 10.0, 5.0, 2.0];
/// Forecasts that differ by less say the same, mm.
const SAME: f64 = 0.005;

/// How many times too large spreads are drawn: so that the limits stand near the seam. It depends on the
/// drawing alone, so that an ellipse shrinks when the forecast gets better.
fn times(limit_mm: f64, plan: &PlanProjection) -> f64 {
    let fits = |times: &f64| plan.px(limit_mm * times) <= STRIP;
    TIMES.into_iter().find(fits).unwrap_or(1.0)
}

impl ForecastMarks {
    /// The marks of each weld of a forecast, and of the one with the touch in hand. `None` for a weld that
    /// has no forecast.
    pub(crate) fn all(
        forecast: &SeamForecast,
        in_hand: Option<&SeamForecast>,
        plan: &PlanProjection,
    ) -> Vec<Option<Self>> {
        let with = |n: usize| in_hand.and_then(|with| with.welds.get(n));
        let welds = forecast.welds.iter().enumerate();
        welds.map(|(n, weld)| Self::new(weld, with(n), plan)).collect()
    }

    fn new(
        weld: &WeldForecast,
        in_hand: Option<&WeldForecast>,
        plan: &PlanProjection,
    ) -> Option<Self> {
        let WeldForecast { line: seam, tolerance_mm, .. } = weld;
        let tolerance_mm = *tolerance_mm;
        let now = weld.ends.as_ref().ok()?;
        let with = in_hand.and_then(|with| with.ends.as_ref().ok());
        let with = with.filter(|with| differ(now, with));
        // Across the wire is less than across on the plan, while the torch leans.
        let level = seam.across_wire.xy();
        let limit_mm = tolerance_mm / level.norm().max(0.1);
        let times = times(limit_mm, plan);
        let across = plan.vector(&Vector3::new(level.x, level.y, 0.0)).normalize();
        let along = plan.vector(&Vector3::new(seam.along.x, seam.along.y, 0.0)).normalize();
        let end = |i: usize| {
            let at = plan.point(&now[i].at);
            let drawn = |end: &EndSpread| ellipse(end, times, plan);
            let limit = |sign: f64| {
                let middle = at + across * (sign * plan.px(limit_mm * times));
                Line::new(middle - along * STRIP_HALF, middle + along * STRIP_HALF)
            };
            EndMark {
                at,
                ellipse: drawn(with.map_or(&now[i], |with| &with[i])),
                without: with.map(|_| drawn(&now[i])),
                strip: [1.0, -1.0].map(limit),
                across: STATED_SIGMAS * now[i].across,
                across_with: with.map(|with| STATED_SIGMAS * with[i].across),
            }
        };
        Some(Self { ends: [0, 1].map(end), times, tolerance_mm })
    }
}

fn differ(a: &[EndSpread; 2], b: &[EndSpread; 2]) -> bool {
    a.iter().zip(b).any(|(a, b)| STATED_SIGMAS * (a.across - b.across).abs() >= SAME)
}

fn ellipse(end: &EndSpread, times: f64, plan: &PlanProjection) -> BezPath {
    let [a, b, angle] = end.ellipse;
    let [a, b] = [a, b].map(|mm| plan.px(mm * STATED_SIGMAS * times).max(1.0));
    Ellipse::new(plan.point(&end.at), (a, b), direction(angle).atan2()).to_path(0.05)
}

impl EndMark {
    /// The spread in words, and whether it stays within the tolerance, mm: as the routine stands, and
    /// with the touch in hand.
    pub(crate) fn words(&self, tolerance_mm: f64) -> String {
        let one = |mm: f64| {
            let sign = if mm <= tolerance_mm { " ✓" } else { " ✗" };
            ["±", &length(mm, 2), sign].concat()
        };
        let now = one(self.across);
        match self.across_with {
            Some(with) => [&now, " → ", &one(with)].concat(),
            None => now,
        }
    }
}

/// What is said at the ends of each weld: the forecast at each, or once why there is none.
pub(crate) fn texts(
    marks: &[Option<ForecastMarks>],
    forecast: &SeamForecast,
    routine: &Routine,
) -> Vec<Vec<String>> {
    let feels = || routine.steps.iter().any(|s| matches!(s.instruction, Instruction::Feel { .. }));
    if forecast.welds.is_empty() && feels() {
        return vec![vec![text(Key::LackFind).into()]];
    }
    // The details A and B are those of one weld: on a part with several no letter would fit.
    let several = forecast.welds.len() > 1;
    let of_weld = |(weld, marks): (&WeldForecast, &Option<ForecastMarks>)| match (&weld.ends, marks)
    {
        (Err(none), _) => vec![why_none(none.lack)],
        (Ok(_), Some(marks)) => {
            let one = |(end, letter): (&EndMark, &str)| match end.words(marks.tolerance_mm) {
                words if several => words,
                words => [letter, " ", &words].concat(),
            };
            marks.ends.iter().zip(["A", "B"]).map(one).collect()
        }
        (Ok(_), None) => Vec::new(),
    };
    forecast.welds.iter().zip(marks).map(of_weld).collect()
}

fn why_none(lack: Lack) -> String {
    match lack {
        Lack::Touches(1) => text(Key::LackTouch).into(),
        Lack::Touches(n) => format(Key::LackTouches, &[&n.to_string()]),
        Lack::Of(axis @ (Freedom::X | Freedom::Y)) => format(Key::LackOf, &[axis.label()]),
        Lack::Of(freedom) => format(Key::LackOfThe, &[freedom.label()]),
        Lack::Distance => text(Key::LackDistance).into(),
        Lack::LeftOut(freedoms) => format(Key::LackLeftOut, &[&freedoms_name(freedoms)]),
        Lack::Other => text(Key::LackOther).into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::logic::aim::Aim;
    use crate::app::logic::with_feel::with_feel;
    use nudgeproof::geometry::{Point2, Point3};
    use nudgeproof::locate::Freedoms;
    use nudgeproof::session::Session;

    fn example() -> Session {
        let text = include_str!("../../../tests/cases/sessions/as-it-should-be.json");
        Session::from_json(text).expect("a session of ours")
    }

    fn plan() -> PlanProjection {
        PlanProjection::new(1.2, Point2::origin(), Point::ORIGIN)
    }

    #[test]
    fn an_ellipse_meets_the_limits_where_the_spread_meets_the_tolerance() {
        let session = example();
        let state = session.state();
        let forecast = SeamForecast::of(state);
        let marks = ForecastMarks::all(&forecast, None, &plan()).remove(0).expect("a forecast");
        for end in &marks.ends {
            // The seam runs along X: the ellipse's height against the strip's is the spread against
            // the tolerance.
            let [ellipse, strip] = [
                end.ellipse.bounding_box().height(),
                (end.strip[0].p0.y - end.strip[1].p0.y).abs(),
            ];
            let drawn = ellipse / strip;
            assert!((drawn - end.across / 0.6).abs() < 0.01, "{drawn}, {} of 0.6", end.across);
            assert!(strip <= 2.0 * STRIP, "the strip stays near the seam: {strip}");
            assert_eq!(end.across_with, None, "nothing in hand");
        }
    }

    #[test]
    fn a_touch_in_hand_is_drawn_beside_the_forecast_without_it() {
        let session = example();
        let state = session.state();
        let forecast = SeamForecast::of(state);
        let from = Point3::new(200.0, -16.0, 5.0);
        let with = with_feel(&state.routine, None, from, Aim::PlusY).expect("there is a find");
        let with = SeamForecast::of_routine(state, &with);
        let marks = ForecastMarks::all(&forecast, Some(&with), &plan()).remove(0);
        let end = &marks.expect("a forecast").ends[0];
        assert!(end.across_with.expect("it changes") < end.across, "one touch more is better");
        let without = end.without.as_ref().expect("drawn too").bounding_box().height();
        assert!(without > end.ellipse.bounding_box().height(), "and larger");
        let same = ForecastMarks::all(&forecast, Some(&forecast), &plan()).remove(0);
        assert_eq!(same.expect("a forecast").ends[0].without, None, "no change, no second ellipse");
    }

    #[test]
    fn a_forecast_in_words_says_whether_it_is_inside() {
        let mut end = EndMark {
            at: Point::ORIGIN,
            ellipse: BezPath::new(),
            without: None,
            strip: [Line::new((0.0, 0.0), (1.0, 0.0)); 2],
            across: 0.688,
            across_with: None,
        };
        assert_eq!(end.words(0.6), "±0.69 ✗", "as the routine stands");
        end.across_with = Some(0.508);
        assert_eq!(end.words(0.6), "±0.69 ✗ → ±0.51 ✓", "and with the touch in hand");
    }

    #[test]
    fn without_a_forecast_the_reason_stands_in_its_place() {
        assert_eq!(why_none(Lack::Touches(1)), "no forecast yet: one more touch", "one");
        assert_eq!(why_none(Lack::Touches(2)), "no forecast yet: 2 more touches", "two");
        let turn = why_none(Lack::Of(Freedom::Turn));
        assert_eq!(turn, "no forecast yet: no touch tells the turn", "a freedom");
        let session = example();
        let state = session.state();
        let forecast = |routine: &Routine| SeamForecast::of_routine(state, routine);
        let mut routine = Routine::clone(&state.routine);
        routine.steps.retain(|step| !matches!(step.instruction, Instruction::Find { .. }));
        let said = texts(&[], &forecast(&routine), &routine);
        assert_eq!(said, [[text(Key::LackFind)]], "touches that no find uses");
        let mut slides = Routine::clone(&state.routine);
        for step in &mut slides.steps {
            if let Instruction::Find { may, .. } = &mut step.instruction {
                *may = Freedoms::X | Freedoms::Y;
            }
        }
        let said = texts(&[None], &forecast(&slides), &slides);
        assert_eq!(
            said,
            [["no forecast: the find leaves out turn"]],
            "the part may turn all the same"
        );
        let empty = Routine::default();
        assert!(texts(&[], &forecast(&empty), &empty).is_empty(), "nothing asks for it yet");
    }
}
