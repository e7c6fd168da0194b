// How few presses the main job takes: by keys alone, and by a mouse with nothing typed.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { LESSON_SEED } from "../lib/cases.mjs";
import { counting, made } from "../lib/count.mjs";
import { goTo } from "../lib/keyboard.mjs";
import * as learner from "../lib/learner.mjs";
import { byId, close, keys, start, tabTo } from "../lib/page.mjs";

const site = await start();
after(site.stop);

const MOST_KEYS = 149;
const MOST_CLICKS_AND_DRAGS = 30;
/** The cautions come before the first run of a browser, and never again. */
const CAUTIONS = 1;

const open = (options) => site.open({ seed: LESSON_SEED, prepare: counting, ...options });

/** The weld of the last run is on the seam, and the coach has nothing to say. */
async function wellDone(page) {
  assert.equal(await learner.verdict(page), "on-seam");
  assert.match(await byId(page, "title-run").textContent(), /production run$/);
  assert.deepEqual(await learner.findings(page), []);
  assert.equal(await learner.number(page, "lesson-score"), 100);
}

/** The run of this number is over, and told. */
const over = (page, n) =>
  page.waitForFunction((n) => {
    const says = (id) => document.querySelector(`[data-testid=${id}]`);
    return says("title-run").textContent.startsWith(`${n} · `) && says("verdict").dataset.verdict !== "running";
  }, n);

test("the main job takes less than 150 presses of keys, and no pointer", async () => {
  const page = await open();
  const times = (n, key) => keys(page, ...Array(n).fill(key));
  await goTo(page, "start-slide-and-turn");
  await keys(page, "Enter");
  await byId(page, "sheet").waitFor();
  await keys(page, "Alt+v", "h", "s", "End");
  // South, from east to west.
  await times(10, "Control+ArrowRight");
  await times(3, "Control+ArrowUp");
  await times(2, "ArrowRight");
  await keys(page, "ArrowUp", "ArrowUp", "ArrowUp", "e");
  await times(6, "Control+ArrowLeft");
  await keys(page, "e");
  // Round the corner, then west from south to north.
  await times(2, "Control+ArrowLeft");
  await keys(page, "ArrowDown", "ArrowDown", "ArrowDown", "ArrowDown", "g");
  await times(7, "ArrowRight");
  await keys(page, "Control+ArrowUp", "ArrowUp", "ArrowUp", "ArrowUp", "ArrowUp", "e");
  await times(3, "Control+ArrowUp");
  await times(6, "ArrowUp");
  await keys(page, "e", "g", "o", "i");
  // The find asks what the part may have done.
  await keys(page, "Alt+k");
  await tabTo(page, "[data-testid=may-turn]");
  await keys(page, " ", "Alt+v", "l", "g", "w", "d", "g", "q", "t", "h");
  assert.equal((await learner.steps(page)).length, 18);

  await keys(page, "b", "Control+Enter");
  await page.locator("[data-testid=safety-read]:focus").waitFor();
  await keys(page, "Enter");
  await over(page, 1);
  await keys(page, "Alt+b", "Control+Enter");
  await over(page, 2);
  // The grips of the part stand before the torch, which still has the focus.
  await keys(page, "x", "Shift+Tab");
  await times(5, "ArrowUp");
  await keys(page, "Shift+Tab");
  await times(6, "ArrowRight");
  await times(4, "ArrowDown");
  await keys(page, "Alt+x", "Alt+j");
  await page.locator("[data-testid=answer-1]:focus").waitFor();
  await keys(page, "Enter", "7", "Control+Enter");
  await over(page, 3);
  await keys(page, "Alt+y", "Control+Enter");
  await over(page, 4);
  await wellDone(page);
  const { keys: presses, pointers } = await made(page);
  assert.equal(pointers, 0, "no pointer");
  assert.ok(presses <= MOST_KEYS, `${presses} presses of keys`);
  await close(page);
});

test("the main job takes at most 30 clicks and drags beside the one for the cautions, and nothing is typed", async () => {
  const page = await open();
  const click = (id) => byId(page, id).click();
  await click("start-slide-and-turn");
  /** Where on the window a place of the work frame is drawn. */
  const drawn = await (async () => {
    const seam = await byId(page, "seam-stroke").boundingBox();
    // The seam runs from (80, 160) to (360, 160).
    const mm = seam.width / 280;
    return (x, y) => [seam.x + (x - 80) * mm, seam.y + seam.height / 2 - (y - 160) * mm];
  })();
  const draw = async (from, to) => {
    await page.mouse.move(...drawn(...from));
    await page.mouse.down();
    await page.mouse.move(...drawn(...to), { steps: 4 });
    await page.mouse.up();
  };
  await click("add-home");
  await click("add-sensing-on");
  await draw([350, -16], [350, -2]);
  await draw([50, -16], [50, -2]);
  await page.mouse.click(...drawn(-40, -40));
  await click("add-go-to");
  await draw([-16, 35], [-2, 35]);
  await draw([-16, 215], [-2, 215]);
  await click("add-go-to");
  await click("add-sensing-off");
  await click("add-find");
  await click("may-turn");
  await click("add-follow");
  await click("add-go-to");
  await draw([80, 160], [360, 160]);
  await click("add-go-to");
  await click("add-stop-following");
  await click("add-trim");
  await click("add-home");
  assert.deepEqual(await learner.steps(page), [
    "Go to home", "Sensing on", "Feel +Y from south-1", "Feel +Y from south-2", "Go to clear-1", "Feel +X from west-1",
    "Feel +X from west-2", "Go to clear-2", "Sensing off", "Find part", "Follow part", "Go to approach", "Weld from weld-start",
    "Weld to weld-end", "Go to retreat", "Stop following", "Trim the wire", "Go to home",
  ]);
  await click("reference");
  await click("run");
  await click("safety-read");
  await over(page, 1);
  await click("reference");
  await click("run");
  await over(page, 2);
  await click("nudge-random");
  await click("answer-1");
  await click("sure-1");
  await click("run");
  await over(page, 3);
  await click("arc");
  await click("run");
  await over(page, 4);
  await wellDone(page);
  const { keys: presses, pointers, typed } = await made(page);
  assert.deepEqual([presses, typed], [0, 0], "no key, nothing filled in");
  assert.ok(pointers - CAUTIONS <= MOST_CLICKS_AND_DRAGS, `${pointers} clicks and drags, one of them for the cautions`);
  await close(page);
});
