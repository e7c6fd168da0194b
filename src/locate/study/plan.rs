//! The constants that the kernel needs of a layout of touches.

use super::settings::{Engine, LayoutStudyError, LayoutStudySettings};
use crate::locate::error::MIN_STEEPNESS;
use crate::locate::layout::TouchLayout;
use crate::locate::row::{PerTouch, TouchRow};
use crate::locate::{Freedoms, Touch, forecast};
use nalgebra::{Matrix2, Point3, Vector2};
use smallvec::SmallVec;

/// Constants of one touch; plan components, relative to the layout's centre.
pub(super) struct TouchPlan {
    /// Index of its search angle in [`Plan::directions`].
    pub(super) direction: usize,
    pub(super) n: Vector2<f64>,
    pub(super) h: f64,
    /// `n · r` and `n × r`, r = reference contact.
    pub(super) nr: f64,
    pub(super) kr: f64,
    /// `n · d` and `n × d`.
    pub(super) nd: f64,
    pub(super) kd: f64,
}

/// One face: its offset `n · q` from the layout's centre, mm, and the indices of its touches.
pub(super) struct FacePlan {
    pub(super) h: f64,
    pub(super) touches: PerTouch<usize>,
}

/// Constants of a study; plan components, relative to the layout's centre, mm.
pub(super) struct Plan {
    pub(super) engine: Engine,
    pub(super) touches: Vec<TouchPlan>,
    /// The distinct (`n · d`, `n × d`); searches square to their faces share one.
    pub(super) directions: Vec<(f64, f64)>,
    pub(super) faces: Vec<FacePlan>,
    /// Two faces: maps the offsets along the two normals to x, y.
    pub(super) two_faces: Matrix2<f64>,
    /// `(NᵀN)⁻¹` and `Nᵀh`, N = normals row by row.
    pub(super) inverse: Matrix2<f64>,
    pub(super) nh: Vector2<f64>,
    pub(super) weld_points: SmallVec<[Vector2<f64>; 4]>,
    /// The point about which the part turns.
    pub(super) about: Vector2<f64>,
}

/// Z component of the cross product.
fn perp_dot(a: Vector2<f64>, b: Vector2<f64>) -> f64 {
    a.x * b.y - a.y * b.x
}

impl Plan {
    pub(super) fn new(
        touches: &[Touch],
        weld_points: &[Point3<f64>],
        settings: &LayoutStudySettings,
    ) -> Result<Self, LayoutStudyError> {
        settings.check(weld_points)?;
        let freedoms = Freedoms::PLAN;
        // Whether a layout is usable does not depend on sigma, which may be zero here.
        forecast(freedoms, touches, 1.0).map_err(LayoutStudyError::Layout)?;
        let layout =
            TouchLayout::new(freedoms, touches, 1.0, false).map_err(LayoutStudyError::Layout)?;
        let mut directions = Vec::new();
        let mut plans = Vec::new();
        for (touch, row) in layout.rows.iter().enumerate() {
            let plan = touch_plan(row, &mut directions);
            let steepness = |turn: f64| plan.nd * libm::cos(turn) + plan.kd * libm::sin(turn);
            if steepness(settings.turn).min(steepness(-settings.turn)) < MIN_STEEPNESS {
                return Err(LayoutStudyError::SearchRunsAlong { touch });
            }
            plans.push(plan);
        }
        let labels = crate::locate::face::faces(touches);
        let faces: Vec<FacePlan> = labels
            .iter()
            .map(|&label| {
                let on: PerTouch<usize> =
                    (0..touches.len()).filter(|&i| touches[i].face == label).collect();
                FacePlan { h: plans[on[0]].h, touches: on }
            })
            .collect();
        let nn: Matrix2<f64> = plans.iter().map(|t| t.n * t.n.transpose()).sum();
        let engine = match settings.engine {
            Engine::Auto | Engine::ClosedForm if faces.len() == 2 => Engine::ClosedForm,
            Engine::ClosedForm => return Err(LayoutStudyError::NotTwoFaces { faces: faces.len() }),
            Engine::Auto | Engine::GaussNewton => Engine::GaussNewton,
        };
        let two_faces = match faces.as_slice() {
            [a, b] => {
                let n = [a, b].map(|face| plans[face.touches[0]].n);
                Matrix2::from_rows(&n.map(|n| n.transpose())).try_inverse().unwrap_or_default()
            }
            _ => Matrix2::zeros(),
        };
        let flat = |p: &Point3<f64>| (p - layout.centre).xy();
        Ok(Self {
            engine,
            directions,
            faces,
            two_faces,
            // The forecast has succeeded: the normals span the plane.
            inverse: nn.try_inverse().unwrap_or_default(),
            nh: plans.iter().map(|t| t.n * t.h).sum(),
            weld_points: weld_points.iter().map(flat).collect(),
            about: flat(&settings.about),
            touches: plans,
        })
    }
}

fn touch_plan(row: &TouchRow, directions: &mut Vec<(f64, f64)>) -> TouchPlan {
    let (n, d, r) = (row.n.xy(), row.d.xy(), row.r.xy());
    let angle = (n.dot(&d), perp_dot(n, d));
    let known = directions.iter().position(|&known| known == angle);
    let direction = known.unwrap_or_else(|| {
        directions.push(angle);
        directions.len() - 1
    });
    TouchPlan {
        direction,
        n,
        h: row.h,
        nr: n.dot(&r),
        kr: perp_dot(n, r),
        nd: angle.0,
        kd: angle.1,
    }
}
