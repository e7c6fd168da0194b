#!/usr/bin/env bash
# Plays a hundred sessions over all parts natively and in WebAssembly, and compares every bit.
# Needs what `.ci/setup.sh native wasm` sets up.
set -euo pipefail
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
target=$here/../../target/bits
cd "$here"
cargo build --quiet --locked --bin native --target-dir "$target"
PATH=${WASM_PATH:-$PATH} \
  cargo build --quiet --locked --lib --target wasm32-unknown-unknown --target-dir "$target"
node compare.mjs "$target/wasm32-unknown-unknown/debug/nudgeproof_bits.wasm" "$target/debug/native" ../../src/cell/parts
