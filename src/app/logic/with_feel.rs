use super::aim::Aim;
use super::point_names::numbered;
use nudgeproof::forecast::decisive_find;
use nudgeproof::geometry::Point3;
use nudgeproof::routine::{Instruction, PathKind, Routine, Step, StepId, Structure, TaughtPoint};

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
        None => structure.finds[decisive_find(&structure, structure.welds.first())?].step,
    };
    let (name, face) = (numbered(routine, aim.face()), aim.face().to_owned());
    let (way, direction) = (PathKind::Joint, aim.vector());
    let mut with = routine.clone();
    with.points.push(TaughtPoint { name: name.clone(), at: from });
    let instruction = Instruction::Feel { from: name, way, direction, face };
    with.steps.insert(at, Step { id: routine.next_id(), instruction });
    Some(with)
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::forecast::SeamForecast;
    use nudgeproof::session::Session;

    fn example() -> Session {
        let text = include_str!("../../../tests/cases/sessions/as-it-should-be.json");
        Session::from_json(text).expect("a session of ours")
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

    fn across(forecast: &SeamForecast) -> [f64; 2] {
        let [weld] = &forecast.welds[..] else { panic!("one weld, not {:?}", forecast.welds) };
        weld.across().expect("a forecast")
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
            assert!(far[end] < without[end] - 0.012, "{far:?} with it, {without:?} without");
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
}
