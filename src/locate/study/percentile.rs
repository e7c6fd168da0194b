//! Exact percentiles (nearest rank) of many non-negative numbers by counting:
//! positive floating-point numbers have the same order as their bits.

/// Number of trailing bits not used for the bin: 128 bins from a number to its double.
const SHIFT: u32 = 16;
const BINS: usize = 1 << (32 - SHIFT);

/// Counts of numbers by their leading bits, and of those within a limit.
pub(super) struct Counts {
    bins: Vec<u32>,
    limit: f32,
    within: usize,
}

impl Counts {
    /// No counts yet; `limit` in the unit of the values.
    pub(super) fn new(limit: f32) -> Self {
        Self { bins: vec![0; BINS], limit, within: 0 }
    }

    pub(super) fn add(&mut self, values: &[f32]) {
        for value in values {
            self.bins[bin(*value)] += 1;
        }
        self.within += values.iter().map(|&v| u32::from(v <= self.limit)).sum::<u32>() as usize;
    }

    pub(super) fn merge(&mut self, other: &Self) {
        for (a, b) in self.bins.iter_mut().zip(&other.bins) {
            *a += b;
        }
        self.within += other.within;
    }

    /// How many numbers were within the limit.
    pub(super) fn within(&self) -> usize {
        self.within
    }

    /// The number at each of the shares of `values`, nearest rank: the ⌈share · n⌉-th smallest.
    /// Reads the values once more, on `threads` threads.
    pub(super) fn percentiles<const N: usize>(
        &self,
        values: &[f32],
        shares: [f64; N],
        threads: usize,
    ) -> [f32; N] {
        let ranks = shares.map(|share| {
            ((share * values.len() as f64).ceil() as usize).clamp(1, values.len()) - 1
        });
        let places = ranks.map(|rank| self.place(rank));
        // For each bin the group that collects its numbers, from 1; 0 is none.
        let mut group_of = vec![0_u8; BINS];
        for (group, (bin, _)) in (1..).zip(places) {
            group_of[bin] = group;
        }
        let mut groups: [Vec<f32>; N] = gathered(values, &group_of, threads);
        places.map(|(bin, rank)| {
            let group = &mut groups[usize::from(group_of[bin]) - 1];
            *group.select_nth_unstable_by(rank, f32::total_cmp).1
        })
    }

    /// The bin that holds the number of this rank, from 0, and its rank within the bin.
    fn place(&self, rank: usize) -> (usize, usize) {
        let mut left = rank;
        for (bin, &count) in self.bins.iter().enumerate() {
            if left < count as usize {
                return (bin, left);
            }
            left -= count as usize;
        }
        (BINS - 1, left)
    }
}

fn bin(value: f32) -> usize {
    (value.to_bits() >> SHIFT) as usize
}

/// The numbers of each group, in arbitrary order.
fn gathered<const N: usize>(values: &[f32], group_of: &[u8], threads: usize) -> [Vec<f32>; N] {
    let gather = |values: &[f32]| {
        let mut groups = [const { Vec::new() }; N];
        for &value in values {
            let group = usize::from(group_of[bin(value)]);
            if group > 0 {
                groups[group - 1].push(value);
            }
        }
        groups
    };
    let share = values.len().div_ceil(threads.max(1)).max(1);
    let mut shares = values.chunks(share);
    let own = shares.next().unwrap_or_default();
    if threads <= 1 {
        return gather(own);
    }
    std::thread::scope(|scope| {
        let gather = &gather;
        let others: Vec<_> = shares.map(|s| scope.spawn(move || gather(s))).collect();
        let mut groups = gather(own);
        for other in others {
            let more = other.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic));
            for (all, part) in groups.iter_mut().zip(more) {
                all.extend(part);
            }
        }
        groups
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranks_are_those_of_the_sorted_numbers() {
        let mut values: Vec<f32> =
            (0..10_007_u32).map(|i| (i.wrapping_mul(2_654_435_761) >> 8) as f32 * 1e-5).collect();
        let mut counts = Counts::new(20.0);
        counts.add(&values);
        let shares = [0.0, 0.5, 0.501, 0.95, 0.99, 1.0];
        let found = [1, 2, 3].map(|threads| counts.percentiles(&values, shares, threads));
        values.sort_by(f32::total_cmp);
        let expected = [0, 5003, 5013, 9506, 9906, 10_006].map(|rank| values[rank]);
        assert_eq!(found, [expected; 3], "on one, two and three threads");
        assert_eq!(counts.within(), values.partition_point(|v| *v <= 20.0), "within the limit");
    }
}
