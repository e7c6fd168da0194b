// What an instructor does at the bench: another part, a hidden fault, a move in secret; and the log.
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, test } from "node:test";
import { fileURLToPath } from "node:url";
import { violations } from "./lib/axe.mjs";
import { coached } from "./lib/learner.mjs";
import { byId, close, SIZES, start } from "./lib/page.mjs";

const site = await start();
after(site.stop);

const CASE = fileURLToPath(new URL("../cases/sessions/as-it-should-be.json", import.meta.url));
const FAULT = "stick-out changed";

const open = (options = {}) => site.open({ hash: "bench", ...options });
const unfold = (page, id) => byId(page, id).locator("summary").click();
const words = (page) => byId(page, "main").innerText();
const verdict = (page) => byId(page, "verdict").getAttribute("data-verdict");

async function run(page) {
  const before = await byId(page, "title-run").textContent();
  await byId(page, "run").click();
  const caution = byId(page, "safety-read");
  if (await caution.isVisible()) await caution.click();
  await page.waitForFunction((was) => {
    const now = document.querySelector("[data-testid=title-run]")?.textContent;
    const verdict = document.querySelector("[data-testid=verdict]")?.dataset.verdict;
    return now !== was && verdict !== "running";
  }, before);
}

/** A bench with a routine that works, its reference taken and proven. */
async function ready(options = {}) {
  const session = await readFile(CASE, "utf8");
  return open({ storage: { "nudgeproof.session": session }, ...options });
}

test("the bench takes another part, and a tall one has all six numbers", async () => {
  const page = await open();
  await unfold(page, "bench-panel");
  assert.equal(await byId(page, "nudge-z").count(), 0, "a flat part does not lift");
  await byId(page, "part-choice").selectOption("planter-tub");
  assert.match(await byId(page, "title-part").textContent(), /Planter, tub/);
  await byId(page, "nudge-tilt-y").fill("1");
  await byId(page, "nudge-tilt-y").press("Enter");
  await byId(page, "nudge-z").fill("1.5");
  await byId(page, "nudge-z").press("Enter");
  assert.equal(await byId(page, "nudge-z").inputValue(), "1.5");
  assert.equal(await byId(page, "nudge-tilt-y").inputValue(), "1.0");
  assert.deepEqual(await violations(page), []);
  await close(page);
});

test("a point is raised by key in the elevation, and the same number can be typed", async () => {
  const page = await ready();
  await unfold(page, "bench-panel");
  const height = async () => Number(await byId(page, "height-home").getAttribute("aria-valuenow"));
  const was = await height();
  await byId(page, "height-home").focus();
  await page.keyboard.press("ArrowUp");
  assert.equal(await height(), was + 1);
  await byId(page, "z-home").fill(String(was + 7));
  await byId(page, "z-home").press("Enter");
  assert.equal(await height(), was + 7);
  await close(page);
});

// The part as drawn, once the sheet has taken its new size after a drawer was folded.
async function outline(page) {
  const read = () => byId(page, "part").locator(".body").first().getAttribute("d");
  for (let before = null, now = await read(); ; before = now, now = await read()) {
    if (before === now) return now;
    await page.waitForTimeout(200);
  }
}

test("a planted fault shows its symptom and not its name until it is revealed", async () => {
  const page = await ready();
  await run(page);
  const sound = await verdict(page);
  await unfold(page, "presenter");
  await byId(page, "fault-choice").selectOption({ label: "another part loaded" });
  await byId(page, "plant").click();
  await byId(page, "presenter").locator("summary").click();
  const drawn = await outline(page);
  await run(page);
  assert.notEqual(await verdict(page), sound, "the symptom");
  assert.doesNotMatch(await words(page), /another part|wrong part/i);
  assert.equal(await outline(page), drawn, "drawn as believed");
  await unfold(page, "presenter");
  await byId(page, "reveal").click();
  assert.match(await byId(page, "notice").textContent(), /another part loaded/);
  assert.match(await byId(page, "known-faults").textContent(), /another part loaded/);
  assert.notEqual(await byId(page, "part").locator(".body").first().getAttribute("d"), drawn, "drawn as it is");
  assert.deepEqual(await violations(page), []);
  await byId(page, "clear-faults").click();
  assert.equal(await byId(page, "known-faults").locator("li").count(), 0);
  await close(page);
});

test("the coach does not name what is kept secret", async () => {
  const page = await ready();
  await unfold(page, "presenter");
  await byId(page, "fault-choice").selectOption({ label: FAULT });
  await byId(page, "plant").click();
  await byId(page, "presenter").locator("summary").click();
  await run(page);
  await coached(page);
  assert.equal(await byId(page, "finding-stick-out-changed").count(), 0, "a secret");
  await byId(page, "sheet").locator("[tabindex]").first().focus();
  await page.keyboard.press("r");
  assert.match(await byId(page, "notice").textContent(), /stick-out changed/);
  await coached(page);
  assert.equal(await byId(page, "finding-stick-out-changed").count(), 1, "no secret any more");
  await close(page);
});

test("a move in secret leaves the drawing alone, by key, until it is revealed; undo takes it back", async () => {
  const page = await ready();
  const place = () => Promise.all(["nudge-x", "nudge-y"].map((id) => byId(page, id).inputValue()));
  const before = await place();
  await page.keyboard.press("Alt+m");
  assert.equal(await byId(page, "secret").count(), 1);
  assert.deepEqual(await place(), before, "where it was");
  await page.keyboard.press("Alt+r");
  assert.equal(await byId(page, "secret").count(), 0);
  const there = await place();
  assert.notDeepEqual(there, before, "where it is");
  await byId(page, "undo").click();
  await byId(page, "undo").click();
  assert.equal(await byId(page, "secret").count(), 0);
  assert.deepEqual(await place(), before, "as before");
  await close(page);
});

test("the log is exported as CSV and as JSON", async () => {
  const page = await ready({ hash: "record" });
  const save = async (id) => {
    const [file] = await Promise.all([page.waitForEvent("download"), byId(page, id).click()]);
    return readFile(await file.path(), "utf8");
  };
  const csv = await save("export-csv");
  assert.equal(csv.split("\n")[0].trim(), "run,time_s,step,what,detail,x_mm,y_mm,z_mm");
  const rows = JSON.parse(await save("export-json"));
  assert.equal(csv.trim().split("\n").length, rows.length + 1, "the same rows");
  await close(page);
});

test("a phone shows both drawers without a sideways scroll", async () => {
  const page = await open({ size: SIZES.phone });
  await unfold(page, "bench-panel");
  await unfold(page, "presenter");
  const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  assert.ok(over <= 0, `${over} px too wide`);
  assert.deepEqual(await violations(page), []);
  await close(page);
});
