// node compare.mjs MODULE.wasm NATIVE PARTS: fails unless both play every session to the same digest,
// and unless every part of the folder PARTS is played.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync, readdirSync } from "node:fs";
import { basename } from "node:path";

const [module, native, parts] = process.argv.slice(2);
const { instance } = await WebAssembly.instantiate(readFileSync(module), {});
const { count, digest } = instance.exports;

const lines = execFileSync(native, { encoding: "utf8" }).trim().split("\n");
const natively = lines.map((line) => line.split(" "));
assert.equal(natively.length, count());
assert.ok(count() >= 100, "a hundred sessions");

const played = new Set(natively.map(([part]) => part));
const missing = readdirSync(parts).map((file) => basename(file, ".toml")).filter((name) => !played.has(name));
assert.deepEqual(missing, [], "parts that no session has");

const differ = natively.flatMap(([part, there], number) => {
  const here = BigInt.asUintN(64, digest(number));
  return here === BigInt(there) ? [] : [`${number} (${part})`];
});
assert.deepEqual(differ, [], "sessions that come to other numbers in WebAssembly");
const different = new Set(natively.map(([, there]) => there)).size;
assert.equal(different, natively.length, "every session has a digest of its own");
console.log(`${natively.length} sessions over ${played.size} parts come to the same bits natively and in WebAssembly`);
