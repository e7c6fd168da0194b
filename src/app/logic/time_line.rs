//! The time line of a run: what happens when, along the time that it takes to watch. What has not been
//! shown yet is drawn as the routine asks for it, so that the line tells nothing ahead of its moment.

use super::describe;
use super::playback::{Moment, Pacing, RATE, planned_seconds, scene_at, scenes};
use crate::app::i18n::say;
use nudgeproof::routine::{
    Event, EventKind, Instruction, LegKind, Routine, RunEnd, RunLog, StepId,
};

/// What a bar is about: each has its own shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum BarKind {
    /// The wire carries sensing voltage: one thick line.
    Sensing,
    /// Points ride with a place: two lines.
    Follow,
    /// A weld: a hatched strip.
    Weld,
}

/// A stretch of the line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Bar {
    pub(crate) kind: BarKind,
    /// From where to where, shares of the line.
    pub(crate) from: f64,
    pub(crate) to: f64,
    /// Its word has room over it.
    pub(crate) named: bool,
}

/// The sign of something that happens at one moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum Sign {
    /// The touch of this number.
    Touch(usize),
    Find,
    /// Something went wrong.
    Trouble,
}

/// A sign on the line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Mark {
    pub(crate) sign: Sign,
    /// Share of the line.
    pub(crate) at: f64,
    /// Where its number or word stands; nowhere without room.
    pub(crate) word: Option<WordAt>,
}

/// Where a word over the line stands, seen from its sign.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum WordAt {
    /// In the middle over it.
    Over,
    /// It begins there.
    After,
}

/// The line is seldom shorter than this, pixels: room is reckoned for it.
const LINE: f64 = 215.0;
/// Mean width of a letter over it, pixels, and the least gap between two words.
const LETTER: f64 = 6.2;
const GAP: f64 = 2.0;

/// The room over the line that words have taken, shares of it.
#[derive(Default)]
struct Room(Vec<[f64; 2]>);

impl Room {
    /// Takes the room of a word of so many letters that begins there, if it is free.
    fn take(&mut self, from: f64, letters: usize) -> bool {
        let to = from + letters as f64 * LETTER / LINE;
        let gap = GAP / LINE;
        let free = self.0.iter().all(|[a, b]| to + gap <= *a || from >= b + gap);
        if free {
            self.0.push([from, to]);
        }
        free
    }

    /// Where a word of so many letters stands at a sign.
    fn at(&mut self, at: f64, letters: usize, beside: bool) -> Option<WordAt> {
        let half = letters as f64 * LETTER / LINE / 2.0;
        if self.take(at - half, letters) {
            Some(WordAt::Over)
        } else {
            (beside && self.take(at - AFTER / LINE, letters)).then_some(WordAt::After)
        }
    }
}

/// How far before its sign a word begins that stands after it, pixels.
pub(crate) const AFTER: f64 = 4.0;

/// Letters of the words for a weld and for a find.
const WELD_LETTERS: usize = 4;
const FIND_LETTERS: usize = 4;

/// The time line of one run.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct TimeLineMarks {
    pacing: Pacing,
    /// How long the line is, s of watching: the run, and what the routine has left where it stopped.
    seconds: f64,
    pub(crate) bars: Vec<Bar>,
    pub(crate) marks: Vec<Mark>,
}

impl TimeLineMarks {
    /// The line of a run of this routine; the weld's speed in mm/s.
    pub(crate) fn new(log: &RunLog, routine: &Routine, weld_mm_s: f64) -> Self {
        let pacing = Pacing::new(log, RATE);
        let left = steps_left(log, routine);
        let mut at = pacing.length();
        let mut times = Times::of_run(log, &pacing);
        for step in left {
            let seconds = planned_seconds(routine, step, weld_mm_s);
            times.step(&routine.steps[step].instruction, [at, at + seconds]);
            at += seconds;
        }
        times.close(at);
        let share = |seconds: f64| seconds / at.max(1e-9);
        let bar = |(kind, [from, to]): (BarKind, [f64; 2])| Bar {
            kind,
            from: share(from),
            to: share(to),
            named: false,
        };
        let mark = |(sign, seconds): (Sign, f64)| Mark { sign, at: share(seconds), word: None };
        let bars = times.bars.into_iter().map(bar).collect();
        let marks = times.marks.into_iter().map(mark).collect();
        let mut line = Self { pacing, seconds: at, bars, marks };
        line.place_words();
        line
    }

    /// Numbers of touches first, then the words of welds and finds, each where there is room.
    fn place_words(&mut self) {
        let mut room = Room::default();
        for mark in &mut self.marks {
            if let Sign::Touch(number) = mark.sign {
                mark.word = room.at(mark.at, number.to_string().len(), false);
            }
        }
        for bar in self.bars.iter_mut().filter(|bar| bar.kind == BarKind::Weld) {
            let middle = f64::midpoint(bar.from, bar.to);
            bar.named = room.at(middle, WELD_LETTERS, false).is_some();
        }
        for mark in self.marks.iter_mut().filter(|mark| mark.sign == Sign::Find) {
            mark.word = room.at(mark.at, FIND_LETTERS, true);
        }
    }

    /// How far along the line a moment is, 0 to 1.
    pub(crate) fn share(&self, moment: Moment) -> f64 {
        self.pacing.watched(moment) / self.seconds.max(1e-9)
    }

    /// The moment at a share of the line: what the run did not get to is its end.
    pub(crate) fn moment(&self, share: f64) -> Moment {
        self.pacing.moment(share * self.seconds)
    }
}

/// What happens at a moment of a run, in words: what is shown while the picture stands still, or else what
/// happens then.
pub(crate) fn happening(log: &RunLog, routine: &Routine, now: Moment) -> String {
    let solution = scene_at(&scenes(log), now).and_then(|scene| scene.sight.solution());
    let found = solution.and_then(|i| {
        let solution = log.solutions.get(i)?;
        let is_it = |e: &&Event| {
            let kind = &e.what;
            e.step == solution.step
                && matches!(kind, EventKind::PlaceFound { .. } | EventKind::ReferenceStored { .. })
        };
        log.events.iter().find(is_it)
    });
    found.map_or_else(|| describe::moment(log, routine, now.t), |e| say(&log.says(&e.what)))
}

/// The step of a run that is on show: the find while the picture stands still for what it has found.
pub(crate) fn step_on_show(log: &RunLog, now: Moment) -> Option<StepId> {
    let solution = scene_at(&scenes(log), now).and_then(|scene| scene.sight.solution());
    let find = solution.and_then(|i| log.solutions.get(i)).map(|solution| solution.step);
    find.or_else(|| log.step_at(now.t))
}

/// The steps that a run which stopped or is paused did not get to, by their places in the routine.
fn steps_left(log: &RunLog, routine: &Routine) -> Vec<usize> {
    if log.end == Some(RunEnd::Finished) {
        return Vec::new();
    }
    let stopped = match log.end {
        Some(RunEnd::Stopped { step }) => Some(step),
        _ => None,
    };
    let events = log.events.iter().map(|e| e.step);
    let steps = log.legs.iter().map(|l| l.step).chain(events).chain(stopped);
    let last = steps.filter_map(|id| Some((routine.index_of(id)?, id))).max_by_key(|(i, _)| *i);
    // A step that the run stopped in before it did what it is for is still to come.
    let did = |id| {
        log.searches.iter().any(|s| s.step == id)
            || log.solutions.iter().any(|s| s.step == id)
            || log.legs.iter().any(|l| l.step == id && l.kind == LegKind::Weld)
    };
    let first = last.map_or(0, |(i, id)| if stopped == Some(id) && !did(id) { i } else { i + 1 });
    (first..routine.steps.len()).collect()
}

/// Bars and signs, s of watching, while they are collected.
#[derive(Default)]
struct Times {
    bars: Vec<(BarKind, [f64; 2])>,
    marks: Vec<(Sign, f64)>,
    touches: usize,
    sensing: Option<f64>,
    follow: Option<f64>,
}

impl Times {
    fn of_run(log: &RunLog, pacing: &Pacing) -> Self {
        let mut times = Self::default();
        let seconds = |t: f64| pacing.watched(Moment { t, stood: 0.0 });
        let after = |t: f64| pacing.watched(Moment { t, stood: f64::MAX });
        for event in &log.events {
            let at = seconds(event.time);
            match event.what {
                EventKind::SensingOn => times.sensing = Some(at),
                EventKind::SensingOff => times.end(BarKind::Sensing, at),
                // After what the find before it has to show.
                EventKind::FollowBegins { .. } => times.follow = Some(after(event.time)),
                EventKind::FollowEnds => times.end(BarKind::Follow, at),
                EventKind::Touched { search } => times.touch(search + 1, at),
                EventKind::SearchFailed { search } => {
                    times.touch(search + 1, at);
                    times.marks.push((Sign::Trouble, at));
                }
                EventKind::ReferenceStored { .. } | EventKind::PlaceFound { .. } => {
                    times.marks.push((Sign::Find, at));
                }
                EventKind::PlaceNotFound { .. } => {
                    times.marks.extend([(Sign::Find, at), (Sign::Trouble, at)]);
                }
                EventKind::Crash { .. }
                | EventKind::WireBent { .. }
                | EventKind::CannotDo { .. }
                | EventKind::HomeCarried { .. } => times.marks.push((Sign::Trouble, at)),
                EventKind::ArcOn
                | EventKind::ArcOff
                | EventKind::WireTrimmed
                | EventKind::PartMoved => {}
            }
        }
        for leg in log.legs.iter().filter(|l| l.kind == LegKind::Weld) {
            times.weld(leg.time.map(seconds));
        }
        times
    }

    /// A step that is still to come.
    fn step(&mut self, instruction: &Instruction, [from, to]: [f64; 2]) {
        match instruction {
            Instruction::SensingOn { .. } => self.sensing = Some(from),
            Instruction::SensingOff => self.end(BarKind::Sensing, to),
            Instruction::Follow { .. } => self.follow = Some(from),
            Instruction::StopFollowing => self.end(BarKind::Follow, to),
            Instruction::Find { .. } => self.marks.push((Sign::Find, from)),
            Instruction::Feel { .. } => self.touch(self.touches + 1, to),
            Instruction::WeldThrough { .. } | Instruction::WeldEnd { .. } => self.weld([from, to]),
            Instruction::Move { .. } | Instruction::WeldStart { .. } | Instruction::TrimWire => {}
        }
    }

    fn touch(&mut self, number: usize, at: f64) {
        self.touches = number;
        self.marks.push((Sign::Touch(number), at));
    }

    /// A stretch of a weld goes on from the one before.
    fn weld(&mut self, [from, to]: [f64; 2]) {
        match self.bars.last_mut() {
            Some((BarKind::Weld, before)) if from - before[1] < 1e-6 => before[1] = to,
            _ => self.bars.push((BarKind::Weld, [from, to])),
        }
    }

    fn end(&mut self, kind: BarKind, at: f64) {
        let open = match kind {
            BarKind::Sensing => self.sensing.take(),
            BarKind::Follow => self.follow.take(),
            BarKind::Weld => None,
        };
        self.bars.extend(open.map(|from| (kind, [from, at])));
    }

    /// What is still on at the end.
    fn close(&mut self, at: f64) {
        self.end(BarKind::Sensing, at);
        self.end(BarKind::Follow, at);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::cell::Fault;
    use nudgeproof::routine::RunSpeed;
    use nudgeproof::session::{Action, Session};

    fn main_job() -> Session {
        let text = include_str!("../../../tests/cases/sessions/as-it-should-be.json");
        Session::from_json(text).expect("a session")
    }

    fn last_line(session: &Session) -> TimeLineMarks {
        let state = session.state();
        TimeLineMarks::new(state.last_run().expect("a run"), &state.routine, 8.0)
    }

    fn signs(line: &TimeLineMarks) -> Vec<Sign> {
        line.marks.iter().map(|m| m.sign).collect()
    }

    fn kinds(line: &TimeLineMarks) -> Vec<BarKind> {
        line.bars.iter().map(|b| b.kind).collect()
    }

    #[test]
    fn a_run_has_its_touches_its_find_and_three_bars_in_their_order() {
        let line = last_line(&main_job());
        let touches = [1, 2, 3, 4].map(Sign::Touch);
        assert_eq!(signs(&line), [&touches[..], &[Sign::Find]].concat());
        let [sensing, follow, weld] = [BarKind::Sensing, BarKind::Follow, BarKind::Weld]
            .map(|kind| line.bars.iter().find(|b| b.kind == kind).expect("a bar"));
        assert!(line.marks[..4].iter().all(|m| m.at > sensing.from && m.at < sensing.to), "felt");
        assert!(sensing.to <= line.marks[4].at && line.marks[4].at < follow.from, "then found");
        assert!(follow.from < weld.from && weld.to < follow.to && follow.to < 1.0, "then welded");
        let gap = line.marks.windows(2).map(|w| w[1].at - w[0].at).fold(1.0, f64::min);
        assert!(gap * 330.0 > 18.0, "the numbers have room on a narrow line: {gap}");
    }

    #[test]
    fn a_run_that_stops_has_the_line_that_its_routine_asks_for_and_its_trouble() {
        let mut session = main_job();
        let whole = last_line(&session);
        let fault = Fault::ClampMoved { clamp: "south stop".into(), dx: 150.0, dy: 38.0 };
        let run = Action::Run { speed: RunSpeed::Full, arc: true, steps: None };
        session.act_all([Action::Plant { fault }, run]).expect("it can be done");
        let stopped = last_line(&session);
        let ahead = |line: &TimeLineMarks| {
            let mut signs = signs(line);
            signs.retain(|s| *s != Sign::Trouble);
            (signs, kinds(line))
        };
        assert!(signs(&stopped).contains(&Sign::Trouble), "{:?}", signs(&stopped));
        assert_eq!(ahead(&stopped).0, ahead(&whole).0, "touches and find to come are as planned");
        let mut sorted = [kinds(&stopped), kinds(&whole)];
        sorted.iter_mut().for_each(|k| k.sort_by_key(|k| *k as u8));
        assert_eq!(sorted[0], sorted[1], "and so are the bars");
        let longer = stopped.seconds / whole.seconds;
        assert!((0.8..1.2).contains(&longer), "it is as long as a whole one: {longer}");
        let end = stopped.moment(1.0).t;
        let log = session.state().last_run().expect("a run").duration;
        assert_eq!(end, log, "a hand on the line gets no further than the run did");
    }

    #[test]
    fn the_find_is_told_while_it_is_shown_and_not_the_step_after_it() {
        let session = main_job();
        let state = session.state();
        let log = state.last_run().expect("a run");
        let told = |stood| {
            let t = log.solutions[0].time;
            happening(log, &state.routine, Moment { t, stood })
        };
        assert_eq!(told(0.1), told(1.0), "the same for all of the scene");
        assert_eq!(told(0.1), "Found “part”");
        let shown = step_on_show(log, Moment { t: log.solutions[0].time, stood: 0.1 });
        assert_eq!(shown, Some(log.solutions[0].step), "and the find is the step that runs");
    }

    #[test]
    fn words_over_the_line_keep_off_each_other() {
        let line = last_line(&main_job());
        let words: Vec<_> = line.marks.iter().map(|mark| mark.word).collect();
        let over = Some(WordAt::Over);
        assert_eq!(words[..4], [over; 4], "numbers of touches");
        assert_eq!(words[4], Some(WordAt::After), "the find follows close on the fourth");
        let mut room = Room::default();
        let all: Vec<_> = (0..60).map(|i| room.at(f64::from(i) / 60.0, 2, false)).collect();
        let kept = all.iter().flatten().count();
        assert!((10..25).contains(&kept), "of sixty numbers those that have room: {kept}");
    }

    #[test]
    fn moment_and_share_are_two_ways_to_say_one_thing() {
        let line = last_line(&main_job());
        for i in 0..=50 {
            let share = f64::from(i) / 50.0;
            assert!((line.share(line.moment(share)) - share).abs() < 1e-6, "{share}");
        }
    }
}
