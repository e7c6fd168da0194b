use super::catalogue::rule;
use super::edited::edited;
use super::facts::{Facts, Meets, still};
use super::finding::{Cost, CostKnown, Finding};
use super::rule::{CostKind, Rule};
use super::rules::entered_live_cell::entries;
use super::script::{Place, Script, nudge};
use crate::cell::SeamMiss;
use crate::geometry::polyline;
use crate::routine::{EventKind, LegKind, Routine, RunLog};
use crate::session::{Header, List, Replay, Session};
use crate::text::{RuleName, Sentence, mm as length, say, speed};
use std::sync::Arc;

/// Differences at the seam below this are noise of the readings, mm (half the default repeatability
/// of one touch).
const MIN_COST_MM: f64 = 0.05;

/// Number of rehearsals to average if the mistake amplifies the noise.
const NOISY_TRIES: u64 = 24;

/// Greatest number of extreme poses of the play tried for one finding.
const LIMITS_TRIED: usize = 8;

/// Cost of a finding: the session (or, without a production run, the standard rehearsal) with the
/// mistake, `with`, compared with the same without it, both without noise.
pub(super) async fn cost(
    facts: &Facts<'_>,
    rule: &Rule,
    finding: &Finding,
    with: Option<&Replay>,
) -> Cost {
    let Some(session) = facts.session else { return Cost::default() };
    match rule.traits.cost {
        CostKind::HomeMissed => return carried(facts, finding).await,
        CostKind::Speed => return too_fast(facts, finding),
        CostKind::BurnedLength => return burned(facts, finding),
        CostKind::InReach => return in_reach(facts),
        CostKind::FirstArc => return first_arc(facts, finding),
        CostKind::Miss | CostKind::MissWithArc | CostKind::Scatter => {}
    }
    let quiet = quiet(session.header());
    if rule.without_mistake.is_none() {
        return in_words(of_routine(facts, rule, finding, with, &quiet).await, with);
    }
    let mut other = Script::of(session);
    make_good(facts, finding, &mut other);
    in_words(
        match (with, other.play(&quiet).await) {
            (Some(with), Some(without)) => compare(with, &without, facts),
            _ => Cost::default(),
        },
        with,
    )
}

/// Says in words what is no cost in millimetres: a miss that another error makes up for, and nothing to
/// see since the session stops for another reason.
fn in_words(cost: Cost, with: Option<&Replay>) -> Cost {
    match (cost.mm, &cost.event) {
        (Some(mm), event) if mm < 0.0 => {
            let by = length(mm.abs(), 1);
            let event = match event {
                Some(event) => say::and_smaller(event.clone(), by),
                None => say::miss_is_smaller(by),
            };
            Cost { mm: None, event: Some(event), ..cost }
        }
        (None, None) => {
            let stop = with.and_then(|w| w.state().runs.iter().find_map(|r| r.stopped_by()));
            let known = if stop.is_some() { CostKnown::NotYet } else { cost.known };
            Cost { mm: None, event: stop, known }
        }
        _ => cost,
    }
}

/// The session as it was, without noise.
pub(super) async fn without_noise(session: &Session) -> Option<Replay> {
    Script::of(session).play(&quiet(session.header())).await
}

/// The session header with negligible noise.
fn quiet(header: &Header) -> Header {
    Header { settings: super::facts::quiet(&header.settings), ..header.clone() }
}

/// Changes a script to one without the mistake of a finding; false if nothing is known to do that.
pub(super) fn make_good(facts: &Facts, finding: &Finding, script: &mut Script) -> bool {
    let rule = rule(finding.rule);
    if let Some(without_mistake) = rule.without_mistake {
        without_mistake(facts, finding, script);
        return true;
    }
    let Some(edits) = (rule.mend)(facts, finding) else { return false };
    script.edit(|routine| edited(routine, &edits, &facts.state.part));
    true
}

/// Cost of a mistake in the routine: the session against itself with the mended routine in every run;
/// if that shows no cost, rehearsals of the routine as it is and as mended.
async fn of_routine(
    facts: &Facts<'_>,
    rule: &Rule,
    finding: &Finding,
    with: Option<&Replay>,
    quiet: &Header,
) -> Cost {
    let Some(session) = facts.session else { return Cost::default() };
    let Some(edits) = (rule.mend)(facts, finding) else { return Cost::default() };
    let mended = edited(facts.routine, &edits, &facts.state.part);
    if rule.traits.cost == CostKind::Scatter {
        return scatter(facts, &mended, session.header()).await;
    }
    let welded = facts.runs.iter().any(|r| r.compares() && r.moved() && r.log.is_over());
    if welded {
        let mut other = Script::of(session);
        make_good(facts, finding, &mut other);
        if let (Some(with), Some(without)) = (with, other.play(quiet).await) {
            let cost = compare(with, &without, facts);
            if cost != Cost::default() {
                return cost;
            }
        }
    }
    let nudged = nudged(facts, quiet.seed);
    // A touch that fails only for some poses of the part: those, among the extreme poses of the play.
    let touch = facts.touches.iter().find(|t| Some(t.step) == facts.place(finding.step));
    let wrong =
        |met: &Meets| !matches!(met, Meets::Face(m) if touch.is_some_and(|t| m.travel <= t.reach));
    let extremes = facts.state.part.extremes();
    let limits = extremes.into_iter().zip(touch.map_or(&[][..], |t| &t.moved));
    let limits = limits.filter(|(_, met)| wrong(met)).map(|(place, _)| place);
    // So it is with a way that is blocked.
    let hits = facts.hits.iter().filter(|hit| Some(hit.step) == facts.place(finding.step));
    let limits = hits.filter_map(|hit| hit.limit.clone()).chain(limits.take(LIMITS_TRIED));
    for place in std::iter::once(nudged).chain(limits) {
        let rehearsal = |routine| {
            let mut script = Script::rehearsal(routine, facts.taught, &place);
            // Only an arc shows it.
            if rule.traits.cost == CostKind::MissWithArc
                && let Some(run) = script.runs().last()
            {
                run.arc = true;
            }
            script
        };
        let with = rehearsal(facts.routine).play(quiet).await;
        let without = rehearsal(&mended).play(quiet).await;
        if let (Some(with), Some(without)) = (with, without) {
            let cost = compare(&with, &without, facts);
            if cost != Cost::default() {
                return Cost { known: CostKnown::Rehearsed, ..cost };
            }
        }
    }
    Cost::default()
}

/// The place of the rehearsal's production run.
fn nudged(facts: &Facts, seed: u64) -> Place {
    let (pose, own) = nudge(&facts.state.part, seed);
    (pose * facts.taught, own)
}

/// Increase of the mean seam miss over noisy rehearsals.
async fn scatter(facts: &Facts<'_>, mended: &Routine, header: &Header) -> Cost {
    let place = nudged(facts, header.seed);
    let with = mean_miss(facts, facts.routine, &place, header).await;
    let without = mean_miss(facts, mended, &place, header).await;
    let mm = with.zip(without).map(|(with, without)| with - without);
    let mm = mm.filter(|mm| mm.abs() >= MIN_COST_MM);
    Cost { mm, event: None, known: CostKnown::Rehearsed }
}

/// The mean seam miss of a routine over noisy rehearsals with the part at `place`, mm.
async fn mean_miss(
    facts: &Facts<'_>,
    routine: &Routine,
    place: &Place,
    header: &Header,
) -> Option<f64> {
    let script = Script::rehearsal(routine, facts.taught, place);
    let mut misses = Vec::new();
    for n in 0..NOISY_TRIES {
        let seed = header.seed.wrapping_add(n);
        let session = script.play(&Header { seed, ..header.clone() }).await;
        misses.extend(session.and_then(|s| off_seam(s.state().last_run()?)));
    }
    (!misses.is_empty()).then(|| misses.iter().sum::<f64>() / misses.len() as f64)
}

/// The greatest speed in a run along an untested path.
fn too_fast(facts: &Facts, finding: &Finding) -> Cost {
    let run = finding.run.and_then(|n| facts.runs.get(n - 1));
    let fastest = run.map(|r| {
        let speeds = r
            .log
            .legs
            .iter()
            .filter(|l| l.time[1] > l.time[0])
            .map(|l| polyline::length(&l.path) / (l.time[1] - l.time[0]));
        speeds.fold(0.0, f64::max)
    });
    let crash = run.and_then(|r| r.log.stopped_by());
    let event = fastest.map(|v| match crash {
        Some(what) => say::stops_at_speed(what, speed(v, 0)),
        None => say::unseen_at_speed(speed(v, 0)),
    });
    Cost { event, ..Cost::default() }
}

/// The length welded in a trial run.
fn burned(facts: &Facts, finding: &Finding) -> Cost {
    let run = finding.run.and_then(|n| facts.runs.get(n - 1));
    let long = run.map(|r| {
        let welds = r.log.legs.iter().filter(|l| l.kind == LegKind::Weld);
        welds.map(|l| polyline::length(&l.path)).sum::<f64>()
    });
    let event = long.map(|mm| say::burns_in_trial(length(mm, 0)));
    Cost { event, ..Cost::default() }
}

/// What a person in the cell was exposed to.
fn in_reach(facts: &Facts) -> Cost {
    let event = if entries(facts).any(|e| e.sensing) {
        say::person_and_voltage()
    } else {
        say::person_in_reach()
    };
    Cost { event: Some(event), ..Cost::default() }
}

/// What the first arc on a moved part did.
fn first_arc(facts: &Facts, finding: &Finding) -> Cost {
    let run = finding.run.and_then(|n| facts.runs.get(n - 1));
    let event = run.map(|r| {
        let missed = r.log.welds.iter().filter(|w| !w.landed);
        let worst = missed.max_by(|a, b| a.worst_mm.abs().total_cmp(&b.worst_mm.abs()));
        match (r.log.stopped_by(), worst) {
            (Some(what), _) => say::stops_with_arc(what),
            (None, Some(w)) if w.worst_mm.abs() > w.tolerance_mm => {
                say::burns_beside(length(w.worst_mm.abs(), 1))
            }
            (None, Some(_)) => say::burns_too_far(),
            (None, None) => say::part_was_risked(),
        }
    });
    Cost { event, ..Cost::default() }
}

/// Distance by which home was missed in the run with the mistake; without it, home is reached.
async fn carried(facts: &Facts<'_>, finding: &Finding) -> Cost {
    // Without *stop following*, every later move home rides with the part.
    let here = |step| finding.rule == RuleName::FollowNeverStopped || Some(step) == finding.step;
    let in_log = |log: &RunLog| {
        let carried = log.events.iter().filter_map(|e| match e.what {
            EventKind::HomeCarried { by_mm } if here(e.step) => Some(by_mm),
            _ => None,
        });
        carried.fold(None, |a: Option<f64>, b| Some(a.map_or(b, |a| a.max(b))))
    };
    let last = facts.runs.iter().rev().find_map(|r| in_log(&r.log).filter(|mm| *mm > MIN_COST_MM));
    let known = if last.is_some() { CostKnown::Happened } else { CostKnown::Rehearsed };
    let mm = match (last, facts.session) {
        (None, Some(session)) => {
            let header = session.header();
            let place = nudged(facts, header.seed);
            let script = Script::rehearsal(facts.routine, facts.taught, &place);
            let rehearsed = script.play(header).await;
            rehearsed.and_then(|s| in_log(s.state().last_run()?))
        }
        (last, _) => last,
    };
    Cost { mm, event: mm.map(|mm| say::away_from_home(length(mm, 1))), known }
}

/// Compares the last run on a moved part (or, if the part never moved, the last run) of both
/// sessions, and the events that stopped their runs.
fn compare(with: &Replay, without: &Replay, facts: &Facts) -> Cost {
    let (a, b) = (&with.state().runs, &without.state().runs);
    // What happens only with the mistake.
    let only = |event: fn(&RunLog) -> Option<Sentence>| {
        let also: Vec<Sentence> = b.iter().filter_map(|r| event(r)).collect();
        a.iter().filter_map(|r| event(r)).find(|what| !also.contains(what))
    };
    let (stopped, bent) = (only(RunLog::stopped_by), only(bent_by));
    // Moved from where its points were taught, or from where a reference was taken.
    let references = &facts.state.memory.references;
    let moved = |r: &RunLog| {
        !still(&r.part, &facts.taught) || references.values().any(|o| !still(&r.part, &o.part))
    };
    let from_end = a.iter().rev().position(|r| moved(r)).unwrap_or(0);
    let run =
        |runs: &List<Arc<RunLog>>| runs.len().checked_sub(from_end + 1).map(|i| runs[i].clone());
    let (with, without) = (run(a), run(b));
    // The miss that the learner is told; where that is the same, by how much the wire is too far away.
    let by = |off: fn(&RunLog) -> Option<f64>| {
        let (with, without) = (off(with.as_ref()?)?, off(without.as_ref()?)?);
        Some(with - without).filter(|mm| mm.abs() >= MIN_COST_MM)
    };
    let mm = by(|log| log.worst_miss().map(f64::abs)).or_else(|| by(off_seam));
    let welds = |run: &Option<Arc<RunLog>>| run.as_ref().is_some_and(|r| !r.welds.is_empty());
    let event = stopped
        .or_else(|| (!welds(&with) && welds(&without)).then(say::nothing_is_welded))
        .or(bent);
    Cost { mm, event, known: CostKnown::Happened }
}

/// How far a weld end is off its seam at most, mm: across the wire, and along it beyond what the arc
/// bears.
fn off_seam(log: &RunLog) -> Option<f64> {
    let ends = log.welds.iter().flat_map(|w| &w.miss);
    ends.map(SeamMiss::off_mm).reduce(f64::max)
}

/// What bent the wire in a run, as a clause.
fn bent_by(log: &RunLog) -> Option<Sentence> {
    log.events.iter().find_map(|e| match &e.what {
        EventKind::WireBent { body, .. } => Some(say::wire_is_bent_on(say::body(body))),
        _ => None,
    })
}
