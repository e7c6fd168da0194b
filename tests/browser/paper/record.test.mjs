// The printed record of the course.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { byId, close, start } from "../lib/page.mjs";

const site = await start();
after(site.stop);

test("the printed record: one page with lessons, scores, misses, skills, date, cautions", async () => {
  const attempt = { part: "bench-side", landed: true, faults: false, findings: ["home-follows-part"], aided: [] };
  const record = (lesson, part, n) => ({
    day: 20_000 + n, lesson, seed: n, score: 90, miss_mm: -0.25,
    attempt: { ...attempt, part, findings: n === 3 ? ["home-follows-part"] : [] },
  });
  const list = ["bench-side", "bin-bracket", "bench-side"].map((part, n) => record("slide-and-turn", part, n + 1));
  const text = JSON.stringify({ format: "nudgeproof-records", format_version: 1, records: list });
  const page = await site.open({ hash: "record", storage: { "nudgeproof.setting.records": text } });
  await byId(page, "learner-name").fill("A. Learner");
  assert.match(await byId(page, "record-slide-and-turn").textContent(), /Slide and turn2024-10-0739090−0\.25/);
  assert.match(await byId(page, "skill-plan_touches").textContent(), /Mastered/, "three in a row on two parts");
  assert.equal(await byId(page, "skill-keep_frame").getAttribute("data-in-a-row"), "0", "a finding breaks the row");
  await page.evaluate(() => { globalThis.print = () => { globalThis.printed = document.documentElement.dataset.print; }; });
  await byId(page, "print-record").click();
  assert.equal(await page.evaluate(() => globalThis.printed), "course");
  // As it is when the browser prints.
  await page.evaluate(() => { document.documentElement.dataset.print = "course"; });
  await page.emulateMedia({ media: "print" });
  assert.equal(await byId(page, "printed-cautions").isVisible(), true);
  assert.match(await byId(page, "printed-cautions").textContent(), /no licence, no certificate.*Lock out/s);
  assert.equal(await byId(page, "runs").isVisible(), false, "the rest of the place is not printed");
  assert.equal(await byId(page, "export-session").isVisible(), false);
  const pdf = await page.pdf({ format: "A4" });
  assert.equal(pdf.toString("latin1").match(/\/Type\s*\/Page[^s]/g).length, 1, "one page");
  await close(page);
});
