use super::freedoms::{Freedom, Freedoms};
use nalgebra::{DMatrix, DVector, Point3, Vector3};

/// Below this share of the strongest direction a motion changes no reading noticeably.
const BLIND: f64 = 0.02;

/// A freedom with a smaller share in such a motion is not part of it.
const SHARE: f64 = 0.2;

/// Which freedoms of the set no touch tells: those with a share in a motion of the part that leaves
/// every touch where it is, to first order. Each touch is its contact (mm) and the normal of the face
/// there, of length 1.
pub fn unseen(freedoms: Freedoms, touches: &[(Point3<f64>, Vector3<f64>)]) -> Freedoms {
    let asked: Vec<Freedom> = freedoms.list().collect();
    // A matrix without rows or columns has no singular values.
    if touches.is_empty() || asked.is_empty() {
        return freedoms;
    }
    let count = touches.len() as f64;
    let centre = touches.iter().map(|(at, _)| at.coords).sum::<Vector3<f64>>() / count;
    let arm = |at: &Point3<f64>| at.coords - centre;
    let squares = touches.iter().map(|(at, _)| arm(at).norm_squared()).sum::<f64>();
    let length = (squares / count).sqrt().max(1.0);
    let mut j = DMatrix::zeros(touches.len().max(asked.len()), asked.len());
    for (r, (at, n)) in touches.iter().enumerate() {
        let moment = arm(at).cross(n) / length;
        let row = [n.x, n.y, n.z, moment.x, moment.y, moment.z];
        for (c, freedom) in asked.iter().enumerate() {
            j[(r, c)] = row[freedom.axis()];
        }
    }
    let svd = j.svd(false, true);
    let Some(v) = svd.v_t else { return Freedoms::empty() };
    let strongest = svd.singular_values.max();
    let blind: Vec<DVector<f64>> = (0..asked.len())
        .filter(|&k| svd.singular_values[k] <= BLIND * strongest)
        .map(|k| v.row(k).transpose())
        .collect();
    let unseen = |c: usize| blind.iter().any(|v| v[c].abs() > SHARE);
    asked.iter().enumerate().filter(|(c, _)| unseen(*c)).map(|(_, freedom)| *freedom).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn touch(x: f64, y: f64, n: Vector3<f64>) -> (Point3<f64>, Vector3<f64>) {
        (Point3::new(x, y, 5.0), n)
    }

    #[test]
    fn what_no_touch_tells_is_named() {
        let front = |x| touch(x, 0.0, Vector3::y());
        let left = |y| touch(0.0, y, Vector3::x());
        let one_side = [front(50.0), front(200.0), front(350.0)];
        assert_eq!(unseen(Freedoms::PLAN, &one_side), Freedoms::X);
        let two_sides = [front(50.0), front(350.0), left(125.0)];
        assert_eq!(unseen(Freedoms::PLAN, &two_sides), Freedoms::empty());
        assert_eq!(unseen(Freedoms::UPRIGHT, &two_sides), Freedoms::HEIGHT);
        assert_eq!(unseen(Freedoms::SLIDE_XY, &[front(50.0)]), Freedoms::X);
        assert_eq!(unseen(Freedoms::PLAN, &[]), Freedoms::PLAN);
        assert_eq!(unseen(Freedoms::empty(), &two_sides), Freedoms::empty());
    }
}
