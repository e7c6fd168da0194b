// No two words on the sheet lie over each other: at rest, while a routine is built, at each moment of a run,
// and after a miss.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { CASE, session } from "../lib/cases.mjs";
import { collisions } from "../lib/layout.mjs";
import * as learner from "../lib/learner.mjs";
import { byId, close, SIZES, start } from "../lib/page.mjs";
import { CAUTION_READ, SESSION } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

/** As taught, before its first run. */
const BUILT = (() => {
  const it = JSON.parse(CASE);
  it.actions = it.actions.slice(0, it.actions.findIndex((a) => a.action === "set_reference"));
  return JSON.stringify(it);
})();

const WORKS = { rest: undefined, built: BUILT, run: CASE, miss: session("reference-retaken") };

for (const [size, view] of Object.entries(SIZES)) {
  for (const [moment, work] of Object.entries(WORKS)) {
    test(`${size}, ${moment}: no two words lie over each other`, async () => {
      const page = await site.open({ hash: "bench", size: view, storage: { ...CAUTION_READ, ...(work && { [SESSION]: work }) } });
      if (size === "projector") await page.keyboard.press("Alt+p");
      const found = [];
      const look = async (when) => {
        for (const line of await collisions(page)) found.push(`${when}: ${line}`);
      };
      await look("as it is opened");
      if (moment === "run") {
        for (let n = 1; n <= 14; n += 1) {
          await byId(page, "moment-back").evaluate((button) => button.click());
          await look(`${n} moments before its end`);
        }
      }
      if (moment === "built" && size !== "projector") {
        await learner.torchTo(page, 416, 120, 5);
        await look("with the torch in hand");
      }
      assert.deepEqual(found, []);
      await close(page);
    });
  }
}
