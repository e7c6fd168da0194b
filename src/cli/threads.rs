//! How many threads a command uses.

use crate::output::Problem;
use rayon::ThreadPoolBuilder;

/// More than this many threads only take memory.
const MOST_THREADS: usize = 256;

/// Does something with so many threads; as many as the machine has cores if nothing is said.
pub(crate) fn on_threads<R: Send>(
    threads: Option<usize>,
    work: impl FnOnce() -> R + Send,
) -> Result<R, Problem> {
    let threads = threads.unwrap_or(0).min(MOST_THREADS);
    let pool = ThreadPoolBuilder::new().num_threads(threads).build();
    Ok(pool.map_err(|e| format!("--threads: {e}"))?.install(work))
}
