// Work is never lost: unreadable work is kept, another window's work is left alone.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { actions, CASE } from "../lib/cases.mjs";
import * as learner from "../lib/learner.mjs";
import { byId, close, keys, savedFile, start, started } from "../lib/page.mjs";
import { recordOf, SESSION, stored } from "../lib/storage.mjs";

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

test("of work that is damaged in the middle the good part is there, and the rest can be had as a file", async () => {
  const record = recordOf(CASE);
  const torn = '{"keep":3,"add":["{\\"action\\": \\"te';
  const storage = { [SESSION]: [record, '{"keep":3,"add":[]}', torn, '{"keep":4,"add":[]}'] };
  const page = await site.open({ hash: "bench", storage });
  assert.match(await byId(page, "notice").textContent(), /^Only the first 3 actions .* can be read \(record 3: .*The rest is kept aside/);
  assert.deepEqual(actions(await stored(page, SESSION)), actions(CASE).slice(0, 3));
  await byId(page, "go-record").click();
  const file = await savedFile(page, byId(page, "file-saved"));
  assert.equal(file.text, `${torn}\n{"keep":4,"add":[]}`, "untouched");
  await page.reload();
  await started(page);
  assert.equal(await byId(page, "notice").textContent(), "", "it is said once");
  await close(page);
});

test("work that another window saved meanwhile is not overwritten, and either of the two can be taken", async () => {
  const page = await site.open({ hash: "bench" });
  await learner.teachHome(page);
  const other = await page.context().newPage();
  await other.goto(page.url());
  await started(other);
  await learner.add(other, "sensing-on");
  const theirs = await stored(page, SESSION);
  assert.match(theirs, /sensing_on/, "whoever works on the newest work may go on");
  await learner.add(page, "sensing-off");
  await byId(page, "other-work").waitFor();
  assert.equal(await stored(page, SESSION), theirs, "left alone");
  await byId(page, "keep-mine").click();
  const mine = await stored(page, SESSION);
  assert.match(mine, /sensing_off/, "now this window's work is saved");
  assert.equal(await stored(page, `${SESSION}.aside`), theirs, "and the other is put aside");
  await learner.add(page, "home");
  assert.equal(actions(await stored(page, SESSION)).length, actions(mine).length + 1, "it goes on");

  await learner.add(other, "sensing-on");
  await byId(other, "other-work").waitFor();
  await byId(other, "take-other").click();
  await started(other);
  assert.deepEqual(await learner.steps(other), await learner.steps(page), "taken over");
  await learner.add(other, "sensing-on");
  assert.equal(await byId(other, "other-work").count(), 0);
  assert.equal((await learner.steps(other)).length, actions(await stored(page, SESSION)).filter(([name]) => name === "add_step").length);
  await close(page);
});

test("what one window saves under a name the other shows", async () => {
  const page = await site.open({ hash: "record" });
  const other = await page.context().newPage();
  await other.goto(page.url());
  await started(other);
  await byId(other, "save-name").fill("from the other");
  await byId(other, "save").click();
  await byId(page, "saved").waitFor();
  assert.equal(await byId(page, "saved-name").inputValue(), "from the other");
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
