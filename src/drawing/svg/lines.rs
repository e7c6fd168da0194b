/// Where the lines of a text begin.
pub(super) struct Lines(Vec<usize>);

impl Lines {
    pub(super) fn new(text: &str) -> Self {
        Self(text.match_indices('\n').map(|(at, _)| at).collect())
    }

    /// The line, from 1, of the byte at this place.
    pub(super) fn of(&self, at: usize) -> usize {
        self.0.partition_point(|end| *end < at) + 1
    }
}
