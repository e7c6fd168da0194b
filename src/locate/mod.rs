//! From touches to the motion of the part.
//!
//! A contact says only that *some* point of a face is there. The estimator finds
//! the rigid motion `x' = R x + t` (R rotates about the frame origin, t is the
//! translation of the frame origin) that brings the taught faces closest to the
//! current contacts:
//!
//! ```text
//! e_i = n·(Rᵀ(c_i − t) − q) ,   minimise Σ e_i²
//! ```
//!
//! with n, q the normal and centroid of the reference contacts of the touched
//! face. Readings are not subtracted from each other: that leaves the lever arms in.
//! Formulas derived here; rigid least squares after Kabsch (1976) and Umeyama
//! (1991), covariance after JCGM 100:2008. Lengths mm, angles radians.
//!
//! ```
//! use nudgeproof::geometry::{Point3, Vector3};
//! use nudgeproof::locate::{Freedoms, Touch, locate};
//!
//! let (front, left) = (0, 1);
//! let touch = |face, search, taught, now| Touch::taught(face, search, taught).found(now);
//! let touches = [
//!     touch(front, Vector3::y(), Point3::new(50.0, 0.0, 0.0), Point3::new(50.0, -0.7, 0.0)),
//!     touch(front, Vector3::y(), Point3::new(350.0, 0.0, 0.0), Point3::new(350.0, 14.3, 0.0)),
//!     touch(left, Vector3::x(), Point3::new(0.0, 125.0, 0.0), Point3::new(-2.4, 125.0, 0.0)),
//! ];
//! let fit = locate(Freedoms::PLAN, &touches, 0.15)?;
//! assert!((fit.motion.translation() - Vector3::new(4.0, -3.0, 0.0)).norm() < 1e-9);
//! assert!((fit.motion.rotation_vector().z - (1.0_f64 / 20.0).atan()).abs() < 1e-12);
//! # Ok::<(), nudgeproof::locate::LocateError>(())
//! ```

mod answer;
mod branch;
mod case_file;
mod condition;
mod consistency;
mod covariance;
mod effect;
mod error;
mod error_text;
mod face;
mod fit;
mod freedoms;
mod jacobian;
mod layout;
mod newton;
mod row;
mod touch;
mod turn;
mod unseen;

pub use answer::{CaseAnswer, RefusedCase, SolvedCase, WeldPointAnswer};
pub use case_file::{Case, CaseFileError, CaseTouch, WeldPoint, read_cases};
pub use consistency::chi2_limit;
pub use covariance::{Covariance, PointEstimate, STATED_SIGMAS};
pub use effect::{SmallMotion, TouchEffect, displaced};
pub use error::{
    BadNumber, LocateError, MAX_CONDITION, MAX_LENGTH_MM, MAX_SEARCH_SPREAD_RAD, MIN_BASELINE_MM,
    MIN_STEEPNESS,
};
pub use fit::{Fit, Forecast, Residuals, forecast, locate};
pub use freedoms::{Freedom, Freedoms};
pub use touch::{FaceNames, Touch};
pub use unseen::unseen;
