#!/usr/bin/env bash
# tests/fuzz/run.sh TARGET SECONDS: fuzzes on the stable compiler. Coverage comes from
# stable code generation options; the library has no unsafe code, so no sanitizer is needed.
set -euo pipefail
target=${1:?case_file, files or solver} seconds=${2:-60}
here=$(cd "$(dirname "$0")" && pwd)
build=${CARGO_TARGET_DIR:-$here/../../target}/fuzz
corpus=$build/corpus/$target
mkdir -p "$corpus"
export RUSTFLAGS="-Cpasses=sancov-module -Cllvm-args=-sanitizer-coverage-level=4 -Cllvm-args=-sanitizer-coverage-inline-8bit-counters -Cllvm-args=-sanitizer-coverage-pc-table -Cllvm-args=-sanitizer-coverage-trace-compares --cfg fuzzing -Ccodegen-units=1"
# Naming the target keeps these options away from build scripts.
host=$(rustc -vV | sed -n 's/^host: //p')
cargo build --quiet --release --manifest-path "$here/Cargo.toml" --target-dir "$build" --target "$host"
cd "$build"
exec nice "$build/$host/release/$target" -max_total_time="$seconds" -max_len=40000 -print_final_stats=1 "$corpus" "$here/../cases" "$here/../../lessons" "$here/../../src/cell/parts"
