#!/usr/bin/env bash
# Format, the lock files of the packages beside the main one, and clippy for the machine and
# for the page, with warnings denied.
set -euo pipefail
cd "$(dirname "$0")/.."
. target/env.sh
{ cargo fmt --check && cargo fmt --check --manifest-path src/pack/Cargo.toml; } || { echo "lint: 'cargo fmt', there and in src/pack, puts this right" >&2; exit 1; }
for beside in src/pack tests/bits tests/bench/wasm tests/fuzz; do
  cargo update --workspace --locked --quiet --manifest-path $beside/Cargo.toml \
    || { echo "lint: 'cargo update --workspace' in $beside puts this right" >&2; exit 1; }
done
cargo clippy --quiet --locked --all-targets -- --deny warnings
cargo clippy --quiet --locked --all-targets --manifest-path src/pack/Cargo.toml --target-dir target/pack -- --deny warnings
# By its own name, so that the clippy of the page's toolchain is the one that runs.
PATH=$WASM_PATH cargo-clippy clippy --quiet --locked --target wasm32-unknown-unknown \
  --no-default-features --features app --lib --bin nudgeproof-page --bin nudgeproof-worker -- --deny warnings
