// The files of a class, opened on the record: who stands where, and what to teach next.
import assert from "node:assert/strict";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, test } from "node:test";
import { violations } from "../lib/axe.mjs";
import { CASE, file } from "../lib/cases.mjs";
import { byId, close, savedFile, SIZES, start } from "../lib/page.mjs";
import { CAUTION_READ, SESSION } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

const session = (learner) => JSON.stringify({ ...JSON.parse(CASE), learner });
const rows = (page) => byId(page, "learners").locator("tbody tr").allTextContents();
const read = (page) => byId(page, "learners").waitFor();

test("sessions of a class make a table, and files that are none are listed", async () => {
  const page = await site.open({ hash: "record", storage: CAUTION_READ });
  await byId(page, "class-files").setInputFiles([
    file("1.json", session("Ida")), file("2.json", session("Otto")), file("3.json", session("Ida")),
    file("4.json", "{ no session"), file("notes.txt", "no JSON, not looked at"),
  ]);
  await byId(page, "left-out").waitFor();
  await page.waitForFunction(() => document.querySelector("[data-testid=class-progress]").textContent === "");
  const all = await rows(page);
  assert.equal(all.length, 2);
  assert.match(all[0], /^Ida2100/, "two attempts, the best 100");
  assert.match(all[1], /^Otto1100/);
  assert.match(await byId(page, "left-out").textContent(), /^4\.json: line 1/);
  assert.match(await byId(page, "teach-next").textContent(), /^Teach next: .* 0 of 2 learners\. Lessons: /);
  assert.deepEqual(await violations(page), []);
  const table = await savedFile(page, byId(page, "save-class"));
  assert.match(table.text, /^learner,sessions,best_score/);
  assert.match(table.text, /\r\nIda,2,100,/);
  await close(page);
});

test("a whole folder can be opened, on a phone too, and read again", async () => {
  const folder = mkdtempSync(join(tmpdir(), "class-"));
  try {
    writeFileSync(join(folder, "a.json"), session("Ida"));
    writeFileSync(join(folder, "b.json"), session("Eva"));
    const page = await site.open({ hash: "record", size: SIZES.phone, storage: CAUTION_READ });
    for (let time = 0; time < 2; time += 1) {
      await byId(page, "class-folder").setInputFiles(folder);
      await read(page);
      await page.waitForFunction(() => document.querySelectorAll("[data-testid=learners] tbody tr").length === 2);
    }
    await close(page);
  } finally {
    rmSync(folder, { recursive: true });
  }
});

test("files that are chosen while others are read take their place", async () => {
  const page = await site.open({ hash: "record", storage: CAUTION_READ });
  const many = (names) => names.map((name, i) => file(`${i}.json`, session(name)));
  await byId(page, "class-files").setInputFiles(many(Array(12).fill("Ida")));
  await byId(page, "class-files").setInputFiles(many(["Otto", "Eva"]));
  await page.waitForFunction(() => document.querySelectorAll("[data-testid=learners] tbody tr").length === 2);
  await page.waitForTimeout(2000);
  const all = await rows(page);
  assert.deepEqual(all.map((row) => row.slice(0, 4)), ["Eva1", "Otto"]);
  await close(page);
});

test("a session that is saved carries the learner's name, and a record too", async () => {
  const page = await site.open({ hash: "record", storage: { ...CAUTION_READ, [SESSION]: CASE } });
  await byId(page, "learner-name").fill("Ida");
  await byId(page, "learner-name").press("Tab");
  const saved = await savedFile(page, byId(page, "export-session"));
  assert.equal(JSON.parse(saved.text).learner, "Ida");
  await close(page);
});
