// The finished page carries nothing of the machine that built it.
import assert from "node:assert/strict";
import { readdirSync, readFileSync, statSync } from "node:fs";
import { homedir } from "node:os";
import { join, resolve } from "node:path";
import { test } from "node:test";
import { gunzipSync, gzipSync } from "node:zlib";
import { DIST } from "./lib/page.mjs";

// In pieces: the sources do not name such a host either.
const HOSTS = [["index", "crates", "io"], ["static", "crates", "io"], ["registry", "npmjs", "org"]];
const MARKS = [
  homedir() + "/",
  resolve(DIST, "..") + "/",
  process.env.CARGO_HOME ?? join(homedir(), ".cargo"),
  ["", "home", ""].join("/"),
  ["", "Users", ""].join("/"),
  "registry/src/",
  ...HOSTS.map((parts) => parts.join(".")),
];

/** The text of a file, with what is packed inside of it (base64, gzip) unpacked as well. */
function texts(bytes) {
  const text = bytes.toString("latin1");
  const packed = [...text.matchAll(/[A-Za-z0-9+/]{200,}={0,2}/g)].map((m) => Buffer.from(m[0], "base64"));
  const inner = packed.map((b) => (b[0] === 0x1f && b[1] === 0x8b ? gunzipSync(b) : b).toString("latin1"));
  return [text, ...inner];
}
const leaks = (bytes) => MARKS.filter((mark) => texts(bytes).some((text) => text.includes(mark)));

test("no path and no host of the build in the finished files", () => {
  const files = readdirSync(DIST, { recursive: true }).filter((file) => statSync(join(DIST, file)).isFile());
  assert.ok(files.some((f) => f.endsWith(".wasm")), "the page holds a program");
  for (const file of files) assert.deepEqual(leaks(readFileSync(join(DIST, file))), [], file);
});

test("the search finds what is plain, and what is packed", () => {
  const bad = `panicked at ${homedir()}/x/registry/src/y.rs `;
  assert.ok(leaks(Buffer.from(bad)).includes("registry/src/"));
  const packed = gzipSync(Buffer.from(bad + Math.random().toString().repeat(50)), { level: 0 });
  assert.ok(leaks(Buffer.from(`<script>"${packed.toString("base64")}"</script>`)).includes("registry/src/"));
  assert.deepEqual(leaks(Buffer.from("panicked at crates/y.rs")), []);
});
