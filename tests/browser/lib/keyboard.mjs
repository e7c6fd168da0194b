// What a learner does who has a keyboard and nothing else.
import { keys, tabTo } from "./page.mjs";

/** Tabs on to an element. */
export const goTo = (page, id) => tabTo(page, `[data-testid="${id}"]`, 400);

/** Tabs on to a button and presses it. */
export async function press(page, id) {
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
