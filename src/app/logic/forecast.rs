//! The spread at the seam that the planned touches will give, before anything runs.

use super::aim::Aim;
use super::point_names::numbered;
use super::shown::reference_pose;
use nudgeproof::cell::{Cell, Seam, SeamLine, SearchResult};
use nudgeproof::geometry::{Point3, Pose, Vector3};
use nudgeproof::locate::{
    Covariance, Freedom, Freedoms, LocateError, STATED_SIGMAS, Touch, forecast,
};
use nudgeproof::routine::{
    FindBlock, Instruction, PathKind, Routine, Step, StepId, Structure, TaughtPoint, Weld,
    reading_sigma,
};
use nudgeproof::session::State;
use nudgeproof::text::Sentence;
use std::f64::consts::SQRT_2;

/// One touch of a find.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PlannedTouch {
    pub(crate) face: String,
    /// Name of the point it starts from.
    pub(crate) point: String,
    /// Where this point is, work frame, mm.
    pub(crate) from: Point3<f64>,
    pub(crate) direction: Vector3<f64>,
    /// Speed of its search, mm/s.
    pub(crate) speed_mm_s: f64,
    /// Greatest length of its search, mm.
    pub(crate) reach_mm: f64,
    /// First contact of the wire with the part where it was taught, work frame, mm.
    pub(crate) contact: Option<Point3<f64>>,
}

impl PlannedTouch {
    /// How far the wire moves before it touches, mm.
    pub(crate) fn distance(&self) -> Option<f64> {
        Some((self.contact? - self.from).norm())
    }
}

/// One find with its touches.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PlannedFind {
    pub(crate) place: String,
    pub(crate) may: Freedoms,
    pub(crate) touches: Vec<PlannedTouch>,
}

/// The spread of one end of the weld.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct EndSpread {
    /// The end as taught, work frame, mm.
    pub(crate) at: Point3<f64>,
    /// One standard deviation across seam and wire, mm.
    pub(crate) across: f64,
    /// The ellipse of one standard deviation on the plan: half axes, mm, and the angle of the
    /// first from X, radians.
    pub(crate) ellipse: [f64; 3],
}

/// What the current routine will achieve, before anything runs.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SeamForecast {
    /// Every find in the order of the routine.
    pub(crate) finds: Vec<PlannedFind>,
    /// Where the part lay when it was taught: work frame from part frame.
    pub(crate) reference: Pose,
    /// Where the weld of each seam will lie, in the order of the seams; none without any find.
    pub(crate) welds: Vec<WeldForecast>,
}

/// Where the weld of one seam will lie.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct WeldForecast {
    /// Name of the seam.
    pub(crate) seam: String,
    /// The seam where the part lay when it was taught.
    pub(crate) line: SeamLine,
    /// What is allowed across the wire, mm.
    pub(crate) tolerance_mm: f64,
    /// The spread of both ends by the find whose place the weld follows, or why there is none.
    pub(crate) ends: Result<[EndSpread; 2], NoForecast>,
}

impl WeldForecast {
    /// Three standard deviations across the wire at both ends, mm.
    pub(crate) fn across(&self) -> Option<[f64; 2]> {
        let ends = self.ends.as_ref().ok()?;
        Some([0, 1].map(|i| STATED_SIGMAS * ends[i].across))
    }
}

/// Why the touches of a find give no forecast.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct NoForecast {
    /// The sentence for a technician.
    pub(crate) why: Sentence,
    /// The same in short.
    pub(crate) lack: Lack,
}

/// What the touches of a find lack.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Lack {
    /// This many touches.
    Touches(usize),
    /// A touch that tells this freedom.
    Of(Freedom),
    /// A distance between two touches on one face.
    Distance,
    /// Something that the sentence tells.
    Other,
}

impl From<&LocateError> for Lack {
    fn from(refusal: &LocateError) -> Self {
        match refusal {
            LocateError::TooFew { needed, got, .. } => Self::Touches(needed - got),
            LocateError::ShortBaseline { .. } => Self::Distance,
            LocateError::FreeTranslation { direction } => {
                Self::Of([Freedom::X, Freedom::Y, Freedom::Height][direction.iamax()])
            }
            LocateError::FreeRotation { axis, .. } => {
                Self::Of([Freedom::TiltX, Freedom::TiltY, Freedom::Turn][axis.iamax()])
            }
            _ => Self::Other,
        }
    }
}

impl SeamForecast {
    pub(crate) fn of(state: &State) -> Self {
        Self::of_routine(state, &state.routine)
    }

    /// The same for another routine in the place of the present one.
    pub(crate) fn of_routine(state: &State, routine: &Routine) -> Self {
        let structure = Structure::of(routine);
        let finds = finds(state, routine, &structure);
        let reference = reference_pose(state).unwrap_or_default();
        let weld = |(n, seam): (usize, &Seam)| {
            let weld = weld_for(n, &state.part.seams, routine, &structure);
            let find = finds.get(decisive(&structure, weld, seam))?;
            let line = seam.at(&reference);
            let ends = spreads(state, find, &line, ends(routine, weld, &line));
            let (seam, tolerance_mm) = (seam.name.clone(), seam.tolerance_mm);
            Some(WeldForecast { seam, line, tolerance_mm, ends })
        };
        let welds = state.part.seams.iter().enumerate().filter_map(weld).collect();
        Self { finds, reference, welds }
    }

    /// The spread of every end that has one.
    pub(crate) fn ends(&self) -> impl Iterator<Item = &EndSpread> {
        self.welds.iter().flat_map(|weld| &weld.ends).flatten()
    }

    /// Whether some weld has none, though the routine finds a place.
    pub(crate) fn lacks(&self) -> bool {
        self.welds.iter().any(|weld| weld.ends.is_err())
    }
}

/// The routine with one more feel: after a step, for the find that comes next; and where none does, just
/// before the find that decides where the first weld lands. `None` without a find.
pub(crate) fn with_feel(
    routine: &Routine,
    after: Option<StepId>,
    from: Point3<f64>,
    aim: Aim,
) -> Option<Routine> {
    let structure = Structure::of(routine);
    let after = after.and_then(|id| routine.index_of(id)).map(|i| i + 1);
    let last = structure.finds.last()?.step;
    let at = match after.filter(|at| *at <= last) {
        Some(at) => at,
        None => structure.finds[decisive_of(&structure, structure.welds.first())?].step,
    };
    let (name, face) = (numbered(routine, aim.face()), aim.face().to_owned());
    let (way, direction) = (PathKind::Joint, aim.vector());
    let mut with = routine.clone();
    with.points.push(TaughtPoint { name: name.clone(), at: from });
    let instruction = Instruction::Feel { from: name, way, direction, face };
    with.steps.insert(at, Step { id: routine.next_id(), instruction });
    Some(with)
}

/// The find, among the finds of a routine from 0, that decides where the weld of a seam lands: the last
/// before it of the place it follows; before it is taught, that of the seam's own place; else the first.
fn decisive(structure: &Structure, weld: Option<&Weld>, seam: &Seam) -> usize {
    let own = |find: &FindBlock| Some(&find.place) == seam.place.as_ref();
    let of_place = || structure.finds.iter().rposition(own).filter(|_| weld.is_none());
    decisive_of(structure, weld).or_else(of_place).unwrap_or(0)
}

fn decisive_of(structure: &Structure, weld: Option<&Weld>) -> Option<usize> {
    let start = weld?.start?;
    let follow = structure.follow_at(start)?;
    let same = |find: &FindBlock| find.step < start && find.place == follow.place;
    structure.finds.iter().rposition(same)
}

/// The weld that is meant for seam `n` of the part, from 0: the first of those that no other seam is nearer
/// to.
fn weld_for<'s>(
    n: usize,
    seams: &[Seam],
    routine: &Routine,
    structure: &'s Structure,
) -> Option<&'s Weld> {
    let middle = |[a, b]: [Point3<f64>; 2]| a + (b - a) / 2.0;
    structure.welds.iter().find(|weld| {
        let taught = [weld.start, weld.end].map(|step| taught(routine, step));
        let Some(at) = (match taught {
            [Some(a), Some(b)] => Some(middle([a, b])),
            [a, b] => a.or(b),
        }) else {
            return false;
        };
        let off = |seam: &Seam| (middle([seam.from, seam.to]) - at).norm();
        let nearest = (0..seams.len()).min_by(|a, b| off(&seams[*a]).total_cmp(&off(&seams[*b])));
        nearest == Some(n)
    })
}

/// Where the point of a step is taught.
fn taught(routine: &Routine, step: Option<usize>) -> Option<Point3<f64>> {
    Some(routine.point(routine.steps[step?].instruction.point()?)?.at)
}

/// Every find in the order of the routine, the touches as the cell without faults gives them.
fn finds(state: &State, routine: &Routine, structure: &Structure) -> Vec<PlannedFind> {
    let cell = Cell::new(&state.part, &state.settings, &[]).ok().map(|mut cell| {
        cell.place_part(reference_pose(state).unwrap_or_default());
        cell
    });
    let touch = |i: &usize| {
        let Instruction::Feel { from, direction, face, .. } = &routine.steps[*i].instruction else {
            return None;
        };
        let start = routine.point(from)?;
        let (speed_mm_s, reach_mm) = structure.search_of(*i);
        let found = cell.as_ref().map(|cell| cell.search(&start.at, direction, reach_mm));
        let contact = match found {
            Some(SearchResult::Touch(touch)) => Some(touch.contact),
            _ => None,
        };
        Some(PlannedTouch {
            face: face.clone(),
            point: from.clone(),
            from: start.at,
            direction: *direction,
            speed_mm_s,
            reach_mm,
            contact,
        })
    };
    let find = |find: &FindBlock| PlannedFind {
        place: find.place.clone(),
        may: find.may,
        touches: find.feels.iter().filter_map(touch).collect(),
    };
    structure.finds.iter().map(find).collect()
}

/// The spread of both ends of a weld by the touches of a find, or why there is none.
fn spreads(
    state: &State,
    find: &PlannedFind,
    seam: &SeamLine,
    ends: [Point3<f64>; 2],
) -> Result<[EndSpread; 2], NoForecast> {
    let mut faces: Vec<&str> = Vec::new();
    let mut touches = Vec::new();
    for t in &find.touches {
        let face = faces.iter().position(|f| *f == t.face).unwrap_or_else(|| {
            faces.push(&t.face);
            faces.len() - 1
        });
        touches.push(Touch::taught(face, t.direction, t.contact.unwrap_or(t.from)));
    }
    let speed_mm_s = find.touches.iter().fold(0.0, |speed: f64, t| speed.max(t.speed_mm_s));
    // Reference and production have the same noise.
    let sigma = reading_sigma(&state.settings, speed_mm_s) * SQRT_2;
    let forecast = forecast(find.may, &touches, sigma)
        .map_err(|refusal| NoForecast { why: refusal.said(&faces), lack: Lack::from(&refusal) })?;
    Ok(ends.map(|at| EndSpread {
        at,
        across: forecast.sigma_towards(&at, &seam.across_wire),
        ellipse: ellipse(&forecast.covariance, &at),
    }))
}

/// The seam that a step at place `at` of the routine, from 0, is for, where the part lay when it was
/// taught: that of the place that is followed there, else the one whose turn it is.
pub(crate) fn seam_at(state: &State, routine: &Routine, at: usize) -> Option<SeamLine> {
    let seams = &state.part.seams;
    let before = routine.steps.get(..at).unwrap_or_default();
    let structure = Structure::of(routine);
    let place = at.checked_sub(1).and_then(|i| structure.follow_at(i)).map(|f| f.place.as_str());
    let of_place = || seams.iter().find(|seam| place.is_some() && seam.place.as_deref() == place);
    let starts = |s: &&Step| matches!(s.instruction, Instruction::WeldStart { .. });
    let begun = before.iter().filter(starts).count();
    let welding =
        before.iter().rfind(|s| s.instruction.moves()).is_some_and(|s| s.instruction.is_weld());
    let turn = begun.saturating_sub(usize::from(welding)).min(seams.len().saturating_sub(1));
    let seam = of_place().or_else(|| seams.get(turn))?;
    Some(seam.at(&reference_pose(state).unwrap_or_default()))
}

/// Both ends of a weld as taught; where they are not taught yet, those of the seam.
fn ends(routine: &Routine, weld: Option<&Weld>, seam: &SeamLine) -> [Point3<f64>; 2] {
    let [start, end] = weld.map_or([None; 2], |weld| [weld.start, weld.end]);
    [taught(routine, start).unwrap_or(seam.from), taught(routine, end).unwrap_or(seam.to)]
}

/// The principal axes of a symmetric 2 × 2 matrix (closed form).
fn ellipse(covariance: &Covariance, at: &Point3<f64>) -> [f64; 3] {
    let c = covariance.of_point(&at.coords);
    let (a, b, d) = (c[(0, 0)], c[(0, 1)], c[(1, 1)]);
    let (mean, half) = (f64::midpoint(a, d), libm::hypot((a - d) / 2.0, b));
    let axis = |v: f64| v.max(0.0).sqrt();
    [axis(mean + half), axis(mean - half), 0.5 * libm::atan2(2.0 * b, a - d)]
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::cell::part_by_name;
    use nudgeproof::lesson::{Question, Stage, lessons, model_routine};
    use nudgeproof::session::{Action, Header, Session};
    use std::f64::consts::FRAC_1_SQRT_2;

    fn example() -> Session {
        let text = include_str!("../../../tests/cases/sessions/as-it-should-be.json");
        Session::from_json(text).expect("a session of ours")
    }

    fn planned(state: &State) -> Vec<PlannedFind> {
        finds(state, &state.routine, &Structure::of(&state.routine))
    }

    /// What the chart says of the worse end is what a question about the spread wants.
    #[test]
    fn the_chart_answers_every_question_about_the_spread_rightly() {
        let mut asked = 0;
        for lesson in lessons() {
            let spread = |s: &Stage| match s.ask.as_ref().map(|ask| &ask.about) {
                Some(Question::Spread { choices }) => Some(choices.clone()),
                _ => None,
            };
            let of_stage = lesson.stages.iter().enumerate();
            for (stage, choices) in of_stage.filter_map(|(i, s)| Some((i + 1, spread(s)?))) {
                for seed in 0..40 {
                    let solved = lesson.variant(seed).expect("any seed").solved();
                    let solved = solved.expect("it can be done");
                    let is_it =
                        |a: &Action| matches!(a, Action::Predict { stage: s, .. } if *s == stage);
                    let at = solved.actions().iter().position(is_it);
                    let at =
                        at.unwrap_or_else(|| panic!("{}, seed {seed}: no answer", lesson.name));
                    let Action::Predict { answer, .. } = solved.actions()[at] else { continue };
                    let state = solved.state_before(at).expect("a state before it");
                    let forecast = SeamForecast::of(&state);
                    let across = forecast.welds[0].across().expect("a forecast");
                    let shown = across[0].max(across[1]);
                    let off = |i: &usize| (choices[*i] - shown).abs();
                    let nearest = (0..choices.len()).min_by(|a, b| off(a).total_cmp(&off(b)));
                    assert_eq!(nearest, Some(answer - 1), "{}, seed {seed}: ±{shown}", lesson.name);
                    asked += 1;
                }
            }
        }
        assert!(asked >= 40, "only {asked} such questions");
    }

    #[test]
    fn a_find_is_read_with_the_distance_to_each_contact() {
        let finds = planned(example().state());
        let [find] = &finds[..] else { panic!("one find, found {}", finds.len()) };
        assert_eq!(find.touches.len(), 4, "four touches");
        for t in &find.touches {
            // Taught 16 mm before the face; the wire of 1.2 mm touches with its side.
            let d = t.distance().expect("it touches");
            assert!((d - 15.4).abs() < 1e-6, "{}: {d} mm", t.point);
        }
    }

    #[test]
    fn the_ellipse_holds_what_the_solver_says_across_the_wire() {
        let session = example();
        let state = session.state();
        let find = planned(state).remove(0);
        let seam = SeamForecast::of(state).welds[0].line;
        let ends = [seam.from, seam.to];
        for end in spreads(state, &find, &seam, ends).expect("it can be forecast") {
            // The seam runs along X, so across it is the ellipse's extent along Y. The part stays on
            // the table, and the torch leans by 45°.
            let [a, b, angle] = end.ellipse;
            let y = libm::hypot(a * libm::sin(angle), b * libm::cos(angle));
            let across = y * std::f64::consts::FRAC_1_SQRT_2;
            assert!((across - end.across).abs() < 1e-9, "{across} and {}", end.across);
        }
    }

    #[test]
    fn the_weld_is_forecast_by_the_place_it_follows() {
        use Instruction::{Follow, WeldEnd, WeldStart};
        let find = |place: &str| Instruction::Find { place: place.into(), may: Freedoms::X };
        let weld = |place: &str| {
            [
                find("part"),
                find("left-end"),
                Follow { place: place.into() },
                WeldStart { to: "a".into() },
                WeldEnd { to: "b".into() },
                find("left-end"),
            ]
        };
        let decides = |place: &str| {
            let steps = weld(place).into_iter().zip(1..);
            let steps = steps.map(|(instruction, n)| Step { id: StepId(n), instruction });
            let routine = Routine { steps: steps.collect(), ..Routine::default() };
            let structure = Structure::of(&routine);
            let seam = part_by_name("bench-side").expect("it is there").seams.remove(0);
            decisive(&structure, structure.welds.first(), &seam)
        };
        assert_eq!(decides("left-end"), 1, "the last before the weld");
        assert_eq!(decides("part"), 0, "the one of its place");
        assert_eq!(decides("elsewhere"), 0, "the first, where its place is not found");
    }

    /// The routine of the example with only these of its steps that feel.
    fn with_feels(keep: &[&str]) -> (Session, Routine) {
        let session = example();
        let mut routine = Routine::clone(&session.state().routine);
        routine.steps.retain(|step| match &step.instruction {
            Instruction::Feel { from, .. } => keep.contains(&from.as_str()),
            _ => true,
        });
        (session, routine)
    }

    #[test]
    fn each_weld_of_a_part_with_places_is_forecast_by_its_own() {
        let part = part_by_name("bench-frame").expect("it is there");
        let routine = model_routine(&part);
        let mut session = Session::new(Header::new(part, 1)).expect("a part");
        session.act(Action::LoadRoutine { routine: routine.clone() }).expect("a routine");
        let state = session.state();
        let whole = SeamForecast::of(state);
        let seams: Vec<_> = whole.welds.iter().map(|w| w.seam.as_str()).collect();
        assert_eq!(seams, ["left seam", "right seam"]);
        let at = |w: &WeldForecast| w.ends.as_ref().expect("a forecast").map(|end| end.at.x);
        assert_eq!(
            whole.welds.iter().map(at).collect::<Vec<_>>(),
            [[100.0, 220.0], [1780.0, 1900.0]]
        );
        // Two touches of 0.1 mm on the front of each foot, read twice: 0.1 mm across on the level.
        for weld in &whole.welds {
            for across in weld.across().expect("a forecast") {
                assert!((across - 0.3 * FRAC_1_SQRT_2).abs() < 0.05, "{across}");
            }
        }
        // Without its touches the right one alone has none.
        let mut less = routine;
        let on_right = |s: &Step| matches!(&s.instruction, Instruction::Feel { face, .. } if face.starts_with("right "));
        less.steps.retain(|s| !on_right(s));
        let less = SeamForecast::of_routine(state, &less);
        assert_eq!(less.welds[0], whole.welds[0], "the left one is as it was");
        assert!(less.welds[1].ends.is_err() && less.lacks(), "{:?}", less.welds[1].ends);
    }

    fn across(forecast: &SeamForecast) -> [f64; 2] {
        let [weld] = &forecast.welds[..] else { panic!("one weld, not {:?}", forecast.welds) };
        weld.ends.as_ref().expect("a forecast").map(|end| end.across)
    }

    #[test]
    fn one_more_touch_far_from_the_others_makes_the_weld_surer() {
        let (session, routine) = with_feels(&["south-1", "south-2", "west-1"]);
        let state = session.state();
        let without = across(&SeamForecast::of_routine(state, &routine));
        let spread_with = |y: f64| {
            let from = Point3::new(-16.0, y, 5.0);
            let with = with_feel(&routine, None, from, Aim::PlusX).expect("there is a find");
            across(&SeamForecast::of_routine(state, &with))
        };
        let (far, near) = (spread_with(215.0), spread_with(45.0));
        for end in 0..2 {
            assert!(far[end] < without[end] - 0.004, "{far:?} with it, {without:?} without");
            assert!(near[end] > far[end], "a short lever tells the turn less: {near:?}, {far:?}");
        }
        // The example itself has this touch.
        let whole = across(&SeamForecast::of(state));
        assert!((far[0] - whole[0]).abs() < 1e-12, "{far:?} and {whole:?}");
    }

    #[test]
    fn a_feel_in_hand_goes_where_its_find_uses_it() {
        let (_, routine) = with_feels(&["south-1", "south-2", "west-1"]);
        let from = Point3::new(-16.0, 215.0, 5.0);
        let place = |after: Option<usize>| {
            let after = after.map(|i| routine.steps[i].id);
            let with = with_feel(&routine, after, from, Aim::PlusX).expect("there is a find");
            let id = routine.next_id();
            (with.index_of(id), Structure::of(&with).finds[0].feels.len())
        };
        let find = Structure::of(&routine).finds[0].step;
        assert_eq!(place(None), (Some(find), 4), "before the find");
        assert_eq!(place(Some(2)), (Some(3), 4), "after the selected feel");
        assert_eq!(place(Some(find + 2)), (Some(find), 4), "not past the find");
        assert_eq!(with_feel(&Routine::default(), None, from, Aim::PlusX), None, "no find");
    }

    #[test]
    fn what_is_lacking_is_told_in_short() {
        let lack = |keep: &[&str]| {
            let (session, routine) = with_feels(keep);
            let mut welds = SeamForecast::of_routine(session.state(), &routine).welds;
            welds.remove(0).ends.expect_err("no forecast").lack
        };
        assert_eq!(lack(&["south-1"]), Lack::Touches(2), "three unknowns");
        assert_eq!(lack(&["south-1", "west-1"]), Lack::Touches(1), "one more");
        let free = LocateError::FreeTranslation { direction: Vector3::new(0.1, -0.9, 0.0) };
        assert_eq!(Lack::from(&free), Lack::Of(Freedom::Y), "nothing holds Y");
        let axis = LocateError::FreeRotation { about: Point3::origin(), axis: -Vector3::z() };
        assert_eq!(Lack::from(&axis), Lack::Of(Freedom::Turn), "nothing holds the turn");
    }
}
