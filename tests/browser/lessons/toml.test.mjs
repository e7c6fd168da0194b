// The page's reader of lessons from disk, beside an independent reader of TOML (smol-toml).
import assert from "node:assert/strict";
import { readFileSync, readdirSync } from "node:fs";
import { test } from "node:test";
import { parse } from "smol-toml";

const root = new URL("../../../", import.meta.url);
// As a module, whatever this Node takes a .js file for.
const source = readFileSync(new URL("src/app/lessons/toml.js", root), "utf8");
const { toml_place, toml_to_json } = await import(`data:text/javascript,${encodeURIComponent(source)}`);
const files = ["lessons/", "src/cell/parts/"].flatMap((folder) =>
  readdirSync(new URL(folder, root)).filter((f) => f.endsWith(".toml")).map((f) => folder + f));
const ours = (text) => JSON.parse(toml_to_json(text));
const theirs = (text) => JSON.parse(JSON.stringify(parse(text)));

test("every file of the project is read as the independent reader reads it", () => {
  assert.ok(files.length > 20, "there are files");
  for (const file of files) {
    const text = readFileSync(new URL(file, root), "utf8");
    assert.deepEqual(ours(text), theirs(text), file);
    assert.deepEqual(ours(text.replaceAll("\n", "\r\n")), theirs(text), `${file}, other line ends`);
  }
});

// After the examples of the TOML 1.0 specification (toml.io, from memory).
const SAMPLES = [
  "a = 1_000\nb = -0.5e3\nc = +7\nd = true # yes",
  's = "a \\"quote\\", a tab\\t, \\u00e9 and \\U0001F600"\nt = \'C:\\no\\escape\'',
  'long = """\nfirst\nsecond \\\n   joined"""\nraw = \'\'\'\nas \\n it is\'\'\'',
  'a.b."c d" = 1\na.b.e = [1, 2,\n  3, # three\n]\n',
  'p = { x = 1, y = { z = "q" } }\nlist = [ { n = 1 }, { n = 2 } ]',
  "[a]\nb = 1\n[a.c]\nd = 2\n[[l]]\nm = 1\n[l.in]\nq = 1\n[[l]]\nm = 2\n[[l.deep]]\nr = 3",
  "__proto__ = 1\n[constructor]\nx = 2",
];

test("what lessons may use of TOML is read as the independent reader reads it", () => {
  for (const text of SAMPLES) assert.deepEqual(ours(text), theirs(text), text);
  assert.equal({}.x, undefined, "no key of a file becomes a key of everything");
});

test("what is broken is refused by both, and the place is named", () => {
  for (const text of ["a = ", "a = one", "a = [1, 2", 'a = "open', "a = 1 b = 2", "[a\nb = 1", "a = 1\na = 2", "= 1"]) {
    assert.throws(() => parse(text), undefined, `the independent reader takes ${text}`);
    assert.throws(() => toml_to_json(text), /^Error: line \d+, column \d+: /, text);
  }
});

test("the place of a value is found by what the program says of it", () => {
  toml_to_json('name = "x"\n[[stages]]\nsay = "a"\n[[stages]]\nsay = 3\nhints = ["a",\n  4]\n[stages.goal]\nran = { arc = 1 }\n');
  for (const [wrong, place] of [
    ["name: invalid type", "line 1, column 1"],
    ["stages[1].say: invalid type: integer `3`, expected a string", "line 5, column 1"],
    ["stages[1].hints[1]: invalid type", "line 7, column 3"],
    ["stages[1].goal.arc: invalid type", "line 8, column 1"],
    ["stages[0]: missing field `title`", "line 2, column 1"],
    ["stage 2 (\"b\"), key `say`: expected words, and found none", "line 5, column 1"],
    ["key `name`: expected another", "line 1, column 1"],
    ["unknown field `name`, expected `title`", "line 1, column 1"],
  ]) assert.equal(toml_place(wrong), place, wrong);
});
