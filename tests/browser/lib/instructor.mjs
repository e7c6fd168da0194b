// What an instructor does: by keys on the page that the class sees, or in a window of his own.
import assert from "node:assert/strict";
import { byId, started, unfold } from "./page.mjs";

/** The kinds of fault in the order of their letters: A is the first. */
export const KINDS = [
  "painted-edge", "tack-on-edge", "clamp-moved", "out-of-square", "wire-bent", "stick-out-changed",
  "work-lead-off", "spatter-bridge", "sensing-speed-changed", "part-slips-mid-run",
  "reference-on-moved-part", "wrong-part", "untrimmed-wire", "tip-worn", "rough-edge", "loose-upright", "worn-clamp",
];

/** Plants a fault in secret, by keys. */
export async function plant(page, kind) {
  const letter = "abcdefghijklmnopq"[KINDS.indexOf(kind)];
  assert.ok(letter, `a kind of fault: ${kind}`);
  await page.keyboard.press("Alt+f");
  await page.keyboard.press(letter);
}

/** Opens the instructor's window from the page of the class. */
export async function classWindow(page) {
  await unfold(page, "presenter");
  const [opened] = await Promise.all([
    page.context().waitForEvent("page"),
    byId(page, "open-class-window").click(),
  ]);
  await unfold(page, "presenter");
  await started(opened);
  return opened;
}

/** Waits until the instructor's window has found its page, or not. */
export const partner = (window, is) =>
  byId(window, "partner").and(window.locator(`[data-partner=${is}]`)).waitFor();

/** What is secret, as the instructor's window says it. */
export const secrets = (window) => byId(window, "secrets").locator("li").allTextContents();
