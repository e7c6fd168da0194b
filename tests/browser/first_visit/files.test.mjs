// What `make build` hands out: files that a browser may keep for good, checked, with no script in the
// page and nothing of the machine that built them.
import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { readdirSync, readFileSync, statSync } from "node:fs";
import { homedir } from "node:os";
import { join, resolve } from "node:path";
import { after, test } from "node:test";
import { gunzipSync, gzipSync } from "node:zlib";
import { close, DIST, start } from "../lib/page.mjs";

const page = readFileSync(join(DIST, "index.html"), "utf8");
const files = readdirSync(DIST, { recursive: true }).filter((f) => statSync(join(DIST, f)).isFile() && f !== "index.html");
const tags = [...page.matchAll(/<(link|script)\b[^>]*>/g)].map(([tag]) => tag);
const value = (tag, name) => new RegExp(`\\b${name}="?([^"\\s>]*)`).exec(tag)?.[1];
/** The tag of index.html that names a file. */
const naming = (file) => tags.find((tag) => (value(tag, "href") ?? value(tag, "src"))?.endsWith(`/${file}`));

/** What only a worker loads, once something is asked of it. */
const ofWorker = (file) => file.startsWith("nudgeproof-worker-");
const programs = files.filter((f) => f.endsWith(".wasm"));

test("index.html names every file of a start, and every name carries a hash: a browser may keep the file for good", () => {
  assert.ok(files.length >= 4, files.join());
  for (const file of files) {
    assert.ok(naming(file) || ofWorker(file), `${file} is loaded by nothing`);
    assert.match(file, /[0-9a-f]{12,16}/, file);
  }
});

test("a start loads nothing of a worker, whose files name each other", () => {
  const [loader, ...more] = [...page.matchAll(/<meta\b[^>]*>/g)].flatMap(([tag]) => /[^"\s>/=]*_loader\.js/.exec(tag) ?? []);
  assert.deepEqual(more, []);
  assert.ok(files.includes(loader), loader);
  assert.equal(naming(loader), undefined);
  const glue = loader.replace("_loader", "");
  assert.ok(readFileSync(join(DIST, loader), "utf8").includes(`./${glue}`));
  assert.ok(readFileSync(join(DIST, glue), "utf8").includes(glue.replace(".js", "_bg.wasm")));
  assert.equal(files.filter(ofWorker).length, 3);
});

test("a program and its glue are of one build", () => {
  assert.equal(programs.length, 2);
  for (const program of programs) {
    assert.ok(files.includes(program.replace("_bg.wasm", ".js")), `${program} has no glue in ${files.join()}`);
  }
});

test("style sheets and scripts are compared with their checksums", () => {
  const checked = files.filter((f) => !ofWorker(f) && /rel="?stylesheet|<script/.test(naming(f)));
  assert.ok(checked.length >= 2, checked.join());
  for (const file of checked) {
    const digest = createHash("sha384").update(readFileSync(join(DIST, file))).digest("base64");
    assert.equal(value(naming(file), "integrity"), `sha384-${digest}`, file);
  }
});

test("the page holds no script and no style of its own, and its policy lets none in", () => {
  assert.doesNotMatch(page, /<style|\sstyle=|\son[a-z]+=/);
  for (const tag of tags.filter((t) => t.startsWith("<script"))) assert.ok(value(tag, "src"), tag);
  const policy = /content="([^"]*)"[^>]*Content-Security-Policy|Content-Security-Policy"?[^>]*content="([^"]*)"/.exec(page);
  const rules = (policy?.[1] ?? policy?.[2]).split(";").map((rule) => rule.trim());
  for (const rule of ["default-src 'none'", "script-src 'self' 'wasm-unsafe-eval'", "style-src 'self'", "connect-src 'self'"]) {
    assert.ok(rules.includes(rule), `${rule} in ${rules.join("; ")}`);
  }
});

test("the programs have gone through wasm-opt: they carry no names of functions", async () => {
  for (const program of programs) {
    const module = await WebAssembly.compile(readFileSync(join(DIST, program)));
    assert.equal(WebAssembly.Module.customSections(module, "name").length, 0);
  }
});

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
  for (const file of ["index.html", ...files]) assert.deepEqual(leaks(readFileSync(join(DIST, file))), [], file);
});

test("the search finds what is plain, and what is packed", () => {
  const bad = `panicked at ${homedir()}/x/registry/src/y.rs `;
  assert.ok(leaks(Buffer.from(bad)).includes("registry/src/"));
  const packed = gzipSync(Buffer.from(bad + Math.random().toString().repeat(50)), { level: 0 });
  assert.ok(leaks(Buffer.from(`<script>"${packed.toString("base64")}"</script>`)).includes("registry/src/"));
  assert.deepEqual(leaks(Buffer.from("panicked at crates/y.rs")), []);
});

test("a visit in which anything but the page's own server is asked fails", async () => {
  const [site, other] = [await start(), await start()];
  after(site.stop);
  after(other.stop);
  const page = await site.open({ watched: false });
  await page.goto(`${other.url}index.html`);
  await assert.rejects(close(page), /request to elsewhere: .*index\.html/);
});
