// The sheet to take to the cell: what stands on it, and that it fits on one page of paper.
import assert from "node:assert/strict";
import { mkdirSync } from "node:fs";
import { after, test } from "node:test";
import { pathToFileURL } from "node:url";
import { violations } from "../lib/axe.mjs";
import { CASE } from "../lib/cases.mjs";
import { nudgeproof } from "../lib/cli.mjs";
import { acrossAt } from "../lib/forecast.mjs";
import { byId, close, shot, SHOTS, SIZES, start } from "../lib/page.mjs";
import { SESSION, stored } from "../lib/storage.mjs";

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
  assert.match(await byId(page, "cell-proof").textContent(), /^Offset of part in the proof run:XmmYmmturn°$/, "blank");
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
    await page.setViewportSize({ width: 733, height: 1062 }); // A4 less its margins, at 96 to the inch
    mkdirSync(SHOTS, { recursive: true });
    await shot(page, `cell-sheet-print-${format}`);
    await close(page);
  });
}

// What was written down at the cell, as a person types it.
const MEASURED = {
  "reference-1": "15.38", "reference-2": " 15,51", "reference-3": "15.35", "reference-4": "15.4",
  "proof-1": "15.44", "proof-2": "15.40", "proof-3": "15.45", "proof-4": "15.42",
  "proof-X": "0.08", "proof-Y": "−0.05", "proof-turn": "-0.02",
};
const type = async (page, numbers) => {
  for (const [field, number] of Object.entries(numbers)) {
    await byId(page, field).fill(number);
    await byId(page, field).blur();
  }
};
const says = (page) => byId(page, "cell-says").locator("li").allTextContents();

test("what was measured at the cell is compared with forecast and play, and kept", async () => {
  const page = await open();
  assert.deepEqual(await says(page), [], "nothing typed, nothing said");
  await type(page, MEASURED);
  const [scatter, ...proof] = await says(page);
  // Differences of 0.06, −0.11, 0.10 and 0.02 mm: the root of their mean square is 0.0808. Each reading scatters
  // by 0.1 mm and by where in a cycle of 4 ms at 20 mm/s the touch comes, 0.08 mm/√12, in both runs: 0.1451. The
  // limit is √(13.277 / 4), by the table of chi-squared.
  assert.match(scatter, /^✓ .*differ by 0\.56 times .*up to 1\.82\.$/);
  // The shift of a point by a small turn is the turn times its distance from the origin: −0.02° at (80, 160) and
  // (360, 160) is −0.028 and −0.126 mm in Y, beside −0.05. The seam runs along X, and the wire leans by 45° over
  // it: cos 45° of them are across seam and wire.
  assert.match(proof[0], /^✓ Proof, rail seam, start: off by 0\.06 mm, within the forecast of ± 0\.2\d mm\.$/);
  assert.match(proof[1], /^✓ Proof, rail seam, end: off by 0\.12 mm, within the forecast of ± 0\.30 mm\.$/);
  await type(page, { "proof-4": "17.1", "proof-turn": "0.5", "moved-X": "1", "moved-Y": "25", "moved-turn": "0" });
  const now = await says(page);
  assert.match(now[0], /^✗ The touches scatter more.* Touch 4 differs most/);
  assert.match(now[2], /^✗ Proof, rail seam, end: off by 2\.18 mm, more than the forecast/);
  assert.match(now[3], /^✗ Proof, part: turn by \+0\.50°, where chance gives up to ± 0\.\d\d°\./);
  assert.match(now[4], /^✗ Play of part: .* counted in its middle, at X 200, Y 125: Y by \+25\.0 mm, assumed ± 6\.0 mm/);
  assert.match(now[5], /nothing, or another face: 1, 2\./, "the touches along Y, whose reach is 30 mm");
  await type(page, { "proof-4": "17.1 mm" });
  assert.equal(await byId(page, "proof-4").getAttribute("aria-invalid"), "true");
  assert.match(await byId(page, "notice").textContent(), /17\.1 mm/);
  assert.deepEqual(await says(page), now, "what cannot be read changes nothing");
  for (const beyond of ["-3", "30.1"]) {
    await type(page, { "proof-1": beyond });
    assert.match(await byId(page, "notice").textContent(), /Proof reading, touch 1: expected 0\.00 to 30\.00 mm, and found/);
    assert.deepEqual(await says(page), now, `${beyond}: no search goes there`);
  }
  for (const [field, beyond, message] of [
    ["proof-X", "99999999", "X: expected −500.00 to 500.00 mm, and found 99999999."],
    ["moved-turn", "-46", "turn: expected −45.00 to 45.00 °, and found -46."],
  ]) {
    await type(page, { [field]: beyond });
    assert.ok((await byId(page, "notice").textContent()).includes(message), await byId(page, "notice").textContent());
  }
  assert.deepEqual(await says(page), now, "no offset is as large");
  await page.reload();
  await byId(page, "reference-2").waitFor();
  assert.deepEqual(await says(page), now, "kept");
  assert.equal(await byId(page, "reference-2").inputValue(), "15.51");
  await type(page, { "proof-4": "" });
  assert.match((await says(page))[0], /^✓ .*touches scatter as assumed/, "of the three that are left");
  assert.deepEqual(await violations(page), []);
  await close(page);
});

test("a part that lay still and was found along its seam is told", async () => {
  const page = await open();
  await type(page, { "proof-X": "7", "proof-Y": "0", "proof-turn": "0" });
  const [start, end, still] = await says(page);
  assert.match(start, /^✓ .*off by 0\.00 mm/);
  assert.match(end, /^✓ .*off by 0\.00 mm/);
  assert.match(still, /^✗ Proof, part: X by \+7\.00 mm, where chance gives up to ± 0\.\d\d mm\. Nothing had moved/);
  await close(page);
});

test("in inches it takes inches, and the same is said", async () => {
  const page = await open();
  await type(page, { "reference-1": "25.4", "proof-1": "25.5" });
  const [before] = await says(page);
  await byId(page, "units-in").click();
  assert.equal(await byId(page, "reference-1").inputValue(), "1.000");
  await type(page, { "reference-1": "1.0000", "proof-1": "1.00394" });
  assert.equal((await says(page))[0], before);
  await close(page);
});

test("with all its numbers it is still one page, and the same as a file that needs nothing else", async () => {
  const page = await open();
  await byId(page, "prepared-by").fill("A. <b>Learner</b>");
  await type(page, { ...MEASURED, "proof-turn": "0.5", "moved-X": "9", "moved-Y": "-3", "moved-turn": "1" });
  const [download] = await Promise.all([page.waitForEvent("download"), byId(page, "save-cell").click()]);
  assert.equal(download.suggestedFilename(), "bench-side.html");
  const file = `${SHOTS}cell-sheet.html`;
  mkdirSync(SHOTS, { recursive: true });
  await download.saveAs(file);
  await page.emulateMedia({ media: "print" });
  for (const format of ["A4", "Letter"]) {
    const printed = (await page.pdf({ format })).toString("latin1");
    assert.equal(printed.match(/\/Type \/Page\b/g).length, 1, `pages of ${format}`);
  }
  const said = await says(page);
  const alone = await page.context().newPage();
  const asked = [];
  alone.on("request", (request) => asked.push(request.url()));
  await alone.goto(pathToFileURL(file).href);
  assert.deepEqual(await says(alone), said);
  const text = await byId(alone, "cell-sheet").innerText();
  for (const words of ["A. <b>Learner</b>", "15.51", "−0.05", "Lock out", "south-1"]) assert.ok(text.includes(words), words);
  assert.equal(await alone.locator("input, script, b").count(), 0);
  assert.equal(asked.length, 1, `${asked}`);
  await shot(alone, "cell-sheet-file");
  await close(page);
});

test("an empty bench prints without a forecast, and says why", async () => {
  const page = await open({ storage: {}, size: SIZES.phone });
  assert.match(await byId(page, "cell-forecast").textContent(), /No forecast: the routine finds no place yet/);
  const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  assert.ok(over <= 0, `${over} px too wide`);
  assert.deepEqual(await violations(page), []);
  await close(page);
});

test("who prepares it is asked once, and a name of forty letters is seen whole", async () => {
  const page = await open();
  await byId(page, "prepared-by").fill("Maximiliane Alexandra Wiesengrund, foreman");
  for (const media of ["print", "screen"]) {
    await page.emulateMedia({ media });
    const [seen, needed] = await byId(page, "prepared-by").evaluate((e) => [e.clientWidth, e.scrollWidth]);
    assert.ok(needed <= seen, `${media}: ${needed} px in ${seen}`);
  }
  await byId(page, "prepared-by").fill("J. Doe");
  await byId(page, "date").fill("27 Nov");
  await page.evaluate(() => { location.hash = "#/bench"; });
  await byId(page, "bench").waitFor();
  await page.evaluate(() => { location.hash = "#/cell-sheet"; });
  assert.equal(await byId(page, "prepared-by").inputValue(), "J. Doe");
  await stored(page, "nudgeproof.setting.prepared-by");
  await page.reload();
  await byId(page, "prepared-by").waitFor();
  assert.equal(await byId(page, "prepared-by").inputValue(), "J. Doe");
  assert.match(await byId(page, "date").inputValue(), /^\d{4}-\d\d-\d\d$/, "of the day");
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
