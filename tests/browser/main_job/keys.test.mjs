// The whole job with the keyboard alone: no pointer is used anywhere in this file.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { LESSON_SEED } from "../lib/cases.mjs";
import { flag, goTo, press, torchTo, type } from "../lib/keyboard.mjs";
import * as learner from "../lib/learner.mjs";
import { byId, close, keys, start } from "../lib/page.mjs";

const site = await start();
after(site.stop);

test("torch and part move by the arrow keys, finely with Shift", async () => {
  const page = await site.open({ hash: "bench" });
  const at = () => Promise.all(["torch-x", "torch-y", "torch-z"].map((id) => byId(page, id).inputValue()));
  await goTo(page, "torch");
  await keys(page, "Home");
  assert.deepEqual(await at(), ["−160.0", "−180.0", "200.0"], "at rest");
  await keys(page, "ArrowRight", "ArrowUp", "PageDown", "Shift+ArrowLeft");
  assert.deepEqual(await at(), ["−156.0", "−175.0", "195.0"], "5, 5, −5 and back 1");
  await goTo(page, "nudge-handle");
  await keys(page, "ArrowRight", "ArrowRight", "Shift+ArrowDown");
  await goTo(page, "turn-handle");
  await keys(page, "ArrowUp", "Shift+ArrowUp");
  assert.equal(await byId(page, "turn-handle").getAttribute("aria-valuenow"), "0.6", "0.5° and 0.1°");
  await keys(page, "Control+z", "Control+z", "Control+z", "Control+z", "Control+z");
  assert.equal(await byId(page, "nudge-x").inputValue(), "0.0", "undo brings it back to its place");
  await close(page);
});

test("a step moves up and down the list by keys, and keeps the focus", async () => {
  const page = await site.open({ hash: "bench" });
  for (const kind of ["home", "sensing-on", "sensing-off", "go-to"]) await press(page, `add-${kind}`);
  const before = await learner.steps(page);
  assert.equal(before.length, 4);
  const focused = () => page.evaluate(() => document.activeElement.querySelector(".words")?.textContent);
  await byId(page, "step-2").getByTestId("step-select").focus();
  const moves = [["Alt+ArrowDown", [0, 2, 1, 3]], ["Alt+ArrowDown", [0, 2, 3, 1]], ["Alt+ArrowUp", [0, 2, 1, 3]], ["Alt+ArrowUp", [0, 1, 2, 3]]];
  for (const [key, order] of moves) {
    await keys(page, key);
    assert.deepEqual(await learner.steps(page), order.map((i) => before[i]), key);
    assert.equal(await focused(), before[1], `${key}: the focus goes along`);
  }
  await keys(page, "ArrowDown");
  assert.equal(await focused(), before[2], "without Alt the focus goes on");
  await keys(page, "Delete");
  assert.deepEqual(await learner.steps(page), [0, 1, 3].map((i) => before[i]));
  await close(page);
});

test("a moved step keeps the focus, whatever moves it", async () => {
  const page = await site.open({ hash: "bench" });
  for (const kind of ["home", "go-to", "weld-from"]) await press(page, `add-${kind}`);
  const before = await learner.steps(page);
  const focused = () => page.evaluate(() => document.activeElement.dataset.testid);
  await byId(page, "step-3").getByTestId("step-select").focus();
  await keys(page, "Enter");
  await goTo(page, "step-up");
  await keys(page, "Enter");
  assert.deepEqual(await learner.steps(page), [0, 2, 1].map((i) => before[i]), "up by its button");
  assert.equal(await focused(), "step-up", "the button still has the focus");
  await keys(page, "Control+z");
  assert.deepEqual(await learner.steps(page), before, "undo takes it back");
  assert.equal(await focused(), "step-up", "and leaves the focus");
  await keys(page, "Control+y");
  await byId(page, "step-2").getByTestId("step-select").focus();
  await keys(page, "Alt+ArrowUp", "ArrowDown", "ArrowDown", "ArrowDown", "ArrowUp");
  assert.equal(await page.evaluate(() => document.activeElement.closest("li").dataset.testid), "step-2");
  await close(page);
});

test("where a step is deleted or its fields are closed, the focus stays in the list", async () => {
  const page = await site.open({ hash: "bench" });
  for (const kind of ["home", "sensing-on", "sensing-off", "go-to"]) await press(page, `add-${kind}`);
  const [home, on, off, move] = await learner.steps(page);
  const focused = () => page.evaluate(() => document.activeElement.querySelector(".words")?.textContent);
  const focus = (n) => byId(page, `step-${n}`).getByTestId("step-select").focus();
  await focus(2);
  await keys(page, "Delete");
  assert.deepEqual(await learner.steps(page), [home, off, move]);
  assert.equal(await focused(), off, "the step in its place");
  await focus(3);
  await keys(page, "Enter");
  await byId(page, "step-delete").focus();
  await keys(page, "Enter");
  assert.deepEqual(await learner.steps(page), [home, off]);
  assert.equal(await focused(), off, "the last one");
  for (const shut of [
    () => keys(page, "Escape"),
    async () => { await byId(page, "step-close").focus(); await keys(page, "Enter"); },
  ]) {
    await keys(page, "Enter");
    await byId(page, "step-kind").focus();
    await shut();
    await byId(page, "step-editor").waitFor({ state: "detached" });
    assert.equal(await focused(), off, "the step whose fields were closed");
  }
  await keys(page, "Control+z", "Control+z");
  assert.deepEqual(await learner.steps(page), [home, on, off, move]);
  await close(page);
});

test("the keys of the palette add steps from the torch, and those of the switches turn them", async () => {
  const page = await site.open({ hash: "bench" });
  await goTo(page, "torch");
  // On the sheet by themselves, and with Alt anywhere.
  await keys(page, "h", "s", "e", "ArrowUp", "g", "o", "i", "l", "w", "u", "d", "q", "t");
  await byId(page, "undo").focus();
  await keys(page, "Alt+h");
  assert.deepEqual(await learner.steps(page), [
    "Go to home", "Sensing on", "Feel +Y from south-1", "Go to clear-1", "Sensing off", "Find part", "Follow part",
    "Weld from weld-start", "Weld through weld-through", "Weld to weld-end", "Stop following", "Trim the wire", "Go to home",
  ]);
  const state = (id) => byId(page, id).getAttribute("aria-checked");
  await keys(page, "Alt+b", "Alt+x");
  assert.deepEqual([await state("reference"), await state("cell")], ["true", "true"], "the flag is on, the cell locked out");
  assert.equal(await byId(page, "run").getAttribute("aria-disabled"), "true");
  await byId(page, "run").focus();
  await keys(page, "Enter");
  await goTo(page, "safety-read");
  await keys(page, "Enter");
  assert.match(await byId(page, "notice").textContent(), /locked out/, "nothing runs");
  await keys(page, "Alt+b", "Alt+x");
  assert.deepEqual([await state("reference"), await state("cell")], ["false", "false"]);
  assert.equal(await byId(page, "run").getAttribute("aria-disabled"), null);
  await close(page);
});

test("undo and redo in a field are the field's own, and not the session's", async () => {
  const page = await site.open({ hash: "bench" });
  for (const kind of ["home", "go-to"]) await press(page, `add-${kind}`);
  const before = await learner.steps(page);
  await goTo(page, "step-select");
  await keys(page, "Enter");
  for (const field of ["point-name", "point-x", "torch-x", "nudge-turn"]) {
    await goTo(page, field);
    const was = await byId(page, field).inputValue();
    await page.keyboard.type("7");
    await keys(page, "Control+z", "Control+Shift+z", "Control+z");
    assert.equal(await byId(page, field).inputValue(), was, `${field}: what was typed is gone`);
    assert.deepEqual(await learner.steps(page), before, `${field}: the session is as it was`);
  }
  // A list of choices has no undo of its own.
  await goTo(page, "step-kind");
  await keys(page, "ArrowDown");
  assert.equal(await byId(page, "step-kind").inputValue(), "sensing-on");
  await keys(page, "Control+z");
  assert.equal(await byId(page, "step-kind").inputValue(), "move", "the list follows the session");
  assert.deepEqual(await learner.steps(page), before);
  await close(page);
});

test("the main job, from the first lesson to the weld on the nudged part", async () => {
  const page = await site.open({ seed: LESSON_SEED });
  await press(page, "start-slide-and-turn");
  await byId(page, "sheet").waitFor();
  await learner.teachRoutine(page, torchTo, press);

  // The first step by Tab, the find by the arrow key; Enter opens it.
  await goTo(page, "step-select");
  const find = await learner.stepNumber(page, "Find ");
  await keys(page, ...Array(find - 1).fill("ArrowDown"), "Enter");
  await goTo(page, "may-turn");
  await keys(page, " ");
  assert.equal(await byId(page, "find-told").textContent(), "3 unknowns · 4 touches · 1 to spare");

  await flag(page, true);
  await press(page, "run");
  await goTo(page, "safety-read");
  await keys(page, "Enter");
  await flag(page, false);
  await press(page, "run");
  await press(page, "cell");
  await type(page, "nudge-x", 6);
  await type(page, "nudge-y", -4);
  await type(page, "nudge-turn", 2.5);
  await press(page, "cell");
  await press(page, "answer-1");
  await press(page, "sure-1");
  await press(page, "run");
  await press(page, "arc");
  await press(page, "run");
  // Without motion its end is shown in the next frame.
  await page.locator("[data-testid=verdict]:not([data-verdict=running])").waitFor();
  assert.equal(await learner.verdict(page), "on-seam");
  assert.deepEqual(await learner.findings(page), []);
  assert.equal(await learner.number(page, "lesson-score"), 100);
  assert.match(await byId(page, "notice").textContent(), /on the seam/, "and it is announced");
  await close(page);
});
