//! Nudgeproof: learn to write robot routines that feel for a part by touch and
//! still weld on the seam after the part was nudged.
//!
//! # Units and frames
//!
//! Lengths are millimetres, angles radians, times seconds, speeds mm/s.
//! Degrees stand only in files and on screen, in names that end in `_deg`.
//! The **work frame** is right-handed: X right and Y up on the plan, Z up out of
//! it. Angles are positive counter-clockwise seen from +Z. The **part frame** is
//! fixed in the part and coincides with the work frame while the part has not
//! been moved since it was drawn up. A [`geometry::Pose`] named `work_from_part`
//! takes part coordinates to work coordinates.
//!
//! # Layers
//!
//! Each knows only those to its left (`tests/house/layering.rs` holds this):
//!
//! `text ← io ← geometry ← drawing ← locate ← cell ← routine ← session ← forecast ← shift ← coach ← lesson ← background`
//!
//! - [`text`]: what is said to a learner: typed facts, and the sentences of each language
//! - [`io`]: reading and writing JSON and TOML, with the place of every error
//! - [`geometry`]: poses, outlines, prisms, first contact of a moving wire
//! - `drawing`: outlines out of drawing files, DXF and SVG; behind the feature of that name
//! - [`locate`]: from touches to the motion of the part, with its covariance
//! - [`cell`]: parts, clamps, torch, noise and faults; owns the hidden true pose
//! - [`routine`]: steps, points, what belongs together in a routine, and the runner that executes them
//! - [`session`]: actions in, state out; the file format of a session
//! - [`forecast`]: the spread at the seam that planned touches will give, and the touches that make it least
//! - [`shift`]: many parts one after the other, and the decisions about them
//! - [`coach`]: findings, their cost at the seam, the score
//! - [`lesson`]: guided tasks as files
//! - `background`: what takes longer than a frame, as tasks for a worker
//!
//! The command line (`src/cli`), the page (`src/app`) and its workers (`src/worker`) are binaries: they know
//! the library, and the compiler sees to it that the library cannot know them.

#[cfg(feature = "drawing")]
pub mod background;
pub mod cell;
pub mod coach;
#[cfg(feature = "drawing")]
pub mod drawing;
pub mod forecast;
pub mod geometry;
pub mod io;
pub mod lesson;
pub mod locate;
pub mod routine;
pub mod session;
pub mod shift;
pub mod text;
