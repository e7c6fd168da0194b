// The instructor's window: it leads the page that the class sees, and only that one.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { violations } from "../lib/axe.mjs";
import { CASE } from "../lib/cases.mjs";
import { classWindow, partner, plant, secrets } from "../lib/instructor.mjs";
import * as learner from "../lib/learner.mjs";
import { byId, close, start, started, text, unfold } from "../lib/page.mjs";
import { CAUTION_READ, SESSION, stored } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

const ready = (more) => site.open({ hash: "bench", storage: { ...CAUTION_READ, [SESSION]: CASE }, ...more });
const says = (window, id, pattern) => byId(window, id).filter({ hasText: pattern }).waitFor();

test("what is planted and moved there is secret here, and named when it is revealed there", async () => {
  const page = await ready();
  const window = await classWindow(page);
  await partner(window, "there");
  await says(window, "partner", /run/i);
  assert.equal(await byId(window, "no-secrets").count(), 1);
  const before = await byId(page, "main").innerText();
  await byId(window, "plant-work-lead-off").click();
  await says(window, "secrets", "the work lead is off");
  await byId(window, "class-move").click();
  await says(window, "secrets", "the part truly lies at");
  assert.equal((await secrets(window)).length, 2);
  assert.equal(await byId(page, "main").innerText(), before, "nothing of it here");
  assert.deepEqual(await violations(window), []);
  // What is planted by keys is found out there too.
  await plant(page, "spatter-bridge");
  await says(window, "secrets", "spatter");
  await byId(window, "class-reveal").click();
  await byId(window, "no-secrets").waitFor();
  assert.match(await text(page, "notice"), /work lead is off; .*spatter.*; the part truly lies at/);
  await close(page);
});

test("what is secret can be taken back, and nobody has seen anything", async () => {
  const page = await ready();
  const window = await classWindow(page);
  await partner(window, "there");
  const before = await byId(page, "main").innerText();
  await byId(window, "plant-work-lead-off").click();
  await byId(window, "class-move").click();
  await says(window, "secrets", "the part truly lies at");
  await byId(window, "class-take-back").click();
  await byId(window, "no-secrets").waitFor();
  assert.equal(await byId(page, "main").innerText(), before);
  await learner.run(page);
  assert.equal(await learner.verdict(page), "on-seam", "the cell is as it was");
  await says(window, "partner", "on the seam");
  await close(page);
});

test("a fault that the part has no place for is refused there, and shows nothing here", async () => {
  const page = await ready();
  const window = await classWindow(page);
  await partner(window, "there");
  const parts = await byId(page, "part-choice").locator("option").evaluateAll((all) => all.map((o) => o.value));
  for (let i = parts.indexOf("bench-side"); parts[i] !== "planter-tub"; i = (i + 1) % parts.length) {
    await byId(window, "class-next-part").click();
    await says(window, "done", /On the bench/);
    await page.waitForTimeout(100);
  }
  await byId(window, "plant-clamp-moved").and(window.locator(":disabled")).waitFor();
  await plant(page, "clamp-moved");
  assert.doesNotMatch(await text(page, "notice"), /could happen/);
  await close(page);
});

test("either window may close: the page goes on, and the window says that nobody answers", async () => {
  const page = await ready();
  const window = await classWindow(page);
  await partner(window, "there");
  await page.reload();
  await started(page);
  await partner(window, "there");
  await window.close();
  await learner.run(page);
  const again = await classWindow(page);
  await partner(again, "there");
  await page.close();
  await partner(again, "silent");
  await byId(again, "ask-again").click();
  await partner(again, "silent");
  assert.match(await text(again, "partner"), /No page answers/);
  assert.equal(await byId(again, "plant-wire-bent").count(), 0, "nothing to press that would do nothing");
  await again.context().close();
});

test("a window without a page of a class says so, and touches no work", async () => {
  const page = await site.open({ hash: "class", storage: { [SESSION]: CASE } });
  await partner(page, "silent");
  assert.equal(await stored(page, SESSION), CASE);
  await page.evaluate(() => { location.hash = "#/bench"; });
  await byId(page, "sheet").waitFor();
  await close(page);
});

test("of two pages of a class each obeys its own window, and a doubled tab none", async () => {
  const first = await ready();
  const second = await first.context().newPage();
  second.faults = first.faults;
  await second.goto(`${site.url}#/bench`);
  await started(second);
  const window = await classWindow(first);
  await partner(window, "there");
  const other = await classWindow(second);
  await partner(other, "there");
  await byId(window, "plant-wire-bent").click();
  await says(window, "secrets", "the wire is bent");
  assert.equal(await byId(other, "no-secrets").count(), 1, "the second class knows of nothing");
  // A tab that was doubled takes the id of the first with it.
  const id = await first.evaluate(() => sessionStorage.getItem("nudgeproof.class"));
  const twin = await first.context().newPage();
  await twin.addInitScript((text) => sessionStorage.setItem("nudgeproof.class", text), id);
  await twin.goto(`${site.url}#/bench`);
  await started(twin);
  await twin.waitForFunction(() => sessionStorage.getItem("nudgeproof.class") === null);
  const part = await text(twin, "title-part");
  await byId(window, "class-next-part").click();
  await says(window, "done", /On the bench/);
  assert.notEqual(await text(first, "title-part"), part, "the first page obeys");
  assert.equal(await text(twin, "title-part"), part, "its double does not");
  await close(first);
});

test("the window is whole on a phone, and the drawer that opens it", async () => {
  const page = await ready();
  await unfold(page, "presenter");
  assert.deepEqual(await violations(page), []);
  const [window] = await Promise.all([page.context().waitForEvent("page"), byId(page, "open-class-window").click()]);
  await window.setViewportSize({ width: 390, height: 844 });
  await partner(window, "there");
  const over = await window.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  assert.ok(over <= 0, `${over} px too wide`);
  await close(page);
});
