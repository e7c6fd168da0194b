// A long session: each press is stored at once, and costs no more than in a short one.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { CASE } from "../lib/cases.mjs";
import * as learner from "../lib/learner.mjs";
import { byId, close, keys, start } from "../lib/page.mjs";
import { SESSION, stored } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

/** A session file of this many actions: the torch moved about, then the main job. */
function long(actions) {
  const session = JSON.parse(CASE);
  const more = actions - session.actions.length;
  const moves = Array.from({ length: more }, (_, i) => ({ action: "move_torch", to: [i % 50, 0, 300] }));
  return JSON.stringify({ ...session, actions: [...moves, ...session.actions] });
}

const count = async (page) => JSON.parse(await stored(page, SESSION)).actions.length;

/** Characters that the browser is given to store with a press. */
async function cost(page) {
  await page.evaluate(() => {
    globalThis.given = 0;
    for (const method of ["add", "put"]) {
      const { [method]: whole } = IDBObjectStore.prototype;
      IDBObjectStore.prototype[method] = function (text, name) {
        globalThis.given += text.length;
        return whole.call(this, text, name);
      };
    }
  });
  await learner.add(page, "home");
  await page.waitForFunction(() => globalThis.given > 0);
  return page.evaluate(() => globalThis.given);
}

test("a press in a long session is stored at once, and costs what it costs in a short one", async () => {
  const costs = [];
  for (const actions of [100, 2000]) {
    const page = await site.open({ hash: "bench", storage: { [SESSION]: long(actions) } });
    costs.push(await cost(page));
    assert.equal(await count(page), actions + 1);
    await close(page);
  }
  assert.ok(Math.abs(costs[0] - costs[1]) <= 4, `${costs} characters`);
});

test("a tab that is closed at once loses nothing of a long session", async () => {
  const page = await site.open({ hash: "bench", storage: { [SESSION]: long(2000) } });
  await page.evaluate(() => {
    document.querySelector("[data-testid=add-home]").click();
    location.reload();
  });
  await page.waitForFunction(() => document.querySelectorAll("[data-testid=step-list] .words").length === 19);
  await keys(page, "Control+z");
  assert.equal((await learner.steps(page)).length, 18, "and it can be undone");
  await close(page);
});
