#!/bin/sh
# Called by Trunk after each build, before the page is put in place.
set -eu
cd "$TRUNK_STAGING_DIR"

# Trunk gives the files of a worker no hash. Here they get that of their program, so that they can be kept
# for good, and never go with those of another build.
worker=nudgeproof-worker
hash=$(cat $worker.js ${worker}_bg.wasm | sha256sum | cut -c 1-16)
for file in $worker*.js index.html; do
  sed "s/${worker}\(_bg\.wasm\|_loader\.js\|\.js\)/$worker-$hash\1/g" "$file" >"$file.tmp"
  mv "$file.tmp" "$file"
done
for file in $worker*; do mv "$file" "$worker-$hash${file#"$worker"}"; done

if [ "$TRUNK_PROFILE" != debug ]; then
  node "$TRUNK_SOURCE_DIR/.ci/one-style-sheet.mjs"
  exit
fi
# While serving, the page may run Trunk's own reload script and open its socket; a release keeps the
# policy of index.html to the letter.
sed "s/script-src 'self'/& 'unsafe-inline'/; s/connect-src 'self'/& ws: wss:/" index.html >index.html.tmp
mv index.html.tmp index.html
