//! Names for points that are taught new.

use nudgeproof::routine::Routine;

/// Highest number tried: more points with one stem than any routine has.
const MAX_NUMBER: u32 = 100_000;

/// `stem-1`, or the next number that no point has.
pub(crate) fn numbered(routine: &Routine, stem: &str) -> String {
    (1..=MAX_NUMBER)
        .map(|n| format!("{stem}-{n}"))
        .find(|name| routine.point(name).is_none())
        .unwrap_or_else(|| stem.to_owned())
}

/// `stem`, or `stem-2` and so on if a point has that name.
pub(crate) fn plain(routine: &Routine, stem: &str) -> String {
    if routine.point(stem).is_none() {
        return stem.to_owned();
    }
    (2..=MAX_NUMBER)
        .map(|n| format!("{stem}-{n}"))
        .find(|name| routine.point(name).is_none())
        .unwrap_or_else(|| stem.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::geometry::Point3;
    use nudgeproof::routine::TaughtPoint;

    fn with(names: &[&str]) -> Routine {
        let points =
            names.iter().map(|n| TaughtPoint { name: (*n).into(), at: Point3::origin() }).collect();
        Routine { points, ..Routine::default() }
    }

    #[test]
    fn names_count_up() {
        assert_eq!(numbered(&with(&[]), "west"), "west-1", "the first");
        assert_eq!(numbered(&with(&["west-1", "west-3"]), "west"), "west-2", "the first free one");
        assert_eq!(plain(&with(&[]), "approach"), "approach", "no number while it is the only one");
        assert_eq!(plain(&with(&["approach"]), "approach"), "approach-2", "then 2");
    }
}
