//! Times the work natively; prints one line of JSON, as the script does for WebAssembly.

use nudgeproof_wasm_bench::{solves, studies};
use std::time::Instant;

const SOLVES: u32 = 100_000;
const RUNS: u32 = 20_000;

/// Best of several, a second.
fn best(count: u32, mut work: impl FnMut() -> f64) -> (f64, f64) {
    let mut result = work();
    let mut best = f64::INFINITY;
    for _ in 0..5 {
        let begun = Instant::now();
        result = work();
        best = best.min(begun.elapsed().as_secs_f64());
    }
    (f64::from(count) / best, result)
}

fn main() {
    let (solve, sum) = best(SOLVES, || solves(SOLVES));
    let (study, p95) = best(RUNS, || studies(RUNS));
    println!(
        r#"{{"solves_per_s":{solve},"studies_per_s":{study},"sum":{sum},"p95":{p95}}}"#
    );
}
