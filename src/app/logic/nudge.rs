use nudgeproof::cell::{Noise, Part};
use nudgeproof::geometry::{Point3, Pose, PoseFile, Vector3};
use std::collections::BTreeMap;

/// Where the part lies, as the nudge form shows it: shift of the datum corner (the frame origin),
/// mm, turn and, on a part that may lift and tilt, the other components of the rotation vector,
/// degrees.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Nudge {
    pub(crate) dx: f64,
    pub(crate) dy: f64,
    pub(crate) turn_deg: f64,
    pub(crate) dz: f64,
    pub(crate) tilt_x_deg: f64,
    pub(crate) tilt_y_deg: f64,
}

impl Nudge {
    pub(crate) fn of(pose: &Pose) -> Self {
        let (t, w) = (pose.translation(), pose.rotation_vector().map(f64::to_degrees));
        Self { dx: t.x, dy: t.y, turn_deg: w.z, dz: t.z, tilt_x_deg: w.x, tilt_y_deg: w.y }
    }

    pub(crate) fn pose(self) -> Pose {
        self.file().into()
    }

    /// For an action: exactly the numbers that were typed.
    pub(crate) fn file(self) -> PoseFile {
        PoseFile {
            dx: self.dx,
            dy: self.dy,
            dz: self.dz,
            tilt_x_deg: self.tilt_x_deg,
            tilt_y_deg: self.tilt_y_deg,
            turn_deg: self.turn_deg,
        }
    }

    /// Whether it does more than slide and turn on the table.
    pub(crate) fn lifts(&self) -> bool {
        self.has_height() || self.has_tilt()
    }

    /// Whether the part is higher or lower than in its place.
    pub(crate) fn has_height(&self) -> bool {
        self.dz.abs() > 1e-9
    }

    /// Whether the part is tilted.
    pub(crate) fn has_tilt(&self) -> bool {
        self.tilt_x_deg.abs() > 1e-9 || self.tilt_y_deg.abs() > 1e-9
    }
}

/// The pose after sliding the part by this much, mm.
pub(crate) fn slide(pose: &Pose, dx: f64, dy: f64) -> Pose {
    Pose::planar(dx, dy, 0.0) * *pose
}

/// The pose after turning the part by this much about the place where one of its points is now.
pub(crate) fn turn_about(pose: &Pose, part_point: &Point3<f64>, angle: f64) -> Pose {
    let c = pose.point(part_point);
    Pose::planar(c.x, c.y, 0.0)
        * Pose::planar(0.0, 0.0, angle)
        * Pose::planar(-c.x, -c.y, 0.0)
        * *pose
}

/// The part of a motion that is done at share `t` of it.
pub(crate) fn partly(pose: &Pose, t: f64) -> Pose {
    let t = t.clamp(0.0, 1.0);
    Pose::new(pose.translation() * t, pose.rotation_vector() * t)
}

/// The pose after tilting the part by this rotation vector (radians, work frame) about the place
/// where one of its points is now.
pub(crate) fn tilt_about(pose: &Pose, part_point: &Point3<f64>, by: Vector3<f64>) -> Pose {
    let c = pose.point(part_point).coords;
    let none = Vector3::zeros();
    Pose::new(c, none) * Pose::new(none, by) * Pose::new(-c, none) * *pose
}

/// Rounds angles to a tenth of a degree and shifts to a tenth of a millimetre.
pub(crate) fn tidy(pose: &Pose) -> Nudge {
    let n = Nudge::of(pose);
    let round = |v: f64| (v * 10.0).round() / 10.0;
    Nudge {
        dx: round(n.dx),
        dy: round(n.dy),
        turn_deg: round(n.turn_deg),
        dz: round(n.dz),
        tilt_x_deg: round(n.tilt_x_deg),
        tilt_y_deg: round(n.tilt_y_deg),
    }
}

/// How many nudges are drawn until one is large enough to see; then the next one is taken.
const TRIES: u64 = 50;

/// A place within the play, rounded to tenths, and the places of the bodies that move by themselves,
/// by name; the same for the same seed and round. Draws again if the part is too near the drawn place
/// to see.
pub(crate) fn random(part: &Part, seed: u64, round: usize) -> (Nudge, BTreeMap<String, PoseFile>) {
    let play = &part.play;
    let middle = Point3::from(play.about);
    let shows = |(nudge, _): &(Nudge, _)| {
        let pose = nudge.pose();
        pose.displacement(&middle).norm() > play.dx.max(play.dy) / 3.0 && play.allows(&pose)
    };
    let drawn = |n| {
        let (whole, own) = part.nudge(&mut Noise::new(seed, round as u64, n));
        let own = own.into_iter().map(|(name, pose)| (name, tidy(&pose).file()));
        (tidy(&whole), own.collect())
    };
    let mut tries = (0..TRIES).map(drawn);
    tries.find(shows).unwrap_or_else(|| drawn(TRIES))
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::cell::{FixturePlay, first_part};

    fn part() -> Part {
        let part = first_part();
        Part { play: PLAY, ..part }
    }

    const PLAY: FixturePlay = FixturePlay {
        about: [200.0, 125.0, 0.0],
        dx: 6.0,
        dy: 6.0,
        dz: 0.0,
        turn_deg: 2.5,
        tilt_deg: 0.0,
    };

    #[test]
    fn a_turn_leaves_its_centre_alone() {
        let start = Nudge { dx: 6.0, dy: -4.0, turn_deg: 1.0, ..Nudge::default() }.pose();
        let centre = Point3::from(PLAY.about);
        let turned = turn_about(&start, &centre, 0.02);
        assert!((turned.point(&centre) - start.point(&centre)).norm() < 1e-9, "the centre moved");
        assert!(
            (Nudge::of(&turned).turn_deg - 1.0 - 0.02_f64.to_degrees()).abs() < 1e-9,
            "the turn"
        );
    }

    #[test]
    fn random_nudges_stay_in_play_and_repeat() {
        for seed in 0..200 {
            let (nudge, _) = random(&part(), seed, 0);
            let pose = nudge.pose();
            assert!(PLAY.allows(&pose), "seed {seed}: {nudge:?}");
            assert_eq!(nudge, random(&part(), seed, 0).0, "seed {seed} gave two places");
            assert!(
                pose.displacement(&Point3::from(PLAY.about)).norm() > 1.0,
                "seed {seed} hardly moves"
            );
        }
        assert_ne!(random(&part(), 1, 0).0, random(&part(), 1, 1).0, "rounds differ");
    }

    #[test]
    fn a_tilt_leaves_its_centre_alone_and_shows_in_the_form() {
        let centre = Point3::new(130.0, 90.0, 52.0);
        let by = Vector3::new(1_f64.to_radians(), 0.0, 0.0);
        let tilted = tilt_about(&Pose::identity(), &centre, by);
        assert!((tilted.point(&centre) - centre).norm() < 1e-9, "the centre moved");
        let n = Nudge::of(&tilted);
        assert!((n.tilt_x_deg - 1.0).abs() < 1e-9 && n.lifts(), "the tilt: {n:?}");
        assert!((n.pose().inverse() * tilted).angle() < 1e-9, "the form gives the pose back");
    }
}
