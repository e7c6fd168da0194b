use crate::locate::LocateError;
use crate::locate::error::MAX_LENGTH_MM;
use nalgebra::Point3;
use serde::{Deserialize, Serialize};
use std::f64::consts::FRAC_PI_4;

/// Method that locates the part in every run. All minimise the same cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Engine {
    /// Closed form for touches on two faces, else Gauss–Newton.
    #[default]
    Auto,
    /// Exact least squares without iteration; touches on exactly two faces.
    ClosedForm,
    /// Gauss–Newton in the angle with the translation eliminated; any layout.
    GaussNewton,
}

/// What varies from run to run, and how many runs there are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LayoutStudySettings {
    /// Number of production runs.
    pub runs: usize,
    /// Seed of all random numbers.
    pub seed: u64,
    /// Greatest slide either way along X and along Y, uniformly distributed, mm.
    pub shift_mm: [f64; 2],
    /// Greatest turn either way about Z, uniformly distributed, radians; at most 45°.
    pub turn: f64,
    /// The point about which the part turns before it slides; work frame, mm.
    pub about: Point3<f64>,
    /// Standard deviation of one contact along its search, mm.
    pub sigma_mm: f64,
    /// A run is inside if its greatest deviation is at most this, mm.
    pub tolerance_mm: f64,
    /// Method that locates the part.
    pub engine: Engine,
    /// Number of threads, the calling one included. The result does not depend on it.
    pub threads: usize,
}

/// Why a study cannot be run.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LayoutStudyError {
    /// The touches cannot locate the part.
    #[error(transparent)]
    Layout(LocateError),
    /// A setting cannot be used.
    #[error("{setting} must be {expected}")]
    Setting {
        /// Its name.
        setting: &'static str,
        /// The expected range.
        expected: &'static str,
    },
    /// There is no weld point.
    #[error("a study needs at least one weld point")]
    NoWeldPoint,
    /// At the greatest turn this search would run along its face.
    #[error("touch {touch} runs along its face when the part turns that far")]
    SearchRunsAlong {
        /// The touch, from 0.
        touch: usize,
    },
    /// The closed form needs exactly two faces.
    #[error("the closed form is for two faces, the touches are on {faces}")]
    NotTwoFaces {
        /// Number of faces touched.
        faces: usize,
    },
}

impl LayoutStudySettings {
    pub(super) fn check(&self, weld_points: &[Point3<f64>]) -> Result<(), LayoutStudyError> {
        let demand = |ok: bool, setting, expected| {
            if ok { Ok(()) } else { Err(LayoutStudyError::Setting { setting, expected }) }
        };
        let length = |v: f64| (0.0..=MAX_LENGTH_MM).contains(&v);
        let place = |p: &Point3<f64>| p.iter().all(|v| v.abs() <= MAX_LENGTH_MM);
        demand(self.runs > 0, "runs", "at least 1")?;
        demand(self.shift_mm.iter().all(|&v| length(v)), "shift_mm", "a length, not negative")?;
        demand((0.0..=FRAC_PI_4).contains(&self.turn), "turn", "between 0 and 45°")?;
        demand(place(&self.about), "about", "a place in the cell")?;
        demand(length(self.sigma_mm), "sigma_mm", "a length, not negative")?;
        demand(length(self.tolerance_mm), "tolerance_mm", "a length, not negative")?;
        demand(self.threads > 0, "threads", "at least 1")?;
        demand(weld_points.iter().all(place), "weld_points", "places in the cell")?;
        if weld_points.is_empty() { Err(LayoutStudyError::NoWeldPoint) } else { Ok(()) }
    }
}
