//! How a run that has already been computed is shown: which moment, and how fast it goes on.

use super::describe::TOLD_FOR;
use nudgeproof::geometry::polyline;
use nudgeproof::routine::{EventKind, Instruction, Leg, LegKind, Routine, RunLog, SolutionOutcome};
use std::cmp::Ordering;

/// A moment of a run on show: a time in the run, s, and how long the picture has stood still there, s.
/// Only where there is something to see it stands still ([`scenes`]).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Moment {
    pub(crate) t: f64,
    pub(crate) stood: f64,
}

/// Times nearer to each other than this are one, s.
const SAME: f64 = 1e-6;

impl Moment {
    fn at(t: f64) -> Self {
        Self { t, stood: 0.0 }
    }

    /// Which of two comes first.
    fn order(&self, other: &Self) -> Ordering {
        let compare = |a: f64, b: f64| {
            if (a - b).abs() < SAME { Ordering::Equal } else { a.total_cmp(&b) }
        };
        compare(self.t, other.t).then_with(|| compare(self.stood, other.stood))
    }

    /// Whether this moment has come at another one.
    pub(crate) fn reached(&self, now: &Self) -> bool {
        self.order(now).is_le()
    }
}

/// Showing a run: which one, and how far into it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Playback {
    /// Place of the run among the session's runs, from 0.
    pub(crate) run: usize,
    /// The moment shown, s.
    pub(crate) t: f64,
    /// How long it has stood still there, s.
    pub(crate) stood: f64,
    /// Up to where it plays, s: the end of the run, or of the single step.
    pub(crate) until: f64,
    pub(crate) playing: bool,
}

impl Playback {
    /// Plays from one moment to another. What is to be seen at the first has been seen, if it goes on
    /// from there.
    pub(crate) fn play(run: usize, from: f64, until: f64) -> Self {
        let stood = if from > 0.0 && from < until { f64::MAX } else { 0.0 };
        Self { run, t: from, stood, until, playing: from <= until }
    }

    /// Stands still at a time.
    pub(crate) fn at(run: usize, t: f64, until: f64) -> Self {
        Self { run, t: t.clamp(0.0, until), stood: f64::MAX, until, playing: false }
    }

    /// Stands still at a moment.
    pub(crate) fn at_moment(run: usize, moment: Moment, until: f64) -> Self {
        Self { stood: moment.stood, ..Self::at(run, moment.t, until) }
    }

    /// The moment shown.
    pub(crate) fn moment(&self) -> Moment {
        Moment { t: self.t, stood: self.stood }
    }

    /// A moment later: `dt` seconds of the viewer's time.
    #[must_use]
    pub(crate) fn advance(self, dt: f64, pacing: &Pacing) -> Self {
        if !self.playing {
            return self;
        }
        let [now, end] =
            [self.moment(), Moment { t: self.until, stood: f64::MAX }].map(|m| pacing.watched(m));
        let Moment { t, stood } = pacing.moment((now + dt).min(end));
        Self { t, stood, playing: now + dt < end, ..self }
    }

    /// Whether the whole of it has been shown.
    pub(crate) fn at_end(&self, log: &RunLog) -> bool {
        self.t >= log.duration - 1e-9
    }
}

/// What there is to see where a run stands still.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Sight {
    /// The end of the search at this place among the run's searches, from 0.
    Contact(usize),
    /// The wire has just been bent.
    Bent,
    /// The find at this place among the run's solutions stored the reference.
    Learned(usize),
    /// It found an offset: where the reference lay is shown first,
    Ghost(usize),
    /// then by how much the part has moved since,
    Arrow(usize),
    /// then the path that goes with it.
    Path(usize),
}

impl Sight {
    /// Its name on the page.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Contact(_) => "contact",
            Self::Bent => "bent",
            Self::Learned(_) => "learned",
            Self::Ghost(_) => "ghost",
            Self::Arrow(_) => "arrow",
            Self::Path(_) => "path",
        }
    }

    /// The place of the find among the run's solutions, if one is shown.
    pub(crate) fn solution(self) -> Option<usize> {
        match self {
            Self::Learned(i) | Self::Ghost(i) | Self::Arrow(i) | Self::Path(i) => Some(i),
            Self::Contact(_) | Self::Bent => None,
        }
    }
}

/// A stop of the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Scene {
    pub(crate) sight: Sight,
    pub(crate) from: Moment,
    /// s of the viewer's time, at the default rate.
    pub(crate) lasts: f64,
}

/// How long a contact stands, s: its rings take two thirds of it, the rest is to read its number.
const CONTACT: f64 = 0.9;
/// How long each part of a find takes, s.
const GHOST: f64 = 0.3;
const ARROW: f64 = 0.5;
const PATH: f64 = 0.7;

/// Every stop of a run, in order.
pub(crate) fn scenes(log: &RunLog) -> Vec<Scene> {
    let contacts = log.searches.iter().enumerate().map(|(i, s)| (s.time, Sight::Contact(i)));
    let bent = |time: f64| (time, Sight::Bent);
    let searching = |time: f64| log.searches.iter().any(|s| (s.time - time).abs() < SAME);
    let bends = log.events.iter().filter(|e| matches!(e.what, EventKind::WireBent { .. }));
    let bends = bends.map(|e| e.time).filter(|time| !searching(*time)).map(bent);
    let finds = log.solutions.iter().enumerate().flat_map(|(i, solution)| {
        let sights = match solution.outcome {
            SolutionOutcome::Found { .. } => vec![Sight::Ghost(i), Sight::Arrow(i), Sight::Path(i)],
            SolutionOutcome::ReferenceStored => vec![Sight::Learned(i)],
            SolutionOutcome::Refused { .. } => Vec::new(),
        };
        sights.into_iter().map(|sight| (solution.time, sight))
    });
    let mut all: Vec<(f64, Sight)> = contacts.chain(bends).chain(finds).collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut out: Vec<Scene> = Vec::new();
    for (t, sight) in all {
        let lasts = match sight {
            Sight::Contact(_) | Sight::Bent | Sight::Learned(_) => CONTACT,
            Sight::Ghost(_) => GHOST,
            Sight::Arrow(_) => ARROW,
            Sight::Path(_) => PATH,
        };
        let before = out.last().filter(|s| (s.from.t - t).abs() < SAME);
        let stood = before.map_or(0.0, |s| s.from.stood + s.lasts);
        out.push(Scene { sight, from: Moment { t, stood }, lasts });
    }
    out
}

/// How long after a stop, s of the run, its sight is still shown: a hand on the time line does not hit
/// one moment.
const LEAVING: f64 = 0.05;

/// The scene on show at a moment.
pub(crate) fn scene_at(scenes: &[Scene], now: Moment) -> Option<Scene> {
    let last = scenes.iter().rev().find(|s| s.from.reached(&now))?;
    (now.t < last.from.t + LEAVING).then_some(*last)
}

/// How much of the way to its offset a followed path has gone, 0 to 1: `None` before that begins.
pub(crate) fn path_share(scenes: &[Scene], solution: usize, now: &Playback) -> Option<f64> {
    let scene = scenes.iter().find(|s| s.sight == Sight::Path(solution))?;
    let at = now.moment();
    if !scene.from.reached(&at) {
        return None;
    }
    let moving = now.playing && at.t - scene.from.t < SAME;
    let share = if moving { (at.stood - scene.from.stood) / scene.lasts } else { 1.0 };
    Some(ease(share.clamp(0.0, 1.0)))
}

/// Slow at both ends.
fn ease(share: f64) -> f64 {
    share * share * (3.0 - 2.0 * share)
}

/// The moments of a run worth stopping at, in order: ends of legs, events and scenes, each once.
pub(crate) fn moments(log: &RunLog) -> Vec<Moment> {
    let times = log.legs.iter().map(|l| l.time[1]).chain(log.events.iter().map(|e| e.time));
    let times = times.chain([0.0, log.duration]).map(Moment::at);
    let mut all: Vec<Moment> = times.chain(scenes(log).into_iter().map(|s| s.from)).collect();
    all.sort_by(Moment::order);
    all.dedup_by(|a, b| a.order(b).is_eq());
    all
}

/// When something of a run begins or ends, in order: between two of these only the torch moves.
pub(crate) fn beats(log: &RunLog) -> Vec<Moment> {
    let mut all = moments(log);
    all.extend(log.searches.iter().map(|s| Moment::at(s.time)));
    all.extend(log.solutions.iter().map(|s| Moment::at(s.time)));
    all.extend(log.events.iter().map(|e| Moment::at(e.time + TOLD_FOR)));
    all.extend(scenes(log).iter().map(|s| Moment::at(s.from.t + LEAVING)));
    all.sort_by(Moment::order);
    all
}

/// The key moment after this one, or the last.
pub(crate) fn next_moment(all: &[Moment], now: Moment) -> Moment {
    let later = |m: &&Moment| m.order(&now).is_gt();
    all.iter().find(later).or(all.last()).copied().unwrap_or(now)
}

/// The key moment before this one, or the first.
pub(crate) fn previous_moment(all: &[Moment], now: Moment) -> Moment {
    let earlier = |m: &&Moment| m.order(&now).is_lt();
    all.iter().rev().find(earlier).or(all.first()).copied().unwrap_or(now)
}

/// How fast a run plays: the time that a viewer has watched, against the moment of the run.
///
/// Travel and welds hurry; the last of the way to a touch does not, and at each [`Scene`] the picture
/// stands still.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Pacing {
    pieces: Vec<Piece>,
}

/// A stretch of a run that plays at one speed, or a stop.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Piece {
    from: Moment,
    to: Moment,
    /// The viewer's time at its beginning and end, s.
    watched: [f64; 2],
}

/// The last of a search, mm: shown at most as fast as it is,
const WAY_IN_MM: f64 = 10.0;
/// and slowly enough to be followed by the eye, s, however fast it is.
const WAY_IN: f64 = 1.0;
/// The shortest that a move is shown, s: shorter, and one does not see where the torch has gone.
const MOVE: f64 = 0.25;

impl Pacing {
    /// `rate` seconds of the run in one of the viewer's, where it hurries.
    pub(crate) fn new(log: &RunLog, rate: f64) -> Self {
        // Someone in more of a hurry than usual has all of it quicker.
        let hurry = (rate / RATE).max(1.0);
        let scenes = scenes(log);
        let mut pacing = Self { pieces: Vec::new() };
        let mut stops = scenes.iter().map(|s| (s.from, s.lasts, s.lasts / hurry)).peekable();
        let mut go_on = |pacing: &mut Self, to: f64, seconds: f64| {
            let from = pacing.end().t;
            let speed = (to - from) / seconds.max(SAME);
            loop {
                let stop = stops.next_if(|(at, ..)| at.t <= to + SAME);
                let end = stop.map_or(to, |(at, ..)| at.t.clamp(pacing.end().t, to));
                pacing.push(Moment::at(end), (end - pacing.end().t) / speed.max(SAME));
                let Some((at, stood, seconds)) = stop else { break };
                pacing.push(Moment { t: end, stood: at.stood + stood }, seconds);
            }
        };
        for leg in &log.legs {
            let waits = (leg.time[0] - pacing.end().t).max(0.0);
            go_on(&mut pacing, leg.time[0], waits / rate);
            for (to, seconds) in speeds(leg, rate, hurry) {
                go_on(&mut pacing, to, seconds);
            }
        }
        let rest = (log.duration - pacing.end().t).max(0.0);
        go_on(&mut pacing, log.duration, rest / rate);
        pacing
    }

    fn end(&self) -> Moment {
        self.pieces.last().map_or_else(Moment::default, |p| p.to)
    }

    fn push(&mut self, to: Moment, seconds: f64) {
        let from = self.end();
        if from.order(&to).is_lt() {
            let begun = self.length();
            // A stretch begins where the stop before it ended.
            self.pieces.push(Piece { from, to, watched: [begun, begun + seconds] });
        }
    }

    /// How long all of it takes to watch, s.
    pub(crate) fn length(&self) -> f64 {
        self.pieces.last().map_or(0.0, |p| p.watched[1])
    }

    /// How long it takes to get to a moment, s.
    pub(crate) fn watched(&self, at: Moment) -> f64 {
        let i = self.pieces.partition_point(|p| p.to.order(&at).is_lt());
        let Some(piece) = self.pieces.get(i) else { return self.length() };
        let [begun, over] = piece.watched;
        let share = if piece.stands() {
            (at.stood - piece.from.stood) / (piece.to.stood - piece.from.stood)
        } else {
            (at.t - piece.from.t) / (piece.to.t - piece.from.t)
        };
        begun + share.clamp(0.0, 1.0) * (over - begun)
    }

    /// The moment shown after this time, s.
    pub(crate) fn moment(&self, watched: f64) -> Moment {
        let i = self.pieces.partition_point(|p| p.watched[1] <= watched);
        let Some(piece) = self.pieces.get(i) else { return self.end() };
        let [begun, over] = piece.watched;
        let share = ((watched - begun) / (over - begun)).clamp(0.0, 1.0);
        let between = |a: f64, b: f64| a + (b - a) * share;
        if piece.stands() {
            Moment { t: piece.to.t, stood: between(piece.from.stood, piece.to.stood) }
        } else {
            Moment::at(between(piece.from.t, piece.to.t))
        }
    }
}

impl Piece {
    fn stands(&self) -> bool {
        self.to.t - self.from.t < SAME
    }
}

/// A leg in stretches of one speed each: until when, s, and how long that is shown, s.
fn speeds(leg: &Leg, rate: f64, hurry: f64) -> Vec<(f64, f64)> {
    let [from, to] = leg.time;
    let takes = to - from;
    match leg.kind {
        LegKind::Travel | LegKind::ToWeld if takes > SAME => {
            vec![(to, (takes / rate).max(MOVE / hurry))]
        }
        LegKind::Travel | LegKind::ToWeld | LegKind::Weld => vec![(to, takes / rate)],
        LegKind::Search => {
            let length = polyline::length(&leg.path).max(SAME);
            let last = length.min(WAY_IN_MM);
            let way_in = takes * last / length;
            let slowly = (way_in / rate.min(1.0)).max(WAY_IN * last / WAY_IN_MM) / hurry;
            vec![(to - way_in, (takes - way_in) / rate), (to, slowly)]
        }
    }
}

/// About how long a step takes to watch that has not run yet, s.
pub(crate) fn planned_seconds(routine: &Routine, index: usize, weld_mm_s: f64) -> f64 {
    let point = |i: usize| Some(routine.point(routine.steps[i].instruction.point()?)?.at);
    match &routine.steps[index].instruction {
        Instruction::Feel { .. } => MOVE + WAY_IN + CONTACT,
        Instruction::Find { .. } => GHOST + ARROW + PATH,
        Instruction::WeldThrough { .. } | Instruction::WeldEnd { .. } => {
            let before = (0..index).rev().find_map(point);
            let length = before.zip(point(index)).map_or(0.0, |(a, b)| (b - a).norm());
            length / weld_mm_s / RATE
        }
        Instruction::Move { .. } | Instruction::WeldStart { .. } | Instruction::TrimWire => MOVE,
        Instruction::SensingOn { .. }
        | Instruction::SensingOff
        | Instruction::Follow { .. }
        | Instruction::StopFollowing => 0.0,
    }
}

/// Viewer's speeds offered: seconds of the run in one second.
pub(crate) const RATES: [f64; 5] = [0.25, 1.0, 3.0, 8.0, 20.0];
/// The one a run starts with.
pub(crate) const RATE: f64 = 8.0;

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::session::Session;
    use std::sync::Arc;

    /// Reference, proof and production run of the main job.
    fn main_job() -> Vec<Arc<RunLog>> {
        let text = include_str!("../../../tests/cases/sessions/as-it-should-be.json");
        let session = Session::from_json(text).expect("a session");
        session.state().runs.iter().cloned().collect()
    }

    fn production() -> Arc<RunLog> {
        main_job().pop().expect("three runs")
    }

    #[test]
    fn it_plays_to_its_end_and_stops() {
        let log = production();
        let pacing = Pacing::new(&log, RATE);
        let mut p = Playback::play(2, 0.0, log.duration);
        let mut seconds = 0.0;
        while p.playing {
            let later = p.advance(0.016, &pacing);
            assert!(p.moment().reached(&later.moment()), "{p:?} then {later:?}");
            p = later;
            seconds += 0.016;
        }
        assert!(p.at_end(&log), "{p:?}");
        assert!((seconds - pacing.length()).abs() < 0.02, "it played for {seconds} s");
        assert_eq!(p.advance(1.0, &pacing), p, "and stays");
    }

    #[test]
    fn the_main_job_is_watched_in_15_to_25_s_and_its_touches_are_half() {
        for log in main_job() {
            let pacing = Pacing::new(&log, RATE);
            let seconds = pacing.length();
            assert!((15.0..25.0).contains(&seconds), "run {} takes {seconds} s", log.number);
            let searches = log.legs.iter().filter(|l| l.kind == LegKind::Search);
            let touch = |leg: &Leg| {
                let [from, to] = leg.time;
                let end = Moment { t: to, stood: CONTACT };
                pacing.watched(end) - pacing.watched(Moment { t: from, stood: f64::MAX })
            };
            let each: Vec<f64> = searches.map(touch).collect();
            assert_eq!(each.len(), 4, "run {}: four touches", log.number);
            let share = each.iter().sum::<f64>() / seconds;
            assert!((0.4..0.6).contains(&share), "run {}: {share} of it", log.number);
        }
    }

    #[test]
    fn the_last_of_a_search_is_no_faster_than_it_is_and_the_rest_hurries() {
        let log = production();
        let pacing = Pacing::new(&log, RATE);
        let rate = |t: f64| {
            let dt = 1e-3;
            2.0 * dt / (pacing.watched(Moment::at(t + dt)) - pacing.watched(Moment::at(t - dt)))
        };
        let search = log.legs.iter().find(|l| l.kind == LegKind::Search).expect("a search");
        let weld = log.legs.iter().find(|l| l.kind == LegKind::Weld).expect("a weld");
        assert!((rate(search.time[0] + 0.1) - RATE).abs() < 1e-6, "far from its end");
        // 10 mm at 20 mm/s are half a second.
        for before in [0.45, 0.25, 0.05] {
            let r = rate(search.time[1] - before);
            assert!((r - 0.5).abs() < 1e-6, "{before} s before contact it plays at {r}");
        }
        assert!((rate(weld.time[0] + 5.0) - RATE).abs() < 1e-6, "the weld");
        let slow = Pacing::new(&log, 0.25);
        let [from, to] = search.time;
        let watched = |t| slow.watched(Moment::at(t));
        assert!(
            (watched(to) - watched(from) - (to - from) * 4.0).abs() < 1e-6,
            "slower on request"
        );
        let fast = Pacing::new(&log, 20.0);
        assert!(fast.length() < pacing.length() / 2.4, "all of it quicker: {}", fast.length());
    }

    #[test]
    fn watched_time_and_moment_are_two_ways_to_say_one_thing() {
        let log = production();
        let pacing = Pacing::new(&log, RATE);
        for i in 0..=200 {
            let watched = pacing.length() * f64::from(i) / 200.0;
            let back = pacing.watched(pacing.moment(watched));
            assert!((back - watched).abs() < 1e-6, "{watched} s came back as {back}");
        }
        assert_eq!(pacing.moment(pacing.length()).t, log.duration, "the end");
    }

    #[test]
    fn it_stands_still_at_a_contact_and_at_a_find() {
        let log = production();
        let (pacing, scenes) = (Pacing::new(&log, RATE), scenes(&log));
        let contact = log.searches[2].time;
        let begun = pacing.watched(Moment::at(contact));
        for after in [0.0, 0.4, 0.8] {
            let now = pacing.moment(begun + after);
            assert!((now.t - contact).abs() < 1e-9, "{after} s later it is at {now:?}");
            assert_eq!(scene_at(&scenes, now).map(|s| s.sight), Some(Sight::Contact(2)), "{now:?}");
        }
        let on = pacing.moment(begun + CONTACT + 0.1);
        assert!(on.t > contact, "then the torch moves on");
        assert_eq!(scene_at(&scenes, on), None, "and the sight is gone");

        let found = log.solutions[0].time;
        let begun = pacing.watched(Moment::at(found));
        let expected = [(0.1, Sight::Ghost(0)), (0.5, Sight::Arrow(0)), (1.2, Sight::Path(0))];
        for (after, sight) in expected {
            let now = pacing.moment(begun + after);
            assert_eq!(scene_at(&scenes, now).map(|s| s.sight), Some(sight), "after {after} s");
        }
        let playing = |after: f64| {
            let Moment { t, stood } = pacing.moment(begun + after);
            Playback { t, stood, ..Playback::play(2, 0.0, log.duration) }
        };
        assert_eq!(path_share(&scenes, 0, &playing(0.7)), None, "the path waits for the arrow");
        let share = path_share(&scenes, 0, &playing(GHOST + ARROW + PATH / 2.0));
        assert!(share.is_some_and(|s| (s - 0.5).abs() < 1e-3), "half way: {share:?}");
        let still = Playback { playing: false, ..playing(0.9) };
        assert_eq!(path_share(&scenes, 0, &still), Some(1.0), "as a still it has arrived");
    }

    #[test]
    fn a_reference_run_stops_where_it_has_learned() {
        let log = &main_job()[0];
        let last = scenes(log).pop().expect("scenes");
        assert_eq!(last.sight, Sight::Learned(0), "the find");
        assert_eq!(scenes(log).len(), 5, "and four touches");
    }

    #[test]
    fn a_step_of_no_length_is_shown_all_the_same() {
        let log = production();
        let (pacing, found) = (Pacing::new(&log, RATE), log.solutions[0].time);
        let mut p = Playback::play(2, found, found);
        let mut seconds = 0.0;
        while p.playing {
            p = p.advance(0.05, &pacing);
            seconds += 0.05;
        }
        assert!((seconds - GHOST - ARROW - PATH).abs() < 0.06, "the find took {seconds} s");
        let resumed = Playback::play(2, found, log.duration).advance(0.1, &pacing);
        assert!(resumed.t > found, "a run that goes on does not show it again");
    }

    #[test]
    fn moments_step_both_ways_and_through_a_find() {
        let all = [0.0, 1.0, 1.7, 4.0].map(Moment::at);
        assert_eq!(next_moment(&all, all[1]), all[2], "on");
        assert_eq!(next_moment(&all, all[3]), all[3], "stays at the last");
        assert_eq!(previous_moment(&all, all[2]), all[1], "back");
        assert_eq!(previous_moment(&all, all[0]), all[0], "stays at the first");
        let log = production();
        let (all, scenes) = (moments(&log), scenes(&log));
        let mut now = Moment::at(log.solutions[0].time);
        for sight in [Sight::Ghost(0), Sight::Arrow(0), Sight::Path(0)] {
            assert_eq!(scene_at(&scenes, now).map(|s| s.sight), Some(sight), "three stills");
            now = next_moment(&all, now);
        }
        assert!(now.t > log.solutions[0].time, "and on");
    }
}
