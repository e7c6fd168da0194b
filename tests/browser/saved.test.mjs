// Work is never lost: unreadable work is kept, another window's work is left alone, files come back.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import * as learner from "./lib/learner.mjs";
import { byId, close, start } from "./lib/page.mjs";

const site = await start();
after(site.stop);

const SAVED = "nudgeproof.session";
const stored = (page, key) => page.evaluate((k) => localStorage.getItem(k), key);

async function taughtHome(page) {
  await learner.torchTo(page, -120, -120, 120);
  await learner.add(page, "home");
}

test("saved work that cannot be read is kept aside, and the page says so", async () => {
  const page = await site.open({ hash: "bench", storage: { [SAVED]: '{"format": "something else"}' } });
  assert.match(await byId(page, "notice").textContent(), /cannot be read .*format.* kept aside/);
  await taughtHome(page);
  assert.equal(await stored(page, `${SAVED}.aside`), '{"format": "something else"}', "untouched");
  assert.match(await stored(page, SAVED), /"teach"/, "new work is saved");
  await close(page);
});

test("work that another window saved meanwhile is not overwritten", async () => {
  const page = await site.open({ hash: "bench" });
  await taughtHome(page);
  const other = (await stored(page, SAVED)).replace("-120", "-130");
  await page.evaluate(([key, text]) => localStorage.setItem(key, text), [SAVED, other]);
  await learner.add(page, "begin-probing");
  assert.equal(await stored(page, SAVED), other, "left alone");
  await byId(page, "keep-mine").click();
  assert.match(await stored(page, SAVED), /begin_probing/, "now this window's work is saved");
  assert.equal(await stored(page, `${SAVED}.aside`), other, "and the other is put aside");
  await close(page);
});

test("a file is opened, and a broken one is refused in one sentence that names it", async () => {
  const page = await site.open({ hash: "bench" });
  await taughtHome(page);
  const good = await stored(page, SAVED);
  await byId(page, "go-record").click();
  await byId(page, "fresh-session").click();
  const open = (name, text) =>
    byId(page, "import-session").setInputFiles({ name, mimeType: "application/json", buffer: Buffer.from(text) });
  await open("torn.json", good.slice(0, 40));
  await page.getByText(/torn\.json cannot be opened: line \d+/).waitFor();
  await open("good.json", good);
  await page.getByText("Opened: good.json.").waitFor();
  await byId(page, "go-bench").click();
  await byId(page, "bench").waitFor();
  assert.deepEqual(await learner.steps(page), ["Go home"], "the work of the file");
  await close(page);
});
