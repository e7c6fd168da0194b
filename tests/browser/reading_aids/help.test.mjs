// The help, and the keys that it names: each acts where the help says.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { CASE } from "../lib/cases.mjs";
import * as learner from "../lib/learner.mjs";
import { byId, close, keys, SIZES, start } from "../lib/page.mjs";
import { CAUTION_READ, SESSION } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

const WORKED = { [SESSION]: CASE, ...CAUTION_READ };

/** Every key that the help names: where it holds, as the help groups them, and how it is pressed. */
async function named(page) {
  await byId(page, "help").click();
  await byId(page, "gestures").waitFor();
  const all = await byId(page, "help-sheet").locator("kbd").evaluateAll((all) =>
    all.map((kbd) => ({ where: kbd.closest("[data-testid^=keys-]").dataset.testid, key: kbd.dataset.testid })));
  await byId(page, "help-close").click();
  return all;
}

/** All that a key can change: what is drawn and written, what has the focus, what is stored. */
const state = () => {
  const all = [...document.querySelectorAll("*")];
  const fields = [...document.querySelectorAll("input, select")].map((field) => field.value);
  const focus = all.indexOf(document.activeElement);
  return JSON.stringify([document.documentElement.outerHTML, fields, focus, nudgeproofStore.records()]);
};

/** Presses a key, or one after the other, and waits for what it changes; the coach, who also changes the page, is waited for first. */
async function acts(page, what, ...pressed) {
  await learner.coached(page);
  const before = await page.evaluate(state);
  await keys(page, ...pressed);
  for (let tries = 0; tries < 40; tries += 1) {
    if ((await page.evaluate(state)) !== before) return;
    await page.waitForTimeout(50);
  }
  assert.fail(`${what}: nothing changes`);
}

/** Takes hold of a grip and drags it a little, without letting go. */
async function drag(page, grip) {
  const box = await byId(page, grip).locator(".target").boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + 9, y - 6);
}

/** What has the focus where a group of keys holds, and what comes before some of its keys. */
const PLACES_OF_KEYS = {
  "keys-torch": { focus: ["torch"], first: { Home: (page) => keys(page, "ArrowUp") } },
  "keys-slide-grip": { focus: ["nudge-handle"], first: {} },
  "keys-turn-grip": { focus: ["turn-handle"], first: {} },
  "keys-drag": { focus: ["nudge-handle", "turn-handle", "torch"], first: { Escape: (page, id) => drag(page, id) } },
  "keys-snap": { focus: ["torch"], first: { Alt: (page, id) => drag(page, id), Control: (page, id) => drag(page, id) } },
  "keys-height": { focus: ["torch-height", "height-home"], first: {} },
  "keys-step": { step: true, first: {} },
  "keys-number": { focus: ["torch-x"], first: {} },
  // A touch in front of the part goes along X, one beside it along Y.
  "keys-own-touch": { place: "rehearse", focus: ["own-touch"], nth: (chord) => (/Left|Right/.test(chord) ? 0 : 2), first: {} },
  // What is planted shows nowhere: it is stored.
  "keys-sheet": { focus: ["torch", null], first: {}, then: { "Alt+F": "a" } },
  "keys-fault": { focus: [null], before: (page) => keys(page, "Alt+f"), first: {} },
  "keys-palette": { focus: ["torch", null], first: {} },
  "keys-shift": { place: "shift", first: {} },
  "keys-page": { focus: [null], first: { "Control+Y": (page) => keys(page, "Control+z"), "Control+Shift+Z": (page) => keys(page, "Control+z"), Escape: (page) => byId(page, "bench-panel").locator("summary").first().click(), Escape: (page) => byId(page, "bench-panel").locator("summary").first().click(), 1: (page) => keys(page, "Alt+z"), 7: predict } },
};

/** A prediction of a lesson, which asks how sure one is. */
async function predict(page) {
  await page.evaluate(() => { location.hash = "#/lessons"; });
  await byId(page, "start-what-follows").click();
  await byId(page, "answer-1").click();
  await byId(page, "sure-1").waitFor();
  await page.evaluate(() => document.activeElement?.blur());
}

test("the help names the keys of every place, and every key that it names acts there", async () => {
  const page = await site.open({ hash: "bench", storage: WORKED });
  const all = await named(page);
  assert.deepEqual([...new Set(all.map((k) => k.where))].sort(), Object.keys(PLACES_OF_KEYS).sort());
  await close(page);

  for (const [where, { place = "bench", focus = [null], nth = () => 0, step, before, first, then = {} }] of Object.entries(PLACES_OF_KEYS)) {
    const chords = all.filter((k) => k.where === where).map((k) => k.key);
    assert.ok(chords.length > 0, where);
    for (const id of focus) {
      const page = await site.open({ hash: place, storage: WORKED });
      if (where.endsWith("-grip")) {
        // A part that may be lifted and tilted.
        await byId(page, "bench-panel").locator("summary").first().click();
        await byId(page, "part-choice").selectOption("planter-tub");
      }
      for (const chord of chords) {
        if (step) await byId(page, "step-3").getByTestId("step-select").focus();
        else if (id) await byId(page, id).nth(nth(chord)).focus();
        else await page.evaluate(() => document.activeElement?.blur());
        await first[chord]?.(page, id);
        await before?.(page);
        // On the sheet a letter needs no Alt.
        const key = ["keys-sheet", "keys-palette"].includes(where) && id ? chord.replace("Alt+", "").toLowerCase() : chord;
        await acts(page, `${where}, ${id ?? ""}: ${key}`, key, ...(then[chord] ? [then[chord]] : []));
        await page.mouse.up();
        if (await byId(page, "help-sheet").isVisible()) await byId(page, "help-close").click();
      }
      await close(page);
    }
  }
});

test("buttons tell their keys, as the help does", async () => {
  const page = await site.open({ hash: "bench", storage: WORKED });
  const of = (id) => byId(page, id).evaluate((b) => [b.title, b.getAttribute("aria-keyshortcuts")]);
  assert.deepEqual(await of("undo"), ["Ctrl+Z", "Control+Z"]);
  assert.deepEqual(await of("redo"), ["Ctrl+Y", "Control+Y Control+Shift+Z"]);
  assert.deepEqual(await of("run"), ["Ctrl+Enter", "Control+Enter"]);
  assert.deepEqual(await of("projector"), ["Alt+P", "Alt+P"]);
  assert.deepEqual(await of("help"), ["?", "?"]);
  assert.deepEqual(await of("reveal"), ["Alt+R", "Alt+R"]);
  await close(page);
});

test("the key of the help belongs to the text in a text field, and can be turned off", async () => {
  const page = await site.open({ hash: "bench", storage: WORKED });
  await byId(page, "torch-x").focus();
  await keys(page, "?");
  assert.equal(await byId(page, "help-sheet").isVisible(), false);
  await byId(page, "help").click();
  assert.equal(await byId(page, "help-sheet").evaluate((dialog) => dialog.scrollTop), 0, "open at its top");
  await byId(page, "help-key").click();
  await byId(page, "help-close").click();
  assert.equal(await page.evaluate(() => document.activeElement.dataset.testid), "help", "the focus is back");
  await keys(page, "?");
  assert.equal(await byId(page, "help-sheet").isVisible(), false, "off");
  await page.reload();
  await byId(page, "help").focus();
  await keys(page, "?");
  assert.equal(await byId(page, "help-sheet").isVisible(), false, "and still off");
  await close(page);
});

test("the key opens the help where the bar is folded or left out, and Escape closes it", async () => {
  for (const [size, before] of [[SIZES.projector, "Alt+p"], [SIZES.phone, "Tab"]]) {
    const page = await site.open({ hash: "bench", storage: WORKED, size });
    await keys(page, before, "?");
    await byId(page, "gestures").waitFor();
    assert.ok(await byId(page, "help-close").isVisible(), before);
    await keys(page, "Escape");
    await byId(page, "help-sheet").waitFor({ state: "hidden" });
    await byId(page, "torch").focus();
    await close(page);
  }
});

test("Escape closes the drawer that is open, then the detail", async () => {
  const page = await site.open({ hash: "bench", storage: WORKED });
  await byId(page, "detail-start").click();
  await byId(page, "bench-panel").locator("summary").first().click();
  await keys(page, "Escape");
  assert.equal(await byId(page, "bench-panel").getAttribute("open"), null);
  assert.equal(await byId(page, "detail-start").getAttribute("aria-pressed"), "true", "one after the other");
  await keys(page, "Escape");
  assert.equal(await byId(page, "detail-start").getAttribute("aria-pressed"), "false");
  await close(page);
});
