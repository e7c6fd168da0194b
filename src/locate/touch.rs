use nalgebra::{Point3, Vector3};

/// One touch of a face: its contact in the reference run and, if the search found it, in this run.
/// Work frame, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Touch {
    /// Label of the face: touches with one label share one reference line or plane.
    pub face: usize,
    /// Search direction, towards the part; work frame, any length.
    pub search: Vector3<f64>,
    /// Contact of the reference run; work frame, mm.
    pub reference: Point3<f64>,
    /// Contact of this run; work frame, mm; `None` if the search found nothing.
    pub current: Option<Point3<f64>>,
}

impl Touch {
    /// A touch of the reference run, not yet searched for in this run.
    pub fn taught(face: usize, search: Vector3<f64>, reference: Point3<f64>) -> Self {
        Self { face, search, reference, current: None }
    }

    /// The same touch with its contact of this run; work frame, mm.
    #[must_use]
    pub fn found(mut self, current: Point3<f64>) -> Self {
        self.current = Some(current);
        self
    }
}

/// The names of faces in the order in which they come: the place of a name is the label of its touches.
#[derive(Debug, Clone, Default)]
pub struct FaceNames<'n>(Vec<&'n str>);

impl<'n> FaceNames<'n> {
    /// The label of the face with this name.
    pub fn label(&mut self, name: &'n str) -> usize {
        let known = self.0.iter().position(|known| *known == name);
        known.unwrap_or_else(|| {
            self.0.push(name);
            self.0.len() - 1
        })
    }

    /// Each name once.
    pub fn all(&self) -> &[&'n str] {
        &self.0
    }
}
