// What the browser does not store, or does not let the page read, is told and never written over.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { after, test } from "node:test";
import { violations } from "../lib/axe.mjs";
import { CASE, file, ROOT } from "../lib/cases.mjs";
import { byId, close, start, started } from "../lib/page.mjs";
import { SESSION, stored } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

const LESSONS = "nudgeproof.setting.lessons";
const lesson = (name) =>
  readFileSync(`${ROOT}lessons/taught-path.toml`, "utf8")
    .replace('name = "taught-path"', `name = "${name}"`)
    .replace("Why a taught path misses", `About ${name}`);
const says = (page, id, pattern) =>
  page.waitForFunction(
    ([name, source]) => new RegExp(source).test(document.querySelector(`[data-testid=${name}]`)?.textContent),
    [id, pattern.source],
  );

const records = (score) => {
  const attempt = { part: "bench-side", landed: true, faults: false, findings: [], aided: [] };
  const record = { day: 20_000, lesson: "slide-and-turn", seed: score, score, miss_mm: 0.1, attempt };
  return JSON.stringify({ format: "nudgeproof-records", format_version: 1, records: [record] });
};

/** Makes one method of storage throw for a key, until `allow`. */
const forbid = (method, key) => (page) =>
  page.addInitScript(([name, wanted]) => {
    const whole = Storage.prototype[name];
    globalThis.forbidden = name;
    Storage.prototype[name] = function (asked, ...rest) {
      if (globalThis.forbidden === name && asked === wanted) throw new DOMException("for the test", "QuotaExceededError");
      return whole.call(this, asked, ...rest);
    };
  }, [method, key]);
const allow = (page) => page.evaluate(() => { globalThis.forbidden = null; });

test("a setting that cannot be stored is told, and holds until the page is closed", async () => {
  const page = await site.open({ hash: "bench", prepare: forbid("setItem", "nudgeproof.setting.units") });
  await byId(page, "units-in").click();
  await says(page, "notice", /could not store that: it lasts until this page is closed/);
  assert.match(await byId(page, "title-units").textContent(), /^in/);
  await close(page);
});

test("a lesson of one's own that cannot be stored is told, and can be taken all the same", async () => {
  const page = await site.open({ hash: "lessons", prepare: forbid("setItem", LESSONS) });
  await byId(page, "load-lesson").setInputFiles(file("ours.toml", lesson("ours")));
  await says(page, "disk-says", /About ours is added, but the browser could not store it/);
  await byId(page, "card-ours").waitFor();
  await byId(page, "remove-ours").click();
  await says(page, "notice", /could not remove the lesson/);
  await byId(page, "card-ours").waitFor();
  await close(page);
});

test("lessons that cannot be read at the moment are not written over", async () => {
  const text = JSON.stringify([lesson("ours")]);
  const page = await site.open({ hash: "lessons", storage: { [LESSONS]: text }, prepare: forbid("getItem", LESSONS) });
  await byId(page, "load-lesson").setInputFiles(file("another.toml", lesson("another")));
  await says(page, "disk-says", /could not store it/);
  await allow(page);
  assert.equal(await stored(page, LESSONS), text);
  await close(page);
});

test("records that cannot be read at the moment are not written over", async () => {
  const key = "nudgeproof.setting.records";
  const page = await site.open({ hash: "record", storage: { [key]: records(60) }, prepare: forbid("getItem", key) });
  await byId(page, "open-records").setInputFiles(file("records.json", records(95)));
  await says(page, "notice", /This browser keeps nothing/);
  await allow(page);
  assert.equal(await stored(page, key), records(60));
  await close(page);
});

test("work that cannot be read at the start is told, and is not written over", async () => {
  const page = await site.open({ hash: "bench", storage: { [SESSION]: CASE }, prepare: forbid("getItem", SESSION) });
  await says(page, "notice", /does not let this page read what is stored/);
  await allow(page);
  assert.equal(await stored(page, SESSION), CASE);
  await close(page);
});

test("lessons that a failed start put aside come back, beside those that are here", async () => {
  const storage = {
    [LESSONS]: JSON.stringify([lesson("here")]),
    [`${LESSONS}.aside`]: JSON.stringify([lesson("first"), lesson("here").replace("minutes = 6", "minutes = 7")]),
    [`${LESSONS}.aside.2`]: JSON.stringify([lesson("second")]),
    [`${LESSONS}.aside.3`]: "no list",
  };
  const page = await site.open({ hash: "lessons", storage });
  assert.deepEqual(await violations(page), []);
  await byId(page, "bring-back-lessons").click();
  for (const name of ["here", "first", "second"]) await byId(page, `card-${name}`).waitFor();
  await byId(page, "bring-back-lessons").waitFor({ state: "detached" });
  const texts = [lesson("here"), lesson("first"), lesson("second")];
  assert.deepEqual(JSON.parse(await stored(page, LESSONS)), texts, "of two of one name the one that is here");
  assert.equal(await stored(page, `${LESSONS}.aside`), null);
  assert.equal(await stored(page, `${LESSONS}.aside.3`), "no list", "what cannot be read stays");
  await page.reload();
  await started(page);
  await byId(page, "card-second").waitFor();
  await close(page);
});

test("lessons put aside stay aside where the browser does not store them", async () => {
  const aside = JSON.stringify([lesson("first")]);
  const page = await site.open({
    hash: "lessons",
    storage: { [`${LESSONS}.aside`]: aside },
    prepare: forbid("setItem", LESSONS),
  });
  await byId(page, "bring-back-lessons").click();
  await says(page, "disk-says", /they stay aside/);
  assert.equal(await stored(page, `${LESSONS}.aside`), aside);
  await close(page);
});
