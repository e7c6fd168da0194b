// The set-up of a class: made in the instructor's window, given out as a link or a file, opened by the class.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { violations } from "../lib/axe.mjs";
import { CASE, file } from "../lib/cases.mjs";
import { classWindow, partner } from "../lib/instructor.mjs";
import { byId, close, savedFile, start, unfold } from "../lib/page.mjs";
import { CAUTION_READ, SESSION, stored } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

const ready = (more) => site.open({ hash: "bench", storage: { ...CAUTION_READ, [SESSION]: CASE }, ...more });

async function form() {
  const page = await ready();
  const window = await classWindow(page);
  await partner(window, "there");
  return { page, window };
}

async function fill(window) {
  await byId(window, "setup-start").selectOption("lesson one-touch");
  await byId(window, "setup-seed").fill("12");
  await byId(window, "setup-seed").press("Enter");
  for (const panel of ["coach", "forecast", "charts"]) await byId(window, `hide-${panel}`).check();
  await byId(window, "setup-hints").selectOption("1");
  await byId(window, "setup-speed").selectOption("full");
  await byId(window, "setup-units").selectOption("in");
  await byId(window, "setup-theme").selectOption("Blueprint");
}

const WANTED = {
  format: "nudgeproof-class", format_version: 1, start: { lesson: "one-touch" }, seed: 12,
  hide: ["coach", "forecast", "charts"], hints: 1, speed: "full", units: "in", theme: "blueprint",
};

/** The page stands as the set-up says. */
async function isSetUp(page) {
  await byId(page, "lesson-one-touch").waitFor();
  assert.equal(await byId(page, "lesson-one-touch").getAttribute("data-seed"), "12");
  assert.equal(await page.locator("html").getAttribute("data-theme"), "blueprint");
  assert.ok(await byId(page, "units-in").isChecked(), "inches are shown");
  assert.equal(await byId(page, "tab-charts").count(), 0);
  assert.equal(await byId(page, "tab-readings").count(), 1);
  assert.equal(await byId(page, "coach").count(), 0);
  await byId(page, "hint").click();
  await byId(page, "hint").waitFor({ state: "detached" });
  assert.equal(await byId(page, "hint-text").count(), 1, "one hint and no more");
}

test("a set-up goes out as a file, and the file sets the page of a learner up", async () => {
  const { page, window } = await form();
  await fill(window);
  assert.deepEqual(await violations(window), []);
  const saved = await savedFile(window, byId(window, "save-setup"));
  assert.deepEqual(JSON.parse(saved.text), WANTED);
  await close(page);
  // A learner without work is not asked.
  const learner = await site.open({ hash: "bench", storage: CAUTION_READ });
  await unfold(learner, "presenter");
  await byId(learner, "open-setup").setInputFiles(file("class.json", saved.text));
  await isSetUp(learner);
  await close(learner);
});

test("a set-up goes out as a link, which asks before it replaces work", async () => {
  const { page, window } = await form();
  await fill(window);
  await byId(window, "copy-link").click();
  const link = await byId(window, "link").inputValue();
  assert.match(link, /#\/class-setup\?1\./);
  await close(page);
  const learner = await ready();
  const before = await stored(learner, SESSION);
  await learner.evaluate((hash) => { location.hash = hash; }, new URL(link).hash);
  await byId(learner, "keep-work").click();
  assert.equal(await stored(learner, SESSION), before, "kept");
  assert.equal(await byId(learner, "tab-charts").count(), 1, "and nothing set up");
  await learner.evaluate((hash) => { location.hash = hash; }, new URL(link).hash);
  await byId(learner, "open-link").click();
  await isSetUp(learner);
  await close(learner);
});

test("the instructor opens it on the page of the class", async () => {
  const { page, window } = await form();
  await byId(window, "setup-start").selectOption("part planter-base");
  await byId(window, "setup-projector").check();
  await byId(window, "open-here").click();
  await byId(page, "open-link").click();
  assert.equal(await page.locator("html").getAttribute("data-projector"), "on");
  await byId(window, "partner").filter({ hasText: /planter/i }).waitFor();
  await close(page);
});

test("a file or link that is no set-up is refused with its place, and nothing changes", async () => {
  const page = await ready();
  await unfold(page, "presenter");
  for (const [name, content, expected] of [
    ["a.json", JSON.stringify({ ...WANTED, hints: 7 }), /a\.json.*hints.*0 to 3.*7/],
    ["b.toml", 'format = "nudgeproof-class"\nformat_version = 1\nseed = 3\nstart = { lesson = "nothing" }', /start\.lesson.*one-touch.*nothing/],
    ["c.json", JSON.stringify({ ...WANTED, colour: "red" }), /line 1.*colour/],
    ["d.json", CASE, /format_version|unknown field|format/],
  ]) {
    await byId(page, "open-setup").setInputFiles(file(name, content));
    await byId(page, "notice").filter({ hasText: expected }).waitFor();
  }
  await page.evaluate(() => { location.hash = "#/class-setup?1.AAAA"; });
  await byId(page, "notice").filter({ hasText: /not opened/ }).waitFor();
  assert.equal(await stored(page, SESSION), CASE);
  await close(page);
});
