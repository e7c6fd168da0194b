// The record, on screen and printed.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { session } from "../lib/cases.mjs";
import { byId, close, start } from "../lib/page.mjs";
import { SESSION } from "../lib/storage.mjs";

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

test("the printed session: one page with runs, charts, score bars and findings, black on white from the dark page", async () => {
  const page = await site.open({ hash: "record", theme: "dark", storage: { [SESSION]: session("home-rides-along") } });
  await byId(page, "score").waitFor();
  assert.deepEqual(
    await page.locator("main .run-button:visible").evaluateAll((all) => all.map((b) => b.dataset.testid)),
    ["print-record"],
    "one primary button",
  );
  assert.doesNotMatch(await byId(page, "record").innerText(), /home-follows-part/, "mistakes in words, not by the names of rules");
  await page.evaluate(() => { globalThis.print = () => { globalThis.printed = document.documentElement.dataset.print; }; });
  await byId(page, "print-session").click();
  assert.equal(await page.evaluate(() => globalThis.printed), "session");
  // As it is when the browser prints.
  await page.evaluate(() => { document.documentElement.dataset.print = "session"; });
  await page.emulateMedia({ media: "print" });
  for (const id of ["runs", "chart-spread", "chart-seam", "chart-residuals", "record-coach"]) {
    assert.ok(await byId(page, id).isVisible(), `${id} is printed`);
  }
  const bars = await byId(page, "session-record").locator("meter").evaluateAll((all) => all.map((m) => getComputedStyle(m).printColorAdjust));
  assert.deepEqual(bars, ["exact", "exact", "exact"], "the fill of the score bars is printed");
  for (const id of ["course-record", "export-session", "saves", "print-session"]) {
    assert.ok(await byId(page, id).isHidden(), `${id} is not`);
  }
  assert.equal(await byId(page, "runs").evaluate((e) => getComputedStyle(e).color), "rgb(0, 0, 0)");
  const pdf = (await page.pdf({ format: "A4" })).toString("latin1");
  assert.equal(pdf.match(/\/Type \/Page\b/g).length, 1, "one page");
  await close(page);
});
