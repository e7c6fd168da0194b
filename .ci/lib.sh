# Helpers of .ci/setup.sh; the versions of the tools stand here.
# shellcheck shell=bash

TARGET=wasm32-unknown-unknown
TRUNK_VERSION=0.21.14    # the newest that builds with Rust older than 1.96.1
BINARYEN_VERSION=132.0.0
DENY_VERSION=0.20.2
MIN_RUST=$(sed -n 's/^rust-version = "\(.*\)"/\1/p' Cargo.toml)
CACHE=${NUDGEPROOF_CACHE:-${XDG_CACHE_HOME:-$HOME/.cache}/nudgeproof}

say() { printf 'setup: [%3ds] %s\n' $SECONDS "$*"; }
die() { printf 'setup: error: %s\n' "$*" >&2; exit 1; }
have() { command -v "$1" >/dev/null 2>&1; }
# logged NAME COMMAND…: output goes to a log; its end is shown if the command fails.
logged() {
  local log=$CACHE/log/$1.log
  shift
  "$@" >"$log" 2>&1 || { tail -n 25 "$log" >&2; return 1; }
}
bounded() { if have timeout; then timeout -k 5 "$@"; else shift; "$@"; fi; }
checksum() { cksum <"$1" | tr ' ' -; }
at_least() { [ "$(printf '%s\n%s\n' "$1" "${2:-0}" | sort -V | sed -n 1p)" = "$1" ]; }
version_of() { "$1" --version 2>/dev/null | awk '{print $2}' | sed 's/-.*//' || true; }
# has_std RUSTC: new enough, and with std for the page?
has_std() {
  local dir
  at_least "$MIN_RUST" "$(version_of "$1")" || return 1
  dir=$("$1" --print target-libdir --target $TARGET 2>/dev/null) || return 1
  compgen -G "$dir/libstd-*.rlib" >/dev/null
}

mkdir -p "$CACHE/log"
if have flock; then
  exec 9>"$CACHE/lock"
  flock -n 9 || { say "waiting for another set-up to finish"; flock 9; }
fi
# An earlier env.sh may have been read: look at the machine as it is without it.
PATH=$(printf %s "$PATH" | tr : '\n' | { grep -vF "$CACHE/" || true; } | paste -s -d : -)
unset RUSTC RUSTDOC RUSTFLAGS CARGO_BUILD_TARGET CARGO_TARGET_DIR

# cargo_tool CRATE VERSION BINARY: builds a tool into the cache, with a quick profile.
cargo_tool() {
  local name=$1 version=$2 dir=$CACHE/$1-$2
  [ -x "$dir/bin/$3" ] && return
  say "cargo install $name $version (some minutes, once)"
  local go=(env CARGO_PROFILE_RELEASE_LTO=off CARGO_PROFILE_RELEASE_CODEGEN_UNITS=16
    CARGO_PROFILE_RELEASE_OPT_LEVEL=1 CARGO_PROFILE_RELEASE_DEBUG=0 CARGO_TARGET_DIR="$CACHE/build"
    cargo install "$name" --version "=$version" --no-default-features --force --root "$dir")
  # A crate's own lock may name a version that the registry does not serve: then without it.
  (cd "$CACHE" && "${go[@]}" --locked >"$CACHE/log/$name.log" 2>&1) || {
    if grep -q 'failed to select a version' "$CACHE/log/$name.log"; then
      say "  its own lock cannot be met here: without it"
      (cd "$CACHE" && logged "$name" "${go[@]}") && return
    else
      tail -n 25 "$CACHE/log/$name.log" >&2
    fi
    die "cargo could not install $name $version (see above)"
  }
}

find_chrome() {
  local c
  for c in "${CHROME:-}" chromium chromium-browser google-chrome google-chrome-stable chrome \
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome"; do
    [ -n "$c" ] && have "$c" && { command -v "$c"; return; }
  done
  return 1
}

find_python() {
  local p
  for p in python3 python3.14 python3.13 python3.12 python3.11; do
    "$p" -c 'import ensurepip, sys, venv; sys.exit(sys.version_info < (3, 11))' 2>/dev/null && { echo "$p"; return; }
  done
  return 1
}
