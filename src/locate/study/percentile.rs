//! Exact percentiles (nearest rank) of many non-negative numbers, by counting:
//! positive floating-point numbers are ordered like their bits.

/// Bits that tell the bins apart: 128 bins from a number to its double.
const SHIFT: u32 = 16;
const BINS: usize = 1 << (32 - SHIFT);

/// Counts of numbers by their leading bits.
pub(super) struct Counts(Vec<u32>);

impl Counts {
    pub(super) fn new() -> Self {
        Self(vec![0; BINS])
    }

    pub(super) fn add(&mut self, values: &[f32]) {
        for value in values {
            self.0[(value.to_bits() >> SHIFT) as usize] += 1;
        }
    }

    pub(super) fn merge(&mut self, other: &Self) {
        for (a, b) in self.0.iter_mut().zip(&other.0) {
            *a += b;
        }
    }

    /// The number at each of the (rising) shares of `values`, nearest rank:
    /// the ⌈share · n⌉-th smallest.
    pub(super) fn percentiles<const N: usize>(&self, values: &[f32], shares: [f64; N]) -> [f32; N] {
        let mut below = 0;
        let mut bins = self.0.iter().map(|&count| count as usize).enumerate();
        let mut bin = (0, 0);
        let mut selected: (usize, Vec<f32>) = (usize::MAX, Vec::new());
        shares.map(|share| {
            let rank = ((share * values.len() as f64).ceil() as usize).clamp(1, values.len()) - 1;
            while below + bin.1 <= rank {
                below += bin.1;
                match bins.next() {
                    Some(next) => bin = next,
                    None => return f32::NAN,
                }
            }
            if selected.0 != bin.0 {
                let inside = |v: &&f32| (v.to_bits() >> SHIFT) as usize == bin.0;
                selected = (bin.0, values.iter().filter(inside).copied().collect());
            }
            *selected.1.select_nth_unstable_by(rank - below, f32::total_cmp).1
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranks_are_those_of_the_sorted_numbers() {
        let mut values: Vec<f32> =
            (0..10_007_u32).map(|i| (i.wrapping_mul(2_654_435_761) >> 8) as f32 * 1e-5).collect();
        let mut counts = Counts::new();
        counts.add(&values);
        let found = counts.percentiles(&values, [0.0, 0.5, 0.501, 0.95, 0.99, 1.0]);
        values.sort_by(f32::total_cmp);
        let expected = [0, 5003, 5013, 9506, 9906, 10_006].map(|rank| values[rank]);
        assert_eq!(found, expected);
    }
}
