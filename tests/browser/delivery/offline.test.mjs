// The folder for a web server, with the headers that its settings send: without a network, and from one version
// to the next while work is open.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { CASE } from "../lib/cases.mjs";
import * as learner from "../lib/learner.mjs";
import { integrity, PACKED, serverHeaders, text } from "../lib/packed.mjs";
import { byId, close, start, started } from "../lib/page.mjs";
import { CAUTION_READ, SESSION, stored } from "../lib/storage.mjs";

/** The next version of the folder: another title, and the service worker that goes with it. */
const page2 = Buffer.from(text("site/index.html").replace("<title>Nudgeproof", "<title>Nudgeproof 2"));
const worker2 = text("site/sw.js")
  .replace(/^const VERSION = "/, '$&2-')
  .replace(/"\.\/":"[^"]+"/, `"./":"${integrity(page2)}"`);

/** Which version of which file the server hands out. */
let now = {};
const site = await start({
  folder: `${PACKED}site/`,
  headers: serverHeaders(),
  change: (path, body) => now[path] ?? body,
});
after(site.stop);

/** A visitor whose browser has kept the page. */
async function kept(options) {
  now = {};
  const page = await site.open({ watched: false, ...options });
  await page.evaluate(() => navigator.serviceWorker.ready);
  await page.reload();
  await started(page);
  assert.ok(await page.evaluate(() => navigator.serviceWorker.controller !== null), "handed out by its service worker");
  return page;
}

const title = (page) => page.title();
const update = (page) =>
  page.evaluate(() => navigator.serviceWorker.ready.then((registration) => registration.update()).then(() => {}, String));

test("after the first visit the page needs no network", async () => {
  const page = await kept({ hash: "record", storage: { [SESSION]: CASE, ...CAUTION_READ } });
  const requests = [];
  page.on("request", (request) => requests.push(request.url()));
  await page.context().setOffline(true);
  await page.reload();
  await started(page);
  assert.ok(await learner.number(page, "score") > 90, "the work is there, and the coach reads it");
  await byId(page, "go-bench").click();
  await learner.run(page);
  const [first] = await learner.misses(page);
  assert.ok(Math.abs(first) < 2, "a run comes to its end");
  await byId(page, "go-rehearse").click();
  await byId(page, "own-study").click();
  await byId(page, "study-misses").waitFor();
  await byId(page, "own-study-stop").click();
  assert.ok(requests.length > 10, "the page asked for its files");
  const elsewhere = requests.filter((url) => !/^(data:|blob:)/.test(url) && !url.startsWith(site.url));
  assert.deepEqual(elsewhere, [], "of its own origin alone");
  await close(page);
});

test("a newer version waits for the learner while work is open, and then takes over whole", async () => {
  const page = await kept({ hash: "bench", storage: CAUTION_READ });
  await learner.teachHome(page);
  const work = await stored(page, SESSION);
  assert.equal(await page.locator("#update").isVisible(), false, "nothing is said of this version");

  // A folder that is half replaced: the new list, the old page.
  now = { "sw.js": worker2 };
  await update(page);
  await page.waitForTimeout(500);
  assert.equal(await page.locator("#update").isVisible(), false, "nothing of a version that is not whole");

  now = { "sw.js": worker2, "index.html": page2 };
  await update(page);
  await page.locator("#update").waitFor();
  assert.equal(await title(page), "Nudgeproof", "the old version still works");
  await page.reload();
  await started(page);
  assert.equal(await title(page), "Nudgeproof", "and is loaded again, as long as nobody asks");
  assert.deepEqual(await learner.steps(page), ["Go to home"]);

  await Promise.all([page.waitForEvent("load"), page.locator("#update-now").click()]);
  await started(page);
  assert.equal(await title(page), "Nudgeproof 2");
  assert.equal(await stored(page, SESSION), work, "not an action is lost");
  assert.deepEqual(await learner.steps(page), ["Go to home"]);
  assert.equal(await page.locator("#update").isVisible(), false);
  const caches = await page.evaluate(() => caches.keys());
  assert.equal(caches.length, 1, `the old version's files are gone: ${caches}`);

  await page.context().setOffline(true);
  await page.reload();
  await started(page);
  assert.equal(await title(page), "Nudgeproof 2", "the new version needs no network either");
  await close(page);
});

test("a second window works on with the old version", async () => {
  const page = await kept({ hash: "bench" });
  const other = await page.context().newPage();
  await other.goto(`${site.url}#/lessons`);
  await started(other);
  now = { "sw.js": worker2, "index.html": page2 };
  await update(page);
  await page.locator("#update").waitFor();
  await Promise.all([page.waitForEvent("load"), page.locator("#update-now").click()]);
  await started(page);
  assert.equal(await title(page), "Nudgeproof 2");
  assert.equal(await title(other), "Nudgeproof", "nobody asked there");
  await byId(other, "start-one-touch").click();
  await byId(other, "lesson-one-touch").waitFor();
  const caches = await other.evaluate(() => caches.keys());
  assert.equal(caches.length, 2, "what it may still load is kept");
  await close(page);
});
