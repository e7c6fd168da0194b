// The browser is killed while somebody works: at most the action under way is lost. `make kill-test` kills it 50
// times; with KILLS and SEED it is as often, and at the same moments.
import assert from "node:assert/strict";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, test } from "node:test";
import { open } from "../lib/killable.mjs";
import * as learner from "../lib/learner.mjs";
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

/** How many steps the routine has in a session. */
const steps = (records) =>
  records.length === 0 ? 0 : JSON.parse(sessionOf(records)).actions.filter(({ action }) => action === "add_step").length;

const CONTROLS = [
  "add-home", "add-sensing-on", "add-sensing-off", "add-feel", "nudge-random", "reference", "undo", "redo", "units-in", "units-mm",
];
/** Presses a control: what the page then takes to be stored. */
const press = (page, id) =>
  page.evaluate((id) => {
    document.querySelector(`[data-testid=${id}]`)?.click();
    return { records: [...nudgeproofStore.records()], units: nudgeproofStore.get("setting.units") ?? undefined };
  }, id);

const same = (a, b) => a.records.join("\n") === b.records.join("\n") && a.units === b.units;
/** Whether one change leads from `a` to `b`. */
const follows = (a, b) =>
  a.units === b.units ? same({ ...b, records: b.records.slice(0, -1) }, a) : same({ ...b, units: a.units }, a);

test(`of ${KILLS} browsers killed at work none loses more than the action under way`, { timeout: 60_000 + KILLS * 30_000 }, async (t) => {
  let [done, lost] = [0, 0];
  let states = null; // what was stored in the last visit, after each action, as the page took it
  for (let n = 0; n <= KILLS; n += 1) {
    const browser = await open(profile);
    const { page } = browser;
    await page.goto(`${server.url}#/bench`);
    await started(page);
    await byId(page, "bench").waitFor();
    const { records, kept } = await database(page);
    const found = { records, units: kept["setting.units"] };
    if (states) {
      const last = states.length - 1;
      // The one under way may be stored or not.
      const at = follows(states[last], found) ? last : states.findLastIndex((state) => same(state, found));
      assert.ok(at >= 0, `kill ${n}: what is stored was never so`);
      assert.ok(last - at <= 1, `kill ${n}: ${last - at} of ${last} actions are lost`);
      assert.equal(await byId(page, "notice").textContent(), "", `kill ${n}: all of it can be read`);
      assert.equal((await learner.steps(page)).length, steps(records), `kill ${n}: and is on the page`);
      lost += last - at;
      done += last;
    }
    if (n === KILLS) {
      await browser.close();
      break;
    }
    states = [found];
    let killed = null;
    const timer = setTimeout(() => { killed = browser.kill(); }, 300 + chance() * 6000);
    try {
      while (!killed) {
        const now = await press(page, pick(CONTROLS));
        if (!same(now, states.at(-1))) states.push(now);
        await page.waitForTimeout(20 + chance() * 250);
      }
    } catch (error) {
      if (!killed) throw error; // else it was in the middle of something
    } finally {
      clearTimeout(timer);
    }
    await killed;
  }
  assert.ok(done > 2 * KILLS, `only ${done} actions`);
  t.diagnostic(`${KILLS} kills, ${done} actions, ${lost} lost`);
});
