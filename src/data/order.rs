/// Puts a short list in order; equal items keep theirs. `before` tells whether the first of two
/// items belongs before the second.
///
/// For lists of tens: the work grows with the square of the length. The library's own sort is made
/// anew for every type, some kilobytes each, and the page carries them all.
pub fn sort_short<T>(items: &mut [T], mut before: impl FnMut(&T, &T) -> bool) {
    for i in 1..items.len() {
        let mut at = i;
        while at > 0 && before(&items[at], &items[at - 1]) {
            items.swap(at, at - 1);
            at -= 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::sort_short;

    #[test]
    fn it_orders_as_the_stable_sort_of_the_standard_library_does() {
        for n in 0..40_usize {
            let mut ours: Vec<_> = (0..n).map(|i| (i * 7919 % 13, i)).collect();
            let mut theirs = ours.clone();
            sort_short(&mut ours, |a, b| a.0 < b.0);
            theirs.sort_by_key(|v| v.0);
            assert_eq!(ours, theirs, "{n} items");
        }
    }
}
