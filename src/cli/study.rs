//! `nudgeproof study SESSION.json`: many production runs of a session's routine.

use crate::files::read_session;
use crate::output::{Problem, print_json};
use nudgeproof::session::{Study, StudyError, Tally};
use serde_json::json;
use std::path::PathBuf;

/// Arguments of `study`.
#[derive(clap::Args)]
pub(crate) struct StudyArgs {
    /// Session file with a reference run, as the page exports it
    session: PathBuf,
    /// How many runs
    #[arg(long, default_value_t = 10_000, value_parser = clap::value_parser!(u32).range(1..))]
    runs: u32,
    /// Seed of the nudges and the noise
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Threads; as many as the machine has cores if left out. The result does not depend on it
    #[arg(long)]
    threads: Option<usize>,
}

impl StudyArgs {
    pub(crate) fn run(&self) -> Result<(), Problem> {
        let session = read_session(&self.session)?;
        let named = |e: StudyError| format!("{}: {e}", self.session.display());
        let study = Study::new(session.state(), self.seed).map_err(named)?;
        let cores = || std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
        let threads = self.threads.unwrap_or_else(cores).clamp(1, 256);
        let mut tally = shared_out(&study, self.runs as usize, threads);
        let tolerance = session.header().part.seams.first().map(|s| s.tolerance_mm);
        print_json(&json!({
            "part": session.header().part.name,
            "seed": self.seed,
            "runs": tally.runs,
            "stopped": tally.stopped,
            "landed": tally.landed,
            "share_inside_tolerance": tally.landed as f64 / tally.runs as f64,
            "tolerance_mm": tolerance,
            "seam_miss_mm": {
                "p50": tally.percentile(0.50),
                "p90": tally.percentile(0.90),
                "p95": tally.percentile(0.95),
                "p99": tally.percentile(0.99),
                "worst": tally.percentile(1.0),
            },
        }))
    }
}

/// Study numbered from 1, in as many ranges as threads.
fn shared_out(study: &Study, runs: usize, threads: usize) -> Tally {
    let bound = |i: usize| 1 + runs * i / threads;
    std::thread::scope(|scope| {
        let workers: Vec<_> =
            (0..threads).map(|i| scope.spawn(move || study.run(bound(i)..bound(i + 1)))).collect();
        let mut all = Tally::default();
        for worker in workers {
            all.merge(worker.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)));
        }
        all
    })
}
