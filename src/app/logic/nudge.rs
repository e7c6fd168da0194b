use nudgeproof::cell::{Noise, Play};
use nudgeproof::geometry::{Point3, Pose, PoseFile};

/// Where the part lies, as the nudge form shows it: shift of the datum corner (the frame origin),
/// mm, and turn, degrees.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Nudge {
    pub(crate) dx: f64,
    pub(crate) dy: f64,
    pub(crate) turn_deg: f64,
}

impl Nudge {
    pub(crate) fn of(pose: &Pose) -> Self {
        let t = pose.shift();
        Self { dx: t.x, dy: t.y, turn_deg: pose.rotation_vector().z.to_degrees() }
    }

    pub(crate) fn pose(self) -> Pose {
        self.file().into()
    }

    /// As it stands in an action: the very numbers that were typed.
    pub(crate) fn file(self) -> PoseFile {
        PoseFile { dx: self.dx, dy: self.dy, turn_deg: self.turn_deg, ..PoseFile::default() }
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
    Pose::new(pose.shift() * t, pose.rotation_vector() * t)
}

/// Rounds a turn to a tenth of a degree and a shift to a tenth of a millimetre.
pub(crate) fn tidy(pose: &Pose) -> Nudge {
    let n = Nudge::of(pose);
    let round = |v: f64| (v * 10.0).round() / 10.0;
    Nudge { dx: round(n.dx), dy: round(n.dy), turn_deg: round(n.turn_deg) }
}

/// Tries at a nudge that is seen before taking the last one.
const TRIES: usize = 50;

/// A place within the play, in tenths, the same one for the same seed and round; never so near
/// the part's own place that it would not show.
pub(crate) fn random(play: &Play, seed: u64, round: usize) -> Nudge {
    let middle = Point3::from(play.about);
    let shows = |nudge: &Nudge| {
        let pose = nudge.pose();
        pose.shift_at(&middle).norm() > play.dx.max(play.dy) / 3.0 && play.allows(&pose)
    };
    let tries = || (0..TRIES).map(|n| tidy(&play.nudge(&mut Noise::new(seed, round, n))));
    tries().find(shows).or_else(|| tries().next_back()).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLAY: Play = Play {
        about: [200.0, 125.0, 0.0],
        dx: 6.0,
        dy: 6.0,
        dz: 0.0,
        turn_deg: 2.5,
        tilt_deg: 0.0,
    };

    #[test]
    fn a_turn_leaves_its_centre_alone() {
        let start = Nudge { dx: 6.0, dy: -4.0, turn_deg: 1.0 }.pose();
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
            let nudge = random(&PLAY, seed, 0);
            let pose = nudge.pose();
            assert!(PLAY.allows(&pose), "seed {seed}: {nudge:?}");
            assert_eq!(nudge, random(&PLAY, seed, 0), "seed {seed} gave two places");
            assert!(
                pose.shift_at(&Point3::from(PLAY.about)).norm() > 1.0,
                "seed {seed} hardly moves"
            );
        }
        assert_ne!(random(&PLAY, 1, 0), random(&PLAY, 1, 1), "rounds differ");
    }
}
