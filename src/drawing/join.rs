//! Loose lines joined end to end.

use super::curve::{Curve, Path};
use super::outline::{Chain, Closed, SAME_MM};
use crate::io::limits::{DRAWING_MEETINGS, OverLimit};
use kurbo::Point;
use std::collections::HashMap;

/// Ends nearer to each other than this are joined, mm: the touch repeatability.
pub const JOIN_MM: f64 = 0.1;

/// What came of loose paths.
#[derive(Debug, Default)]
pub(super) struct Joined {
    pub(super) closed: Vec<Closed>,
    pub(super) open: Vec<Chain>,
    /// Where three ends or more meet: which two belong together is a guess there.
    pub(super) forks: Vec<Point>,
}

/// Joins paths, mm: nearest ends first, each end once.
pub(super) fn join(paths: Vec<Path>) -> Result<Joined, OverLimit> {
    let mut joined = Joined::default();
    let (mut loose, mut ends) = (Vec::new(), Vec::new());
    for path in paths {
        let gap = path.end().distance(path.start());
        if path.closed || gap <= SAME_MM {
            let gap_mm = if path.closed { 0.0 } else { gap };
            joined.closed.push(Closed(chain(path, gap_mm)));
        } else {
            ends.extend([path.start(), path.end()]);
            loose.push(Some(path));
        }
    }
    let mut meetings = meetings(&ends)?;
    // A path shorter than a gap does not close itself.
    let short = |path: &Path| {
        let hull = path.curves.iter().flat_map(Curve::hull);
        hull.into_iter().all(|p| p.distance(path.start()) <= JOIN_MM)
    };
    meetings.retain(|(a, b, _)| a ^ 1 != *b || !loose[a / 2].as_ref().is_some_and(short));
    let mut partner: Vec<Option<usize>> = vec![None; ends.len()];
    let mut near: Vec<usize> = vec![0; ends.len()];
    for (a, b, _) in &meetings {
        near[*a] += 1;
        near[*b] += 1;
        if partner[*a].is_none() && partner[*b].is_none() {
            partner[*a] = Some(*b);
            partner[*b] = Some(*a);
        }
    }
    joined.forks = forks(&ends, &near);
    // Open chains first, each from the end of it that comes first; what is left then are rings.
    for begin in (0..ends.len()).filter(|e| partner[*e].is_none()) {
        if let Some(chain) = follow(begin, &mut loose, &partner, &ends) {
            joined.open.push(chain);
        }
    }
    for begin in (0..ends.len()).step_by(2) {
        if let Some(mut chain) = follow(begin, &mut loose, &partner, &ends) {
            chain.gap_mm = chain.gap_mm.max(chain.open_by_mm());
            joined.closed.push(Closed(chain));
        }
    }
    Ok(joined)
}

fn chain(path: Path, gap_mm: f64) -> Chain {
    Chain { curves: path.curves, element: path.element, gap_mm }
}

/// The chain that begins at this end; end `2 i` is the start of path `i`, `2 i + 1` its end.
fn follow(
    begin: usize,
    loose: &mut [Option<Path>],
    partner: &[Option<usize>],
    ends: &[Point],
) -> Option<Chain> {
    let mut found: Option<Chain> = None;
    let mut here = Some(begin);
    let mut before: Option<usize> = None;
    while let Some(end) = here {
        let Some(path) = loose[end / 2].take() else { break };
        let path = if end % 2 == 0 { path } else { reversed(path) };
        match &mut found {
            None => found = Some(chain(path, 0.0)),
            Some(chain) => {
                chain.curves.extend(path.curves);
                let gap = before.map_or(0.0, |before| ends[before].distance(ends[end]));
                chain.gap_mm = chain.gap_mm.max(gap);
            }
        }
        before = Some(end ^ 1);
        here = partner[end ^ 1];
    }
    found
}

fn reversed(path: Path) -> Path {
    Path { curves: path.curves.iter().rev().map(Curve::reversed).collect(), ..path }
}

/// Pairs of ends within [`JOIN_MM`] of each other, the nearest first. They are found by squares of that
/// size, each compared with itself and four of its neighbours.
fn meetings(ends: &[Point]) -> Result<Vec<(usize, usize, f64)>, OverLimit> {
    let square = |p: Point| ((p.x / JOIN_MM).floor() as i64, (p.y / JOIN_MM).floor() as i64);
    let mut squares: HashMap<(i64, i64), Vec<usize>> = HashMap::new();
    for (i, end) in ends.iter().enumerate() {
        squares.entry(square(*end)).or_default().push(i);
    }
    let mut pairs = Vec::new();
    let mut looked_at = 0;
    for (i, end) in ends.iter().enumerate() {
        let (x, y) = square(*end);
        for (dx, dy) in NEIGHBOURS {
            let Some(others) = squares.get(&(x + dx, y + dy)) else { continue };
            looked_at += others.len();
            DRAWING_MEETINGS.check(looked_at)?;
            for &j in others {
                let distance = end.distance(ends[j]);
                // Within one square each pair is met twice.
                let once = (dx, dy) != (0, 0) || i < j;
                if once && distance <= JOIN_MM {
                    pairs.push((i.min(j), i.max(j), distance));
                }
            }
        }
    }
    pairs.sort_by(|a, b| a.2.total_cmp(&b.2).then((a.0, a.1).cmp(&(b.0, b.1))));
    Ok(pairs)
}

const NEIGHBOURS: [(i64, i64); 5] = [(0, 0), (1, 0), (-1, 1), (0, 1), (1, 1)];

/// One point for each place where three ends or more lie together.
fn forks(ends: &[Point], near: &[usize]) -> Vec<Point> {
    let mut forks: Vec<Point> = Vec::new();
    for (end, _) in ends.iter().zip(near).filter(|(_, near)| **near > 1) {
        if forks.last().is_none_or(|last| last.distance(*end) > JOIN_MM) {
            forks.push(*end);
        }
    }
    forks.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    forks.dedup_by(|a, b| a.distance(*b) <= JOIN_MM);
    forks
}
