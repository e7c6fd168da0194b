//! How much a file, a session, a routine, a part or a lesson may hold.
//!
//! Every limit is far above real use, and low enough that page and coach still answer: a link of a
//! thousand characters may unpack to thousands of steps. They hold for what a person does as well
//! as for what is read from a file.

use thiserror::Error;

/// The greatest number of something.
#[derive(Debug, PartialEq, Eq)]
pub struct Limit {
    /// What holds it: "a routine".
    holder: &'static str,
    /// How many it may hold.
    pub most: usize,
    /// What is counted, in the plural.
    what: &'static str,
}

/// Something holds more than it may.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("{} holds at most {} {}, not {found}", limit.holder, limit.most, limit.what)]
pub struct OverLimit {
    limit: &'static Limit,
    found: usize,
}

impl Limit {
    const fn new(holder: &'static str, most: usize, what: &'static str) -> Self {
        Self { holder, most, what }
    }

    /// Whether this many are within the limit.
    ///
    /// # Errors
    /// If they are more.
    pub fn check(&'static self, found: usize) -> Result<(), OverLimit> {
        if found <= self.most { Ok(()) } else { Err(OverLimit { limit: self, found }) }
    }

    /// Whether a text is within the limit, counted in characters.
    ///
    /// # Errors
    /// If it is longer.
    pub fn check_text(&'static self, text: &str) -> Result<(), OverLimit> {
        // Bytes are quicker to count, and at least as many.
        if text.len() <= self.most { Ok(()) } else { self.check(text.chars().count()) }
    }
}

/// Text of a file: a hundred times a long session.
pub static FILE_KIB: Limit = Limit::new("a file", 32 * 1024, "KiB");
/// A drawing file: a hundred times the drawing of a part.
pub static DRAWING_KIB: Limit = Limit::new("a drawing file", 16 * 1024, "KiB");
/// Lines, arcs and curves of a drawing, blocks placed and counted as often as they are: as many are
/// read in a few seconds.
pub static DRAWING_CURVES: Limit = Limit::new("a drawing", 50_000, "lines, arcs and curves");
/// Elements of a drawing file, used or not.
pub static DRAWING_ENTITIES: Limit = Limit::new("a drawing", 50_000, "elements");
/// Groups or blocks within each other.
pub static DRAWING_DEPTH: Limit = Limit::new("a drawing", 64, "groups or blocks within each other");
/// Ends of lines near each other: each pair of them is looked at.
pub static DRAWING_MEETINGS: Limit =
    Limit::new("a drawing", 5_000_000, "pairs of line ends that lie together");
/// Names, as they stand in a list or on the drawing: several lines already.
pub static NAME: Limit = Limit::new("a name", 200, "characters");
/// A text of a lesson: three printed pages.
pub static TEXT: Limit = Limit::new("a text", 10_000, "characters");

/// Actions of a session: a thousand an hour for a hundred hours. Under 200 MB of memory.
pub static ACTIONS: Limit = Limit::new("a session", 100_000, "actions");
/// Steps done in all runs of a session; a start or a resumption that does none counts as one. Room
/// for a thousand runs of twenty steps. Playing a session again, as the coach does for each mistake,
/// takes time in proportion.
pub static STEPS_RUN: Limit = Limit::new("a session", 20_000, "steps done in all its runs");
/// Faults that lie in the cell at one time: all kinds, and paint on many edges.
pub static FAULTS: Limit = Limit::new("a cell", 50, "faults at a time");
/// Faults planted one after the other in a session: each sets the cell up anew.
pub static FAULTS_PLANTED: Limit = Limit::new("a session", 2_000, "faults planted in it");
/// Places of which the controller remembers the offset, or the reference.
pub static REMEMBERED: Limit = Limit::new("the controller", 50, "places");

/// Steps of a routine: long ones in use have under a hundred.
pub static STEPS: Limit = Limit::new("a routine", 400, "steps");
/// Feels of a routine: a part has six freedoms, so twelve touches are many. The coach tries
/// each with the part at 64 places.
pub static FEELS: Limit = Limit::new("a routine", 100, "feels");
/// Taught points of a routine: as many as steps use, and some to spare.
pub static POINTS: Limit = Limit::new("a routine", 500, "points");

/// Bodies of a part; as many clamps, seams and model touches.
pub static PART_ITEMS: Limit = Limit::new("each list of a part", 100, "entries");
/// Edges of all outlines and holes of a part and its clamps, roundings as chords: every search and
/// every move is compared with all of them. A full circle of 10 mm comes to some 160.
pub static PART_EDGES: Limit = Limit::new("a part", 2_000, "edges, with rounded corners split");

/// Parts that come with a lesson.
pub static PARTS: Limit = Limit::new("a lesson", 20, "parts of its own");
/// Stages of a lesson: the longest of the course has under twenty.
pub static STAGES: Limit = Limit::new("a lesson", 100, "stages");
/// Records of attempts in one file: many years of practice.
pub static RECORDS: Limit = Limit::new("a file of records", 10_000, "attempts");

/// Touches of one case of a case file: solving them takes time in proportion to their square.
pub static CASE_TOUCHES: Limit = Limit::new("a case", 1_000, "touches");
/// Weld points of one case.
pub static CASE_WELD_POINTS: Limit = Limit::new("a case", 10_000, "weld points");
/// Text of one case. A case file may have any number of them.
pub static CASE_KIB: Limit = Limit::new("a case", 4 * 1024, "KiB");
