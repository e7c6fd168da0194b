// Called by .ci/finish-page.sh for a release, in the folder of the page: puts the style sheets of index.html into one
// file. Over HTTP/1.1 a browser loads six files at a time, and the program would wait for the style sheets.
import { createHash } from "node:crypto";
import { readFileSync, rmSync, writeFileSync } from "node:fs";

const page = readFileSync("index.html", "utf8");
const links = [...page.matchAll(/<link\b[^>]*\brel="?stylesheet\b[^>]*>/g)].map(([link]) => link);
const names = links.map((link) => /\bhref="?\.\/([^"\s>]+)/.exec(link)[1]);
const style = names.map((name) => readFileSync(name)).reduce((all, next) => Buffer.concat([all, Buffer.from("\n"), next]));
const file = `style-${createHash("sha256").update(style).digest("hex").slice(0, 16)}.css`;
const checksum = createHash("sha384").update(style).digest("base64");

writeFileSync(file, style);
names.forEach((name) => rmSync(name));
const [first, ...others] = links;
const one = page.replace(first, `<link href="./${file}" integrity="sha384-${checksum}" rel="stylesheet">`);
writeFileSync("index.html", others.reduce((left, link) => left.replace(link, ""), one));
