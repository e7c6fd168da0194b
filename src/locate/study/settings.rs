use crate::locate::LocateError;
use crate::locate::error::MAX_LENGTH_MM;
use nalgebra::Point3;
use serde::{Deserialize, Serialize};
use std::f64::consts::FRAC_PI_4;

/// How the part is located in every run of a study. Both minimise the same cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Engine {
    /// Closed form for touches on two faces, else Gauss–Newton.
    #[default]
    Auto,
    /// Exact least squares without iteration; exactly two faces, any touches on each.
    ClosedForm,
    /// Gauss–Newton in the angle with the shift taken out; any layout.
    GaussNewton,
}

/// What varies from run to run, and how many runs there are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StudySettings {
    /// Number of production runs.
    pub runs: usize,
    /// Everything random comes from it. The result does not depend on the number of threads.
    pub seed: u64,
    /// The part slides by up to this much either way along X and Y, uniformly, mm.
    pub shift_mm: [f64; 2],
    /// The part turns by up to this much either way, uniformly, radians; at most 45°.
    pub turn: f64,
    /// The point about which the part turns before it slides.
    pub about: Point3<f64>,
    /// Standard deviation of one contact along its search, mm.
    pub sigma_mm: f64,
    /// Runs whose greatest deviation is at most this are inside, mm.
    pub tolerance_mm: f64,
    /// How the part is located.
    pub engine: Engine,
    /// Threads to work with; 1 never starts one.
    pub threads: usize,
}

/// Why there is no study.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum StudyError {
    /// The touches cannot locate the part.
    #[error(transparent)]
    Layout(LocateError),
    /// A setting cannot be used.
    #[error("{setting} must be {expected}")]
    Setting {
        /// Which.
        setting: &'static str,
        /// What it should be.
        expected: &'static str,
    },
    /// No point to judge the runs by.
    #[error("a study needs at least one weld point")]
    NoWeldPoint,
    /// Within the turns asked for this search would run along its face.
    #[error("touch {touch} runs along its face when the part turns that far")]
    SearchRunsAlong {
        /// The touch, from 0.
        touch: usize,
    },
    /// The closed form was asked for, but it is for two faces.
    #[error("the closed form is for two faces, the touches are on {faces}")]
    NotTwoFaces {
        /// How many faces there are.
        faces: usize,
    },
}

impl StudySettings {
    pub(super) fn check(&self, weld_points: &[Point3<f64>]) -> Result<(), StudyError> {
        let demand = |ok: bool, setting, expected| {
            if ok { Ok(()) } else { Err(StudyError::Setting { setting, expected }) }
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
        if weld_points.is_empty() { Err(StudyError::NoWeldPoint) } else { Ok(()) }
    }
}
