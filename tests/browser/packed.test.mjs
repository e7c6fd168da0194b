// What packing a release does (.ci/pack-page.mjs), above all between the program and its glue.
import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import test from "node:test";
import { fileURLToPath } from "node:url";
import { shortNames } from "../../.ci/short-names.mjs";

const DIST = fileURLToPath(new URL("../../dist", import.meta.url));

const TAKEN = "__wbg_told_0123456789abcdef";
const HANDED = "run_fedcba9876543210";

const text = (value) => [value.length, ...Buffer.from(value)];
const section = (id, count, ...content) => [id, content.length + 1, count, ...content];

// A module that takes one function and hands out three things: a function that calls it, the same
// under another name, and a memory.
const module = (taken = [0x00, 0x00]) =>
  Buffer.from([
    ...[0x00, 0x61, 0x73, 0x6d, 0x01, 0x00, 0x00, 0x00],
    ...section(1, 1, 0x60, 0x00, 0x00),
    ...section(2, 1, ...text("glue"), ...text(TAKEN), ...taken),
    ...section(3, 1, 0x00),
    ...section(5, 1, 0x00, 0x01),
    ...section(7, 3, ...text(HANDED), 0x00, 0x01, ...text("idle_fedcba9876543210"), 0x00, 0x01, ...text("memory"), 0x02, 0x00),
    ...section(10, 1, 0x04, 0x00, 0x10, 0x00, 0x0b),
  ]);

const glue = `const imports = { glue: { ${TAKEN}: told } }; wasm.${HANDED}(); wasm.memory;`;

test("names with a hash are short, and the same in the program and in the glue", async () => {
  const short = shortNames(module(), glue);
  assert.doesNotMatch(short.glue, /[0-9a-f]{16}/);
  const [, taken] = /glue: { (\w+): told }/.exec(short.glue);
  const [, handed] = /wasm\.(\w+)\(\)/.exec(short.glue);
  let told = 0;
  const { instance } = await WebAssembly.instantiate(short.program, { glue: { [taken]: () => told++ } });
  instance.exports[handed]();
  assert.equal(told, 1);
});

test("what the glue does not ask for is not handed out", async () => {
  const { program } = shortNames(module(), glue);
  const { instance } = await WebAssembly.instantiate(program, { glue: { _0: () => {} } });
  assert.deepEqual(Object.keys(instance.exports).sort(), ["_1", "memory"]);
});

test("a kind of import that is not known is refused", () => {
  assert.throws(() => shortNames(module([0x09, 0x00]), glue), /import of kind 9/);
});

test("every file of the page carries the hash of its content in its name", () => {
  const files = readdirSync(DIST).filter((name) => name !== "index.html");
  assert.ok(files.length >= 4, files.join());
  for (const name of files) {
    const hash = createHash("sha256").update(readFileSync(join(DIST, name))).digest("hex").slice(0, 16);
    assert.ok(name.includes(hash), `${name} is ${hash}`);
  }
});
