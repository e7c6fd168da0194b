// node .ci/size.mjs FOLDER LIMIT_KIB: the weight of a page, raw, gzip and brotli.
// Fails if what a first visit loads is heavier than the limit, each file packed with brotli.
import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { brotliCompressSync, constants, gzipSync } from "node:zlib";

const [folder, limit] = [process.argv[2], Number(process.argv[3])];
if (!existsSync(join(folder, "index.html"))) {
  console.error(`size: no page in ${folder}/: run 'make build' first`);
  process.exit(2);
}
const kib = (bytes) => (bytes / 1024).toFixed(1).padStart(8);
const row = (name, sizes) => console.log(name.padEnd(44) + sizes.map(kib).join(" "));
const brotli = { params: { [constants.BROTLI_PARAM_QUALITY]: 11 } };
const weigh = (file) => {
  const raw = readFileSync(join(folder, file));
  return [raw.length, gzipSync(raw, { level: 9 }).length, brotliCompressSync(raw, brotli).length];
};

// Trunk names in index.html all that a start loads: style sheets, scripts, the program.
const page = readFileSync(join(folder, "index.html"), "utf8");
const files = readdirSync(folder, { recursive: true })
  .map((file) => file.replaceAll("\\", "/"))
  .filter((file) => statSync(join(folder, file)).isFile())
  .sort();
const first = files.filter((file) => file === "index.html" || page.includes(file));
if (!first.some((file) => file.endsWith(".wasm"))) {
  console.error("size: index.html names no program");
  process.exit(2);
}
console.log("KiB".padEnd(44) + ["raw", "gzip", "brotli"].map((h) => h.padStart(8)).join(" "));
const total = [0, 0, 0];
for (const file of first) {
  const sizes = weigh(file);
  sizes.forEach((s, i) => (total[i] += s));
  row(file, sizes);
}
row("a first visit", total);
for (const file of files.filter((f) => !first.includes(f))) row(`later: ${file}`, weigh(file));
if (!(total[2] <= limit * 1024)) {
  console.error(`size: ${kib(total[2]).trim()} KiB of brotli is more than the ${limit} KiB allowed`);
  process.exit(1);
}
