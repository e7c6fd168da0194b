use super::{FixturePlay, OwnMotions, Part};
use crate::geometry::{Point3, Pose, Vector3};
use crate::locate::Freedom;
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;

/// The random numbers of one search or one nudge.
///
/// Seeded from the session, the run and the search: a replay is exact, and the noise of a search
/// does not depend on the number of searches before it.
#[derive(Debug, Clone)]
pub struct Noise(Pcg64Mcg);

impl Noise {
    /// For search number `search` of run number `run` of a session.
    ///
    /// The numbers have one width on every target, so that the browser draws what this machine draws.
    pub fn new(session_seed: u64, run: u64, search: u64) -> Self {
        let seed = [run, search].into_iter().fold(scramble(session_seed), |s, v| scramble(s ^ v));
        Self(Pcg64Mcg::seed_from_u64(seed))
    }

    /// Uniform in [0, 1).
    pub fn uniform(&mut self) -> f64 {
        self.0.random()
    }

    /// An index below `count`, each as likely; 0 if `count` is 0.
    pub fn index(&mut self, count: usize) -> usize {
        ((self.uniform() * count as f64) as usize).min(count.saturating_sub(1))
    }

    /// Normally distributed, mean 0, standard deviation 1: the polar method (Marsaglia and Bray 1964).
    ///
    /// Own code, because the samplers of `rand_distr` take logarithms of the platform's own library.
    pub fn normal(&mut self) -> f64 {
        loop {
            let (x, y) = (self.uniform_signed(), self.uniform_signed());
            let square = x * x + y * y;
            if square > 0.0 && square < 1.0 {
                return x * (-2.0 * libm::log(square) / square).sqrt();
            }
        }
    }

    /// Uniform in [−1, 1).
    fn uniform_signed(&mut self) -> f64 {
        2.0 * self.uniform() - 1.0
    }
}

/// The finaliser of `SplitMix64` (Steele, Lea, Flood 2014; from memory): neighbouring inputs give unrelated outputs.
fn scramble(v: u64) -> u64 {
    let z = v.wrapping_add(0x9E37_79B9_7F4A_7C15);
    let z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

impl Part {
    /// A part as it may be put into the fixture: where it lies, `work_from_part`, and where each body
    /// with a play of its own lies on it, by name; uniformly distributed.
    pub fn nudge(&self, noise: &mut Noise) -> (Pose, OwnMotions) {
        let whole = self.play.nudge(noise);
        (whole, self.own_motions(|play| play.nudge(noise)))
    }

    /// Where each body with a play of its own lies on the part, by name: where `within` puts it.
    pub(crate) fn own_motions(&self, mut within: impl FnMut(&FixturePlay) -> Pose) -> OwnMotions {
        let own = self.bodies.iter().filter_map(|b| Some((b.name.clone(), within(&b.play?))));
        own.collect()
    }

    /// The extreme places within the play, as [`Part::nudge`] gives one: every combination of the
    /// limits of the fixture's play and of the plays of single bodies.
    pub fn extremes(&self) -> Vec<(Pose, OwnMotions)> {
        let mut all: Vec<_> =
            self.play.corners().into_iter().map(|pose| (pose, OwnMotions::new())).collect();
        for body in &self.bodies {
            let Some(play) = body.play else { continue };
            let corners = play.corners();
            let with = |(pose, own): (Pose, OwnMotions)| {
                corners.iter().map(move |at| {
                    let mut own = own.clone();
                    own.insert(body.name.clone(), *at);
                    (pose, own)
                })
            };
            all = all.into_iter().flat_map(with).collect();
        }
        all
    }
}

impl FixturePlay {
    /// The pose that displaces the point `about` by `shift` (mm) and rotates the part about it by the
    /// rotation vector `turn` (radians).
    pub fn pose(&self, shift: Vector3<f64>, turn: Vector3<f64>) -> Pose {
        let about = Point3::from(self.about);
        let turned = Pose::new(Vector3::zeros(), turn);
        Pose::from_parts(turned.rotation(), about + shift - turned.point(&about))
    }

    /// A nudge within the play, uniformly distributed.
    pub fn nudge(&self, noise: &mut Noise) -> Pose {
        self.pose_at(|| noise.uniform_signed())
    }

    /// The pose at a share of each limit, from −1 to 1; the shares are asked for in the order X, Y, Z,
    /// tilt about X, tilt about Y, turn.
    pub(crate) fn pose_at(&self, mut share: impl FnMut() -> f64) -> Pose {
        let shift = [self.dx, self.dy, self.dz].map(|v| v * share());
        let turn = [self.tilt_deg, self.tilt_deg, self.turn_deg].map(|v| v.to_radians() * share());
        self.pose(shift.into(), turn.into())
    }

    /// The extreme poses of the play: every combination of its limits, each once.
    pub fn corners(&self) -> Vec<Pose> {
        let limits = [self.dx, self.dy, self.dz, self.tilt_deg, self.tilt_deg, self.turn_deg];
        let mut all = vec![[0.0; 6]];
        for (i, limit) in limits.iter().enumerate().filter(|(_, l)| **l != 0.0) {
            let signs = [-limit, *limit];
            all = all
                .into_iter()
                .flat_map(|v| {
                    signs.map(|s| {
                        let mut w = v;
                        w[i] = s;
                        w
                    })
                })
                .collect();
        }
        all.into_iter()
            .map(|[x, y, z, a, b, c]| {
                self.pose(Vector3::new(x, y, z), Vector3::new(a, b, c).map(f64::to_radians))
            })
            .collect()
    }

    /// Whether the play allows this pose, with a tolerance of 10⁻⁶ mm and degrees.
    pub fn allows(&self, pose: &Pose) -> bool {
        self.motion(pose).into_iter().all(|(freedom, by)| by.abs() <= self.limit(freedom) + 1e-6)
    }

    /// How far a pose takes the part, as the limits count it: the shift of the point `about`, mm, and the
    /// components of the rotation vector, degrees.
    pub fn motion(&self, pose: &Pose) -> [(Freedom, f64); 6] {
        let shift = pose.displacement(&Point3::from(self.about));
        let turn = pose.rotation_vector().map(f64::to_degrees);
        Freedom::ALL.map(|freedom| match freedom.axis() {
            axis @ 0..3 => (freedom, shift[axis]),
            axis => (freedom, turn[axis - 3]),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The share of `all` that is at most `z`.
    fn below(all: &[f64], z: f64) -> f64 {
        all.iter().filter(|v| **v <= z).count() as f64 / all.len() as f64
    }

    /// One number of each generator, as a search draws it.
    #[test]
    fn scatter_is_normal() {
        const N: usize = 200_000;
        let all: Vec<f64> = (0..N as u64).map(|i| Noise::new(1, 2, i).normal()).collect();
        // Φ(z) of any table of the normal distribution (from memory).
        for (z, phi) in [
            (-3.0, 0.00135),
            (-1.96, 0.0250),
            (-1.0, 0.1587),
            (0.0, 0.5),
            (0.6745, 0.75),
            (2.326, 0.99),
        ] {
            // Four standard deviations of a share counted in so many.
            let room = 4.0 * (phi * (1.0 - phi) / N as f64).sqrt() + 0.00005;
            assert!((below(&all, z) - phi).abs() < room, "{z}: {} for {phi}", below(&all, z));
        }
    }
}
