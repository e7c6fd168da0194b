use super::lanes::{Block, LANES, centred_uniform, two_normals};

/// `LANES` generators side by side: xoshiro256+ (Blackman and Vigna 2018, public
/// domain), each seeded by splitmix64. One step gives 64 bits for each run of a block.
///
/// Own code, because it becomes vector instructions: a whole run with four touches takes 8.5 ns
/// (`make bench-peer`), and `StandardNormal` of `rand_distr` alone 5.3 ns for each touch.
pub(super) struct Random {
    s: [[u64; LANES]; 4],
}

/// One step of splitmix64 (Steele, Lea and Flood 2014).
fn splitmix(state: &mut u64) -> u64 {
    *state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let mut z = *state;
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

impl Random {
    /// The generators for one chunk of a study.
    pub(super) fn new(seed: u64, chunk: u64) -> Self {
        // Mixed twice, so that neighbouring seeds and chunks share no stream.
        let mut state = seed;
        let mut state = splitmix(&mut state) ^ chunk.wrapping_mul(0xd134_2543_de82_ef95);
        let mut state = splitmix(&mut state);
        let mut s = [[0; LANES]; 4];
        for word in &mut s {
            for lane in word {
                *lane = splitmix(&mut state);
            }
        }
        Self { s }
    }

    /// One uniform number in [−½, ½) times `width` for every lane.
    pub(super) fn uniform(&mut self, width: f64, out: &mut Block) {
        self.step(|lane, bits| out[lane] = centred_uniform(bits) * width);
    }

    /// Two normal numbers with standard deviation `sigma` for every lane.
    pub(super) fn normals(&mut self, sigma: f64, a: &mut [f32; LANES], b: &mut [f32; LANES]) {
        let scale = (2.0 * sigma * sigma) as f32;
        let mut bits = [0; LANES];
        self.step(|lane, word| bits[lane] = word);
        for i in 0..LANES {
            (a[i], b[i]) = two_normals(bits[i], scale);
        }
    }

    #[inline]
    fn step(&mut self, mut take: impl FnMut(usize, u64)) {
        let [s0, s1, s2, s3] = &mut self.s;
        for i in 0..LANES {
            take(i, s0[i].wrapping_add(s3[i]));
            let t = s1[i] << 17;
            s2[i] ^= s0[i];
            s3[i] ^= s1[i];
            s1[i] ^= s2[i];
            s0[i] ^= s3[i];
            s2[i] ^= t;
            s3[i] = s3[i].rotate_left(45);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Moments of 128 000 numbers within five standard errors.
    #[test]
    fn the_numbers_are_uniform_and_normal() {
        let mut random = Random::new(7, 3);
        let (mut uniform, mut a, mut b) = ([0.0; LANES], [0.0; LANES], [0.0; LANES]);
        let (mut u2, mut z, mut ab) = (0.0, [0.0; 4], 0.0);
        let blocks = 1000;
        let n = (blocks * LANES) as f64;
        for _ in 0..blocks {
            random.uniform(1.0, &mut uniform);
            random.normals(1.0, &mut a, &mut b);
            u2 += uniform.iter().map(|u| u * u).sum::<f64>();
            for (x, y) in a.iter().zip(&b).map(|(&x, &y)| (f64::from(x), f64::from(y))) {
                ab += x * y;
                let mut powers = (1.0, 1.0);
                for moment in &mut z {
                    powers = (powers.0 * x, powers.1 * y);
                    *moment += f64::midpoint(powers.0, powers.1);
                }
            }
        }
        // Variances of one draw: u² 1/180; z 1, z² 2, z³ 15, z⁴ 96, halved for the pair.
        let near = |found: f64, expected: f64, variance: f64| {
            let bound = 5.0 * (variance / n).sqrt();
            assert!((found / n - expected).abs() < bound, "{} for {expected} ± {bound}", found / n);
        };
        near(u2, 1.0 / 12.0, 1.0 / 180.0);
        near(ab, 0.0, 1.0);
        for (k, (expected, variance)) in
            [(0.0, 0.5), (1.0, 1.0), (0.0, 7.5), (3.0, 48.0)].into_iter().enumerate()
        {
            near(z[k], expected, variance);
        }
    }
}
