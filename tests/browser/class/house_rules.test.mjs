// The house rules of a school: opened on the record, or given out with the set-up of a class.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { violations } from "../lib/axe.mjs";
import { CASE, file } from "../lib/cases.mjs";
import { byId, close, savedFile, start, unfold } from "../lib/page.mjs";
import { CAUTION_READ, SESSION, stored } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

const HOUSE = `
format = "nudgeproof-house-rules"
format_version = 1
name = "Harbour Street school"
off = ["no-home-end"]
touches_agree_mm = 0.5
`;
const RULES = { name: "Harbour Street school", off: ["no-home-end"], touches_agree_mm: 0.5 };

const house = async (page) => JSON.parse(await stored(page, SESSION)).house_rules;

test("a file of house rules judges this work and what is begun after it, until it is set aside", async () => {
  const page = await site.open({ hash: "record", storage: { ...CAUTION_READ, [SESSION]: CASE } });
  assert.equal(await byId(page, "judged-by").count(), 0);
  await byId(page, "open-house-rules").setInputFiles(file("ours.toml", HOUSE));
  await byId(page, "judged-by").waitFor();
  const says = await byId(page, "judged-by").textContent();
  assert.match(says, /Harbour Street school.*Not counted as mistakes: .*0\.50 mm/);
  assert.equal(await byId(page, "house-rules").textContent(), RULES.name);
  assert.deepEqual(await house(page), RULES);
  assert.deepEqual(await violations(page), []);
  // The file of the session carries them.
  const saved = await savedFile(page, byId(page, "export-session"));
  assert.deepEqual(JSON.parse(saved.text).house_rules, RULES);
  // Loaded anew, and begun anew: they hold.
  await page.reload();
  await byId(page, "fresh-session").click();
  assert.deepEqual(await house(page), RULES);
  await byId(page, "no-house-rules").click();
  await byId(page, "judged-by").waitFor({ state: "detached" });
  assert.equal(await house(page), undefined);
  await page.reload();
  assert.equal(await byId(page, "no-house-rules").count(), 0, "they stay away");
  await close(page);
});

test("a file that is none is refused with its place, and nothing changes", async () => {
  const page = await site.open({ hash: "record", storage: { ...CAUTION_READ, [SESSION]: CASE } });
  const broken = HOUSE.replace("no-home-end", "entered-live-cell");
  await byId(page, "open-house-rules").setInputFiles(file("ours.toml", broken));
  const notice = byId(page, "notice");
  await notice.filter({ hasText: "entered-live-cell" }).waitFor();
  assert.match(await notice.textContent(), /ours\.toml.*keeps people safe/);
  assert.equal(await byId(page, "judged-by").count(), 0);
  assert.equal(await house(page), undefined);
  await close(page);
});

test("a class is judged by the house rules of its set-up", async () => {
  const setup = {
    format: "nudgeproof-class", format_version: 1, start: { part: "bench-side" }, seed: 5, house_rules: RULES,
  };
  const page = await site.open({ hash: "bench", storage: CAUTION_READ });
  await unfold(page, "presenter");
  await byId(page, "open-setup").setInputFiles(file("class.json", JSON.stringify(setup)));
  await page.waitForFunction(() => nudgeproofStore.records().join().includes("Harbour"));
  assert.deepEqual(await house(page), RULES);
  // The set-up is gone with the page; the work is still judged by its rules, and the record says so.
  await page.reload();
  await byId(page, "go-record").click();
  assert.equal(await byId(page, "house-rules").textContent(), RULES.name);
  await byId(page, "no-house-rules").click();
  await byId(page, "judged-by").waitFor({ state: "detached" });
  assert.notEqual(await byId(page, "house-rules").textContent(), RULES.name);
  await close(page);
});
