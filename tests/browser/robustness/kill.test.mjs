// The browser is killed while somebody works: at most the action under way is lost. `make kill-test` kills it 50
// times; with KILLS and SEED it is as often, and at the same moments.
import assert from "node:assert/strict";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, test } from "node:test";
import { open } from "../lib/killable.mjs";
import { byId, DIST, started } from "../lib/page.mjs";
import { serve } from "../lib/server.mjs";
import { database, sessionOf } from "../lib/storage.mjs";

const KILLS = Number(process.env.KILLS ?? 6);
const SEED = Number(process.env.SEED ?? 1);

const server = await serve(DIST);
const profile = await mkdtemp(join(tmpdir(), "nudgeproof-kill-"));
after(async () => {
  await server.close();
  await rm(profile, { recursive: true, force: true });
});

/** Numbers from 0 to 1 that are the same for a seed (mulberry32). */
function random(seed) {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}
const chance = random(SEED);
const pick = (list) => list[Math.floor(chance() * list.length)];

const same = (a, b) => a.length === b.length && a.every((text, n) => text === b[n]);

const CONTROLS = ["add-home", "add-sensing-on", "add-sensing-off", "add-feel", "nudge-random", "reference", "undo", "redo"];
/** Presses a control: what the page then takes to be stored. */
const press = (page, id) =>
  page.evaluate((id) => {
    document.querySelector(`[data-testid=${id}]`)?.click();
    return [...nudgeproofStore.records()];
  }, id);

test(`of ${KILLS} browsers killed at work none loses more than the action under way`, { timeout: 60_000 + KILLS * 30_000 }, async (t) => {
  let [done, lost] = [0, 0];
  let before = null; // what was there at the last kill: the states of the last visit
  for (let n = 0; n <= KILLS; n += 1) {
    const browser = await open(profile);
    const { page } = browser;
    await page.goto(`${server.url}#/bench`);
    await started(page);
    await byId(page, "bench").waitFor();
    const found = (await database(page)).records;
    if (before) {
      const last = before.length - 1;
      // The one under way may be stored or not: then one record follows on the newest state.
      const whole = same(found.slice(0, -1), before[last]);
      const state = whole ? last : before.findLastIndex((there) => same(there, found));
      assert.ok(state >= 0, `kill ${n}: what is stored was never so`);
      assert.ok(last - state <= 1, `kill ${n}: ${last - state} of ${last} actions are lost`);
      assert.equal(await byId(page, "notice").textContent(), "", `kill ${n}: nothing is amiss`);
      if (found.length > 0) assert.ok(JSON.parse(sessionOf(found)).actions.length >= 0);
      lost += last - state;
      done += last;
    }
    if (n === KILLS) {
      await browser.close();
      break;
    }
    before = [found];
    const until = Date.now() + 300 + chance() * 6000;
    let killed = null;
    const timer = setTimeout(() => { killed = browser.kill(); }, until - Date.now());
    try {
      while (!killed) {
        const now = await press(page, pick(CONTROLS));
        if (!same(now, before.at(-1))) before.push(now);
        await page.waitForTimeout(20 + chance() * 250);
      }
    } catch (error) {
      if (!killed) throw error;
    } finally {
      clearTimeout(timer);
    }
    await killed;
  }
  t.diagnostic(`${KILLS} kills, ${done} actions, ${lost} lost`);
});
