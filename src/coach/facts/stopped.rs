use crate::routine::{EventKind, RunLog, SearchOutcome};

/// What stopped a run, as a clause; `None` if it finished.
pub(in crate::coach) fn stopped_by(log: &RunLog) -> Option<String> {
    log.events.iter().find_map(|e| match &e.what {
        EventKind::Crash { body, .. } => Some(format!("the nozzle runs into {body}")),
        EventKind::SearchFailed { search } => {
            let search = log.searches.get(*search)?;
            Some(match &search.outcome {
                SearchOutcome::AlreadyTouching { body } => {
                    format!("the search on {} starts with the wire against {body}", search.face)
                }
                SearchOutcome::NotFelt { body } => {
                    format!("the wire is pressed against {body} and feels nothing")
                }
                _ => format!("the search on {} finds nothing", search.face),
            })
        }
        EventKind::PlaceNotFound { place, message } => {
            // Asterisks mark emphasis on screen; not here.
            Some(format!("{place} cannot be found: {}", message.replace('*', "")))
        }
        EventKind::CannotDo { why } => Some(format!("the run stops: {why}")),
        _ => None,
    })
}
