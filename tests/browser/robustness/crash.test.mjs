// If the program breaks, a plain page gives the learner the work back.
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, test } from "node:test";
import { violations } from "../lib/axe.mjs";
import { actions } from "../lib/cases.mjs";
import * as learner from "../lib/learner.mjs";
import { byId, close, savedFile, start, started } from "../lib/page.mjs";
import { limitStorage, SESSION, stored } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

const begun = (page) => page.waitForFunction(() => localStorage.getItem("nudgeproof.starting") === null);
/** A panic of the program once it has started. */
async function panic(page) {
  await begun(page);
  await page.evaluate(() => dispatchEvent(new CustomEvent("nudgeproof-panic", { detail: "at step 3" })));
}

test("a panic shows the plain page in place of the program", async () => {
  const page = await site.open({ hash: "bench" });
  await learner.teachHome(page);
  const work = await stored(page, SESSION);
  assert.match(work, /"home"/);
  await panic(page);
  await panic(page);
  assert.ok(await page.getByRole("alert").isVisible());
  assert.ok(await page.locator("#app").isHidden());
  assert.match(await page.locator("#panic").innerText(), /Something broke\.\s+Your work is saved in this browser/);
  assert.equal(await page.locator("#panic-message").textContent(), "at step 3");
  assert.deepEqual(await violations(page), []);

  const waiting = page.waitForEvent("download");
  await page.keyboard.press("Enter"); // the button that saves the work is in focus
  const download = await waiting;
  assert.equal(download.suggestedFilename(), "nudgeproof-session.json");
  assert.equal(await readFile(await download.path(), "utf8"), work);

  await page.locator("#panic-reload").click();
  await page.waitForFunction(() => document.getElementById("panic")?.hidden);
  assert.equal(await stored(page, SESSION), work);
  await close(page);
});

test("work that breaks the program can be put aside", async () => {
  const older = Object.fromEntries(["", ".2", ".3"].map((end, n) => [`${SESSION}.aside${end}`, `older ${n}`]));
  const page = await site.open({ hash: "bench", storage: older });
  await learner.teachHome(page);
  const work = await stored(page, SESSION);
  await panic(page);
  await page.locator("#panic-aside").click();
  await page.waitForFunction(() => document.getElementById("panic")?.hidden);
  const kept = await Promise.all(["", ".2", ".3"].map((end) => stored(page, `${SESSION}.aside${end}`)));
  assert.deepEqual(kept, [work, "older 0", "older 1"], "the newest three, in their order");
  assert.equal(await stored(page, SESSION), null);
  await started(page);
  await byId(page, "go-bench").click();
  await learner.teachHome(page);
  assert.equal(actions(await stored(page, SESSION)).length, 2, "and new work is kept");
  await close(page);
});

test("without saved work the page offers none", async () => {
  const page = await site.open();
  await panic(page);
  assert.match(await page.locator("#panic").innerText(), /No saved work was found/);
  assert.ok(await page.locator("#panic-download").isHidden());
  await close(page);
});

test("work that the browser did not keep can still be saved as a file", async () => {
  const page = await site.open({ hash: "bench", prepare: (page) => limitStorage(page, site.url, 100) });
  await learner.teachHome(page);
  await byId(page, "unsaved").waitFor();
  await panic(page);
  assert.match(await page.locator("#panic").innerText(), /This browser did not keep all of your work/);
  assert.match((await savedFile(page, page.locator("#panic-download"))).text, /"home"/);
  await close(page);
});

test("a program that cannot start says so", async (t) => {
  const broken = await start({ change: (path, body) => (path.endsWith(".wasm") ? "no program" : body) });
  t.after(broken.stop);
  const page = await broken.open({ wait: false });
  await page.locator("#panic").waitFor();
  assert.match(await page.locator("#panic-message").textContent(), /^The program did not start\./);
  await close(page);
});
