// The sheet to take to the cell: what stands on it, and that it fits on one page of paper.
import assert from "node:assert/strict";
import { mkdirSync } from "node:fs";
import { after, test } from "node:test";
import { violations } from "../lib/axe.mjs";
import { CASE } from "../lib/cases.mjs";
import { nudgeproof } from "../lib/cli.mjs";
import { acrossAt } from "../lib/forecast.mjs";
import { byId, close, shot, SHOTS, SIZES, start } from "../lib/page.mjs";
import { SESSION } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

const open = (options = {}) => site.open({ hash: "cell-sheet", storage: { [SESSION]: CASE }, ...options });
const rows = (page, id) =>
  byId(page, id).locator("tbody tr").evaluateAll((all) => all.map((r) => [...r.cells].map((c) => c.textContent)));

test("routine, touches, points, forecast and cautions are on it", async () => {
  const page = await open();
  assert.equal(await byId(page, "cell-steps").locator("li").count(), 18);
  // Taught 16 mm before the face, and the wire of 1.2 mm touches with its side: 15.4 mm to go.
  assert.deepEqual(await rows(page, "cell-touches"), [
    ["1", "south", "south-1", "350.0", "−16.0", "5.0", "+Y", "20", "30", "15.4"],
    ["2", "south", "south-2", "50.0", "−16.0", "5.0", "+Y", "20", "30", "15.4"],
    ["3", "west", "west-1", "−16.0", "35.0", "5.0", "+X", "20", "30", "15.4"],
    ["4", "west", "west-2", "−16.0", "215.0", "5.0", "+X", "20", "30", "15.4"],
  ].map((row) => [...row, "", ""]), "with room for the readings of reference and proof");
  const points = await rows(page, "cell-points");
  assert.equal(points.length, 11);
  const named = await byId(page, "cell-sheet").locator("svg .label").allTextContents();
  const each = points.map(([name]) => named.filter((n) => n === name).length);
  assert.deepEqual(each, points.map(() => 2), "each point has its name in plan and elevation");
  assert.equal(await byId(page, "cell-boxes").locator("li").count(), 6, "boxes to tick");
  assert.match(await byId(page, "cell-proof").textContent(), /^Offset of part in the proof run:XYturn$/, "blank");
  const ends = (await rows(page, "cell-forecast")).map((r) => [Number(r[1].slice(2)), r[3]]);
  [[80, 160], [360, 160]].forEach((end, i) => {
    const expected = 3 * acrossAt(end);
    assert.ok(Math.abs(ends[i][0] - expected) <= 0.005, `${ends[i][0]} mm on the sheet, ${expected} by hand`);
    assert.equal(ends[i][1], "✓ inside");
  });
  const sheet = await byId(page, "cell-sheet").textContent();
  for (const words of ["no licence", "authorised person", "Lock out", "250 mm/s", "sensing voltage", "No arc in a trial"]) {
    assert.ok(sheet.includes(words), words);
  }
  assert.match(await byId(page, "date").inputValue(), /^\d{4}-\d\d-\d\d$/, "today, and it can be changed");
  assert.deepEqual(await violations(page), []);
  await close(page);
});

test("a long part has numbers at its points, the list beside it their names, and each weld its forecast", async () => {
  const page = await open({ storage: { [SESSION]: nudgeproof("lessons", "solve", "several-places") } });
  const points = (await rows(page, "cell-points")).map(([name]) => name.split(" "));
  assert.ok(points.length > 25, `${points.length} points`);
  assert.deepEqual(points.map(([number]) => number), points.map((_, i) => `P${i + 1}`));
  const marks = await byId(page, "cell-sheet").locator("svg .label").allTextContents();
  const each = points.map(([number]) => marks.filter((mark) => mark === number).length);
  assert.deepEqual(each, points.map(() => 2), "each number stands in plan and elevation");
  const ends = (await rows(page, "cell-forecast")).map(([end]) => end);
  assert.deepEqual(ends.map((end) => end.split(", ")[0]), ["left seam", "left seam", "right seam", "right seam"]);
  await close(page);
});

for (const format of ["A4", "Letter"]) {
  test(`it fits on one page of ${format}, black on white, from the dark page as well`, async () => {
    const page = await open({ theme: "dark" });
    await byId(page, "prepared-by").fill("A. Learner");
    await page.emulateMedia({ media: "print" });
    const pdf = (await page.pdf({ format })).toString("latin1");
    assert.equal(pdf.match(/\/Type \/Page\b/g).length, 1, "pages");
    const colours = await byId(page, "cell-sheet").evaluate((e) => [getComputedStyle(e).color, getComputedStyle(e).backgroundColor]);
    assert.deepEqual(colours, ["rgb(0, 0, 0)", "rgb(255, 255, 255)"]);
    for (const hidden of ["print-cell", "undo", "notice"]) assert.ok(await byId(page, hidden).isHidden(), hidden);
    await page.setViewportSize({ width: 718, height: 1047 }); // A4 less its margins, at 96 to the inch
    mkdirSync(SHOTS, { recursive: true });
    await shot(page, `cell-sheet-print-${format}`);
    await close(page);
  });
}

test("an empty bench prints without a forecast, and says why", async () => {
  const page = await open({ storage: {}, size: SIZES.phone });
  assert.match(await byId(page, "cell-forecast").textContent(), /No forecast: the routine finds no place yet/);
  const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  assert.ok(over <= 0, `${over} px too wide`);
  assert.deepEqual(await violations(page), []);
  await close(page);
});

test("the bench and the record lead to it, and its button prints", async () => {
  const page = await open({ hash: "bench" });
  await page.evaluate(() => { window.print = () => { document.title = "printed"; }; });
  await byId(page, "go-cell-sheet").click();
  await byId(page, "print-cell").click();
  assert.equal(await page.title(), "printed");
  await byId(page, "go-record").click();
  await byId(page, "record").waitFor();
  await byId(page, "go-cell-sheet").click();
  await byId(page, "cell-sheet").waitFor();
  await close(page);
});
