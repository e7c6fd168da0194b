// A shift of forty parts: by keys alone to its end, by mouse with looks and stops, and what is kept.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { byId, close, SIZES, start } from "../lib/page.mjs";

const site = await start();
after(site.stop);

/** A day on which something goes wrong, and the one after. */
const DAY = new Date(2026, 10, 27, 12);
const NEXT = new Date(2026, 10, 28, 12);
const PARTS = 40;

const signs = (page) => byId(page, "tray").locator("span").evaluateAll((all) => all.map((e) => e.dataset.sign));
const headline = (page) => byId(page, "shift-now").locator(".headline").innerText();

/** Welds whatever is found, and stops where nothing is, by keys. */
async function onByKeys(page, parts) {
  for (let i = 0; i < parts; i += 1) {
    const lost = await byId(page, "shift-go-on").isDisabled();
    await page.keyboard.press(lost ? "s" : "g");
  }
}

test("a shift by keys alone, from the lessons to its result", async () => {
  const page = await site.open({ hash: "lessons", now: DAY });
  await byId(page, "start-shift").focus();
  await page.keyboard.press("Enter");
  await byId(page, "shift").waitFor();
  assert.match(await byId(page, "shift").locator("h1").innerText(), /2026-11-27/, "the shift of the day");
  assert.deepEqual((await signs(page)).slice(0, 2), ["now", "ahead"]);
  await page.keyboard.press("l");
  assert.match(await byId(page, "found").innerText(), /wire tip/, "a look says what it found");
  assert.equal(await byId(page, "shift-minutes").innerText(), "2", "and takes two minutes");
  await onByKeys(page, PARTS - 1);
  const before = await signs(page);
  assert.ok(before.every((s) => s !== "scrap"), "how the welds came out shows at the end alone");
  assert.equal(await byId(page, "shift").getAttribute("data-over"), "false");
  await onByKeys(page, 1);
  await byId(page, "shift-result").waitFor();
  const end = await signs(page);
  assert.equal(end.length, PARTS);
  assert.ok(end.includes("scrap"), "who goes on whatever comes lets scrap through on this day");
  const rows = await page.locator(".shift-sum tbody tr").allInnerTexts();
  const scrap = rows.map((r) => r.split("\t")).find(([name]) => /beside the seam/.test(name));
  assert.equal(Number(scrap[1]), end.filter((s) => s === "scrap").length, "counted as it is drawn");
  assert.equal(Number(scrap[2]), 0, "the best possible lets none through");
  assert.ok((await byId(page, "troubles").locator("li").count()) > 0, "and what was wrong is told");
  await close(page);
});

test("a shift goes on where it was after the page is loaded again, and gives way to the next day's", async () => {
  const page = await site.open({ hash: "shift", now: DAY });
  await onByKeys(page, 5);
  const says = await headline(page);
  await page.reload();
  await byId(page, "shift").waitFor();
  assert.equal((await signs(page)).indexOf("now"), 5, "the sixth part waits");
  assert.equal(await headline(page), says, "the same part");
  await page.clock.setFixedTime(NEXT);
  await page.reload();
  await byId(page, "shift").waitFor();
  assert.match(await byId(page, "shift").locator("h1").innerText(), /2026-11-28/);
  assert.equal((await signs(page)).indexOf("now"), 0, "from its first part");
  await close(page);
});

test("what cannot be read of a kept shift begins the day's anew", async () => {
  for (const kept of ['{"number": 1', '{"number": 20261127, "daily": true, "decisions": [{"decide": "dance"}]}', ""]) {
    const page = await site.open({ hash: "shift", now: DAY, storage: { "nudgeproof.setting.shift": kept } });
    await byId(page, "shift").waitFor();
    assert.equal((await signs(page)).indexOf("now"), 0, kept);
    await close(page);
  }
});

test("stops and looks by mouse; another shift begins by one press", async () => {
  const page = await site.open({ hash: "shift", now: DAY });
  await byId(page, "look-2").check();
  await byId(page, "shift-look").click();
  assert.match(await byId(page, "found").innerText(), /clamps/);
  await byId(page, "shift-stop").click();
  assert.match(await byId(page, "found").innerText(), /setter has found nothing/);
  assert.equal(await byId(page, "shift-minutes").innerText(), "17", "2 and 15");
  assert.equal((await signs(page))[0], "aside");
  await onByKeys(page, PARTS - 1);
  await byId(page, "shift-another").click();
  assert.match(await byId(page, "shift").locator("h1").innerText(), /^Shift \d+$/);
  assert.equal((await signs(page)).indexOf("now"), 0);
  await close(page);
});

test("in inches no millimetre is left in a shift", async () => {
  const page = await site.open({ hash: "shift", now: DAY, storage: { "nudgeproof.setting.units": "in" } });
  await byId(page, "shift").waitFor();
  for (let i = 0; i < PARTS; i += 1) {
    const text = await byId(page, "shift").innerText();
    assert.ok(!/\bmm\b/.test(text), text);
    await onByKeys(page, 1);
  }
  assert.ok(!/\bmm\b/.test(await byId(page, "shift").innerText()), "nor in its result");
  await close(page);
});

test("on a phone the decisions are on the screen, whatever is scrolled", async () => {
  const page = await site.open({ hash: "shift", now: DAY, size: SIZES.phone });
  for (const where of [0, 400]) {
    await page.evaluate((y) => window.scrollTo(0, y), where);
    for (const id of ["shift-go-on", "shift-look", "shift-stop"]) {
      const box = await byId(page, id).boundingBox();
      assert.ok(box.y >= 0 && box.y + box.height <= SIZES.phone.height, `${id} at ${JSON.stringify(box)}`);
      assert.ok(box.height >= 40 && box.width >= 44, `${id} is a target`);
    }
  }
  await close(page);
});
