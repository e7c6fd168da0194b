// How many presses, clicks and drags a visit takes, as the page itself sees them.

/** For `prepare`: counts in the page from its start on. */
export const counting = (page) =>
  page.addInitScript(() => {
    globalThis.made = { keys: 0, pointers: 0, typed: 0 };
    const modifiers = ["Shift", "Control", "Alt", "Meta"];
    addEventListener("keydown", (e) => { if (!modifiers.includes(e.key)) globalThis.made.keys += 1; }, true);
    addEventListener("pointerdown", () => { globalThis.made.pointers += 1; }, true);
    // Whatever fills a field in, by keys or without.
    addEventListener("input", (e) => { if (!["checkbox", "radio"].includes(e.target.type)) globalThis.made.typed += 1; }, true);
  });

/** What was made so far: presses of keys, presses of a pointer (a click or a drag each), changes of fields. */
export const made = (page) => page.evaluate(() => globalThis.made);
