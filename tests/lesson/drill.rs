//! Drills: what is planted, how it is found, and what finding and mending it is worth.

use nudgeproof::cell::{Look, Mend, WIRE_BENT, fault_kind};
use nudgeproof::coach;
use nudgeproof::lesson::{Goal, Lesson, LessonKind, lesson, may_come_together};
use nudgeproof::routine::{Event, EventKind, RunLog, rows_as_csv};
use nudgeproof::session::{
    Action, Evidence, NOTHING_WRONG, NamedCause, Reading, Session, Sign, Told,
};
use std::collections::{BTreeMap, BTreeSet};

fn attempt(seed: u64) -> Lesson {
    let drill = lesson("when-it-goes-wrong").expect("it is there");
    assert_eq!(drill.kind, LessonKind::Drill, "its kind");
    drill.variant(seed).unwrap_or_else(|e| panic!("seed {seed}: {e}"))
}

/// The first attempt of which this is so.
fn first(is: impl Fn(&Lesson) -> bool) -> Lesson {
    (0..200).map(attempt).find(is).expect("one of two hundred")
}

fn named(cause: &str, by: Option<Evidence>) -> NamedCause {
    NamedCause { cause: cause.into(), by }
}

fn name(causes: Vec<NamedCause>) -> Action {
    Action::Name { causes }
}

#[track_caller]
fn act(session: &mut Session, action: Action) {
    if let Err(why) = session.act(action) {
        panic!("it can be done, but: {why}");
    }
}

/// What the parts of the score have.
fn points(drill: &Lesson, session: &Session) -> Vec<(&'static str, u8)> {
    drill.score(session).parts.iter().map(|(what, p)| (what.name(), p.points)).collect()
}

/// The actions of the solution, without its looks and its naming.
fn rest_of_solution(drill: &Lesson) -> Vec<Action> {
    let solved = drill.solved().expect("it can be done");
    let own = solved.actions()[drill.start_actions()..].to_vec();
    let named = own.iter().position(|a| matches!(a, Action::Name { .. })).expect("it is named");
    own[named + 1..].to_vec()
}

#[test]
fn one_in_six_has_nothing_wrong_and_one_in_four_has_two_faults() {
    const ALL: u64 = 240;
    let (mut counts, mut seen) = (BTreeMap::<usize, u64>::new(), BTreeSet::new());
    for drill in (0..ALL).map(attempt) {
        let planted = drill.planted();
        *counts.entry(planted.len()).or_default() += 1;
        if let [a, b] = planted[..] {
            assert!(may_come_together(a, b), "seed {}: {a} and {b}", drill.seed);
        }
        seen.extend(planted);
    }
    // Three standard deviations of a share counted in so many.
    for (count, share) in [(0, 1.0 / 6.0), (2, 0.25)] {
        let (n, is) = (ALL as f64, *counts.get(&count).unwrap_or(&0) as f64);
        let room = 3.0 * (n * share * (1.0 - share)).sqrt();
        assert!((is - n * share).abs() < room, "{count} faults: {is} of {n}");
    }
    let drill = attempt(0);
    let listed: BTreeSet<_> = drill.causes().iter().map(|c| c.name).collect();
    assert!(listed.len() >= 14, "{listed:?}");
    assert_eq!(seen, listed, "every one of them is planted");
}

#[test]
fn where_nothing_is_wrong_the_weld_landed_on_a_part_that_lies_far_away() {
    for drill in (0..60).map(attempt).filter(|d| d.planted().is_empty()) {
        let start = drill.start();
        let last = start.state().last_run().expect("a run");
        assert!(last.landed() && last.arc, "seed {}", drill.seed);
        let play = start.state().part.play;
        let (_, offset) = last.found().expect("it was found");
        let slide = offset.displacement(&play.about.into());
        let share = (slide.x / play.dx).abs().max((slide.y / play.dy).abs());
        assert!(share > 0.8, "seed {}: an odd reading, {share} of the play", drill.seed);
    }
    // And a weld that landed does not mean that nothing is wrong.
    let landed = (0..60).map(attempt).filter(|d| {
        !d.planted().is_empty() && d.start().state().last_run().is_some_and(|r| r.landed())
    });
    assert!(landed.count() >= 5, "faults whose last weld landed");
}

/// Everything of a run that is told, as text; with the torch's way and times.
fn told_of(log: &RunLog) -> String {
    let says: Vec<String> = log.events.iter().map(|e| log.says(&e.what).to_string()).collect();
    let csv = rows_as_csv(&log.rows());
    format!("{:?} {:?} {} {says:?} {csv} {:?}", log.kind, log.part, log.duration, log.welds)
}

/// The drawing, the names of runs, the log with its export, and the coach come from the session that is
/// told. It is compared with the same attempt in which nothing is planted.
#[test]
fn nothing_is_told_of_a_fault_before_its_first_symptom() {
    let mut compared = BTreeSet::new();
    for seed in 0..64 {
        let drill = attempt(seed);
        let planted = drill.planted();
        if planted.is_empty() {
            continue;
        }
        let start = drill.start();
        let told = Told::of(&start, None).expect("something is kept secret");
        let sound = start
            .replayed(start.actions().iter().filter(|a| !a.in_secret()).cloned())
            .unwrap_or_else(|(n, e)| panic!("seed {seed}: action {n}: {e}"));
        let (told, sound) = (told.session(), &sound);
        let whose = format!("seed {seed}: {planted:?}");
        assert_eq!(told.actions(), sound.actions(), "{whose}: what was done");
        assert_eq!(told.to_json(), sound.to_json(), "{whose}: a file of what is told");
        let (a, b) = (told.state(), sound.state());
        assert!(a.concealed() && a.faults.is_empty(), "{whose}: no fault is known");
        assert_eq!(*a.true_part_shown(), *b.true_part_shown(), "{whose}: the part that is drawn");
        assert_eq!(a.part_shown(), b.part_shown(), "{whose}: where it is drawn");
        assert_eq!(a.own_motions_shown(), b.own_motions_shown(), "{whose}: its bodies");
        let mut symptom = false;
        for (a, b) in a.runs.iter().zip(&b.runs) {
            assert_eq!((a.number, a.kind, a.arc), (b.number, b.kind, b.arc), "{whose}: its name");
            assert_eq!(a.part, b.part, "{whose}: where the part is told to lie");
            if symptom {
                continue;
            }
            if told_of(a) == told_of(b) {
                compared.insert(planted.clone());
                continue;
            }
            symptom = true;
            // The first thing that differs is a touch, or something that bends, slips or collides.
            let other = |e: &&Event| !b.events.iter().any(|o| o.what == e.what && o.step == e.step);
            let first = a.events.iter().find(other).map(|e| &e.what);
            let shown = first.is_none_or(|e| {
                matches!(
                    e,
                    EventKind::Crash { .. }
                        | EventKind::WireBent { .. }
                        | EventKind::SearchFailed { .. }
                        | EventKind::PlaceNotFound { .. }
                        | EventKind::ReferenceStored { .. }
                )
            });
            assert!(shown, "{whose}: run {}: {first:?}", a.number);
        }
        assert!(symptom, "{whose}: it shows in the end");
    }
    let kinds: BTreeSet<_> = compared.into_iter().flatten().collect();
    assert!(kinds.len() >= 14, "compared before a symptom: {kinds:?}");
}

#[test]
fn the_coach_says_the_same_with_a_fault_until_a_run_shows_it() {
    for seed in [0, 3, 6, 8, 10, 14, 16, 21, 26, 36, 40] {
        let drill = attempt(seed);
        let start = drill.start();
        // Up to the last run, before which most faults are planted.
        let until = start.actions().iter().rposition(|a| matches!(a, Action::Run { .. }));
        let before = &start.actions()[..until.expect("a run")];
        let early = before.iter().any(|a| matches!(a, Action::PlantInSecret { .. }));
        let with = start.replayed(before.iter().cloned()).expect("it replays");
        let without = before.iter().filter(|a| !a.in_secret()).cloned();
        let without = start.replayed(without).expect("it replays");
        let Some(told) = Told::of(&with, None).filter(|_| early) else { continue };
        if told.session().state().runs != without.state().runs {
            // The reference was taken on a moved part: its runs show it.
            continue;
        }
        let says = |s: &Session| -> Vec<String> {
            coach::review(s).findings.iter().map(|f| f.message.to_string()).collect()
        };
        assert_eq!(says(told.session()), says(&without), "seed {seed}: {:?}", drill.planted());
    }
}

#[test]
fn a_look_says_what_a_person_sees_and_takes_its_minutes() {
    let mut found = BTreeSet::new();
    for drill in (0..48).map(attempt) {
        let planted = drill.planted();
        for at in Look::all() {
            let mut s = drill.start();
            let before = drill.minutes_used(&s);
            act(&mut s, Action::Look { at });
            assert_eq!(drill.minutes_used(&s) - before, at.minutes(), "{}", at.name());
            let saw: Vec<_> = s
                .state()
                .looks
                .last()
                .expect("a look")
                .saw
                .iter()
                .map(ToString::to_string)
                .collect();
            assert!(!saw.is_empty(), "{}: something is said", at.name());
            assert!(saw.iter().all(|s| !s.contains(" mm ") && !s.contains(" mm.")), "{saw:?}");
            // What the session that is told says is the same.
            if let Some(told) = Told::of(&s, None) {
                assert_eq!(told.session().state().looks, s.state().looks, "{}", at.name());
                assert_eq!(drill.minutes_used(told.session()), drill.minutes_used(&s), "minutes");
            }
            for kind in planted.iter().filter_map(|name| fault_kind(name)) {
                if kind.look == Some(at) {
                    found.insert((kind.name, saw.join(" ")));
                }
            }
        }
    }
    let sound: BTreeSet<_> = {
        let mut s = first(|d| d.planted().is_empty()).start();
        Look::all().for_each(|at| act(&mut s, Action::Look { at }));
        s.state().looks.iter().flat_map(|l| l.saw.iter().map(ToString::to_string)).collect()
    };
    for (kind, saw) in &found {
        assert!(!sound.contains(saw), "{kind}: seen as in a sound cell: {saw}");
    }
    let kinds: BTreeSet<_> = found.iter().map(|(kind, _)| *kind).collect();
    assert!(kinds.len() >= 14, "{kinds:?}");
}

#[test]
fn the_solution_is_the_cheapest_way_and_has_every_point() {
    for seed in 0..24 {
        let drill = attempt(seed);
        let solved = drill.solved().expect("it can be done");
        let all = [("cause", 40), ("evidence", 20), ("repair", 20), ("minutes", 20)];
        assert_eq!(points(&drill, &solved), all, "seed {seed}: {:?}", drill.planted());
        // A look more than it takes costs its minutes.
        let mut s = drill.start();
        act(&mut s, Action::Look { at: Look::Square });
        act(&mut s, Action::Look { at: Look::Square });
        for action in &solved.actions()[drill.start_actions()..] {
            act(&mut s, action.clone());
        }
        let minutes = points(&drill, &s)[3].1;
        assert_eq!(u32::from(minutes), 20 - 2 * Look::Square.minutes(), "seed {seed}");
    }
}

#[test]
fn what_is_wrongly_named_or_left_out_costs_points() {
    let drill = first(|d| d.planted().len() == 2);
    let [a, b] = drill.planted()[..] else { panic!("two") };
    let neither = drill.causes().into_iter().find(|c| ![a, b].contains(&c.name));
    let neither = neither.expect("there are more").name;
    let mut s = drill.start();
    act(&mut s, name(vec![named(a, None)]));
    assert_eq!(drill.progress(&s).done, 0, "one is left out");
    act(&mut s, name(vec![named(a, None), named(neither, None)]));
    assert_eq!(drill.progress(&s).done, 0, "one is left out, another one wrong");
    act(&mut s, name(vec![named(NOTHING_WRONG, None)]));
    assert_eq!(drill.progress(&s).done, 0, "not nothing");
    act(&mut s, Action::Reveal);
    act(&mut s, name(vec![named(b, None), named(a, None)]));
    assert_eq!(drill.progress(&s).done, 1, "both, in any order");
    for action in rest_of_solution(&drill) {
        act(&mut s, action);
    }
    assert!(drill.progress(&s).finished(), "mended and proved");
    // 40 less 20 for each of two wrong ones, less 10 for each of four left out: none are left.
    assert_eq!(points(&drill, &s)[..2], [("cause", 0), ("evidence", 0)], "and no evidence");
}

#[test]
fn that_nothing_is_wrong_has_to_be_said() {
    let drill = first(|d| d.planted().is_empty());
    let cause = drill.causes()[0].name;
    let mut s = drill.start();
    act(&mut s, name(vec![named(cause, None)]));
    assert_eq!(drill.progress(&s).done, 0, "nothing is wrong");
    act(&mut s, name(vec![named(NOTHING_WRONG, None), named(cause, None)]));
    assert_eq!(drill.progress(&s).done, 0, "nothing, and something");
    act(&mut s, Action::Reveal);
    act(&mut s, name(vec![named(NOTHING_WRONG, None)]));
    assert_eq!(drill.progress(&s).done, 1, "so it is");
    act(&mut s, Action::Mend { by: Mend::CleanEdge });
    for action in rest_of_solution(&drill) {
        act(&mut s, action);
    }
    assert!(drill.progress(&s).finished(), "and shown by a weld");
    assert_eq!(points(&drill, &s)[2], ("repair", 10), "a mend of what was not broken");
    assert_eq!(drill.was_needed(&s, Mend::CleanEdge), Some(false), "which is said");
}

/// A fast search bends the wire. Who names that beside its cause has named nothing wrong; and who says the same
/// twice has said it once.
#[test]
fn a_consequence_counts_neither_as_right_nor_as_wrong() {
    let drill = attempt(184_133);
    let planted = drill.planted();
    assert!(planted.contains(&"sensing-speed-changed"), "{planted:?}");
    let mut s = drill.start();
    assert!(s.state().wire_is_bent() && !planted.contains(&WIRE_BENT), "bent by a search");
    let all = planted.iter().map(|cause| named(cause, None));
    let with_bend: Vec<_> = all.chain([named(WIRE_BENT, None)]).collect();
    let judged = drill.judged(&s.state().diagnosis(vec![named(WIRE_BENT, None)]));
    assert_eq!((judged.right(), judged.wrong(), judged.is_right()), (0, 0, false));
    assert!(judged.causes[0].follows);
    let wrong = || name(vec![named("worn-clamp", None)]);
    act(&mut s, wrong());
    let mut twice = s.clone();
    act(&mut twice, wrong());
    for s in [&mut s, &mut twice] {
        act(s, name(with_bend.clone()));
        assert_eq!(drill.progress(s).done, 1, "all that is wrong was named");
    }
    assert_eq!(points(&drill, &s)[0], points(&drill, &twice)[0]);
    // At once, with the consequence: all points.
    let mut once = drill.start();
    act(&mut once, name(with_bend));
    assert_eq!(points(&drill, &once)[0], ("cause", 40));
}

#[test]
fn the_coach_speaks_once_the_causes_are_named() {
    let drill = attempt(7);
    let asks = drill.stages.iter().position(|s| s.goal.asks_for(&Goal::CauseNamed));
    let asks = asks.expect("a stage that asks");
    assert!((0..=asks).all(|done| drill.names_causes_later(done)));
    assert!(!drill.names_causes_later(asks + 1));
}

#[test]
fn evidence_counts_where_another_cause_would_have_read_otherwise() {
    let drill = first(|d| d.planted() == ["reference-on-moved-part"]);
    let mut s = drill.start();
    let judged = |s: &Session| drill.judged_with_evidence(s).expect("something was named");
    let offset = |run| Some(Evidence::Reading { run, what: Reading::Offset });
    act(&mut s, Action::Look { at: Look::Tag });
    for (by, tells) in [(offset(2), true), (Some(Evidence::Look(Look::Tag)), false), (None, false)]
    {
        act(&mut s, name(vec![named("reference-on-moved-part", by)]));
        let told = judged(&s).causes[0].told_from.clone();
        assert_eq!(told.contains(&NOTHING_WRONG), tells, "{by:?}: {told:?}");
    }
    assert_eq!(s.state().sign(offset(2).expect("it")), Some(Sign::Unexpected), "in the proof run");
    // Nobody has looked there.
    act(&mut s, name(vec![named("reference-on-moved-part", Some(Evidence::Look(Look::Edges)))]));
    assert!(judged(&s).causes[0].told_from.is_empty(), "no look, no evidence");
}

#[test]
fn one_mend_may_put_two_faults_right_and_another_mend_does_as_well() {
    let wire = first(|d| d.planted() == ["spatter-bridge"]);
    for by in [Mend::CleanNozzle, Mend::ChangeTip] {
        let mut s = wire.start();
        act(&mut s, Action::Mend { by });
        assert!(s.state().faults.is_empty(), "{}", by.says());
        assert_eq!(wire.was_needed(&s, by), Some(true), "{}", by.says());
    }
}

#[test]
fn what_took_time_is_not_taken_back() {
    let drill = attempt(1);
    let mut s = drill.start();
    let begun = drill.start_actions();
    assert_eq!(drill.undo_floor(&s), begun, "the start");
    act(&mut s, Action::SetReference { on: true });
    assert_eq!(drill.undo_floor(&s), begun, "a switch may be turned back");
    let look = s.state().by_hand([Action::Look { at: Look::Edges }]);
    s.act_all(look).expect("it can be looked at");
    assert_eq!(drill.undo_floor(&s), s.actions().len(), "a look may not, with its gesture");
}

/// The small drill about the sensing circuit: its questions are answered by how the first search ends, and
/// its evidence is weighed against what the last run leaves possible.
#[test]
fn the_circuit_drill_asks_how_a_search_ends_and_every_cause_comes() {
    let drill = lesson("sensing-circuit").expect("it is there");
    let mut seen = BTreeMap::<String, BTreeSet<usize>>::new();
    for seed in 0..40 {
        let attempt = drill.variant(seed).expect("any seed");
        let solved = attempt.solved().expect("it can be done");
        let answers = attempt.answers(&solved);
        let right: Vec<_> = answers.iter().map(|a| a.right.expect("decided")).collect();
        assert_eq!(right[0], right[1], "seed {seed}: running again mends nothing");
        seen.entry(attempt.planted().join(" ")).or_default().insert(right[0]);
    }
    let only = |n: usize| Some(BTreeSet::from([n]));
    assert_eq!(seen.remove("spatter-bridge"), only(0), "at once");
    for on_metal in ["", "tip-worn", "untrimmed-wire"] {
        assert_eq!(seen.remove(on_metal), only(1), "{on_metal:?}: where it meets metal");
    }
    assert_eq!(seen.remove("work-lead-off"), only(2), "nothing felt");
    assert!(seen.is_empty(), "{seen:?}");
}
