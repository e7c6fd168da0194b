// What the browser does not store, or does not let the page read, is told and never written over.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { after, test } from "node:test";
import { violations } from "../lib/axe.mjs";
import { file, ROOT } from "../lib/cases.mjs";
import * as learner from "../lib/learner.mjs";
import { byId, close, savedFile, start, started } from "../lib/page.mjs";
import { limitStorage, SESSION, stored } from "../lib/storage.mjs";

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

/** Makes the database refuse one text, until `allow`. */
const forbid = (name) => (page) =>
  page.addInitScript((wanted) => {
    const { put } = IDBObjectStore.prototype;
    globalThis.forbidden = wanted;
    IDBObjectStore.prototype.put = function (text, asked) {
      if (asked === globalThis.forbidden) throw new DOMException("for the test", "DataError");
      return put.call(this, text, asked);
    };
  }, name);
const NOT_STORED = /could not store that: it lasts until this page is closed/;

test("a setting that cannot be stored is told, and holds until the page is closed", async () => {
  const page = await site.open({ hash: "bench", prepare: forbid("setting.units") });
  await byId(page, "units-in").click();
  await says(page, "notice", NOT_STORED);
  assert.match(await byId(page, "title-units").textContent(), /^in/);
  await close(page);
});

test("a lesson of one's own that cannot be stored is told, and can be taken all the same", async () => {
  const page = await site.open({ hash: "lessons", prepare: forbid("setting.lessons") });
  await byId(page, "load-lesson").setInputFiles(file("ours.toml", lesson("ours")));
  await says(page, "notice", NOT_STORED);
  await byId(page, "card-ours").waitFor();
  assert.equal(await stored(page, LESSONS), null);
  await close(page);
});

test("lessons that cannot be read are not written over", async () => {
  const page = await site.open({ hash: "lessons", storage: { [LESSONS]: "no list" } });
  await byId(page, "load-lesson").setInputFiles(file("another.toml", lesson("another")));
  await says(page, "disk-says", /could not store it/);
  assert.equal(await stored(page, LESSONS), "no list");
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
    prepare: forbid("setting.lessons"),
  });
  await byId(page, "bring-back-lessons").click();
  await says(page, "notice", NOT_STORED);
  assert.equal(await stored(page, `${LESSONS}.aside`), aside);
  await close(page);
});

/** Makes the browser refuse its database, and local storage too; `again` lets it. */
const refuse = (alsoLocal) => (page) =>
  page.addInitScript((alsoLocal) => {
    if (sessionStorage.getItem("allowed")) return;
    Object.defineProperty(globalThis, "indexedDB", {
      get: () => { throw new DOMException("for the test", "SecurityError"); },
    });
    if (alsoLocal) {
      Storage.prototype.setItem = () => { throw new DOMException("for the test", "QuotaExceededError"); };
    }
  }, alsoLocal);
const simply = (page) => page.evaluate(() => Object.keys(localStorage).filter((key) => /^nudgeproof\.(journal|setting|session)/.test(key)));

test("where the database is refused, work is kept in local storage, and that is said", async () => {
  const page = await site.open({ hash: "bench", prepare: refuse(false) });
  assert.match(await byId(page, "kept-simply").textContent(), /database is closed to this page.*the last minute may be lost.*for the test/);
  assert.deepEqual(await violations(page), []);
  await learner.teachHome(page);
  assert.match((await savedFile(page, byId(page, "save-file"))).text, /"home"/);
  await byId(page, "close-kept-simply").click();
  await byId(page, "units-in").click();
  await page.reload();
  await started(page);
  assert.deepEqual(await learner.steps(page), ["Go to home"], "it is there again");
  assert.match(await byId(page, "title-units").textContent(), /^in/);

  // Another window's work is left alone there, too.
  const other = await page.context().newPage();
  await refuse(false)(other);
  await other.goto(page.url());
  await started(other);
  await learner.add(other, "sensing-on");
  await learner.add(page, "sensing-off");
  await byId(page, "other-work").waitFor();
  await other.close();

  // Once the database is there, work and settings move into it.
  await page.evaluate(() => sessionStorage.setItem("allowed", "yes"));
  await page.reload();
  await started(page);
  assert.equal(await byId(page, "kept-simply").count(), 0);
  assert.match(await stored(page, `${SESSION}.aside`), /sensing_on/);
  assert.equal(await stored(page, "nudgeproof.setting.units"), "in");
  assert.deepEqual(await simply(page), []);
  await close(page);
});

test("where nothing can be kept, the page works, says so, and has the work as a file", async () => {
  const page = await site.open({ hash: "bench", prepare: refuse(true) });
  assert.match(await byId(page, "unsaved").textContent(), /does not keep your work/);
  assert.deepEqual(await violations(page), []);
  await learner.teachHome(page);
  await byId(page, "units-in").click();
  await says(page, "notice", NOT_STORED);
  assert.match((await savedFile(page, byId(page, "save-file"))).text, /"home"/);
  await close(page);
});

/** Does something with the page's database before the page opens it. */
const before = (make) => (page) =>
  page.addInitScript(`if (!sessionStorage.getItem("made")) { sessionStorage.setItem("made", "yes"); (${make})(); }`);
const SIMPLY = {
  "a database by a later version of the page": () => {
    const opening = indexedDB.open("nudgeproof", 2);
    opening.onupgradeneeded = () => opening.result.createObjectStore("later").add("its work", 1);
    opening.onsuccess = () => opening.result.close();
  },
  "a database without what should be in it": () => {
    indexedDB.open("nudgeproof", 1).onsuccess = ({ target }) => target.result.close();
  },
  "a database that does not answer": () => {
    IDBFactory.prototype.open = () => ({});
  },
};
for (const [what, make] of Object.entries(SIMPLY)) {
  test(`${what} does not keep the page from starting`, async () => {
    const page = await site.open({ hash: "bench", prepare: before(make) });
    await byId(page, "kept-simply").waitFor();
    await learner.teachHome(page);
    await page.waitForFunction(() => Object.keys(localStorage).some((key) => key.startsWith("nudgeproof.journal")));
    // While it waits for the database, the program that Trunk's link has loaded waits too.
    await close(page, { expected: [/_bg\.wasm was preloaded using link preload but not used/] });
  });
}

test("with no room at all from the start the page works, and says what is not kept", async () => {
  const page = await site.open({ hash: "bench", prepare: (page) => limitStorage(page, site.url, 100) });
  await learner.teachHome(page);
  await byId(page, "unsaved").waitFor();
  assert.match((await savedFile(page, byId(page, "save-file"))).text, /"home"/);
  await close(page);
});

test("strange things in the database do not keep the page from starting", async () => {
  const strange = () => {
    const opening = indexedDB.open("nudgeproof", 1);
    opening.onupgradeneeded = () => {
      const [journal, kept] = ["journal", "kept"].map((name) => opening.result.createObjectStore(name));
      journal.add({ no: "text" }, 1);
      journal.add(17, "a name");
      kept.add(new Uint8Array(8), "setting.records");
      kept.add({}, "save.strange");
      kept.add("a text", 12);
    };
    opening.onsuccess = () => opening.result.close();
  };
  const page = await site.open({ hash: "bench", prepare: before(strange) });
  await says(page, "notice", /cannot be read/);
  await learner.teachHome(page);
  await page.reload();
  await started(page);
  assert.deepEqual(await learner.steps(page), ["Go to home"]);
  await byId(page, "go-record").click();
  await close(page);
});
