use serde::{Deserialize, Serialize};

/// Width of a bin, mm: a fiftieth of the default touch repeatability.
pub const BIN_MM: f64 = 0.002;
/// What the bins cover either way, mm: far beyond every tolerance.
const COVERS_MM: f64 = 8.0;
const BINS: usize = (2.0 * COVERS_MM / BIN_MM) as usize;
/// Sums are kept in whole nanometres, so that they do not depend on their order.
const NM: f64 = 1e6;

/// How many values lie where: a fixed amount of memory, however many there are. Two of them add up to
/// the same one in any order.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Histogram {
    #[serde(with = "filled_bins")]
    bins: Vec<u32>,
    count: usize,
    below: usize,
    sum_nm: i128,
    squares_nm2: i128,
    /// The least and the greatest of them, mm.
    range: Option<[f64; 2]>,
}

impl Default for Histogram {
    fn default() -> Self {
        Self { bins: vec![0; BINS], count: 0, below: 0, sum_nm: 0, squares_nm2: 0, range: None }
    }
}

impl Histogram {
    /// Counts a value, mm.
    pub fn add(&mut self, mm: f64) {
        let nm = (mm * NM) as i128;
        self.count += 1;
        self.sum_nm += nm;
        self.squares_nm2 += nm * nm;
        self.widen([mm, mm]);
        let bin = (mm + COVERS_MM) / BIN_MM;
        if bin < 0.0 {
            self.below += 1;
        } else if let Some(n) = self.bins.get_mut(bin as usize) {
            *n += 1;
        }
    }

    /// Adds the values of another one.
    pub fn merge(&mut self, other: &Self) {
        for (n, more) in self.bins.iter_mut().zip(&other.bins) {
            *n += more;
        }
        self.count += other.count;
        self.below += other.below;
        self.sum_nm += other.sum_nm;
        self.squares_nm2 += other.squares_nm2;
        if let Some(range) = other.range {
            self.widen(range);
        }
    }

    fn widen(&mut self, [low, high]: [f64; 2]) {
        let [least, greatest] = self.range.unwrap_or([low, high]);
        self.range = Some([least.min(low), greatest.max(high)]);
    }

    /// How many values there are.
    pub fn count(&self) -> usize {
        self.count
    }

    /// Mean, mm.
    pub fn mean(&self) -> Option<f64> {
        (self.count > 0).then(|| self.sum_nm as f64 / NM / self.count as f64)
    }

    /// Standard deviation, mm: the estimate from a sample, with n − 1.
    pub fn sigma(&self) -> Option<f64> {
        let n = self.count as i128;
        // In whole numbers: nothing is lost however far the mean is from 0.
        let spread = n * self.squares_nm2 - self.sum_nm * self.sum_nm;
        (n > 1).then(|| (spread as f64 / (n * (n - 1)) as f64).sqrt() / NM)
    }

    /// The greatest size of a value, mm.
    pub fn furthest(&self) -> Option<f64> {
        self.range.map(|[least, greatest]| least.abs().max(greatest.abs()))
    }

    /// The value that this share of them does not exceed, mm: nearest rank, the ⌈share · n⌉-th smallest,
    /// within half of [`BIN_MM`]; beyond 8 mm the least or the greatest of all.
    pub fn percentile(&self, share: f64) -> Option<f64> {
        let [least, greatest] = self.range?;
        let rank = ((share * self.count as f64).ceil() as usize).clamp(1, self.count);
        if rank == self.count || rank == 1 {
            return Some(if rank == 1 { least } else { greatest });
        }
        let mut so_far = self.below;
        if so_far >= rank {
            return Some(least);
        }
        for (i, n) in self.bins.iter().enumerate() {
            so_far += *n as usize;
            if so_far >= rank {
                let middle = (i as f64 + 0.5) * BIN_MM - COVERS_MM;
                return Some(middle.clamp(least, greatest));
            }
        }
        Some(greatest)
    }

    /// The counts in so many bins of equal width from `from` to `to`, mm; what lies beyond is left out.
    /// Values go where the middle of their own bin lies.
    pub fn bars(&self, [from, to]: [f64; 2], bars: usize) -> Vec<usize> {
        let mut all = vec![0; bars];
        for (i, n) in self.bins.iter().enumerate().filter(|(_, n)| **n > 0) {
            let middle = (i as f64 + 0.5) * BIN_MM - COVERS_MM;
            let at = (middle - from) / (to - from) * bars as f64;
            if at >= 0.0
                && let Some(bar) = all.get_mut(at as usize)
            {
                *bar += *n as usize;
            }
        }
        all
    }

    /// How well values like these keep within ± a tolerance, mm, **if they are normally distributed**: the
    /// distance of the mean from the nearer limit over three standard deviations (the index `Cpk` of
    /// ISO 22514-2, from memory). `None` without spread.
    pub fn capability(&self, tolerance_mm: f64) -> Option<Capability> {
        capability([-tolerance_mm, tolerance_mm], self.mean()?, self.sigma()?)
    }
}

/// A capability index, and what it is worked out from.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Capability {
    /// Distance of the mean from the nearer limit over three standard deviations. 1 is 1.35 parts in
    /// 1000 beyond that limit, where the values are normally distributed; where they are not, it says
    /// little.
    pub cpk: f64,
    /// Mean, mm.
    pub mean_mm: f64,
    /// Standard deviation, mm.
    pub sigma_mm: f64,
}

fn capability([lower, upper]: [f64; 2], mean_mm: f64, sigma_mm: f64) -> Option<Capability> {
    let cpk = (upper - mean_mm).min(mean_mm - lower) / (3.0 * sigma_mm);
    cpk.is_finite().then_some(Capability { cpk, mean_mm, sigma_mm })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// NIST/SEMATECH e-Handbook of Statistical Methods, 6.1.6 (from memory): limits 8 and 20, mean 16,
    /// standard deviation 2 come to 0.6667.
    #[test]
    fn the_index_of_a_published_example() {
        let index = capability([8.0, 20.0], 16.0, 2.0).expect("it has spread").cpk;
        assert!((index - 0.6667).abs() < 5e-5, "{index}");
        assert_eq!(capability([8.0, 20.0], 8.0, 0.0), None, "without spread there is none");
    }

    #[test]
    fn merged_in_any_order_it_is_the_same() {
        let values: Vec<f64> = (0..1000).map(|i| libm::sin(f64::from(i)) * 9.0).collect();
        let of = |values: &[f64]| {
            let mut h = Histogram::default();
            for v in values {
                h.add(*v);
            }
            h
        };
        let whole = of(&values);
        let (a, b) = (of(&values[..321]), of(&values[321..]));
        for (mut first, second) in [(a.clone(), &b), (b.clone(), &a)] {
            first.merge(second);
            assert_eq!(first, whole, "to the last bit");
        }
        let mut sorted = values.clone();
        sorted.sort_by(f64::total_cmp);
        for share in [0.3, 0.5, 0.75] {
            let rank = (share * 1000.0_f64).ceil() as usize;
            let off = whole.percentile(share).expect("values") - sorted[rank - 1];
            assert!(off.abs() <= BIN_MM / 2.0 + 1e-12, "{share}: off by {off}");
        }
        assert_eq!(whole.percentile(1.0), Some(sorted[999]), "the greatest is exact");
        assert_eq!(whole.percentile(0.01), Some(sorted[0]), "beyond the bins the least of all");
        let n = values.len() as f64;
        let mean = values.iter().sum::<f64>() / n;
        let sigma =
            (values.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>() / (n - 1.0)).sqrt();
        assert!((whole.mean().expect("values") - mean).abs() < 1e-6, "the mean");
        assert!((whole.sigma().expect("values") - sigma).abs() < 1e-6, "the standard deviation");
        let bars = whole.bars([-8.0, 8.0], 4);
        let inside = values.iter().filter(|v| v.abs() < 8.0).count();
        assert_eq!(bars.iter().sum::<usize>(), inside, "every value within has its bar");
    }
}

/// Only the bins that hold something, each with its number.
mod filled_bins {
    use super::BINS;
    use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error};

    pub(super) fn serialize<S: Serializer>(bins: &[u32], to: S) -> Result<S::Ok, S::Error> {
        let filled = bins.iter().enumerate().filter(|(_, n)| **n > 0);
        filled.collect::<Vec<(usize, &u32)>>().serialize(to)
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Vec<u32>, D::Error> {
        let mut bins = vec![0; BINS];
        for (i, n) in Vec::<(usize, u32)>::deserialize(from)? {
            let bin = bins.get_mut(i);
            *bin.ok_or_else(|| {
                D::Error::custom(format!("expected a bin below {BINS}, found {i}"))
            })? = n;
        }
        Ok(bins)
    }
}
