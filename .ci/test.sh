#!/usr/bin/env bash
# `make test`: everything that must hold, and a line of counts at the end.
set -euo pipefail
cd "$(dirname "$0")/.."

step() { printf '\n== %s  [%d s]\n' "$1" $SECONDS; }
fail() { printf '\ntest: FAILED at: %s  [%d s]\n' "$now" $SECONDS >&2; }
trap fail ERR
now='set-up'; step "$now"
.ci/setup.sh
. target/env.sh
log=target/test-log
mkdir -p "$log"

now='lint'; step "$now"
.ci/lint.sh

now='licences and sources of libraries'; step "$now"
.ci/deny.sh --log-level error

now='tests of the library and the command line'; step "$now"
# Without the feature `app`: the page is never compiled here.
if cargo nextest --version >/dev/null 2>&1; then
  NEXTEST_HIDE_PROGRESS_BAR=1 cargo nextest run --locked --no-fail-fast --status-level fail --no-tests pass 2>&1 | tee "$log/native"
  native=$(sed -n 's/.*Summary.* \([0-9]*\) passed.*/\1/p' "$log/native")
  cargo test --locked --doc --quiet 2>&1 | tee "$log/doc"
else
  cargo test --locked --no-fail-fast --lib --bins --tests 2>&1 | tee "$log/native"
  native=$(awk '/^test result: ok/ { n += $4 } END { print n + 0 }' "$log/native")
  cargo test --locked --doc --quiet 2>&1 | tee "$log/doc"
fi
docs=$(awk '/^test result: ok/ { n += $4 } END { print n + 0 }' "$log/doc")

now='unit tests of the page'; step "$now"
# What the page reckons before it draws, on this machine: no browser needed.
cargo test --locked --features app --bin nudgeproof-page 2>&1 | tee "$log/page"
page=$(awk '/^test result: ok/ { n += $4 } END { print n + 0 }' "$log/page")

now='documentation'; step "$now"
RUSTDOCFLAGS='--deny warnings' cargo doc --quiet --locked --no-deps --lib

now='equal bits in WebAssembly'; step "$now"
tests/bits/run.sh

now='release page'; step "$now"
make size

now='packing the page'; step "$now"
cargo test --release --locked --quiet --manifest-path src/pack/Cargo.toml --target-dir target/pack 2>&1 | tee "$log/pack"
pack=$(awk '/^test result: ok/ { n += $4 } END { print n + 0 }' "$log/pack")
.ci/pack.sh

now='tests in the browser'; step "$now"
node --test --test-concurrency=2 --test-timeout=300000 --test-reporter=spec tests/browser/*/*.test.mjs 2>&1 | tee "$log/browser"
browser=$(sed -n 's/^ℹ pass \([0-9]*\)/\1/p' "$log/browser")

now='counting'
# Each kind must have run: a count of nothing is a failure.
[ "${native:-0}" -gt 0 ] && [ "${page:-0}" -gt 0 ] && [ "${pack:-0}" -gt 0 ] && [ "${browser:-0}" -gt 0 ]
printf '\ntest: all passed: %d native, %d of the page, %d of the packer, %d in the documentation, %d in the browser  [%d s]\n' \
  "$native" "$page" "$pack" "$docs" "$browser" $SECONDS
