//! Two mistakes at once: both are named, unless one makes the other impossible to see.

use super::change::{Mutation, is_end, is_find, is_follow, is_on, is_start};
use super::draft::{Draft, agree, correct};
use super::rng::Rng;
use super::{mutations, rules};
use nudgeproof::coach::{self, Finding, RuleName as R};
use nudgeproof::geometry::Pose;
use nudgeproof::routine::{Event, EventKind, Instruction, Leg, RunEnd, RunLog, RunSpeed, Step};
use nudgeproof::session::{List, Session};
use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;

/// How many sessions with two mistakes are made.
const PAIRS: usize = 600;

/// A session with one mistake that is not named once there is another.
struct Pair<'a> {
    /// The rule of the mistake that is not named, and of the other one.
    hidden: R,
    hider: R,
    /// The session with the first alone, and what is said of it there.
    alone: &'a Session,
    finding: &'a Finding,
    /// The session with both, and what is said of it.
    both: &'a Session,
    said: &'a [Finding],
}

/// Why a mistake cannot be seen, and whether that is so.
type Reason = (&'static str, fn(&Pair) -> bool);

const REASONS: &[Reason] = &[
    ("a run stops before it comes to it", |p| {
        if coach::rule(p.hidden).reads != coach::Reads::Session {
            return false;
        }
        let (alone, both) = (&p.alone.state().runs, &p.both.state().runs);
        let stopped = |r: &RunLog| matches!(r.end, Some(RunEnd::Stopped { .. }));
        let stops = |runs: &List<Arc<RunLog>>| runs.iter().filter(|r| stopped(r)).count();
        let here = p.finding.run.map_or(alone.len(), |n| n - 1);
        both.iter().enumerate().filter(|(_, r)| stopped(r)).any(|(k, r)| {
            let more = stops(both) > stops(alone);
            let shorter = alone.get(k).is_some_and(|a| r.legs.len() < a.legs.len());
            let in_time = k < here || before_it(p, r);
            (more || shorter) && in_time
        })
    }),
    ("the other mistake is made in the same step, or takes it away", |p| {
        let step = |s: &Session| {
            let routine = &s.state().routine;
            let i = routine.index_of(p.finding.step?)?;
            let instruction = routine.steps[i].instruction.clone();
            let at = instruction.point().and_then(|name| routine.point(name)).map(|at| at.at);
            Some((instruction, at))
        };
        let before = |s: &Session| {
            let routine = &s.state().routine;
            let i = routine.index_of(p.finding.step?)?;
            Some(routine.steps[i.checked_sub(1)?].instruction.clone())
        };
        let of_the_way = matches!(p.hidden, R::NoApproach) && before(p.alone) != before(p.both);
        let used = |s: &Session, name: &str| {
            let steps = &s.state().routine.steps;
            steps.iter().any(|step| step.instruction.point() == Some(name))
        };
        let point = p.finding.point.as_deref();
        let unused = point.is_some_and(|name| used(p.alone, name) && !used(p.both, name));
        (p.finding.step.is_some() && (step(p.alone) != step(p.both))) || of_the_way || unused
    }),
    ("a feel in the follow is near the seam, or rides with the place itself", |p| {
        let follows = |f: &Finding| f.rule == R::FeelFollowsPart;
        let feels_after = |s: &Session| {
            let steps = &s.state().routine.steps;
            let find = steps.iter().position(|s| is_find(&s.instruction)).unwrap_or(0);
            let feel = |s: &&Step| matches!(s.instruction, Instruction::Feel { .. });
            steps[find..].iter().filter(feel).count()
        };
        match p.hidden {
            R::NoApproach => feels_after(p.both) > feels_after(p.alone),
            R::TouchNearCorner | R::SearchNotSquare => p.said.iter().any(follows),
            _ => false,
        }
    }),
    ("no hands are in the cell any longer", |p| {
        p.hidden == R::EnteredLiveCell && p.both.state().live_entries.is_empty()
    }),
    ("the run is no longer at full speed", |p| {
        let run = p.finding.run.and_then(|n| p.both.state().runs.get(n - 1));
        p.hidden == R::FirstRunTooFast && run.is_some_and(|r| r.speed == RunSpeed::Reduced)
    }),
    ("the new reference that is missing would have been the slow first run", |p| {
        let missing = p.said.iter().find(|f| f.rule == R::FeelEditedAfterReference);
        p.hidden == R::FirstRunTooFast && missing.is_some_and(|f| f.run == p.finding.run)
    }),
    ("a new reference came after it, and it is history", |p| {
        let runs = &p.both.state().runs;
        let stored = |r: &RunLog| r.events.iter().any(|e| is_stored(&e.what));
        let last = runs.iter().rposition(|r| stored(r));
        p.finding.run.is_some_and(|n| last.is_some_and(|last| last + 1 > n))
            && p.hider != R::ReferenceRetakenOnMovedPart
    }),
    ("the run has no arc any longer", |p| {
        let run = p.finding.run.and_then(|n| p.both.state().runs.get(n - 1));
        p.hidden == R::ArcOnFirstMovedPart && run.is_some_and(|r| !r.arc)
    }),
    ("no run compares", |p| {
        let found = |e: &Event| matches!(e.what, EventKind::PlaceFound { .. });
        p.hidden == R::NoProofRun && p.both.state().runs.iter().all(|r| !r.events.iter().any(found))
    }),
    ("no touch stands before its find", |p| {
        let routine = &p.both.state().routine;
        let find = p.finding.step.and_then(|id| routine.index_of(id));
        let feels = |i: usize| {
            let feel = |s: &Step| matches!(s.instruction, Instruction::Feel { .. });
            routine.steps[..i].iter().any(feel)
        };
        [R::FreedomsTooMany, R::OneSidedTouches, R::TooFewTouches, R::ShortBaseline]
            .contains(&p.hidden)
            && find.is_some_and(|i| !feels(i))
    }),
    ("there are as many touches again as it takes", |p| {
        let feels = |s: &Session| {
            let feel = |s: &&Step| matches!(s.instruction, Instruction::Feel { .. });
            s.state().routine.steps.iter().filter(feel).count()
        };
        p.hidden == R::TooFewTouches && feels(p.both) > feels(p.alone)
    }),
    ("sensing is never on", |p| {
        let steps = &p.both.state().routine.steps;
        p.hidden == R::SensingOnWhileWelding && !steps.iter().any(|s| is_on(&s.instruction))
    }),
    ("nothing follows", |p| {
        let steps = &p.both.state().routine.steps;
        p.hidden == R::HomeFollowsPart && !steps.iter().any(|s| is_follow(&s.instruction))
    }),
    ("what is ticked is judged by touches, and one of them meets no face or is not felt", |p| {
        let of_touches = [
            R::FeelFollowsPart,
            R::FeelWithoutSensing,
            R::SearchMissesFace,
            R::TouchHeight,
            R::ReachTooShort,
        ];
        p.hidden == R::FreedomsTooMany && p.said.iter().any(|f| of_touches.contains(&f.rule))
    }),
    ("where the touches do not tell what is ticked, there is no place to be judged", |p| {
        let blind = |f: &Finding| f.rule == R::FreedomsTooMany && f.step == p.finding.step;
        p.hidden == R::DatumNotOfTheSeam && p.said.iter().any(blind)
    }),
    ("no reference is stored that a later run could break or prove", |p| {
        let needs = [
            R::NoProofRun,
            R::ReferenceRetakenOnMovedPart,
            R::ReferenceFlagLeftOn,
            R::FeelEditedAfterReference,
            R::ArcOnFirstMovedPart,
            R::ProofOffsetIgnored,
            R::UntrimmedWire,
        ];
        needs.contains(&p.hidden)
            && p.both.state().runs.iter().all(|r| !r.events.iter().any(|e| is_stored(&e.what)))
    }),
    ("of the rules about where the reference was taken one speaks", |p| {
        let family = [
            R::NoReferenceRun,
            R::ReferenceFlagLeftOn,
            R::ReferenceRetakenOnMovedPart,
            R::ReferenceAwayFromTaught,
        ];
        let named = |rule| p.said.iter().any(|f| f.rule == rule);
        family.contains(&p.hidden) && family.contains(&p.hider) && named(p.hider)
    }),
    ("the part lies where the reference was taken", |p| {
        let parts = places(p.both, true);
        let Some(last) = parts.last() else { return false };
        let first_compared = places(p.both, false).first().copied();
        match p.hidden {
            R::NoProofRun => first_compared == Some(*last),
            R::ArcOnFirstMovedPart => {
                let run = p.finding.run.and_then(|n| p.both.state().run_contexts.get(n - 1));
                run.is_some_and(|c| c.began.part == *last)
            }
            R::ReferenceRetakenOnMovedPart => parts.iter().all(|part| part == last),
            _ => false,
        }
    }),
    ("there is no find of the place that is followed", |p| {
        let routine = &p.both.state().routine;
        let places = |find: bool| {
            let of = move |i: &Instruction| match i {
                Instruction::Find { place, .. } if find => Some(place.clone()),
                Instruction::Follow { place } if !find => Some(place.clone()),
                _ => None,
            };
            routine.steps.iter().filter_map(|s| of(&s.instruction)).collect::<Vec<_>>()
        };
        [R::FollowBeforeFound, R::WrongPlaceFollowed, R::WayBlockedAtLimit].contains(&p.hidden)
            && places(false).iter().all(|f| !places(true).contains(f))
    }),
    ("no find says which touches belong together", |p| {
        let steps = &p.both.state().routine.steps;
        p.hidden == R::SearchMissesFace && !steps.iter().any(|s| is_find(&s.instruction))
    }),
    ("no weld start has a weld end after it", |p| {
        let steps = &p.both.state().routine.steps;
        let start = steps.iter().position(|s| is_start(&s.instruction));
        let end = steps.iter().rposition(|s| is_end(&s.instruction));
        [R::NoRetreat, R::NoApproach, R::WeldPointOffSeam].contains(&p.hidden)
            && start.zip(end).is_none_or(|(start, end)| end < start)
    }),
    ("the offset is that of a part which was moved in the same run", |p| {
        let moved = p.said.iter().find(|f| f.rule == R::PartMovedMidRun);
        p.hidden == R::OffsetBeyondPlay && moved.is_some_and(|f| f.run == p.finding.run)
    }),
    ("the home move in the follow is a move clear", |p| {
        let named = |f: &Finding| f.rule == R::HomeFollowsPart;
        p.hidden == R::NoClearMove && p.said.iter().any(named)
    }),
    ("the run tells of one move of the part alone", |p| {
        let run = p.finding.run.and_then(|n| p.both.state().runs.get(n - 1));
        let told = |r: &Arc<RunLog>| r.events.iter().any(|e| e.what == EventKind::PartMoved);
        p.hidden == R::PartMovedMidRun && run.is_some_and(told)
    }),
    ("the weld points are told to lie off the seam", |p| {
        let off = |f: &Finding| f.rule == R::WeldPointOffSeam;
        p.hidden == R::PointCorrectedOnMovedPart && p.said.iter().any(off)
    }),
    ("a reference is taken anew, as the changed feel needs it", |p| {
        let both = [R::FeelEditedAfterReference, R::ReferenceFlagLeftOn];
        let anew =
            p.both.state().runs.iter().filter(|r| r.events.iter().any(|e| is_stored(&e.what)));
        both.contains(&p.hidden) && both.contains(&p.hider) && anew.count() > 1
    }),
    ("two runs that disagree count together only with one routine", |p| {
        let corrected = |f: &Finding| f.rule == R::PointCorrectedOnMovedPart;
        p.hidden == R::DisagreementIgnored && p.said.iter().any(corrected)
    }),
    ("with the other readings, the touches agree", |p| {
        p.hidden == R::DisagreementIgnored && agree(p.both)
    }),
];

fn is_stored(what: &EventKind) -> bool {
    matches!(what, EventKind::ReferenceStored { .. })
}

/// Whether a run that stops in the session with both does so no later than at the step of the finding.
fn before_it(p: &Pair, stops: &RunLog) -> bool {
    let routine = &p.alone.state().routine;
    let alone = p.finding.run.and_then(|n| p.alone.state().runs.get(n - 1));
    let at = p.finding.time_s.zip(alone);
    let step = at.and_then(|(time, r)| r.legs.iter().rfind(|l| l.time[0] <= time));
    let order = |leg: Option<&Leg>| leg.and_then(|l| routine.index_of(l.step));
    match (order(stops.legs.last()), order(step)) {
        (Some(stop), Some(step)) => stop <= step,
        _ => true,
    }
}

/// Where the part lay at the start of each run with the reference flag on, or off.
fn places(session: &Session, flag: bool) -> Vec<Pose> {
    let contexts = session.state().run_contexts.iter();
    contexts.filter(|c| c.began.reference_flag == flag).map(|c| c.began.part).collect()
}

/// Makes a mistake in a session that may have one already; `None` if it cannot carry this one.
fn with(draft: &Draft, mutation: &Mutation, seed: u64) -> Option<(Draft, Session)> {
    let mut next = draft.clone();
    let make = AssertUnwindSafe(|| {
        let made = (mutation.make)(&mut next, &mut Rng(seed));
        made.then(|| next.session())
    });
    let session = catch_unwind(make).ok()??;
    Some((next, session))
}

#[test]
fn of_two_mistakes_both_are_named() {
    let count = std::env::var("PAIRS").ok().and_then(|n| n.parse().ok()).unwrap_or(PAIRS);
    // What no rule explains is no mistake of a kind.
    let all: Vec<&Mutation> = mutations().filter(|m| m.rule != R::UnexplainedMiss).collect();
    let mut reasons: BTreeMap<&str, usize> = BTreeMap::new();
    let (mut wrong, mut made, mut both_named) = (Vec::new(), 0, 0);
    for seed in 200_000.. {
        if made == count {
            break;
        }
        let mut rng = Rng(seed);
        let (a, b) = (all[rng.below(all.len())], all[rng.below(all.len())]);
        if a.rule == b.rule {
            continue;
        }
        let draft = correct(seed);
        let Some((one, only_a)) = with(&draft, a, seed) else { continue };
        let Some((_, both)) = with(&one, b, seed) else { continue };
        let Some((_, only_b)) = with(&draft, b, seed) else { continue };
        // The second may have taken back the first, or both together are right.
        let same = |s: &Session| s.actions() == both.actions();
        if same(&only_a) || same(&only_b) || same(&draft.session()) {
            continue;
        }
        made += 1;
        let said = coach::review(&both);
        let named = rules(&said);
        let less = said.findings.iter().find(|f| f.cost.mm.is_some_and(|mm| mm < 0.0));
        assert!(less.is_none(), "{}: a cost is never less than nothing: {less:?}", draft.about);
        let mut seen = true;
        for (hidden, hider, alone) in [(a, b, &only_a), (b, a, &only_b)] {
            if named.contains(&hidden.rule) {
                continue;
            }
            seen = false;
            let findings = coach::review(alone).findings;
            let Some(finding) = findings.iter().find(|f| f.rule == hidden.rule) else {
                wrong.push(format!("{}, alone, is not named: {}", hidden.what, draft.about));
                continue;
            };
            let (hidden_rule, hider_rule, said) = (hidden.rule, hider.rule, &said.findings[..]);
            let pair =
                Pair { hidden: hidden_rule, hider: hider_rule, alone, finding, both: &both, said };
            match REASONS.iter().find(|(_, is_so)| is_so(&pair)) {
                Some((why, _)) => *reasons.entry(why).or_default() += 1,
                None => wrong.push(format!(
                    "{} ({}), beside {}, is not named, but {named:?}: {} {:?}",
                    hidden.what,
                    hidden.rule,
                    hider.what,
                    draft.about,
                    both.state().runs.iter().map(|r| (r.kind, r.arc, &r.end)).collect::<Vec<_>>()
                )),
            }
        }
        both_named += usize::from(seen);
    }
    println!("{both_named} of {made} sessions have both named");
    for (why, n) in &reasons {
        println!("{n} times {why}");
    }
    assert!(both_named > made * 4 / 5, "only {both_named} of {made}");
    assert!(wrong.is_empty(), "{} of {made}:\n{}", wrong.len(), wrong.join("\n"));
}
