//! The study against a vectorised numpy baseline, in one go on one machine:
//! `tests/bench/peer.sh`. Same part, spread, noise and number of runs; the best of
//! several repetitions each, taken in turns; ratios are what counts.
//!
//! Environment: `PYTHON` = an interpreter with numpy (default `python3`).

mod rectangle;

use nudgeproof::locate::study::{Engine, study_layout};
use std::process::{Command, ExitCode};
use std::time::Instant;

const RUNS: usize = 1_000_000;
const REPETITIONS: usize = 15;
const BASELINE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/bench/study_baseline.py");

/// Percentiles of the two must agree to this, mm.
const AGREEMENT: f64 = 0.003;

/// Least ratio to the baseline, for the closed form and for Gauss–Newton, and of two threads to one.
const BARS: [(&str, Engine, f64); 2] =
    [("closed", Engine::ClosedForm, 2.0), ("gn3", Engine::GaussNewton, 6.0)];
const TWO_THREADS: f64 = 1.8;

struct Figure {
    runs_per_s: f64,
    p95_mm: f64,
    p99_mm: f64,
}

fn baseline() -> Result<Vec<(String, Figure)>, String> {
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".into());
    let output = Command::new(&python)
        .args([BASELINE, "--runs", &RUNS.to_string()])
        .output()
        .map_err(|e| format!("{python} cannot be started: {e}"))?;
    if !output.status.success() {
        let text = String::from_utf8_lossy(&output.stderr);
        return Err(format!("the baseline failed: {}", text.lines().last().unwrap_or_default()));
    }
    let line = |line: &str| {
        let value: serde_json::Value =
            serde_json::from_str(line).map_err(|e| format!("{line}: {e}"))?;
        let number = |key: &str| value[key].as_f64().ok_or(format!("{line}: {key} expected"));
        let figure = Figure {
            runs_per_s: number("runs_per_s")?,
            p95_mm: number("p95_mm")?,
            p99_mm: number("p99_mm")?,
        };
        Ok((value["engine"].as_str().unwrap_or_default().to_owned(), figure))
    };
    String::from_utf8_lossy(&output.stdout).lines().map(line).collect()
}

#[expect(clippy::disallowed_methods, reason = "a benchmark reads the clock")]
fn ours(engine: Engine, threads: usize) -> Figure {
    let settings = rectangle::settings(engine, RUNS, threads);
    let mut best = f64::INFINITY;
    let mut result = None;
    for _ in 0..REPETITIONS {
        let start = Instant::now();
        result = study_layout(&rectangle::touches(), &rectangle::seam(), &settings).ok();
        best = best.min(start.elapsed().as_secs_f64());
    }
    let result = result.expect("the rectangle is a good layout");
    Figure { runs_per_s: RUNS as f64 / best, p95_mm: result.p95_mm, p99_mm: result.p99_mm }
}

fn main() -> ExitCode {
    let baseline = match baseline() {
        Ok(baseline) => baseline,
        Err(problem) => {
            eprintln!("peer: {problem}");
            return ExitCode::from(2);
        }
    };
    let mut good = true;
    let mut verdict = |ok: bool| {
        good &= ok;
        if ok { "ok" } else { "MISSED" }
    };
    let million = |v: f64| v / 1e6;
    println!("{RUNS} runs, best of {REPETITIONS}; millions of runs a second");
    for (name, engine, bar) in BARS {
        let Some((_, theirs)) = baseline.iter().find(|(engine, _)| engine == name) else {
            eprintln!("peer: the baseline has no engine {name}");
            return ExitCode::from(2);
        };
        let (one, two) = (ours(engine, 1), ours(engine, 2));
        let ratio = one.runs_per_s / theirs.runs_per_s;
        let twice = two.runs_per_s / one.runs_per_s;
        let off = (one.p95_mm - theirs.p95_mm).abs().max((one.p99_mm - theirs.p99_mm).abs());
        println!(
            "{engine:?}: baseline {:.1}, ours {:.1}: {ratio:.2} times (bar {bar}) {}; two threads {:.1}: {twice:.2} times one (bar {TWO_THREADS}) {}",
            million(theirs.runs_per_s),
            million(one.runs_per_s),
            verdict(ratio >= bar),
            million(two.runs_per_s),
            verdict(twice >= TWO_THREADS),
        );
        println!(
            "  p95 {:.4} / {:.4} mm, p99 {:.4} / {:.4} mm: within {AGREEMENT} mm {}",
            theirs.p95_mm,
            one.p95_mm,
            theirs.p99_mm,
            one.p99_mm,
            verdict(off <= AGREEMENT),
        );
    }
    if good { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
