// What an instructor does at the bench in secret: a hidden fault, a move, the next part; then reveals it.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { violations } from "../lib/axe.mjs";
import { CASE } from "../lib/cases.mjs";
import { plant } from "../lib/instructor.mjs";
import { coached, run, verdict } from "../lib/learner.mjs";
import { byId, close, start, text, unfold } from "../lib/page.mjs";
import { SESSION } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

const words = (page) => byId(page, "main").innerText();
/** A bench with a routine that works, its reference taken and proven. */
const ready = () => site.open({ hash: "bench", storage: { [SESSION]: CASE } });

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
  await plant(page, "wrong-part");
  const drawn = await outline(page);
  await run(page);
  assert.notEqual(await verdict(page), sound, "the symptom");
  assert.doesNotMatch(await words(page), /another part|wrong part/i);
  assert.equal(await outline(page), drawn, "drawn as believed");
  await unfold(page, "presenter");
  await byId(page, "reveal").click();
  assert.match(await text(page, "notice"), /another part was loaded/);
  assert.match(await text(page, "known-faults"), /another part was loaded/);
  assert.notEqual(await byId(page, "part").locator(".body").first().getAttribute("d"), drawn, "drawn as it is");
  assert.deepEqual(await violations(page), []);
  await byId(page, "clear-faults").click();
  assert.equal(await byId(page, "known-faults").locator("li").count(), 0);
  await close(page);
});

test("the coach does not name what is kept secret", async () => {
  const page = await ready();
  await plant(page, "wire-bent");
  await run(page);
  await coached(page);
  assert.equal(await byId(page, "finding-wire-bent-and-used").count(), 0, "a secret");
  await byId(page, "sheet").locator("[tabindex]").first().focus();
  await page.keyboard.press("r");
  assert.match(await text(page, "notice"), /the wire is bent/);
  await coached(page);
  assert.equal(await byId(page, "finding-wire-bent-and-used").count(), 1, "no secret any more");
  await close(page);
});

test("a move in secret leaves the drawing alone, by key, until it is revealed; undo takes the reveal back", async () => {
  const page = await ready();
  const place = () => Promise.all(["nudge-x", "nudge-y"].map((id) => byId(page, id).inputValue()));
  const before = await place();
  await page.keyboard.press("Alt+m");
  assert.deepEqual(await place(), before, "where it was");
  await page.keyboard.press("Alt+r");
  const there = await place();
  assert.notDeepEqual(there, before, "where it is");
  await byId(page, "undo").click();
  assert.deepEqual(await place(), before, "a secret again");
  await page.keyboard.press("Alt+c");
  await page.keyboard.press("Alt+r");
  assert.match(await text(page, "notice"), /Nothing is kept secret/);
  assert.deepEqual(await place(), before, "taken back");
  await close(page);
});

test("the next part by key, on the sheet and with Alt anywhere", async () => {
  const page = await ready();
  const first = await text(page, "title-part");
  await byId(page, "torch").focus();
  await page.keyboard.press("n");
  assert.notEqual(await text(page, "title-part"), first);
  await page.keyboard.press("Alt+n");
  const parts = await byId(page, "part-choice").locator("option").allTextContents();
  assert.equal(await text(page, "title-part"), parts[2], "the third of the list");
  await close(page);
});
