// The whole job with a finger on a phone: taps only; keys only to fill in a field that was tapped.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { LESSON_SEED } from "../lib/cases.mjs";
import * as learner from "../lib/learner.mjs";
import { byId, close, SIZES, start } from "../lib/page.mjs";

const site = await start();
after(site.stop);

/** Where an element stands once it no longer moves: who taps looks first. */
async function atRest(page, element) {
  for (let before = await element.boundingBox(); ; ) {
    await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
    const now = await element.boundingBox();
    if (now.x === before.x && now.y === before.y) return now;
    before = now;
  }
}

/** Taps the middle of an element, once it has been scrolled into sight. */
async function tap(page, target) {
  if (typeof target === "string") await learner.reach(page, target, tap);
  const element = typeof target === "string" ? byId(page, target) : target;
  await element.scrollIntoViewIfNeeded();
  const box = await atRest(page, element);
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  // A finger hits what lies on top.
  const hit = await element.evaluate((e, [px, py]) => {
    const top = document.elementFromPoint(px, py);
    return Boolean(top && (e.contains(top) || top.contains(e) || e.closest("label")?.contains(top)));
  }, [x, y]);
  assert.ok(hit, `something lies over ${target}`);
  await page.touchscreen.tap(x, y);
}

/** Taps a field and types a number on the keys that the phone then shows. */
async function type(page, id, value) {
  await tap(page, id);
  assert.ok(await byId(page, id).evaluate((e) => e === document.activeElement), `${id} takes the focus`);
  await byId(page, id).evaluate((e) => e.select());
  await page.keyboard.type(String(value));
  await page.keyboard.press("Enter");
}

async function torchTo(page, x, y, z) {
  await type(page, "torch-x", x);
  await type(page, "torch-y", y);
  await type(page, "torch-z", z);
}

test("the main job by taps alone, from the first lesson to the weld on the nudged part", async () => {
  const page = await site.open({ size: SIZES.phone, isMobile: true, hasTouch: true, seed: LESSON_SEED });
  page.mouse.down = () => assert.fail("no mouse");
  await tap(page, "start-slide-and-turn");
  await byId(page, "sheet").waitFor();
  await learner.teachRoutine(page, torchTo, tap);

  const find = await learner.stepNumber(page, "Find ");
  await learner.reach(page, `step-${find}`, tap);
  await tap(page, byId(page, `step-${find}`).getByTestId("step-select"));
  await tap(page, "may-turn");

  await tap(page, "reference");
  await learner.run(page, tap);
  await tap(page, "reference");
  await learner.run(page, tap);
  await tap(page, "cell");
  await type(page, "nudge-x", 6);
  await type(page, "nudge-y", -4);
  await type(page, "nudge-turn", 2.5);
  await tap(page, "cell");
  await tap(page, "answer-1");
  await tap(page, "sure-1");
  await learner.run(page, tap);
  await tap(page, "arc");
  await learner.run(page, tap);
  assert.equal(await learner.verdict(page), "on-seam");
  await tap(page, "pane-now");
  await byId(page, "lesson-score").waitFor();
  assert.deepEqual(await learner.findings(page), []);
  assert.equal(await learner.number(page, "lesson-score"), 100);
  await close(page);
});

test("a finger drags torch and part, and a swipe over the sheet still scrolls the page", async () => {
  // Lower than the bench: what is below it can be scrolled to.
  const page = await site.open({ size: SIZES.phone, viewport: { width: 390, height: 500 }, isMobile: true, hasTouch: true, hash: "bench" });
  const touch = await page.context().newCDPSession(page);
  const swipe = async (from, dx, dy) => {
    const at = (s) => [{ x: from.x + dx * s, y: from.y + dy * s }];
    await touch.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: at(0) });
    for (const s of [0.25, 0.5, 0.75, 1]) await touch.send("Input.dispatchTouchEvent", { type: "touchMove", touchPoints: at(s) });
    await touch.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
  };
  const middle = async (locator) => {
    const b = await locator.boundingBox();
    return { x: b.x + b.width / 2, y: b.y + b.height / 2 };
  };
  const x = () => byId(page, "torch-x").inputValue();
  const was = await x();
  await swipe(await middle(byId(page, "torch").locator(".target")), 40, -20);
  assert.notEqual(await x(), was, "the torch came along");
  const part = await byId(page, "nudge-x").inputValue();
  await swipe(await middle(byId(page, "nudge-handle").locator(".target")), 3, 2);
  assert.notEqual(await byId(page, "nudge-x").inputValue(), part, "the part came along");
  const sheet = await byId(page, "sheet").boundingBox();
  await swipe({ x: sheet.x + 60, y: sheet.y + 60 }, 0, -50);
  await page.waitForFunction(() => scrollY > 10);
  await close(page);
});
