// The whole job as a learner does it: from the empty lesson to the weld on a nudged part.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { LESSON_SEED, TOLERANCE } from "../lib/cases.mjs";
import * as learner from "../lib/learner.mjs";
import { byId, close, start } from "../lib/page.mjs";

const site = await start();
after(site.stop);

/** Three standard deviations of an offset's shift from four touches of 0.10 mm, and a margin. */
const CLOSE_MM = 0.5;

const done = (page) =>
  page.locator("[data-testid^=task-]").evaluateAll((all) => all.filter((t) => t.dataset.done === "true").length);

test("from the lesson's empty routine to the weld on a nudged part", async () => {
  const page = await site.open({ seed: LESSON_SEED });
  // A first visitor lands among the lessons.
  await byId(page, "start-slide-and-turn").click();
  assert.deepEqual(await learner.steps(page), [], "the routine is empty");
  const tasks = await page.locator("[data-testid^=task-]").count();

  await learner.teachRoutine(page);
  assert.equal((await learner.steps(page)).length, 18, "every step is there");
  await learner.freedoms(page, "x", "y", "turn");
  await learner.coached(page);
  assert.equal(await byId(page, "coach-quiet").count(), 1, "nothing to say against the routine");

  await learner.referenceAndProof(page);
  assert.equal(await learner.verdict(page), "on-seam", "the proof run");

  await learner.nudge(page, 6, -4, 2.5);
  await byId(page, "answer-1").click();
  await byId(page, "sure-1").click();
  await learner.run(page);
  assert.match(await byId(page, "title-run").textContent(), /^3 · dry run$/);
  assert.equal(await learner.verdict(page), "on-seam", "the dry run");
  await byId(page, "arc").click();
  await learner.run(page);

  assert.equal(await learner.verdict(page), "on-seam", "the production run");
  assert.match(await byId(page, "title-run").textContent(), /^4 · production run$/);
  for (const miss of await learner.misses(page)) {
    assert.ok(Math.abs(miss) <= TOLERANCE, `${miss} mm off the seam, allowed ${TOLERANCE}`);
  }
  assert.deepEqual(await learner.findings(page), [], "the coach has nothing to say");
  assert.equal(await learner.number(page, "lesson-score"), 100, "full score");
  assert.equal(await done(page), tasks, "every task of the lesson is done");
  assert.equal(await byId(page, "lesson-finished").count(), 1, "and the lesson says so");

  await byId(page, "tab-readings").click();
  const found = await learner.number(page, "found-part-dx");
  assert.ok(Math.abs(found - 6) < CLOSE_MM, `offset along X found: ${found}, true 6`);
  assert.equal(await learner.number(page, "true-part-dx"), 6, "the truth is told after the production run");
  assert.equal(await learner.number(page, "true-part-dy"), -4);
  assert.ok(Math.abs((await learner.number(page, "true-part-turn")) - 2.5) < 1e-9);
  await close(page);
});

test("torch and part can be dragged", async () => {
  const page = await site.open({ hash: "bench" });
  const before = await byId(page, "torch-x").inputValue();
  await learner.dragTorch(page, 60, -30);
  assert.notEqual(await byId(page, "torch-x").inputValue(), before, "the torch came along");
  const grip = await byId(page, "nudge-handle").locator(".target").boundingBox();
  const [x, y] = [grip.x + grip.width / 2, grip.y + grip.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + 4, y - 2);
  await page.mouse.up();
  assert.notEqual(await byId(page, "nudge-x").inputValue(), "0.0", "the part came along");
  assert.equal(await byId(page, "ghost").getAttribute("data-shown"), "true", "its reference stays as a ghost");
  await close(page);
});
