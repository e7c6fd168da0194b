#!/usr/bin/env bash
# Licences, sources and bans of everything the project is built of: deny.toml. It shows crates that come in several
# versions too, and does not mind them.
set -euo pipefail
cd "$(dirname "$0")/.."
. target/env.sh
for package in . src/pack; do
  "$CARGO_DENY" --manifest-path $package/Cargo.toml --locked --config .ci/deny.toml "$@" check --hide-inclusion-graph licenses bans sources
done
