// A long session: stored when the learner pauses or leaves, and not at each press; nothing is lost.
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

test("ten presses in a long session are stored once, after a pause", async () => {
  const page = await site.open({ hash: "bench", storage: { [SESSION]: long(2000) } });
  const writes = await page.evaluate((key) => {
    globalThis.writes = 0;
    const { setItem } = Storage.prototype;
    Storage.prototype.setItem = function (asked, text) {
      if (asked === key) globalThis.writes += 1;
      return setItem.call(this, asked, text);
    };
    // All in one go: no pause can come in between.
    for (let i = 0; i < 10; i += 1) document.querySelector("[data-testid=add-home]").click();
    return globalThis.writes;
  }, SESSION);
  assert.equal(writes, 0, "while the learner is at work");
  await page.waitForFunction(() => globalThis.writes > 0);
  assert.equal(await page.evaluate(() => globalThis.writes), 1);
  assert.equal((await learner.steps(page)).length, 28);
  assert.ok((await count(page)) >= 2010);
  await close(page);
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

test("a short session is stored with each press", async () => {
  const page = await site.open({ hash: "bench", storage: { [SESSION]: long(100) } });
  await learner.add(page, "home");
  assert.ok((await count(page)) > 100);
  await close(page);
});
