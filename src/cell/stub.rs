//! Stands in until the engine of the cell lands, so that everything above it compiles: finds nothing, hits nothing.
#![allow(missing_docs, clippy::all, clippy::pedantic, reason = "replaced by the engine")]

use super::*;
use crate::geometry::*;
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct SeamMiss {
    pub across_mm: f64,
    pub height_mm: f64,
    pub along_mm: f64,
}
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub enum TorchPart {
    Wire,
    Nozzle,
}
#[derive(Debug, Clone)]
pub struct Cell {
    pub work_from_part: Pose,
    pub wire: Wire,
    s: CellSettings,
    p: Part,
}
#[derive(Debug, Clone)]
pub struct Wire {
    pub bend: Vector3<f64>,
    pub stick_out_mm: f64,
}
pub struct Hit {
    pub along: f64,
    pub body: String,
    pub by: TorchPart,
    pub bend: Vector3<f64>,
}
pub struct FoundTouch {
    pub travel: f64,
    pub torch: Point3<f64>,
    pub contact: Point3<f64>,
    pub body: String,
    pub normal: Vector3<f64>,
}
pub enum Found {
    Touch(FoundTouch),
    Nothing,
    AlreadyTouching { body: String },
    Crash(Hit),
}
pub struct Noise;
impl Noise {
    pub fn new(_: u64, _: usize, _: usize) -> Self {
        Self
    }
}
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("x")]
pub struct PartError;
pub fn part_by_name(_: &str) -> Option<Part> {
    toml::from_str(include_str!("parts/bench-side.toml")).ok()
}
pub fn parts() -> Vec<Part> {
    part_by_name("").into_iter().collect()
}
impl Cell {
    pub fn new(p: &Part, s: &CellSettings, _: &[Fault]) -> Result<Self, PartError> {
        Ok(Self {
            work_from_part: Pose::identity(),
            wire: Wire { bend: Vector3::zeros(), stick_out_mm: s.stick_out_mm },
            s: *s,
            p: p.clone(),
        })
    }
    pub fn settings(&self) -> &CellSettings {
        &self.s
    }
    pub fn part(&self) -> &Part {
        &self.p
    }
    pub fn search(&self, _: &Point3<f64>, _: &Vector3<f64>, _: f64) -> Found {
        Found::Nothing
    }
    pub fn reading(&self, p: &Point3<f64>, _: &Vector3<f64>, _: f64, _: &mut Noise) -> Point3<f64> {
        *p
    }
    pub fn joint_path(&self, a: &Point3<f64>, b: &Point3<f64>) -> Vec<Point3<f64>> {
        vec![*a, *b]
    }
    pub fn travel(&self, _: &[Point3<f64>], _: bool) -> Option<Hit> {
        None
    }
    pub fn wire_tip(&self, p: &Point3<f64>) -> Point3<f64> {
        *p
    }
    pub fn seam_miss(&self, _: &Seam, _: &Point3<f64>, _: &Point3<f64>, _: bool) -> SeamMiss {
        SeamMiss { across_mm: 0., height_mm: 0., along_mm: 0. }
    }
}
