// What a learner does at the bench, by clicks and keys, and what they read off the page.
import assert from "node:assert/strict";
import { byId } from "./page.mjs";

const click = (page, id) => byId(page, id).click();

/**
 * Brings a control into view that stands behind another: the pane of a phone that has it, or all the
 * steps that can be added.
 */
export async function reach(page, id, press = click) {
  const element = byId(page, id).first();
  await element.waitFor({ state: "attached" });
  if (await element.isVisible()) return;
  const pane = await element.evaluate((e) =>
    Object.entries({ steps: ".routine", more: ".more-pane", now: ".now-card" }).find(([, s]) => e.closest(s))?.[0]);
  if (pane && (await byId(page, `pane-${pane}`).isVisible())) await press(page, `pane-${pane}`);
  if (/^(add|aim)-/.test(id) && !(await element.isVisible())) await press(page, "more-steps");
}

/** Types into a field and leaves it with Enter. */
export async function type(page, id, value) {
  await reach(page, id);
  const field = byId(page, id);
  await field.fill(String(value));
  await field.press("Enter");
}

/** Brings the torch somewhere by its coordinates. */
export async function torchTo(page, x, y, z) {
  await type(page, "torch-x", x);
  await type(page, "torch-y", y);
  await type(page, "torch-z", z);
}

/** Drags the torch over the plan by this many pixels. */
export async function dragTorch(page, dx, dy) {
  const box = await byId(page, "torch").locator(".target").boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + dx / 2, y + dy / 2);
  await page.mouse.move(x + dx, y + dy);
  await page.mouse.up();
}

/** Teaches one point, home, and the step that goes there. */
export async function teachHome(page) {
  await torchTo(page, -120, -120, 120);
  await add(page, "home");
}

/** Presses a button of the palette. */
export async function add(page, piece) {
  await reach(page, `add-${piece}`);
  await click(page, `add-${piece}`);
}

/** Opens or closes the editor of the step at this place, from 1. */
export const openStep = (page, n) => byId(page, `step-${n}`).getByTestId("step-select").click();

/** The steps as they stand in the list. */
export const steps = (page) => byId(page, "step-list").locator(".words").allTextContents();

/** Runs the routine to the end of this run; the safety caution is read where it comes up. */
export async function run(page, press = click) {
  const before = await byId(page, "title-run").textContent();
  await press(page, "run");
  if (await byId(page, "safety-read").isVisible()) await press(page, "safety-read");
  await page.waitForFunction((was) => {
    const { verdict } = document.querySelector("[data-testid=verdict]")?.dataset ?? {};
    const now = document.querySelector("[data-testid=title-run]")?.textContent;
    return now !== was && verdict && !["none", "running"].includes(verdict);
  }, before);
}

/** Turns the reference flag on or off. */
export async function flag(page, on) {
  const flag = byId(page, "reference");
  if ((await flag.getAttribute("aria-checked")) !== String(on)) await flag.click();
  assert.equal(await flag.getAttribute("aria-checked"), String(on), "reference flag");
}

/** Lets hands into the cell: it is locked out before, and ready after. */
export async function byHand(page, hands) {
  const cell = byId(page, "cell");
  const lockOut = async (out) => {
    if ((await cell.getAttribute("aria-checked")) !== String(out)) await cell.click();
  };
  await lockOut(true);
  await hands();
  await lockOut(false);
}

/** Moves the part by typing its shift (mm) and its turn (degrees), with the cell locked out. */
export const nudge = (page, dx, dy, turn) =>
  byHand(page, async () => {
    await type(page, "nudge-x", dx);
    await type(page, "nudge-y", dy);
    await type(page, "nudge-turn", turn);
  });

/** Fails unless a value is within a distance of the one worked out by hand. */
export const near = (value, byHand, within, what) =>
  assert.ok(Math.abs(value - byHand) <= within, `${what}: ${value}, and by hand ${byHand}`);

/** The number an element carries for reading. */
export async function number(page, id) {
  await coached(page);
  const value = await byId(page, id).getAttribute("data-value");
  assert.ok(value !== null, `${id} carries a number`);
  return Number(value);
}

/** Seam miss at both ends, mm, and what is allowed. */
export const misses = async (page) => [
  await number(page, "seam-miss-start"),
  await number(page, "seam-miss-end"),
];

export const verdict = (page) => byId(page, "verdict").getAttribute("data-verdict");

/** The coach has looked at the session as it is: it begins a moment after the last action. */
export const coached = (page) =>
  page.waitForFunction(() => !document.querySelector("[data-testid=coach][aria-busy=true]"));

/** The coach's findings: rule, cost in mm (NaN where there is none), what it says. */
export async function findings(page) {
  await coached(page);
  return byId(page, "coach").locator("details.finding").evaluateAll((cards) =>
    cards.map((card) => ({
      rule: card.dataset.testid.replace("finding-", ""),
      cost: Number.parseFloat(card.dataset.costMm ?? "NaN"),
      says: card.querySelector(".message").textContent,
    })),
  );
}

/**
 * Teaches the whole routine for the part of the lesson, each step where it belongs. By mouse and fields,
 * unless the caller brings the torch and presses buttons in another way.
 */
export async function teachRoutine(page, torch = torchTo, press = click) {
  const at = async (place, ...pieces) => {
    await torch(page, ...place);
    for (const piece of pieces) {
      await reach(page, `add-${piece}`, press);
      await press(page, `add-${piece}`);
    }
  };
  await at([-120, -120, 120], "home", "sensing-on");
  await at([350, -16, 5], "feel");
  await at([50, -16, 5], "feel");
  await at([-40, -40, 60], "go-to");
  await at([-16, 35, 5], "feel");
  await at([-16, 215, 5], "feel");
  await at([-60, 215, 80], "go-to", "sensing-off", "find", "follow");
  await at([80, 140, 60], "go-to");
  await at([80, 160, 12], "weld-from");
  await at([360, 160, 12], "weld-to");
  await at([360, 140, 60], "go-to", "stop-following", "trim", "home");
}

/** Place in the list, from 1, of the first step whose sentence begins like this, or of the last one. */
export async function stepNumber(page, begins, which = "first") {
  const fits = (says) => says.startsWith(begins);
  const all = await steps(page);
  const number = (which === "last" ? all.findLastIndex(fits) : all.findIndex(fits)) + 1;
  assert.ok(number > 0, `a step that begins with ${begins}`);
  return number;
}

/** The six boxes of a find. */
const BOXES = ["x", "y", "height", "turn", "tilt-x", "tilt-y"];

/** Ticks these boxes of the first find, and no other. */
export async function freedoms(page, ...ticked) {
  const find = await stepNumber(page, "Find ");
  await openStep(page, find);
  for (const box of BOXES) await byId(page, `may-${box}`).setChecked(ticked.includes(box));
  await openStep(page, find);
}

/** Reference run, then proof run, on the part in its place. */
export async function referenceAndProof(page) {
  await flag(page, true);
  await run(page);
  await flag(page, false);
  await run(page);
}
