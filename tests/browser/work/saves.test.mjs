// Work under several names, in this browser: kept, renamed, deleted and put back, never lost unseen.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { violations } from "../lib/axe.mjs";
import { actions, CASE } from "../lib/cases.mjs";
import * as learner from "../lib/learner.mjs";
import { byId, close, keys, savedFile, start } from "../lib/page.mjs";
import { fillStorage, limitStorage, SESSION, stored } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

const names = (page) => byId(page, "saved-name").evaluateAll((all) => all.map((i) => i.value));
const row = (page, n) => byId(page, "saved").nth(n);
const notice = (page) => byId(page, "notice").textContent();
const says = (page, pattern) =>
  page.waitForFunction((source) => new RegExp(source).test(document.querySelector("[data-testid=notice]")?.textContent), pattern.source);

async function saveAs(page, name) {
  await byId(page, "save-name").fill(name);
  await byId(page, "save").click();
}

test("work is saved under names, renamed, deleted, put back and opened", async () => {
  const page = await site.open({ hash: "record", storage: { [SESSION]: CASE } });
  await saveAs(page, "Monday");
  await byId(page, "fresh-session").click();
  await saveAs(page, "empty");
  assert.deepEqual(await names(page), ["Monday", "empty"]);
  await row(page, 1).getByTestId("saved-name").fill("from scratch");
  await keys(page, "Enter");
  assert.deepEqual(await names(page), ["Monday", "from scratch"]);
  const focused = await row(page, 1).getByTestId("saved-name").evaluate((e) => e === document.activeElement);
  assert.ok(focused, "who renamed a save is still there");
  await row(page, 1).getByTestId("saved-name").fill("Monday");
  await keys(page, "Enter");
  assert.match(await notice(page), /from scratch keeps its name: expected a name that no other save has/);
  assert.deepEqual(await names(page), ["Monday", "from scratch"], "nothing was saved over");
  await row(page, 0).getByTestId("delete-saved").click();
  assert.deepEqual(await names(page), ["from scratch"]);
  await byId(page, "put-back").click();
  assert.deepEqual(await names(page), ["Monday", "from scratch"], "put back");
  assert.deepEqual(await violations(page), []);

  await page.reload();
  await row(page, 0).getByTestId("open-saved").click();
  assert.deepEqual(actions(await stored(page, SESSION)), actions(CASE), "all of it is there again");
  await close(page);
});

test("what a save replaces can be put back, and the replacing one after it", async () => {
  const page = await site.open({ hash: "record", storage: { [SESSION]: CASE } });
  await saveAs(page, "one");
  const full = await stored(page, "nudgeproof.save.one");
  await byId(page, "fresh-session").click();
  await saveAs(page, "one");
  assert.notEqual(await stored(page, "nudgeproof.save.one"), full);
  await byId(page, "put-back").click();
  assert.equal(await stored(page, "nudgeproof.save.one"), full, "as it was");
  await close(page);
});

test("an empty bench is undone and done again like any step, and the work stands aside as well", async () => {
  const page = await site.open({ hash: "record", storage: { [SESSION]: CASE } });
  await byId(page, "fresh-session").click();
  assert.equal(await byId(page, "aside").count(), 1, "put aside");
  assert.doesNotMatch(await stored(page, SESSION), /add_step/);
  await byId(page, "undo").click();
  assert.deepEqual(actions(await stored(page, SESSION)), actions(CASE), "undone");
  await byId(page, "redo").click();
  assert.doesNotMatch(await stored(page, SESSION), /add_step/, "done again");
  await byId(page, "bring-back").first().click();
  assert.deepEqual(actions(await stored(page, SESSION)), actions(CASE), "brought back");
  await close(page);
});

test("the last three of the work put aside are kept", async () => {
  const page = await site.open({ hash: "record" });
  for (const x of [-10, -20, -30, -40]) {
    await byId(page, "go-bench").click();
    await learner.torchTo(page, x, -120, 120);
    await learner.add(page, "home");
    await byId(page, "go-record").click();
    await byId(page, "fresh-session").click();
  }
  assert.equal(await byId(page, "aside").count(), 3);
  const kept = await Promise.all(["", ".2", ".3"].map((n) => stored(page, `${SESSION}.aside${n}`)));
  kept.forEach((text, i) => assert.match(text, new RegExp(`-${40 - 10 * i}\\b`), `number ${i + 1}`));
  await close(page);
});

test("a save that cannot be read says so, can be had as a file, and stays", async () => {
  const torn = '{"format": "something';
  const page = await site.open({ hash: "record", storage: { [SESSION]: CASE, "nudgeproof.save.old": torn } });
  assert.match(await row(page, 0).textContent(), /cannot be read/);
  await row(page, 0).getByTestId("open-saved").click();
  assert.match(await notice(page), /^old cannot be opened: line 1, column 21: expected JSON/);
  assert.equal((await savedFile(page, row(page, 0).getByTestId("file-saved"))).text, torn, "byte for byte");
  assert.equal(await stored(page, "nudgeproof.save.old"), torn, "it stays");
  assert.equal(await stored(page, SESSION), CASE, "and so does the work");
  await close(page);
});

test("a full storage is told, and costs no work", async () => {
  const page = await site.open({ hash: "record", storage: { [SESSION]: CASE }, prepare: (page) => limitStorage(page, site.url, 40_000) });
  await fillStorage(page);
  await saveAs(page, "no room");
  await says(page, /no room for it, so nothing was saved/);
  assert.deepEqual(await names(page), []);
  await byId(page, "fresh-session").click();
  await says(page, /no room to put the work before aside/);
  assert.equal(await stored(page, SESSION), CASE, "not saved over");
  await byId(page, "undo").click();
  await byId(page, "go-bench").click();
  await byId(page, "bench").waitFor();
  assert.equal((await learner.steps(page)).length, 18, "undo brings it back");
  await close(page);
});

test("work that no longer fits is told to be unsaved, with a file at hand", async () => {
  let lift;
  const page = await site.open({
    hash: "bench",
    prepare: async (page) => { lift = await limitStorage(page, site.url, 40_000); },
  });
  await learner.torchTo(page, -120, -120, 120);
  await fillStorage(page);
  await learner.add(page, "home");
  await byId(page, "unsaved").waitFor();
  assert.match(await byId(page, "unsaved").textContent(), /does not keep your work/);
  assert.match((await savedFile(page, byId(page, "save-file"))).text, /"home"/);
  await lift();
  await learner.add(page, "sensing-on");
  await byId(page, "unsaved").waitFor({ state: "detached" });
  assert.equal(actions(await stored(page, SESSION)).length, 3, "there is room again, and all of it is kept");
  await close(page);
});
