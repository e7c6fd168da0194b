#!/bin/sh
# Called by Trunk after each build, before the page is put in place.
set -eu
page=$TRUNK_STAGING_DIR/index.html
# Browsers ignore (and complain about) the checksum of a preloaded program:
# src/app/boot.js checks it while loading instead.
sed 's|<link rel="preload"[^>]*integrity="\([^"]*\)"[^>]*as="fetch"[^>]*>|<meta name="nudgeproof-checksum" content="\1">|' \
  "$page" >"$page.tmp"
grep -q nudgeproof-checksum "$page.tmp" || {
  echo "finish-page: Trunk wrote no checksum of the program into index.html" >&2
  exit 1
}
# While serving, the page may run Trunk's own reload script and open its socket;
# a release page keeps the policy of index.html to the letter.
if [ "$TRUNK_PROFILE" = debug ]; then
  sed "s/script-src 'self'/& 'unsafe-inline'/; s/connect-src 'self'/& ws: wss:/" "$page.tmp" >"$page"
  rm "$page.tmp"
else
  mv "$page.tmp" "$page"
  exec node .ci/pack-page.mjs
fi
