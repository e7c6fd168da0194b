// What else can be done at the bench: other parts, heights, tilts, a bent wire.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { violations } from "../lib/axe.mjs";
import { CASE } from "../lib/cases.mjs";
import * as learner from "../lib/learner.mjs";
import { byId, close, SIZES, start, text, unfold } from "../lib/page.mjs";
import { CAUTION_READ, SESSION } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

const open = (options = {}) => site.open({ hash: "bench", storage: CAUTION_READ, ...options });
/** A bench with a routine that works. */
const ready = () => open({ storage: { ...CAUTION_READ, [SESSION]: CASE } });

test("the bench takes another part, and a tall one has all six numbers", async () => {
  const page = await open();
  await unfold(page, "bench-panel");
  assert.equal(await byId(page, "nudge-z").count(), 0, "a flat part does not lift");
  await byId(page, "part-choice").selectOption("planter-tub");
  assert.match(await text(page, "title-part"), /Planter, tub/);
  await byId(page, "nudge-tilt-y").fill("1");
  await byId(page, "nudge-tilt-y").press("Enter");
  await byId(page, "nudge-z").fill("1.5");
  await byId(page, "nudge-z").press("Enter");
  assert.equal(await byId(page, "nudge-z").inputValue(), "1.5");
  assert.equal(await byId(page, "nudge-tilt-y").inputValue(), "1.0");
  assert.deepEqual(await violations(page), []);
  await close(page);
});

test("a small drawing stands beside the choice of part, and is of the part chosen", async () => {
  const page = await site.open({ hash: "bench", storage: CAUTION_READ });
  await byId(page, "bench-panel").locator("summary").first().click();
  const drawn = () => byId(page, "part-on-bench").locator("svg path").evaluateAll((all) => all.map((e) => e.getAttribute("d")));
  const before = await drawn();
  await byId(page, "part-choice").selectOption("bench-frame");
  const frame = await drawn();
  assert.notDeepEqual(frame, before);
  assert.equal(await byId(page, "part-on-bench").locator("svg .seam").count(), 2, "with both seams of the frame");
  await close(page);
});

test("a tall part lifts and tilts by keys, and shows its lean", async () => {
  const page = await open();
  await unfold(page, "bench-panel");
  await byId(page, "part-choice").selectOption("planter-tub");
  assert.equal(await byId(page, "part").locator(".lean").count(), 0, "upright");
  await byId(page, "turn-handle").focus();
  for (const key of ["PageUp", "PageUp", "End"]) await page.keyboard.press(key);
  assert.equal(await byId(page, "nudge-tilt-x").inputValue(), "1.0");
  assert.equal(await byId(page, "nudge-tilt-y").inputValue(), "−0.5");
  const height = async () => Number((await byId(page, "nudge-z").inputValue()).replace("−", "-"));
  const before = await height();
  await byId(page, "nudge-handle").focus();
  await page.keyboard.press("PageUp");
  await page.keyboard.press("Shift+PageDown");
  learner.near((await height()) - before, 0.9, 1e-6, "lifted by a millimetre less a tenth");
  assert.notEqual(await byId(page, "part").locator(".lean").count(), 0, "and leaning");
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

test("a point is dragged in height in the elevation", async () => {
  const page = await ready();
  const grip = byId(page, "height-weld-start");
  const height = async () => Number(await grip.getAttribute("aria-valuenow"));
  assert.equal(await height(), 12);
  const box = await grip.locator(".target").boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x, y - 6);
  await page.mouse.move(x, y - 12);
  assert.match(await grip.locator(".label").textContent(), / mm$/, "the height is written beside it meanwhile");
  assert.equal(await height(), 12, "and not yet taught");
  await page.mouse.up();
  const raised = await height();
  assert.ok(raised > 12, `raised to ${raised}`);
  assert.match(await text(page, "notice"), new RegExp(`weld-start.*${raised.toFixed(1)}`));
  await byId(page, "undo").click();
  assert.equal(await height(), 12, "and back");
  await close(page);
});

test("a wire driven into the part is bent, drawn so, and straight once it is cut", async () => {
  const page = await open();
  await learner.torchTo(page, -120, 60, 6);
  await learner.add(page, "home");
  await learner.torchTo(page, 100, 60, 6);
  await learner.add(page, "go-to");
  await learner.run(page);
  assert.equal(await learner.verdict(page), "no-weld", "the run goes on with it");
  assert.equal(await byId(page, "wire-bent").count(), 1, "marked on the plan");
  assert.equal(await byId(page, "wire-bent-side").count(), 1, "and in the elevation");
  assert.match(await byId(page, "wire-bent").textContent(), /wire .* side plate/);
  const bent = () => byId(page, "torch").locator(".bend").evaluate((path) => path.getTotalLength());
  assert.ok((await bent()) > 0.5, "drawn bent");
  await byId(page, "cut-wire").click();
  assert.equal(await bent(), 0, "straight");
  assert.equal(await byId(page, "cut-wire").count(), 0, "nothing more to cut");
  await byId(page, "undo").click();
  assert.ok((await bent()) > 0.5, "undone");
  await close(page);
});

test("a tilted part: the six numbers found are the six that were typed", async () => {
  const page = await open();
  await unfold(page, "bench-panel");
  await byId(page, "part-choice").selectOption("planter-tub");
  await unfold(page, "bench-panel");
  const step = async (piece, x, y, z) => {
    if (x !== undefined) await learner.torchTo(page, x, y, z);
    await learner.add(page, piece);
  };
  await step("home", -160, -180, 260);
  await step("sensing-on");
  // The touches that the part's drawing proposes, with the way over its edge in between.
  for (const [aim, ...at] of [
    ["minus-z", 40, 40, 106], ["minus-z", 220, 40, 106], ["minus-z", 130, 165, 106],
    ["plus-y", 210, -15, 84], ["plus-y", 50, -15, 84], ["plus-x", -15, 40, 84], ["plus-x", -15, 150, 84],
  ]) {
    if (at[1] === 165) await step("go-to", 220, 40, 140); // over the rib
    if (at[1] === 40 && at[2] === 84) await step("go-to", 50, -40, 140); // back from the south face
    if (at[0] === 210) await step("go-to", 130, 165, 160); // straight up from behind the rib
    if (at[2] < 100) await step("go-to", at[0] - 20, at[1] - 20, 140);
    await learner.torchTo(page, ...at);
    await learner.reach(page, `aim-${aim}`);
    await byId(page, `aim-${aim}`).click();
    await step("feel");
  }
  await step("go-to", -60, 150, 160);
  for (const piece of ["sensing-off", "find", "follow"]) await step(piece);
  await step("go-to", 40, 100, 140);
  await step("weld-from", 40, 120, 92);
  await step("weld-to", 220, 120, 92);
  await step("go-to", 220, 100, 140);
  await step("stop-following");
  await step("home");
  await learner.freedoms(page, "x", "y", "height", "turn", "tilt-x", "tilt-y");
  await learner.referenceAndProof(page);
  const typed = { "nudge-x": 2, "nudge-y": -1.5, "nudge-turn": 1, "nudge-tilt-x": 0.6, "nudge-tilt-y": -0.4 };
  for (const [id, value] of Object.entries(typed)) await learner.type(page, id, value);
  await learner.run(page);
  assert.equal(await learner.verdict(page), "on-seam", await text(page, "verdict"));
  const numbers = (await text(page, "offset-found")).replaceAll("−", "-").match(/[-+]?\d+\.\d+/g).map(Number);
  assert.equal(numbers.length, 6, "two lines, six numbers");
  const [x, y, , turn, tiltX, tiltY] = numbers;
  learner.near(x, 2, 0.5, "X");
  learner.near(y, -1.5, 0.5, "Y");
  learner.near(turn, 1, 0.2, "turn");
  learner.near(tiltX, 0.6, 0.2, "tilt about X");
  learner.near(tiltY, -0.4, 0.2, "tilt about Y");
  await close(page);
});

test("a phone shows both drawers without a sideways scroll", async () => {
  const page = await open({ size: SIZES.phone });
  await byId(page, "pane-more").click();
  await unfold(page, "bench-panel");
  await unfold(page, "presenter");
  const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  assert.ok(over <= 0, `${over} px too wide`);
  // Clear of the switch at the foot of the screen, under which the page scrolls.
  await byId(page, "presenter").evaluate((e) => e.scrollIntoView({ block: "center" }));
  assert.deepEqual(await violations(page), []);
  await close(page);
});
