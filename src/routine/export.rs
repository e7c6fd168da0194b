use super::log::{EventKind, Leg, LegKind, RunLog, SearchOutcome, SolutionOutcome};
use crate::cell::NOZZLE;
use crate::geometry::{Point3, PoseFile};
use crate::io::to_csv;
use serde::Serialize;

/// One row of an exported log: a stretch of motion, or something that happened. The same rows are
/// written as JSON and as CSV.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LogRow {
    /// Number of the run, from 1.
    pub run: usize,
    /// When it began or happened, s from the start of the run.
    pub time_s: f64,
    /// Id of the step.
    pub step: u32,
    /// What: `travel`, `search`, `to_weld`, `weld`, or the name of the event.
    pub what: &'static str,
    /// More about it, in words.
    pub detail: String,
    /// Torch point at its end, work frame, mm.
    pub x_mm: Option<f64>,
    /// Torch point at its end, work frame, mm.
    pub y_mm: Option<f64>,
    /// Torch point at its end, work frame, mm.
    pub z_mm: Option<f64>,
}

impl RunLog {
    /// The whole log as rows, in order of time.
    pub fn rows(&self) -> Vec<LogRow> {
        let legs = self.legs.iter().map(|leg| self.leg_row(leg));
        let events = self.events.iter().map(|e| {
            let (what, detail, at) = self.told(&e.what);
            self.row(e.time, e.step.0, what, detail, at)
        });
        // What happens at the end of one leg stands before the next.
        let mut rows: Vec<_> = events.chain(legs).collect();
        rows.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
        rows
    }

    fn row(
        &self,
        time_s: f64,
        step: u32,
        what: &'static str,
        detail: String,
        at: Option<Point3<f64>>,
    ) -> LogRow {
        let [x_mm, y_mm, z_mm] = at.map_or([None; 3], |p| [p.x, p.y, p.z].map(Some));
        LogRow { run: self.number, time_s, step, what, detail, x_mm, y_mm, z_mm }
    }

    fn leg_row(&self, leg: &Leg) -> LogRow {
        let what = match leg.kind {
            LegKind::Travel => "travel",
            LegKind::Search => "search",
            LegKind::ToWeld => "to_weld",
            LegKind::Weld => "weld",
        };
        let carried = leg.follows.as_ref().map_or_else(String::new, |o| format!(", following {o}"));
        let detail = format!("until {:.2} s{carried}", leg.time[1]);
        self.row(leg.time[0], leg.step.0, what, detail, leg.path.last().copied())
    }

    fn told(&self, what: &EventKind) -> (&'static str, String, Option<Point3<f64>>) {
        match what {
            EventKind::Crash { body, at } => ("crash", format!("nozzle into {body}"), Some(*at)),
            EventKind::WireBent { body, at, bend } => {
                let by = format!("{:.3}, {:.3}, {:.3} mm", bend.x, bend.y, bend.z);
                ("wire_bent", format!("on {body}: {by}"), Some(*at))
            }
            EventKind::Touched { search } => self.search_told("touched", *search),
            EventKind::SearchFailed { search } => self.search_told("search_failed", *search),
            EventKind::SensingOn => ("sensing_on", String::new(), None),
            EventKind::SensingOff => ("sensing_off", String::new(), None),
            EventKind::ReferenceStored { place, overwrote } => {
                let over = if *overwrote { ", over an earlier one" } else { "" };
                ("reference_stored", format!("place {place}{over}"), None)
            }
            EventKind::PlaceFound { place } => ("place_found", self.motion_told(place), None),
            EventKind::PlaceNotFound { place, why } => {
                ("place_not_found", format!("place {place}: {why}"), None)
            }
            EventKind::FollowBegins { place } => ("follow_begins", place.clone(), None),
            EventKind::FollowEnds => ("follow_ends", String::new(), None),
            EventKind::HomeCarried { by_mm } => ("home_carried", format!("{by_mm:.3} mm"), None),
            EventKind::ArcOn => ("arc_on", String::new(), None),
            EventKind::ArcOff => ("arc_off", String::new(), None),
            EventKind::WireTrimmed => ("wire_trimmed", String::new(), None),
            EventKind::PartMoved => ("part_moved", String::new(), None),
            EventKind::CannotDo { why } => ("cannot_do", why.to_string(), None),
        }
    }

    fn search_told(
        &self,
        what: &'static str,
        search: usize,
    ) -> (&'static str, String, Option<Point3<f64>>) {
        let Some(search) = self.searches.get(search) else { return (what, String::new(), None) };
        match &search.outcome {
            // Nobody sees what bridges the nozzle: it touched at once.
            SearchOutcome::Touch { reading, body, .. } if body == NOZZLE => {
                (what, format!("face {}", search.face), Some(*reading))
            }
            SearchOutcome::Touch { reading, body, .. } => {
                (what, format!("face {}, on {body}", search.face), Some(*reading))
            }
            SearchOutcome::Nothing => (what, format!("face {}: nothing", search.face), None),
            SearchOutcome::AlreadyTouching { body } => {
                (what, format!("face {}: touching {body} already", search.face), None)
            }
            SearchOutcome::NotFelt { body } => {
                (what, format!("face {}: not felt, pressed on {body}", search.face), None)
            }
        }
    }

    fn motion_told(&self, place: &str) -> String {
        let found = self.solutions.iter().rev().find_map(|s| match &s.outcome {
            SolutionOutcome::Found { offset, .. } if s.place == place => Some(*offset),
            _ => None,
        });
        found.map_or_else(String::new, |motion| {
            let m = PoseFile::from(motion);
            format!(
                "{place}: {:.3}, {:.3}, {:.3} mm and {:.3}, {:.3}, {:.3} deg",
                m.dx, m.dy, m.dz, m.tilt_x_deg, m.tilt_y_deg, m.turn_deg
            )
        })
    }
}

/// The columns, in the order of the fields of [`LogRow`].
const COLUMNS: [&str; 8] = ["run", "time_s", "step", "what", "detail", "x_mm", "y_mm", "z_mm"];

/// Rows as CSV (RFC 4180), the names of the columns on the first line, numbers rounded for people.
pub fn rows_as_csv(rows: &[LogRow]) -> String {
    to_csv(std::iter::once(COLUMNS.map(str::to_owned)).chain(rows.iter().map(csv_fields)))
}

/// The fields of a row, in the order of [`COLUMNS`]: times to a hundredth of a second, lengths to a
/// thousandth of a millimetre, which is finer than any reading. JSON has every digit.
fn csv_fields(row: &LogRow) -> [String; 8] {
    let length = |mm: Option<f64>| mm.map_or_else(String::new, |mm| decimals(mm, 3));
    [
        row.run.to_string(),
        decimals(row.time_s, 2),
        row.step.to_string(),
        row.what.to_owned(),
        row.detail.clone(),
        length(row.x_mm),
        length(row.y_mm),
        length(row.z_mm),
    ]
}

/// A number with so many decimals, and no minus before a zero.
fn decimals(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let zero = text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.');
    if zero { text.trim_start_matches('-').to_owned() } else { text }
}
