// node .ci/size.mjs FOLDER LIMIT_KIB: the weight of a page, raw, gzip and brotli.
// Fails if what a first visit loads is heavier than the limit, packed with brotli.
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { brotliCompressSync, constants, gzipSync } from "node:zlib";

const [folder, limit] = [process.argv[2], Number(process.argv[3])];
const kib = (bytes) => (bytes / 1024).toFixed(1).padStart(8);
const row = (name, sizes) => console.log(name.padEnd(44) + sizes.map(kib).join(" "));

const files = readdirSync(folder, { recursive: true }).filter((f) => /\.(wasm|m?js|html|css)$/.test(f));
if (!files.some((f) => f.endsWith(".wasm"))) {
  console.error(`size: no .wasm file in ${folder}/: run 'make build' first`);
  process.exit(2);
}
const total = [0, 0, 0];
console.log("KiB".padEnd(44) + ["raw", "gzip", "brotli"].map((h) => h.padStart(8)).join(" "));
for (const file of files.sort()) {
  const raw = readFileSync(join(folder, file));
  const brotli = { params: { [constants.BROTLI_PARAM_QUALITY]: 11 } };
  const sizes = [raw.length, gzipSync(raw, { level: 9 }).length, brotliCompressSync(raw, brotli).length];
  sizes.forEach((s, i) => (total[i] += s));
  row(file, sizes);
}
row("together", total);
if (!(total[2] <= limit * 1024)) {
  console.error(`size: ${kib(total[2]).trim()} KiB of brotli is more than the ${limit} KiB allowed`);
  process.exit(1);
}
