//! Single mistakes in the routine, each with the rule that names it.

use super::change::{
    Mutation, and, any_feel, at, direction_of, drop_all, drop_first, feel_mut, felt_from_outside,
    go, goes, is_alone, is_end, is_find, is_follow, is_home, is_off, is_on, is_start, is_stop,
    last, last_feel, m, one_place, pair, point_of, set_may, set_reach, turn_search, turns,
};
use super::draft::clears;
use nudgeproof::cell::{EdgeMade, FixturePlay, MadeEdge};
use nudgeproof::coach::RuleName as R;
use nudgeproof::geometry::{Point3, Vector3};
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::{HOME, Instruction, PathKind, TaughtPoint};

/// Single mistakes in the routine.
pub(crate) const IN_THE_ROUTINE: &[Mutation] = &[
    m("the first move home is missing", R::NoHomeStart, |d, _| drop_first(d, is_home)),
    m("the last move home is missing", R::NoHomeEnd, |d, _| {
        let home = last(d, is_home);
        d.drop_step(home);
        true
    }),
    m("stop following comes after the move home", R::HomeFollowsPart, |d, _| {
        let (stop, len) = (at(d, is_stop), d.routine.steps.len());
        d.shift(stop, len);
        true
    }),
    m("a move home in the middle of the follow", R::HomeFollowsPart, |d, rng| {
        if !one_place(d) {
            return false;
        }
        let (follow, start) = (at(d, is_follow), at(d, is_start));
        let before = if rng.coin() { follow + 1 } else { start - 1 };
        d.insert(before, go(HOME, PathKind::Joint));
        true
    }),
    and("follow comes before the touches", R::FollowBeforeFound, &[R::FeelFollowsPart], |d, _| {
        if !one_place(d) {
            return false;
        }
        let (follow, first) = (at(d, is_follow), d.feels()[0]);
        d.shift(follow, first);
        true
    }),
    and(
        "follow begins between two touches",
        R::FeelFollowsPart,
        &[R::FollowBeforeFound],
        |d, _| {
            if !one_place(d) {
                return false;
            }
            let (follow, feels) = (at(d, is_follow), d.feels());
            let Some(&second) = feels.get(1) else { return false };
            d.shift(follow, second);
            true
        },
    ),
    m("the find comes after follow", R::FollowBeforeFound, |d, _| {
        if !one_place(d) {
            return false;
        }
        let (find, follow) = (at(d, is_find), at(d, is_follow));
        d.shift(find, follow + 1);
        true
    }),
    m("the find comes after the weld", R::FollowBeforeFound, |d, _| {
        if !one_place(d) {
            return false;
        }
        let (find, stop) = (at(d, is_find), at(d, is_stop));
        d.shift(find, stop + 1);
        true
    }),
    and(
        "a feel stands in the follow",
        R::FeelFollowsPart,
        &[R::TouchesNeverUsed, R::FeelWithoutSensing, R::NoClearMove],
        |d, _| {
            let (feel, follow) = (last_feel(d), at(d, is_follow));
            d.shift(feel, follow + 1);
            d.feels().len() > 1
        },
    ),
    m("sensing on is missing", R::FeelWithoutSensing, |d, _| drop_all(d, is_on)),
    m("sensing on comes after the first feel", R::FeelWithoutSensing, |d, _| {
        let (on, first) = (at(d, is_on), d.feels()[0]);
        d.shift(on, first + 1);
        true
    }),
    m("sensing off comes before the last feel", R::FeelWithoutSensing, |d, _| {
        let (off, feel) = (last(d, is_off), last_feel(d));
        d.shift(off, feel);
        true
    }),
    and(
        "sensing on and sensing off are swapped",
        R::FeelWithoutSensing,
        &[R::SensingOnWhileWelding],
        |d, _| {
            let (on, off) = (at(d, is_on), last(d, is_off));
            d.routine.steps.swap(on, off);
            // Sensing that goes off on the way comes on again: more than one mistake.
            d.routine.steps.iter().filter(|s| is_on(&s.instruction)).count() == 1
        },
    ),
    m("sensing off is missing", R::SensingOnWhileWelding, |d, _| drop_all(d, is_off)),
    m("sensing off comes after the weld", R::SensingOnWhileWelding, |d, _| {
        let (off, end) = (last(d, is_off), last(d, is_end));
        d.shift(off, end + 1);
        true
    }),
    and(
        "sensing off stands inside the weld",
        R::SensingOnWhileWelding,
        &[R::WeldNotClosed],
        |d, _| {
            let (off, start) = (last(d, is_off), at(d, is_start));
            d.shift(off, start + 1);
            true
        },
    ),
    m("sensing on instead of sensing off", R::SensingOnWhileWelding, |d, _| {
        let off = last(d, is_off);
        d.routine.steps[off].instruction = Instruction::sensing_on();
        true
    }),
    m("sensing on once more before the weld", R::SensingOnWhileWelding, |d, _| {
        let start = at(d, is_start);
        d.insert(start, Instruction::sensing_on());
        true
    }),
    m("the find is missing", R::TouchesNeverUsed, |d, _| one_place(d) && drop_first(d, is_find)),
    m("the find comes before the last touch", R::TouchesNeverUsed, |d, _| {
        if !one_place(d) {
            return false;
        }
        let (find, feel) = (at(d, is_find), last_feel(d));
        d.shift(find, feel);
        d.feels().len() > 1
    }),
    m("the find comes before the first touch", R::TouchesNeverUsed, |d, _| {
        if !one_place(d) {
            return false;
        }
        let (find, first) = (at(d, is_find), d.feels()[0]);
        d.shift(find, first);
        true
    }),
    and(
        "one more touch after the find",
        R::TouchesNeverUsed,
        &[R::FeelWithoutSensing, R::NoClearMove],
        |d, _| {
            if !one_place(d) {
                return false;
            }
            let (feel, find) = (last_feel(d), at(d, is_find));
            let again = d.act(feel).clone();
            d.insert(find + 1, again);
            true
        },
    ),
    and(
        "a feel is moved to after the find",
        R::TouchesNeverUsed,
        &[R::FeelWithoutSensing, R::NoClearMove],
        |d, _| {
            if !one_place(d) {
                return false;
            }
            let (feel, find) = (last_feel(d), at(d, is_find));
            d.shift(feel, find + 1);
            d.feels().len() > 1
        },
    ),
    m("the find stands twice", R::TooFewTouches, |d, _| {
        if !one_place(d) {
            return false;
        }
        let find = at(d, is_find);
        let again = d.act(find).clone();
        d.insert(find + 1, again);
        true
    }),
    m("stop following is missing", R::FollowNeverStopped, |d, _| drop_first(d, is_stop)),
    m("follow instead of stop following", R::FollowNeverStopped, |d, _| {
        if !one_place(d) {
            return false;
        }
        let (follow, stop) = (at(d, is_follow), at(d, is_stop));
        d.routine.steps[stop].instruction = d.act(follow).clone();
        true
    }),
    m("follow names a place that nothing finds", R::WrongPlaceFollowed, |d, _| {
        if !one_place(d) {
            return false;
        }
        let follow = at(d, is_follow);
        d.routine.steps[follow].instruction = Instruction::Follow { place: "right-end".into() };
        true
    }),
    m("the find names another place than follow", R::WrongPlaceFollowed, |d, _| {
        if !one_place(d) {
            return false;
        }
        let find = at(d, is_find);
        if let Instruction::Find { place, .. } = &mut d.routine.steps[find].instruction {
            *place = "right-end".into();
        }
        true
    }),
    m("follow is missing", R::SeamNotFollowed, |d, _| one_place(d) && drop_first(d, is_follow)),
    m("follow comes after the approach", R::SeamNotFollowed, |d, _| {
        if !one_place(d) {
            return false;
        }
        let (follow, start) = (at(d, is_follow), at(d, is_start));
        d.shift(follow, start);
        true
    }),
    and("follow comes after the weld start", R::SeamNotFollowed, &[R::WeldNotClosed], |d, _| {
        if !one_place(d) {
            return false;
        }
        let (follow, start) = (at(d, is_follow), at(d, is_start));
        d.shift(follow, start + 1);
        true
    }),
    and(
        "stop following comes before the weld end",
        R::SeamNotFollowed,
        &[R::WeldNotClosed],
        |d, _| {
            let (stop, end) = (at(d, is_stop), last(d, is_end));
            d.shift(stop, end);
            true
        },
    ),
    m("stop following comes before the retreat", R::SeamNotFollowed, |d, _| {
        let (stop, end) = (at(d, is_stop), last(d, is_end));
        d.shift(stop, end + 1);
        true
    }),
    m("a touch too few", R::TooFewTouches, |d, _| {
        let (needed, feels) = (d.may().count(), d.feels());
        if feels.len() != needed || needed < 2 {
            return false;
        }
        d.drop_step(feels[feels.len() - 1]);
        true
    }),
    // Its ways out stay where they were, and may lead through the part.
    and(
        "all touches on one face",
        R::OneSidedTouches,
        &[R::ShortBaseline, R::NoClearMove, R::WayBlockedAtLimit, R::WireBentAndUsed],
        |d, _| {
            if !felt_from_outside(d) {
                return false;
            }
            let feels = d.feels();
            let first = d.act(feels[0]).clone();
            let Instruction::Feel { direction, face, from, .. } = &first else { return false };
            let near = *d.point_mut(from);
            let along = Vector3::z().cross(direction);
            let others: Vec<usize> = feels
                .iter()
                .copied()
                .filter(|&i| matches!(d.act(i), Instruction::Feel { face: f, .. } if f != face))
                .collect();
            if others.is_empty() || feels.len() < d.may().count() {
                return false;
            }
            let toward = d.part.play.about;
            let sign = if (Point3::from(toward) - near).dot(&along) > 0.0 { 1.0 } else { -1.0 };
            for (n, i) in others.iter().enumerate() {
                let name = point_of(d, *i);
                *d.point_mut(&name) = near + along * (sign * 15.0 * (n + 1) as f64);
                let (dir, label) = feel_mut(d, *i);
                (*dir, *label) = (*direction, face.clone());
            }
            true
        },
    ),
    m("two touches close together", R::ShortBaseline, |d, _| {
        let Some((a, b)) = pair(d).filter(|_| turns(d)) else { return false };
        // Another face that is touched twice may hold the turn.
        let alone = d.feels().into_iter().filter(|i| *i != a && *i != b).all(|i| is_alone(d, i));
        if direction_of(d, a).z.abs() > 0.5 || !alone {
            return false;
        }
        let (first, second) = (point_of(d, a), point_of(d, b));
        let (p, q) = (*d.point_mut(&first), *d.point_mut(&second));
        *d.point_mut(&second) = p + (q - p).normalize() * 12.0;
        clears(d)
    }),
    m("a face is touched in one spot alone, and twice", R::ShortBaseline, |d, _| {
        let feels = d.feels();
        let face = |i: usize| match d.act(i) {
            Instruction::Feel { face, .. } => face.clone(),
            _ => String::new(),
        };
        let alone = |i: &usize| feels.iter().filter(|k| face(**k) == face(*i)).count() == 1;
        let Some(once) = feels.iter().copied().find(alone).filter(|_| turns(d)) else {
            return false;
        };
        let again = d.act(once).clone();
        d.insert(once + 1, again);
        true
    }),
    m("turn is not ticked", R::FreedomsTooFew, |d, _| turns(d) && set_may(d, Freedoms::SLIDE_XY)),
    m("X alone is ticked", R::FreedomsTooFew, |d, _| {
        d.may() == Freedoms::SLIDE_XY && set_may(d, Freedoms::X)
    }),
    m("all six boxes are ticked", R::FreedomsTooMany, |d, _| {
        let planar = d.may().is_planar();
        planar && set_may(d, Freedoms::SIX)
    }),
    m("height is ticked, and no touch tells it", R::FreedomsTooMany, |d, _| match d.may() {
        Freedoms::SLIDE_XY => set_may(d, Freedoms::SLIDE_XYZ),
        Freedoms::PLAN => set_may(d, Freedoms::UPRIGHT),
        _ => false,
    }),
    m("turn is ticked, and two touches cannot tell it", R::FreedomsTooMany, |d, _| {
        let two = d.may() == Freedoms::SLIDE_XY && d.feels().len() == 2;
        two && set_may(d, Freedoms::PLAN)
    }),
    m("a search runs the other way", R::SearchMissesFace, |d, rng| {
        if !felt_from_outside(d) {
            return false;
        }
        let feel = any_feel(d, rng);
        let (direction, _) = feel_mut(d, feel);
        *direction = -*direction;
        true
    }),
    m("a search runs along the face", R::SearchMissesFace, |d, rng| {
        let feel = any_feel(d, rng);
        let side = if rng.coin() { 1.0 } else { -1.0 };
        let (direction, _) = feel_mut(d, feel);
        *direction = Vector3::z().cross(direction) * side;
        direction.norm() > 0.5
    }),
    m("a touch goes by the name of another face", R::SearchMissesFace, |d, _| {
        let Some((a, _)) = pair(d) else { return false };
        let Instruction::Feel { face, direction, .. } = d.act(a).clone() else { return false };
        let other = d.feels().into_iter().find(|&i| direction_of(d, i).dot(&direction).abs() < 0.1);
        let Some(other) = other else { return false };
        *feel_mut(d, other).1 = face;
        true
    }),
    m("the reach is short", R::ReachTooShort, |d, _| {
        for step in &mut d.routine.steps {
            if let Instruction::SensingOn { reach_mm, .. } = &mut step.instruction {
                *reach_mm = 17.0;
            }
        }
        true
    }),
    m("a search starts close to its face", R::StartTooClose, |d, rng| {
        // What rides with a coarse place meets less of the play.
        if !one_place(d) {
            return false;
        }
        let feel = any_feel(d, rng);
        let (from, direction) = (point_of(d, feel), direction_of(d, feel));
        let limits = d.part.play;
        if (limits.dx * direction.x).abs() + (limits.dy * direction.y).abs() < 1.5 {
            return false;
        }
        *d.point_mut(&from) += direction * 14.0;
        true
    }),
    m("a search passes over the part", R::TouchHeight, |d, rng| {
        let feel = any_feel(d, rng);
        let (from, direction) = (point_of(d, feel), direction_of(d, feel));
        if direction.z.abs() > 0.5 {
            return false;
        }
        let top = d.part.bodies.iter().map(|b| b.z[1]).fold(0.0, f64::max);
        d.point_mut(&from).z = top + 4.0;
        true
    }),
    m("a search passes over the plate and touches the rail behind it", R::TouchHeight, |d, _| {
        // The rail of the bench side stands 160 mm behind the south face.
        let south = |i: usize| direction_of(d, i).y > 0.9;
        let Some((a, b)) = pair(d).filter(|(a, b)| south(*a) && south(*b)) else { return false };
        if d.part.name != "bench-side" || !turns(d) {
            return false;
        }
        for name in [point_of(d, a), point_of(d, b)] {
            let x = &mut d.point_mut(&name).x;
            *x = x.clamp(90.0, 350.0);
        }
        set_reach(d, 220.0);
        let from = point_of(d, b);
        d.point_mut(&from).z = 16.0;
        true
    }),
    m("the tip of a search is half a millimetre below the top edge", R::TouchHeight, |d, rng| {
        let feel = any_feel(d, rng);
        let (from, direction) = (point_of(d, feel), direction_of(d, feel));
        d.point_mut(&from).z = d.part.bodies[0].z[1] - 0.5;
        direction.z.abs() < 0.5
    }),
    m("the tip of a search is half a millimetre above the table", R::TouchHeight, |d, rng| {
        let feel = any_feel(d, rng);
        let (from, direction) = (point_of(d, feel), direction_of(d, feel));
        d.point_mut(&from).z = 0.5;
        direction.z.abs() < 0.5
    }),
    m("beside a tall part the nozzle meets it before the wire", R::TouchHeight, |d, rng| {
        let feel = any_feel(d, rng);
        let (from, direction) = (point_of(d, feel), direction_of(d, feel));
        d.point_mut(&from).z = 40.0;
        direction.z.abs() < 0.5 && d.part.name == "planter-tub"
    }),
    m("a search is 25 degrees off square", R::SearchNotSquare, |d, _| {
        let Some((a, _)) = pair(d).filter(|(a, _)| direction_of(d, *a).z.abs() < 0.5) else {
            return false;
        };
        set_reach(d, 60.0);
        turn_search(d, a, 25.0);
        true
    }),
    m("the only search of its face is 12 degrees off square", R::SearchNotSquare, |d, _| {
        let play = d.part.play;
        let Some(feel) = d.feels().into_iter().find(|&i| is_alone(d, i)) else { return false };
        if direction_of(d, feel).z.abs() > 0.5 || play.dx < 3.0 || play.dy < 3.0 {
            return false;
        }
        set_reach(d, 60.0);
        turn_search(d, feel, 12.0);
        true
    }),
    m("the searches are too fast", R::FeelTooFast, |d, _| {
        for step in &mut d.routine.steps {
            if let Instruction::SensingOn { speed_mm_s, .. } = &mut step.instruction {
                *speed_mm_s = 120.0;
            }
        }
        true
    }),
    and(
        "all edges are as they came from the mill",
        R::ForecastOutsideTolerance,
        // The touches also disagree by more than the controller takes for scatter.
        &[R::DisagreementIgnored],
        |d, _| {
            for body in &mut d.part.bodies {
                let all = 0..body.outline.corners.len();
                body.edges = all.map(|edge| MadeEdge { edge, made: EdgeMade::Rolled }).collect();
            }
            // Touches of a level face do not scatter more.
            d.part.name != "planter-tub"
        },
    ),
    m("the body that carries the seam is tacked on by hand", R::DatumNotOfTheSeam, |d, _| {
        if d.part.bodies.iter().any(|b| b.play.is_some()) {
            return false;
        }
        let seam_on = d.part.bodies[1].name.clone();
        let play = FixturePlay { dx: 1.0, dy: 1.0, ..FixturePlay::default() };
        d.part.bodies[1].play = Some(play);
        d.part.seams[0].body = Some(seam_on);
        true
    }),
    m("the weld end is taught 3 mm too high", R::WeldPointOffSeam, |d, _| {
        // An upright torch only comes further off the work.
        let leans = d.part.seams[0].work_angle_deg() > 0.0;
        let end = point_of(d, at(d, is_end));
        d.point_mut(&end).z += 3.0;
        leans
    }),
    m("the weld start is taught 2 mm beside the seam", R::WeldPointOffSeam, |d, _| {
        let (start, approach) = (at(d, is_start), at(d, |a| goes(a, "approach")));
        let (start, approach) = (point_of(d, start), point_of(d, approach));
        let away = *d.point_mut(&approach) - *d.point_mut(&start);
        *d.point_mut(&start) += Vector3::new(away.x, away.y, 0.0).normalize() * 2.0;
        true
    }),
    m("the weld begins short of the seam's end", R::WeldPointOffSeam, |d, _| {
        let (start, end) = (point_of(d, at(d, is_start)), point_of(d, at(d, is_end)));
        let along = *d.point_mut(&end) - *d.point_mut(&start);
        *d.point_mut(&start) += along.normalize() * 12.0;
        true
    }),
    m("the weld end lies beyond the end of the seam", R::WeldPointOffSeam, |d, _| {
        let (start, end) = (point_of(d, at(d, is_start)), point_of(d, at(d, is_end)));
        let along = *d.point_mut(&end) - *d.point_mut(&start);
        *d.point_mut(&end) += along.normalize() * 15.0;
        true
    }),
    and(
        "a touch lies at the corner",
        R::TouchNearCorner,
        &[R::ReachTooShort, R::ShortBaseline],
        |d, rng| {
            let feel = any_feel(d, rng);
            let (from, direction) = (point_of(d, feel), direction_of(d, feel));
            // Only where there is a plain corner: the first body's own outline, square to the axes.
            let corners = d.part.bodies[0].outline.corners.clone();
            let along = Vector3::z().cross(&direction);
            let play = d.part.play;
            let slides = (play.dx * along.x).abs() + (play.dy * along.y).abs() > 2.5;
            let start = *d.point_mut(&from);
            let s = |p: &nudgeproof::geometry::Point2<f64>| {
                (p.x - start.x) * along.x + (p.y - start.y) * along.y
            };
            let t = |p: &nudgeproof::geometry::Point2<f64>| {
                (p.x - start.x) * direction.x + (p.y - start.y) * direction.y
            };
            let near =
                corners.iter().filter(|c| c.radius == 0.0 && t(&c.at) > 0.0 && t(&c.at) < 25.0);
            let Some(corner) = near.min_by(|a, b| s(&a.at).abs().total_cmp(&s(&b.at).abs())) else {
                return false;
            };
            let by = s(&corner.at);
            if !slides || by.abs() < 8.0 {
                return false;
            }
            *d.point_mut(&from) += along * (by - by.signum() * 1.5);
            clears(d)
        },
    ),
    m("no move clear between two faces", R::NoClearMove, |d, _| {
        let feels = d.feels();
        let clear = d.find(|a| goes(a, "clear")).expect("clear");
        // Between two touches of one face it may be spared.
        let before = feels.iter().rev().find(|&&p| p < clear).map(|&p| direction_of(d, p));
        let after = feels.iter().find(|&&p| p > clear).map(|&p| direction_of(d, p));
        if after.is_none() || before == after {
            return false;
        }
        d.drop_step(clear);
        // Carried over the next face, it is clear all the same.
        let next = d.routine.steps[clear..].iter().find(|s| s.instruction.moves());
        next.is_some_and(|s| !goes(&s.instruction, "above"))
    }),
    m("no move clear after the last touch", R::NoClearMove, |d, _| {
        let clear = d.rfind(|a| goes(a, "clear")).expect("clear");
        d.drop_step(clear);
        // Nearer to the touch than to the weld, the approach is the move clear.
        let place = |i: usize| d.routine.point(&point_of(d, i)).expect("taught").at;
        let (touch, approach) = (place(last_feel(d)), place(at(d, |a| goes(a, "approach"))));
        (approach - place(at(d, is_start))).norm() < (approach - touch).norm()
    }),
    m("the way of a feel leads through a clamp", R::WayBlockedAtLimit, |d, _| {
        // The south stop of the bench side stands at X 185 to 215 and Y −75 to −40.
        let south = |i: &usize| direction_of(d, *i).y > 0.9;
        let Some(feel) = d.feels().into_iter().find(south) else { return false };
        if !d.part.clamps.iter().any(|c| c.name == "south stop") || d.part.name != "bench-side" {
            return false;
        }
        // The touches still tell the turn.
        if turns(d) && d.feels().len() < 4 {
            return false;
        }
        let from = point_of(d, feel);
        *d.point_mut(&from) = Point3::new(200.0, -16.0, 5.0);
        let beyond = Point3::new(200.0, -120.0, 5.0);
        d.routine.points.push(TaughtPoint { name: "beyond".into(), at: beyond });
        if let Instruction::Feel { way, .. } = &mut d.routine.steps[feel].instruction {
            *way = PathKind::Linear;
        }
        d.insert(feel, go("beyond", PathKind::Joint));
        true
    }),
    m("the way from the weld passes close to a clamp", R::WayBlockedAtLimit, |d, _| {
        // The east clamp of the bench side begins at X 420 and is 40 mm high.
        let retreat = d.rfind(|a| goes(a, "retreat")).expect("retreat");
        let east = d.act(retreat).point().and_then(|p| d.routine.point(p)).expect("taught").at.x;
        if d.part.name != "bench-side" || d.part.play.turn_deg < 2.0 || east < 300.0 {
            return false;
        }
        let beside = Point3::new(404.0, 130.0, 24.0);
        d.routine.points.push(TaughtPoint { name: "beside-clamp".into(), at: beside });
        d.insert(retreat + 1, go("beside-clamp", PathKind::Linear));
        true
    }),
    m("no approach", R::NoApproach, |d, _| {
        // A way point above a gap is near the seam, and counts as the approach.
        felt_from_outside(d) && drop_first(d, |a| goes(a, "approach"))
    }),
    m("no retreat", R::NoRetreat, |d, _| {
        let retreat = d.rfind(|a| goes(a, "retreat")).expect("retreat");
        d.drop_step(retreat);
        true
    }),
    m("the weld end is missing", R::WeldNotClosed, |d, _| drop_first(d, is_end)),
    m("the weld start is missing", R::WeldNotClosed, |d, _| drop_first(d, is_start)),
    m("weld start and weld end are swapped", R::WeldNotClosed, |d, _| {
        let (start, end) = (at(d, is_start), at(d, is_end));
        d.shift(end, start);
        true
    }),
    and("the retreat stands before the weld end", R::WeldNotClosed, &[R::NoRetreat], |d, _| {
        let (end, retreat) = (at(d, is_end), at(d, |a| goes(a, "retreat")));
        d.shift(retreat, end);
        true
    }),
    and(
        "the approach stands after the weld start",
        R::WeldNotClosed,
        &[R::NoApproach, R::SeamNotFollowed],
        |d, _| {
            let (start, approach) = (at(d, is_start), at(d, |a| goes(a, "approach")));
            d.shift(approach, start + 1);
            true
        },
    ),
    m("the wire is trimmed inside the weld", R::WeldNotClosed, |d, _| {
        let end = at(d, is_end);
        d.insert(end, Instruction::TrimWire);
        true
    }),
    m("weld start stands twice", R::WeldNotClosed, |d, _| {
        let start = at(d, is_start);
        let again = d.act(start).clone();
        d.insert(start, again);
        true
    }),
];
