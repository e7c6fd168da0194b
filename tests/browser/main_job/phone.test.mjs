// What a phone has on its screen at once while points are taught.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import * as learner from "../lib/learner.mjs";
import { byId, close, SIZES, start } from "../lib/page.mjs";

const site = await start();
after(site.stop);

/** WCAG 2.2, 2.5.5 (AAA): targets of at least 44 by 44 CSS pixels. */
const FINGER = 44;

test("plan, torch and the step to add are on the screen together, large enough, and nothing scrolls", async () => {
  const page = await site.open({ hash: "bench", size: SIZES.phone, isMobile: true, hasTouch: true });
  await byId(page, "pane-steps").tap();
  await byId(page, "add-home").tap();
  await byId(page, "add-sensing-on").tap();
  const places = () =>
    page.evaluate(() => {
      const box = (id) => document.querySelector(`[data-testid=${id}]`).getBoundingClientRect();
      const plan = document.querySelector("#clip-plan rect");
      const [x, y, width, height] = ["x", "y", "width", "height"].map((name) => Number(plan.getAttribute(name)));
      const sheet = box("sheet");
      const all = { plan: { left: sheet.left + x, top: sheet.top + y, width, height } };
      for (const id of ["torch-x", "torch-y", "torch-z", "add-feel", "add-go-to", "more-steps", "run"]) all[id] = box(id);
      return Object.entries(all).map(([id, { left, top, width, height }]) => ({ id, left, top, right: left + width, bottom: top + height, width, height }));
    });
  const before = await places();
  for (const { id, left, top, right, bottom, width, height } of before) {
    assert.ok(left >= 0 && top >= 0 && right <= SIZES.phone.width && bottom <= SIZES.phone.height, `${id} is on the screen`);
    assert.ok(width >= FINGER && height >= FINGER, `${id}: ${width.toFixed(0)} × ${height.toFixed(0)}`);
  }
  await learner.torchTo(page, 350, -16, 5);
  await byId(page, "add-feel").tap();
  const [named, ...more] = (await learner.steps(page)).slice(2);
  assert.deepEqual([named, more], ["Feel +Y from south-1", []], "the point is taught");
  const scrolled = await page.evaluate(() =>
    [document.scrollingElement, ...document.querySelectorAll(".routine, .more-pane")].map((e) => e.scrollTop));
  assert.deepEqual(scrolled, [0, 0, 0], "nothing was scrolled");
  assert.deepEqual((await places()).slice(0, 4), before.slice(0, 4), "nothing has moved");
  const row = await byId(page, "step-3").boundingBox();
  const list = await byId(page, "step-list").boundingBox();
  assert.ok(row.y + row.height <= list.y + list.height + 1, "the new step is in view");
  await close(page);
});

test("a tap on the plan brings the torch there", async () => {
  const page = await site.open({ hash: "bench", size: SIZES.phone, isMobile: true, hasTouch: true });
  const plan = await byId(page, "free-plan").boundingBox();
  const x = () => byId(page, "torch-x").inputValue();
  const was = await x();
  await page.touchscreen.tap(plan.x + plan.width * 0.6, plan.y + plan.height - 60);
  assert.notEqual(await x(), was);
  await close(page);
});
