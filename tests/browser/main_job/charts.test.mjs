// Charts, and the sentences that say the same: forecast, seam miss, residuals.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { violations } from "../lib/axe.mjs";
import { CASE } from "../lib/cases.mjs";
import { acrossAt } from "../lib/forecast.mjs";
import * as learner from "../lib/learner.mjs";
import { byId, close, SIZES, start } from "../lib/page.mjs";
import { SESSION } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

const open = (options = {}) => site.open({ hash: "bench", storage: { [SESSION]: CASE }, ...options });
const says = (page, id) => byId(page, id).locator("figcaption").textContent();
const numbers = (text) => (text.match(/[−+]?\d+\.\d+/g) ?? []).map((n) => Number(n.replace("−", "-")));

/** Marks of the seam chart and its band, as drawn. */
const drawn = (page) =>
  byId(page, "chart-seam").locator("svg").evaluate((svg) => {
    const box = (e) => { const b = e.getBBox(); return { top: b.y, bottom: b.y + b.height, middle: b.y + b.height / 2 }; };
    return { band: box(svg.querySelector(".band")), marks: [...svg.querySelectorAll(".mark")].map((e) => ({ ...box(e), out: e.classList.contains("out") })) };
  });

test("a weld on the seam lies inside the band, and the numbers under it are the run's", async () => {
  const page = await open();
  await byId(page, "tab-charts").click();
  const misses = await learner.misses(page);
  const said = numbers(await says(page, "chart-seam"));
  misses.forEach((m, i) => assert.ok(Math.abs(said[i] - m) <= 0.005, `${said[i]} said, ${m} measured`));
  const { band, marks } = await drawn(page);
  // Positive is up: the band's half height is the tolerance of 0.6 mm.
  const [zero, half] = [(band.top + band.bottom) / 2, (band.bottom - band.top) / 2];
  misses.forEach((m, i) => {
    assert.ok(Math.abs((zero - marks[i].middle) / half * 0.6 - m) < 0.01, `mark ${i + 1} stands at its miss`);
    assert.equal(marks[i].out, false);
  });
  const residuals = numbers((await says(page, "chart-residuals")).split("They agree")[0]);
  assert.equal(residuals.length, 4);
  // Least squares: what is left over adds up to nothing on each pair of parallel faces.
  assert.ok(Math.abs(residuals[0] + residuals[1]) < 0.02 && Math.abs(residuals[2] + residuals[3]) < 0.02, `${residuals}`);
  const [start, end] = numbers(await says(page, "chart-spread"));
  assert.ok(Math.abs(start - 3 * acrossAt([80, 160])) <= 0.005, `${start} at the start`);
  assert.ok(Math.abs(end - 3 * acrossAt([360, 160])) <= 0.005, `${end} at the end`);
  assert.deepEqual(await violations(page), []);
  await close(page);
});

test("a weld off the seam has crosses outside the band", async () => {
  const page = await open();
  // Without its follow step the weld stays where it was taught, while the part has moved.
  await learner.openStep(page, await learner.stepNumber(page, "Follow "));
  await byId(page, "step-delete").click();
  await learner.run(page);
  await byId(page, "tab-charts").click();
  const { band, marks } = await drawn(page);
  for (const mark of marks.filter((m) => m.out)) assert.ok(mark.middle < band.top || mark.middle > band.bottom);
  assert.ok(marks.some((m) => m.out), "at least one end");
  await close(page);
});

test("the projector shows the charts if they were chosen", async () => {
  const page = await open({ size: SIZES.projector });
  await page.keyboard.press("Alt+p");
  assert.equal(await byId(page, "projector").getAttribute("aria-pressed"), "true", "by one key");
  assert.ok(await byId(page, "tab-charts").isHidden(), "only sheet, routine and verdict");
  const fits = await page.evaluate(() => document.documentElement.scrollHeight <= innerHeight);
  assert.ok(fits, "on one screen");
  await byId(page, "leave-projector").click();
  await byId(page, "tab-charts").click();
  await byId(page, "projector").click();
  assert.ok(await byId(page, "chart-seam").isVisible());
  const size = await byId(page, "chart-seam").locator("text.value").first().evaluate((e) => e.getBoundingClientRect().height);
  assert.ok(size >= 14, `letters of ${size} px`);
  await close(page);
});
