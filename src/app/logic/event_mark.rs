use nudgeproof::routine::{Event, EventKind, RunLog};

/// How an event is marked on the time line: shapes tell the marks apart without colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum EventMark {
    Touch,
    Trouble,
    Arc,
    Other,
}

/// Width of the time line in the units of its drawing.
pub(crate) const WIDTH: f64 = 1000.0;

impl EventMark {
    pub(crate) fn of(event: &Event) -> Self {
        match event.what {
            EventKind::Touched { .. } => Self::Touch,
            EventKind::Crash { .. }
            | EventKind::WireBent { .. }
            | EventKind::SearchFailed { .. }
            | EventKind::PlaceNotFound { .. }
            | EventKind::CannotDo { .. }
            | EventKind::HomeCarried { .. } => Self::Trouble,
            EventKind::ArcOn | EventKind::ArcOff => Self::Arc,
            _ => Self::Other,
        }
    }

    /// The marks of a run, each with its place along the line, 0 to [`WIDTH`].
    pub(crate) fn of_run(log: &RunLog) -> impl Iterator<Item = (f64, Self)> {
        let scale = WIDTH / log.duration.max(1e-9);
        log.events.iter().map(move |event| (event.time * scale, Self::of(event)))
    }

    /// Its classes in the style sheet.
    pub(crate) fn class(self) -> &'static str {
        match self {
            Self::Touch => "mark touched",
            Self::Trouble => "mark trouble",
            Self::Arc => "mark arc",
            Self::Other => "mark",
        }
    }

    /// Its path: pin, triangle, flash or diamond at `x`.
    pub(crate) fn path(self, x: f64) -> String {
        match self {
            Self::Touch => format!("M{x} 2v14m-3 -14h6"),
            Self::Trouble => format!("M{x} 2l5 12h-10z"),
            Self::Arc => format!("M{} 3l-4 6h4l-3 6", x + 2.0),
            Self::Other => format!("M{x} 5l4 4l-4 4l-4 -4z"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_kind_of_mark_has_its_own_shape() {
        let all = [EventMark::Touch, EventMark::Trouble, EventMark::Arc, EventMark::Other];
        let paths = all.map(|mark| mark.path(500.0));
        for (i, path) in paths.iter().enumerate() {
            assert!(path.starts_with("M50"), "{path} stands at its place");
            assert_eq!(paths.iter().position(|p| p == path), Some(i), "{path} is there once");
        }
    }
}
