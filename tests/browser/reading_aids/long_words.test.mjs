// Texts half as long again, as another language may have them: nothing is cut off, nothing lies over
// anything else, nothing runs off the side; and every target is large enough for a finger.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { CASE } from "../lib/cases.mjs";
import { crowding, small, watchShift } from "../lib/layout.mjs";
import { reach } from "../lib/learner.mjs";
import { byId, close, PLACES, SIZES, start } from "../lib/page.mjs";
import { SESSION } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

const LONG = { "nudgeproof.setting.language": "long", [SESSION]: CASE };
const ENGLISH = { [SESSION]: CASE };

/** What a place can unfold, one after the other, and the name of each. */
const VIEWS = {
  bench: [
    ["routine", async () => {}],
    ["a step's editor", async (page) => {
      await reach(page, "step-2");
      await byId(page, "step-2").getByTestId("step-select").click();
    }],
    ["every step", async (page) => {
      await byId(page, "step-close").click();
      await byId(page, "more-steps").click();
    }],
    ["drawers", async (page) => {
      await byId(page, "more-steps").click();
      await reach(page, "bench-panel");
      await byId(page, "bench-panel").locator("summary").first().click();
    }],
    ["for the class", async (page) => {
      await byId(page, "bench-panel").locator("summary").first().click();
      await byId(page, "presenter").locator("summary").first().click();
    }],
    ["now", async (page) => {
      await byId(page, "presenter").locator("summary").first().click();
      await reach(page, "now");
    }],
    ["readings", (page) => byId(page, "tab-readings").click()],
    ["charts", (page) => byId(page, "tab-charts").click()],
  ],
};

for (const [size, box] of [["phone", SIZES.phone], ["desk", SIZES.desk], ["projector", SIZES.projector]]) {
  for (const place of PLACES) {
    test(`${place} on the ${size} has room for long texts and for fingers`, async () => {
      const found = [];
      for (const [language, storage] of [["long", LONG], ["english", ENGLISH]]) {
        const page = await site.open({ hash: place, size: box, storage });
        for (const [view, go] of VIEWS[place] ?? [["as it opens", async () => {}]]) {
          await go(page);
          const told = (what) => `${language}, ${view}: ${what}`;
          found.push(...(await crowding(page)).map(told), ...(await small(page)).map(told));
        }
        await close(page);
      }
      assert.deepEqual([...new Set(found)], []);
    });
  }
}

for (const place of PLACES) {
  test(`${place} stands still while it opens`, async () => {
    const page = await site.open({ hash: place, size: SIZES.phone, storage: ENGLISH });
    await watchShift(page);
    await page.reload();
    await byId(page, "main").waitFor();
    await page.waitForTimeout(500);
    const shift = await page.evaluate(() => globalThis.shifted);
    assert.ok(shift < 0.05, `cumulative layout shift ${shift}`);
    await close(page);
  });
}
