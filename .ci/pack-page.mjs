// Packs a release that Trunk has built: the style sheets as one, the glue of wasm-bindgen with the
// modules it imports as one, all without what only people read; and the program, without what the
// glue does not ask for. Called by .ci/finish-page.sh.
import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { shortNames } from "./short-names.mjs";

// Smaller first, and functions of like names side by side: like code packs well.
const FLAGS = [
  "-Os",
  "--zero-filled-memory",
  "--low-memory-unused",
  "--one-caller-inline-max-function-size=0",
  "--flexible-inline-max-function-size=0",
  "--reorder-functions-by-name",
];

const folder = process.env.TRUNK_STAGING_DIR;
const esbuild = createRequire(import.meta.url)(process.env.ESBUILD);

const path = (address) => join(folder, address);
const read = (address) => readFileSync(path(address), "utf8");
const digest = (kind, text, as) => createHash(kind).update(text).digest(as);
const minify = (text, loader) => esbuild.transformSync(text, { loader, minify: true }).code;

let page = read("index.html");

// Replaces what Trunk has written into index.html, and fails if it writes it differently now.
const replace = (what, by) => {
  const before = page;
  page = page.replaceAll(what, by);
  if (page === before) throw new Error(`index.html has nothing like ${what}`);
};

// Writes what a file has become under a name of its own, with another hash in it: a browser that has
// kept the file before must not take the one for the other. Gives the name, and what index.html says
// of the file for the browser to check.
const put = (address, content, like = address) => {
  const name = like.replace(/[0-9a-f]{8,16}(?=[._])/, digest("sha256", content, "hex").slice(0, 16));
  rmSync(path(address));
  writeFileSync(path(name), content);
  return [name, `sha384-${digest("sha384", content, "base64")}`];
};

const sheet = /<link rel="stylesheet" href="([^"]*)"[^>]*>\s*/g;
const [first, ...others] = [...page.matchAll(sheet)].map(([, address]) => address);
const css = minify([first, ...others].map(read).join("\n"), "css");
const [style, styleChecked] = put(first, css, first.replace("shell", "style"));
others.forEach((address) => rmSync(path(address)));
replace(sheet, (_, address) =>
  address === first ? `<link rel="stylesheet" href="${style}" integrity="${styleChecked}">\n` : "",
);

const module = /<link rel="modulepreload" href="([^"]*)"([^>]*) integrity="[^"]*">/g;
const [glue] = [...page.matchAll(module)].map(([, address]) => address);
// leptos brings classes for the streams of a server, and nothing here makes one. But for these lines,
// which are there for whoever would, esbuild sees that they are not needed; and what the program has
// for them goes with them.
const FOR_CLASSES = /^(if \(Symbol\.dispose\) .*|const \w+Finalization = [^;]*;)$/gm;
writeFileSync(path(glue), read(glue).replace(FOR_CLASSES, ""));
const { outputFiles } = esbuild.buildSync({
  // boot.js imports nothing else.
  stdin: { contents: `export { default } from ${JSON.stringify(glue)}`, resolveDir: folder },
  bundle: true,
  format: "esm",
  minify: true,
  write: false,
});
rmSync(path("snippets"), { recursive: true });
const wasm = /name="nudgeproof-wasm" content="([^"]*)"/.exec(page)[1];
const short = shortNames(readFileSync(path(wasm)), outputFiles[0].text);
writeFileSync(path(wasm), short.program);
execFileSync("wasm-opt", [...FLAGS, path(wasm), "-o", path(wasm)]);
const [program, programChecked] = put(wasm, readFileSync(path(wasm)));
replace(wasm, program);
replace(/(name="nudgeproof-checksum" content=")[^"]*/g, `$1${programChecked}`);

const base = (address) => address.split("/").at(-1);
const [script, scriptChecked] = put(glue, short.glue.replaceAll(base(wasm), base(program)));
replace(module, (_, address, rest) =>
  address === glue ? `<link rel="modulepreload" href="${script}"${rest} integrity="${scriptChecked}">` : "",
);
replace(glue, script);

replace(/<script src="([^"]*)" defer integrity="[^"]*">/g, (_, address) => {
  const [boot, bootChecked] = put(address, minify(read(address), "js"));
  return `<script src="${boot}" defer integrity="${bootChecked}">`;
});

replace(/<!--.*?-->\n/gs, "");
writeFileSync(path("index.html"), page);
