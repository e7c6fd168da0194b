# Debian's packages, and a Rust toolchain for the page made of them; part of .ci/setup.sh.
# For machines that reach Debian's packages but not the server of rustup.
# shellcheck shell=bash

as_root() { if [ "$(id -u)" = 0 ]; then "$@"; else sudo -n "$@"; fi; }
can_apt() { have apt-get && { [ "$(id -u)" = 0 ] || sudo -n true 2>/dev/null; }; }
# (No `| grep -q` on long output: with pipefail the early exit of grep reads as a failure.)
candidate() { [ -n "$(LC_ALL=C apt-cache policy "$1" 2>/dev/null | grep '^  Candidate: [0-9]')" ]; }
installed() { [[ $(dpkg-query -W -f '${Status}' "$1" 2>/dev/null) == "install ok installed" ]]; }

apt_updated=
apt_update() {
  [ -n "$apt_updated" ] && return
  say "apt-get update"
  apt_updated=1
  logged apt-update as_root apt-get update || true
}
# Fails if Debian has no such package; ends the set-up if it has and we may not install it.
apt_install() {
  local p missing=
  have apt-get || return 1
  for p in "$@"; do installed "$p" || missing="$missing $p"; done
  [ -n "$missing" ] || return 0
  can_apt || die "packages are missing and this is not root: run 'apt-get install$missing'"
  for p in $missing; do
    candidate "$p" || apt_update
    candidate "$p" || return 1
  done
  say "apt-get install$missing"
  local go=(as_root env DEBIAN_FRONTEND=noninteractive apt-get -o DPkg::Lock::Timeout=120
    install -y --no-install-recommends $missing)
  # A stale list names files that are gone from the mirror: refresh it and try once more.
  "${go[@]}" >"$CACHE/log/apt.log" 2>&1 || { apt_update; logged apt "${go[@]}"; }
}

# Kept per compiler version: bin/{cargo,cargo-clippy,rustc,rustdoc} and lib/rustlib.
debian_ready() {
  [ -x /usr/bin/rustc ] && [ -x /usr/bin/cargo ] && [ -x /usr/bin/cargo-clippy ] || return 1
  local dir
  dir=$CACHE/toolchain-$(/usr/bin/rustc -vV | sha256sum | cut -c1-12)
  [ -e "$dir/ready" ] && has_std "$dir/bin/rustc" && toolchain=$dir
}

debian_toolchain() {
  have apt-get || return 1
  apt_install rustc-web cargo-web rust-web-src rust-web-clippy rustfmt-web || return 1
  at_least "$MIN_RUST" "$(version_of /usr/bin/rustc)" ||
    die "Debian's Rust $(version_of /usr/bin/rustc) is older than $MIN_RUST"
  local host llvm lld src dir f
  host=$(/usr/bin/rustc -vV | sed -n 's/^host: //p')
  llvm=$(/usr/bin/rustc -vV | sed -n 's/^LLVM version: \([0-9]*\).*/\1/p')
  lld=/usr/lib/llvm-$llvm/bin/lld
  [ -x "$lld" ] || apt_install "lld-$llvm" || die "no linker for the page: install the package lld-$llvm"
  src=$(realpath /usr/lib/rustlib/src/rust/library)
  dir=$CACHE/toolchain-$(/usr/bin/rustc -vV | sha256sum | cut -c1-12)
  say "building std for $TARGET from Debian's source package (about a minute, once)"
  rm -rf "$dir"
  mkdir -p "$dir/bin" "$dir/lib/rustlib/$host/bin" "$dir/lib/rustlib/$TARGET/lib"
  build_std "$src" "$dir"

  ln -s "/usr/lib/rustlib/$host/lib" "$dir/lib/rustlib/$host/lib"
  ln -s /usr/lib/rustlib/etc /usr/lib/rustlib/src "$dir/lib/rustlib/"
  ln -s "$lld" "$dir/lib/rustlib/$host/bin/rust-lld"
  for f in rustc rustdoc; do
    printf '#!/bin/sh\nexec /usr/bin/%s --sysroot "%s" "$@"\n' $f "$dir" >"$dir/bin/$f"
  done
  for f in cargo cargo-clippy; do
    printf '#!/bin/sh\nexport RUSTC="%s/bin/rustc" RUSTDOC="%s/bin/rustdoc" SYSROOT="%s"\nCARGO="%s/bin/cargo" exec /usr/bin/%s "$@"\n' \
      "$dir" "$dir" "$dir" "$dir" $f >"$dir/bin/$f"
  done
  chmod +x "$dir"/bin/*
  : >"$dir/ready"
  debian_ready || die "the toolchain in $dir does not work: remove the folder and run this again"
}

# The source package brings std's crates along, so nothing is downloaded. Built as Rust's own
# build does it: private crates stay hidden from users, bitcode is kept for lto.
build_std() {
  local src=$1 dir=$2 work=$2.work f
  rm -rf "$work"
  mkdir -p "$work/src" "$work/.cargo"
  printf '#![feature(no_core)]\n#![no_core]\n' >"$work/src/lib.rs"
  cp "$src/Cargo.lock" "$work/"
  {
    printf '[package]\nname = "wasm-std"\nversion = "0.0.0"\nedition = "2021"\n[workspace]\n'
    printf '[dependencies]\nsysroot = { path = "%s/sysroot" }\n[patch.crates-io]\n' "$src"
    for f in core alloc std; do
      printf 'rustc-std-workspace-%s = { path = "%s/rustc-std-workspace-%s" }\n' $f "$src" $f
    done
  } >"$work/Cargo.toml"
  [ ! -d "$src/vendor" ] || printf '%s\n' '[source.crates-io]' 'replace-with = "std"' '[source.std]' \
    "directory = \"$src/vendor\"" '[net]' 'offline = true' >"$work/.cargo/config.toml"
  (cd "$work" && logged std env RUSTC_BOOTSTRAP=1 RUSTC=/usr/bin/rustc \
    __CARGO_DEFAULT_LIB_METADATA=wasm-std CARGO_PROFILE_RELEASE_PANIC=unwind \
    RUSTFLAGS="-Zforce-unstable-if-unmarked -Cembed-bitcode=yes -Cdebuginfo=0 --remap-path-prefix=$src=std" \
    /usr/bin/cargo build --release --target $TARGET --target-dir target) ||
    die "std for $TARGET could not be built (see above)"
  for f in "$work/target/$TARGET"/release/deps/*.rlib; do
    case ${f##*/} in libwasm_std-*) ;; *) cp "$f" "$dir/lib/rustlib/$TARGET/lib/" ;; esac
  done
  rm -rf "$work"
}
