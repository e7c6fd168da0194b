// axe-core on a page: the WCAG 2.2 AA rules that a machine can check, and its best practice.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

const source = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

/** What axe-core finds wrong with the page as it stands: one line for each element. */
export async function violations(page) {
  // Through the debugger: the page's own policy lets no such script in.
  await page.evaluate(source);
  const found = await page.evaluate((values) => globalThis.axe.run({ runOnly: { type: "tag", values } }), TAGS);
  return found.violations.flatMap((v) => v.nodes.map((n) => `${v.id}: ${n.target.join(" ")}: ${v.help}`));
}
