// No start can be bricked: what is stored and stops the program from starting can be put out of its way.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { violations } from "../lib/axe.mjs";
import { CASE } from "../lib/cases.mjs";
import { byId, close, savedFile, start, started } from "../lib/page.mjs";
import { SESSION, STARTING, stored } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

const LESSONS = "nudgeproof.setting.lessons";
const actions = (text) => JSON.parse(text).actions;
const shown = (page) => page.locator("#panic").waitFor();
const title = (page) => page.locator("#panic-title").textContent();
const ended = (page) => page.waitForFunction((key) => localStorage.getItem(key) === null, STARTING);

/** Opens a page whose program traps while it starts, if `bad` says so of what is stored. */
const trapping = (bad, storage) =>
  site.open({
    storage,
    wait: false,
    prepare: (page) => page.addInitScript(`{
      const load = WebAssembly.instantiateStreaming;
      WebAssembly.instantiateStreaming = async (...given) => {
        if ((${bad})()) throw new WebAssembly.RuntimeError("unreachable");
        return load.apply(WebAssembly, given);
      };
    }`),
  });

test("a start that ends leaves no mark, and neither does who leaves early", async () => {
  const page = await site.open({ storage: { [SESSION]: CASE } });
  await ended(page);
  await page.reload({ waitUntil: "commit" });
  // By the page itself: so soon, the driver's own reload may find no page yet.
  const loaded = page.waitForNavigation({ waitUntil: "load" });
  await page.evaluate(() => location.reload());
  await loaded;
  await started(page);
  await close(page);
});

test("a start that finds the mark of the last one asks first, and can be tried again", async () => {
  const page = await site.open({ wait: false, storage: { [SESSION]: CASE, [STARTING]: "0 0" } });
  await shown(page);
  assert.equal(await title(page), "The last start did not end.");
  assert.ok(await page.locator("#panic-stored").isVisible(), "and says what may be the cause");
  assert.deepEqual(await violations(page), []);
  const work = await savedFile(page, page.locator("#panic-download"));
  assert.equal(work.text, CASE, "the work can be had as a file");
  await page.locator("#panic-reload").click();
  await started(page);
  await ended(page);
  assert.equal(await stored(page, SESSION), CASE, "nothing was lost");
  // While it asks, the program that Trunk's link has loaded waits for the answer.
  await close(page, { expected: [/_bg\.wasm was preloaded using link preload but not used/] });
});

test("another window that is starting at this moment is no failed start", async () => {
  const page = await site.open({ storage: { [SESSION]: CASE, [STARTING]: `1 ${Date.now() + 1000}` } });
  assert.ok(await page.locator("#panic").isHidden());
  await close(page);
});

test("work that breaks each start goes back by one action", async () => {
  const bad = `() => nudgeproofStore.records().length === 1`;
  const page = await trapping(bad, { [SESSION]: CASE });
  await shown(page);
  assert.equal(await title(page), "Something broke.");
  await page.locator("#panic-reload").click();
  await page.getByText("The last start did not end.").waitFor();
  await page.locator("#panic-back").click();
  await started(page);
  await ended(page);
  assert.deepEqual(actions(await stored(page, SESSION)), actions(CASE).slice(0, -1));
  await close(page);
});

test("a lesson of one's own that breaks each start is put aside with the work", async () => {
  const lessons = JSON.stringify(["name = 'bad'"]);
  const page = await trapping(`() => nudgeproofStore.get("setting.lessons") !== null`, { [SESSION]: CASE, [LESSONS]: lessons });
  await shown(page);
  await page.locator("#panic-all-aside").click();
  await started(page);
  await ended(page);
  assert.equal(await stored(page, `${LESSONS}.aside`), lessons);
  assert.equal(await stored(page, `${SESSION}.aside`), CASE);
  await close(page);
});

test("whatever else is stored and breaks each start is put aside as well", async () => {
  const key = "nudgeproof.setting.records";
  const page = await trapping(`() => nudgeproofStore.get("setting.records") !== null`, { [key]: "{}" });
  await shown(page);
  await page.locator("#panic-all-aside").click();
  await started(page);
  assert.equal(await stored(page, `${key}.aside`), "{}");
  await close(page);
});

test("a record that was put aside comes back by a press", async () => {
  const key = "nudgeproof.setting.records";
  const attempt = { day: 20_000, lesson: "heights", seed: 7, score: 88, attempt: { part: "stand-foot", landed: true, faults: false, findings: [], aided: [] } };
  const record = JSON.stringify({ format: "nudgeproof-records", format_version: 1, records: [attempt] });
  const page = await site.open({ hash: "record", storage: { [`${key}.aside`]: record } });
  await byId(page, "no-records").waitFor();
  await byId(page, "bring-back-records").click();
  await byId(page, "records").waitFor();
  await byId(page, "bring-back-records").waitFor({ state: "detached" });
  assert.equal(await stored(page, `${key}.aside`), null);
  assert.equal(JSON.parse(await stored(page, key)).records[0].score, 88);
  await close(page);
});
