// What a learner does who has a keyboard and nothing else.
import assert from "node:assert/strict";
import { reach } from "./learner.mjs";
import { byId, keys, tabTo } from "./page.mjs";

/** Tabs on to an element. */
export const goTo = (page, id) => tabTo(page, `[data-testid="${id}"]`, 400);

/** Tabs on to a button and presses it. */
export async function press(page, id) {
  await reach(page, id, press);
  await goTo(page, id);
  await keys(page, "Enter");
}

/** Tabs on to a field and types into it. */
export async function type(page, id, value) {
  await goTo(page, id);
  await keys(page, "Control+a");
  await page.keyboard.type(String(value));
  await keys(page, "Enter");
}

/** Brings the torch somewhere by its coordinates, work frame, mm. */
export async function torchTo(page, x, y, z) {
  await type(page, "torch-x", x);
  await type(page, "torch-y", y);
  await type(page, "torch-z", z);
}

/** Turns the reference flag on or off. */
export async function flag(page, on) {
  const state = () => byId(page, "reference").getAttribute("aria-checked");
  if ((await state()) !== String(on)) await press(page, "reference");
  assert.equal(await state(), String(on), "reference flag");
}
