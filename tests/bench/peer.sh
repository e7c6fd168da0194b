#!/usr/bin/env bash
# The study against the vectorised numpy baseline, in one go. Both sides use what
# this processor has: numpy chooses its vector code when it is loaded, ours is
# compiled for it (target-cpu=native). Needs Python 3 with venv.
set -euo pipefail
cd "$(dirname "$0")/../.."
target=${CARGO_TARGET_DIR:-target}/native
python=$target/peer-python/bin/python
if ! "$python" -c 'import numpy' 2>/dev/null; then
    mkdir -p "$target"
    python3 -m venv "$target/peer-python" || { echo "peer: Python 3 with venv is needed" >&2; exit 2; }
    "$python" -m pip install --quiet numpy || { echo "peer: numpy could not be installed" >&2; exit 2; }
fi
export PYTHON=$PWD/$python
case $python in /*) PYTHON=$python ;; esac
RUSTFLAGS="-C target-cpu=native" CARGO_TARGET_DIR=$target cargo bench --quiet --bench peer
