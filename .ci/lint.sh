#!/usr/bin/env bash
# Format, and clippy for the machine and for the page, with warnings denied.
set -euo pipefail
cd "$(dirname "$0")/.."
. target/env.sh
cargo fmt --check || { echo "lint: 'cargo fmt' puts this right" >&2; exit 1; }
cargo clippy --quiet --locked --all-targets -- --deny warnings
# By its own name, so that the clippy of the page's toolchain is the one that runs.
PATH=$WASM_PATH cargo-clippy clippy --quiet --locked --target wasm32-unknown-unknown \
  --no-default-features --features app --lib --bin nudgeproof-page -- --deny warnings
