// A reveal is a scene: the part goes from where it was believed to lie to where it lies, then the faults are named.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { violations } from "../lib/axe.mjs";
import { CASE } from "../lib/cases.mjs";
import { plant } from "../lib/instructor.mjs";
import * as learner from "../lib/learner.mjs";
import { byId, close, SIZES, start } from "../lib/page.mjs";
import { CAUTION_READ, SESSION } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

const ready = (more) => site.open({ hash: "bench", storage: { ...CAUTION_READ, [SESSION]: CASE }, ...more });
const named = (page) => byId(page, "reveal-card").locator("li").allTextContents();
const box = (page) => byId(page, "part").boundingBox();

async function kept(page) {
  await plant(page, "painted-edge");
  await plant(page, "work-lead-off");
  await page.keyboard.press("Alt+m");
}

test("with less motion all of it stands at once: ghost, arrow, faults and their mend", async () => {
  const page = await ready({ size: SIZES.projector });
  await page.keyboard.press("Alt+p");
  await kept(page);
  assert.equal(await byId(page, "reveal-card").count(), 0);
  const before = await box(page);
  await page.keyboard.press("Alt+r");
  await byId(page, "reveal-card").waitFor();
  const lines = await named(page);
  assert.equal(lines.length, 3);
  assert.match(lines[0], /the part truly lies at [+−]\d/);
  assert.match(lines[1], /paint on an edge.*To mend it: /);
  assert.match(lines[2], /work lead.*To mend it: /);
  assert.notDeepEqual(await box(page), before, "the part is drawn where it lies");
  const scene = byId(page, "reveal-scene");
  assert.ok(await scene.locator(".reference").count() > 0, "the ghost stays where it was believed");
  assert.match(await scene.locator("text").textContent(), /[+−]\d+\.\d \/ [+−]\d+\.\d mm, [+−]\d+\.\d°/);
  assert.deepEqual(await violations(page), []);
  await close(page);
});

test("with motion the part goes there, and then one fault after the other is named", async () => {
  const page = await ready({ reducedMotion: "no-preference" });
  await kept(page);
  const before = await box(page);
  await page.keyboard.press("Alt+r");
  await byId(page, "reveal-card").waitFor();
  const near = (a, b) => Math.abs(a.x - b.x) + Math.abs(a.y - b.y);
  const first = await box(page);
  assert.equal((await named(page)).length, 1, "first the place");
  await page.waitForFunction(() => document.querySelectorAll("[data-testid=reveal-card] li").length === 2);
  const there = await box(page);
  assert.ok(near(first, before) < near(first, there), "it begins where it was believed to lie");
  await page.waitForFunction(() => document.querySelectorAll("[data-testid=reveal-card] li").length === 3);
  assert.deepEqual(await box(page), there, "and stays where it lies");
  await close(page);
});

test("a run before anything was secret is not offered as if it had been", async () => {
  const page = await ready();
  await learner.run(page);
  await page.keyboard.press("Alt+m");
  await page.keyboard.press("Alt+r");
  await byId(page, "reveal-card").waitFor();
  assert.equal(await byId(page, "replay-true-run").count(), 0);
  await close(page);
});

test("the true run can be played again, and the next action ends the scene", async () => {
  const page = await ready();
  await page.keyboard.press("Alt+m");
  await learner.run(page);
  await page.keyboard.press("Alt+r");
  await byId(page, "replay-true-run").click();
  await page.waitForFunction(() => document.querySelector("[data-testid=verdict]").dataset.verdict !== "running");
  assert.equal(await byId(page, "reveal-scene").count(), 1);
  await page.keyboard.press("Alt+h");
  await byId(page, "reveal-card").waitFor({ state: "detached" });
  await byId(page, "reveal-scene").waitFor({ state: "detached" });
  await close(page);
});
