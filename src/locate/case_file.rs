//! Case files: many sets of touches to solve, as JSON.
//!
//! ```json
//! {
//!   "sigma_mm": 0.15,
//!   "cases": [
//!     {
//!       "name": "2+1",
//!       "freedoms": ["x", "y", "turn"],
//!       "sigma_mm": 0.15,
//!       "touches": [
//!         { "face": "front", "direction": [0, 1, 0],
//!           "reference": [50, 0, 5], "current": [50, -0.7, 5] }
//!       ],
//!       "weld_points": [ { "point": [80, 160, 0], "seam_direction": [1, 0, 0] } ]
//!     }
//!   ]
//! }
//! ```
//!
//! Lengths in mm, work frame. `sigma_mm` is the repeatability of one touch, given
//! for the case or for the whole file (then before `cases`). `weld_points` may be
//! missing; `current` is missing or null if the search found nothing. Touches with
//! the same `face` share one line or plane. `freedoms` is a list (`["x", "y", "turn"]`; also
//! `height`, `tilt_x`, `tilt_y`) or one of the names `slide_one` (along the searches), `slide_two`,
//! `slide_turn`, `slide_three`, `slide_three_turn`, `slide_tilt`. Other fields (`about`, `start`,
//! `expect`) are ignored.

use super::{Freedoms, Touch};
use crate::io::limits::{CASE_KIB, CASE_TOUCHES, CASE_WELD_POINTS};
use crate::io::{at_most, in_plain_words};
use nalgebra::{Point3, Vector3};
use serde::de::{DeserializeSeed, Deserializer, IgnoredAny, MapAccess, SeqAccess, Visitor};
use serde::{Deserialize, Serialize};
use std::cell::RefCell;
use std::fmt;
use std::io::{self, BufRead as _, BufReader, Read};

/// One case: the touches to solve, and weld points to move along.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Case {
    /// Name of the case.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// How the part may have moved: a list of freedoms, or one of the six names.
    #[serde(deserialize_with = "Freedoms::by_name_or_list")]
    pub freedoms: Freedoms,
    /// Touch repeatability, mm; that of the file if missing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sigma_mm: Option<f64>,
    /// The touches, in the order of the residuals.
    #[serde(deserialize_with = "some_touches")]
    pub touches: Vec<CaseTouch>,
    /// Taught points of the weld, in the order of the answer.
    #[serde(
        default,
        deserialize_with = "some_weld_points",
        skip_serializing_if = "Option::is_none"
    )]
    pub weld_points: Option<Vec<WeldPoint>>,
}

/// One touch as it stands in a case file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CaseTouch {
    /// Name of the face.
    pub face: String,
    /// Search direction, towards the part; any length.
    pub direction: [f64; 3],
    /// Contact of the reference run, mm.
    pub reference: [f64; 3],
    /// Contact of this run, mm; `None` if the search found nothing.
    #[serde(default)]
    pub current: Option<[f64; 3]>,
}

/// A taught point of the weld and the direction of the seam there.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct WeldPoint {
    /// The taught point, mm.
    pub point: [f64; 3],
    /// Direction of the taught seam; any length.
    pub seam_direction: [f64; 3],
}

fn some_touches<'de, D: Deserializer<'de>>(from: D) -> Result<Vec<CaseTouch>, D::Error> {
    at_most(&CASE_TOUCHES, from)
}

fn some_weld_points<'de, D>(from: D) -> Result<Option<Vec<WeldPoint>>, D::Error>
where
    D: Deserializer<'de>,
{
    struct Some(Vec<WeldPoint>);

    impl<'de> Deserialize<'de> for Some {
        fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
            at_most(&CASE_WELD_POINTS, from).map(Self)
        }
    }

    Ok(Option::<Some>::deserialize(from)?.map(|points| points.0))
}

impl Case {
    /// The touches for [`locate`](super::locate). A face's label is the index of its first touch.
    pub fn touches(&self) -> Vec<Touch> {
        let label =
            |face: &str| self.touches.iter().position(|t| t.face == face).unwrap_or_default();
        self.touches
            .iter()
            .map(|t| Touch {
                face: label(&t.face),
                search: Vector3::from(t.direction),
                reference: Point3::from(t.reference),
                current: t.current.map(Point3::from),
            })
            .collect()
    }
}

/// Why reading a case file stopped.
#[derive(Debug, thiserror::Error)]
pub enum CaseFileError {
    /// The text is not a case file: what is wrong and where.
    #[error("line {line}, column {column}{place}: {problem}")]
    Layout {
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
        /// `, case 3, touches[1].direction`, or empty outside the cases.
        place: String,
        /// What was found and what was expected.
        problem: String,
    },
    /// The file could not be read, or `each` returned this error.
    #[error(transparent)]
    Io(#[from] io::Error),
}

/// Reads a case file and calls `each` with every case and its sigma, mm. Only one
/// case is in memory at a time. Returns the number of cases.
///
/// # Errors
///
/// The first place in the file that is wrong, or the first error of `each`.
pub fn read_cases(
    reader: impl Read,
    each: &mut dyn FnMut(&Case, f64) -> io::Result<()>,
) -> Result<usize, CaseFileError> {
    let progress = RefCell::new(ReadState::default());
    let mut reader = BufReader::new(OfOneCase { reader, progress: &progress });
    // Some editors put a byte-order mark before a text.
    if reader.fill_buf()?.starts_with("\u{feff}".as_bytes()) {
        reader.consume("\u{feff}".len());
    }
    let mut json = serde_json::Deserializer::from_reader(reader);
    let result =
        CaseFile { each, progress: &progress }.deserialize(&mut json).and_then(|()| json.end());
    let progress = progress.into_inner();
    match result {
        Ok(()) => Ok(progress.read),
        Err(_) if progress.failed.is_some() => {
            Err(progress.failed.unwrap_or_else(|| io::Error::other("")).into())
        }
        Err(e) if e.is_io() => Err(CaseFileError::Io(e.into())),
        Err(e) => {
            let text = e.to_string();
            let at = format!(" at line {} column {}", e.line(), e.column());
            let problem = in_plain_words(text.strip_suffix(&at).unwrap_or(&text));
            Err(CaseFileError::Layout {
                line: e.line(),
                column: e.column(),
                place: progress.place,
                problem,
            })
        }
    }
}

#[derive(Default)]
/// How far the reading has come.
struct ReadState {
    read: usize,
    sigma: Option<f64>,
    place: String,
    failed: Option<io::Error>,
    /// Bytes that were read since the last case ended.
    bytes: usize,
}

/// Reads no more bytes for one case than a case may hold: however long a file is, one case is in memory.
struct OfOneCase<'a, R> {
    reader: R,
    progress: &'a RefCell<ReadState>,
}

impl<R: Read> Read for OfOneCase<'_, R> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let read = self.reader.read(into)?;
        let mut progress = self.progress.borrow_mut();
        progress.bytes += read;
        match CASE_KIB.check(progress.bytes / 1024) {
            Ok(()) => Ok(read),
            Err(over) => {
                let place = format!("case {}: {over}", progress.read + 1);
                progress.failed = Some(io::Error::other(place));
                Err(io::Error::other("too long"))
            }
        }
    }
}

type Each<'a> = &'a mut dyn FnMut(&Case, f64) -> io::Result<()>;

/// The whole file.
struct CaseFile<'a> {
    each: Each<'a>,
    progress: &'a RefCell<ReadState>,
}

impl<'de> DeserializeSeed<'de> for CaseFile<'_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, json: D) -> Result<(), D::Error> {
        json.deserialize_map(self)
    }
}

impl<'de> Visitor<'de> for CaseFile<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("a case file: an object with the array `cases`")
    }

    fn visit_map<A: MapAccess<'de>>(mut self, mut map: A) -> Result<(), A::Error> {
        let mut seen = false;
        while let Some(key) = map.next_key::<String>()? {
            match key.as_str() {
                "sigma_mm" => {
                    if self.progress.borrow().sigma.is_some() {
                        return Err(serde::de::Error::duplicate_field("sigma_mm"));
                    }
                    self.progress.borrow_mut().place = ", sigma_mm".into();
                    let sigma = map.next_value()?;
                    self.progress.borrow_mut().sigma = Some(sigma);
                }
                "cases" if seen => return Err(serde::de::Error::duplicate_field("cases")),
                "cases" => {
                    map.next_value_seed(Cases(&mut self))?;
                    seen = true;
                }
                _ => {
                    map.next_value::<IgnoredAny>()?;
                }
            }
            self.progress.borrow_mut().place.clear();
        }
        if seen { Ok(()) } else { Err(serde::de::Error::missing_field("cases")) }
    }
}

/// The array of cases.
struct Cases<'b, 'a>(&'b mut CaseFile<'a>);

impl<'de> DeserializeSeed<'de> for Cases<'_, '_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, json: D) -> Result<(), D::Error> {
        self.0.progress.borrow_mut().place = ", cases".into();
        json.deserialize_seq(self)
    }
}

impl<'de> Visitor<'de> for Cases<'_, '_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("a list of cases")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut cases: A) -> Result<(), A::Error> {
        let progress = self.0.progress;
        while let Some(case) = cases.next_element_seed(OneCase(progress))? {
            let number = progress.borrow().read + 1;
            let Some(sigma) = case.sigma_mm.or(progress.borrow().sigma) else {
                progress.borrow_mut().place = format!(", case {number} \"{}\"", case.name);
                return Err(serde::de::Error::missing_field("sigma_mm"));
            };
            if let Err(e) = (self.0.each)(&case, sigma) {
                progress.borrow_mut().failed = Some(e);
                return Err(serde::de::Error::custom("the receiver failed"));
            }
            let mut progress = progress.borrow_mut();
            progress.read = number;
            progress.bytes = 0;
            progress.place = format!(", after case {number} \"{}\"", case.name);
        }
        Ok(())
    }
}

/// One case; on failure its number and the path of the field are in `place`.
struct OneCase<'a>(&'a RefCell<ReadState>);

impl<'de> DeserializeSeed<'de> for OneCase<'_> {
    type Value = Case;

    fn deserialize<D: Deserializer<'de>>(self, json: D) -> Result<Case, D::Error> {
        let mut track = serde_path_to_error::Track::new();
        let result = Case::deserialize(serde_path_to_error::Deserializer::new(json, &mut track));
        if result.is_err() {
            let (number, path) = (self.0.borrow().read + 1, track.path().to_string());
            let path = if path == "." { String::new() } else { format!(", {path}") };
            self.0.borrow_mut().place = format!(", case {number}{path}");
        }
        result
    }
}
