// Work is never lost: unreadable work is kept, another window's work is left alone.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { CASE } from "../lib/cases.mjs";
import * as learner from "../lib/learner.mjs";
import { byId, close, keys, start } from "../lib/page.mjs";
import { SESSION, stored } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

test("saved work that cannot be read is kept aside, and the page says so", async () => {
  const page = await site.open({ hash: "bench", storage: { [SESSION]: '{"format": "something else"}' } });
  assert.match(await byId(page, "notice").textContent(), /cannot be read .*format.* kept aside/);
  await learner.teachHome(page);
  assert.equal(await stored(page, `${SESSION}.aside`), '{"format": "something else"}', "untouched");
  assert.match(await stored(page, SESSION), /"teach"/, "new work is saved");
  await close(page);
});

test("work that another window saved meanwhile is not overwritten", async () => {
  const page = await site.open({ hash: "bench" });
  await learner.teachHome(page);
  const other = (await stored(page, SESSION)).replace("-120", "-130");
  await page.evaluate(([key, text]) => localStorage.setItem(key, text), [SESSION, other]);
  await learner.add(page, "sensing-on");
  assert.equal(await stored(page, SESSION), other, "left alone");
  await byId(page, "keep-mine").click();
  assert.match(await stored(page, SESSION), /sensing_on/, "now this window's work is saved");
  assert.equal(await stored(page, `${SESSION}.aside`), other, "and the other is put aside");
  await close(page);
});

test("work is there again after the page was loaded anew, and undo takes back one gesture", async () => {
  const page = await site.open({ hash: "bench" });
  await learner.torchTo(page, -16, 35, 5);
  await learner.add(page, "feel");
  assert.deepEqual(await learner.steps(page), ["Feel +X from west-1"]);
  await keys(page, "Control+z");
  assert.deepEqual(await learner.steps(page), [], "the step and its point are one gesture");
  await keys(page, "Control+y");
  await page.reload();
  await byId(page, "sheet").waitFor();
  assert.deepEqual(await learner.steps(page), ["Feel +X from west-1"], "all there");
  await close(page);
});

test("work that cannot be read at the moment is not written over, and the page says that it does not save", async () => {
  const page = await site.open({
    hash: "bench",
    storage: { [SESSION]: CASE },
    prepare: (page) => page.addInitScript((key) => {
      const { getItem } = Storage.prototype;
      globalThis.readable = false;
      Storage.prototype.getItem = function (asked) {
        if (!globalThis.readable && asked === key) throw new DOMException("for the test", "SecurityError");
        return getItem.call(this, asked);
      };
    }, SESSION),
  });
  await learner.teachHome(page);
  assert.match(await byId(page, "unsaved").textContent(), /does not keep your work/);
  await page.evaluate(() => { globalThis.readable = true; });
  assert.equal(await stored(page, SESSION), CASE);
  await close(page);
});
