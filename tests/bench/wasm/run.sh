#!/usr/bin/env bash
# How fast the solver and the study are in WebAssembly, as a share of native speed.
# Needs what `.ci/setup.sh native wasm` sets up; the switch SIMD=1 builds the module with 128-bit vectors.
set -euo pipefail
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
target=$here/../../../target/wasm-bench
cd "$here"
cargo build --quiet --release --bin native --target-dir "$target"
PATH=${WASM_PATH:-$PATH} RUSTFLAGS=${SIMD:+-Ctarget-feature=+simd128} \
  cargo build --quiet --release --lib --target wasm32-unknown-unknown --target-dir "$target"
node time.mjs "$target/wasm32-unknown-unknown/release/nudgeproof_wasm_bench.wasm" "$target/release/native"
