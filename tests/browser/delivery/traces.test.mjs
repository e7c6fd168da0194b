// Nothing that is handed on tells of the machine that built it: every packed file is searched, archives and packed
// files unpacked, base64 decoded.
import assert from "node:assert/strict";
import { readdirSync, readFileSync, statSync } from "node:fs";
import { homedir, hostname } from "node:os";
import { test } from "node:test";
import { brotliDecompressSync, gunzipSync } from "node:zlib";
import { unzipSync } from "fflate";
import { ROOT } from "../lib/cases.mjs";
import { PACKED } from "../lib/packed.mjs";

// In pieces, where this file itself must not hold them.
const TRACES = [
  ROOT, `${homedir()}/`, ".cargo/", "registry/src", ".rustup", "node_modules",
  ...[["crates", ".io"], ["/ho", "me/"], ["/ro", "ot/"]].map((pieces) => pieces.join("")),
];
if (hostname().length > 5) TRACES.push(hostname());

/** A file, and everything that is packed in it: names and bytes. */
function* within(name, bytes) {
  yield [name, bytes];
  if (name.endsWith(".br")) yield* within(name.slice(0, -3), brotliDecompressSync(bytes));
  if (name.endsWith(".gz")) yield* within(name.slice(0, -3), gunzipSync(bytes));
  if (name.endsWith(".zip")) for (const [n, b] of Object.entries(unzipSync(bytes))) yield* within(`${name}/${n}`, Buffer.from(b));
  if (name.endsWith(".html")) {
    for (const [coded] of bytes.toString("latin1").matchAll(/[A-Za-z0-9+/]{1000,}={0,2}/g)) {
      yield* within(`${name}/program.gz`, Buffer.from(coded, "base64"));
    }
  }
}

test("no path and no name of the building machine in anything that is packed", () => {
  const files = readdirSync(PACKED, { recursive: true }).filter((name) => statSync(PACKED + name).isFile());
  let programs = 0;
  for (const file of files) {
    for (const [name, bytes] of within(file, readFileSync(PACKED + file))) {
      if (bytes.subarray(0, 4).toString("latin1") === "\0asm") programs += 1;
      const found = TRACES.filter((trace) => bytes.includes(trace));
      assert.deepEqual(found, [], name);
    }
  }
  // That of the page and that of its workers.
  assert.equal(programs, 2 * 6, "each as it is, in both packings, in the one file, in both archives");
});
