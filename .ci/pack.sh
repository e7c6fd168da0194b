#!/usr/bin/env bash
# Packs the finished page, dist/, into packed/. What stands behind goes to nudgeproof-pack (`--help`).
set -euo pipefail
cd "$(dirname "$0")/.."
. target/env.sh
cargo run --quiet --release --locked --manifest-path src/pack/Cargo.toml --target-dir target/pack -- "$@"
