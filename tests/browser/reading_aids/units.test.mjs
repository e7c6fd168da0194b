// Inches on request: what is shown and typed, never what is stored.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { violations } from "../lib/axe.mjs";
import { CASE } from "../lib/cases.mjs";
import * as learner from "../lib/learner.mjs";
import { byId, close, start, text } from "../lib/page.mjs";
import * as storage from "../lib/storage.mjs";
import { SESSION } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

/** International inch, mm: exact by definition. */
const INCH = 25.4;
const stored = async (page) => JSON.parse(await storage.stored(page, SESSION));
const inch = (mm) => (mm / INCH).toFixed(3).replace("-", "−");

test("sheet, fields and readings speak inches, files do not, and the choice lasts", async () => {
  const page = await site.open({ hash: "bench", storage: { [SESSION]: CASE } });
  assert.match(await text(page, "title-units"), /^mm/);
  await byId(page, "units-in").click();
  assert.equal(await text(page, "title-units"), "in, °");
  assert.equal(await text(page, "title-tolerance"), `± ${inch(0.6)} in`);
  const worst = Math.max(...(await learner.misses(page)).map(Math.abs));
  assert.match(await text(page, "verdict"), new RegExp(`worst miss .${inch(worst)} in`), "mm in data-value, inches on the sheet");

  await byId(page, "tab-readings").click();
  const dx = await learner.number(page, "found-part-dx");
  assert.equal(await text(page, "found-part-dx"), `+${inch(dx)}`);
  const turn = await learner.number(page, "found-part-turn");
  assert.equal(await text(page, "found-part-turn"), `+${turn.toFixed(2)}`, "a turn stays in degrees");
  assert.deepEqual(await violations(page), []);

  await learner.torchTo(page, 2, -3, 4);
  assert.equal(await byId(page, "torch-x").inputValue(), "2.000");
  await learner.add(page, "go-to");
  const taught = (await stored(page)).actions.findLast((a) => a.action === "teach");
  [2, -3, 4].forEach((v, i) => assert.ok(Math.abs(taught.at[i] - v * INCH) < 1e-9, `${taught.at[i]} mm for ${v} in`));

  await learner.type(page, "nudge-x", 0.1);
  const placed = (await stored(page)).actions.findLast((a) => a.action === "place_part");
  assert.ok(JSON.stringify(placed).includes("2.54"), "the part moved by 2.54 mm");

  await page.reload();
  await byId(page, "bench").waitFor();
  assert.equal(await text(page, "title-units"), "in, °", "kept");
  await byId(page, "units-mm").click();
  assert.match(await text(page, "title-units"), /^mm/);
  assert.equal(await byId(page, "nudge-x").inputValue(), "2.5");
  await close(page);
});

test("lessons and the coach speak inches as well", async () => {
  // Reaches that are too short: the coach speaks of lengths.
  const session = JSON.parse(CASE);
  for (const a of session.actions) if (a.step?.do === "sensing_on") a.step.reach_mm = 17;
  const storage = { [SESSION]: JSON.stringify(session), "nudgeproof.setting.units": "mm" };
  const page = await site.open({ hash: "bench", storage });
  const card = byId(page, "finding-reach-too-short");
  const said = async () => {
    await learner.coached(page);
    return card.locator(".message").textContent();
  };
  const metric = /([\d.]+) mm/.exec(await said());
  assert.ok(metric, await said());
  await byId(page, "units-in").click();
  const inches = /([\d.]+) in\b/.exec(await said());
  assert.ok(Math.abs(Number(inches[1]) * INCH - Number(metric[1])) < 0.13, `${inches[0]} for ${metric[0]}`);
  assert.doesNotMatch(await card.innerText(), /\d mm/);
  assert.doesNotMatch(await text(page, "score-weld"), /\d mm/);
  const mark = byId(page, "mark-reach-too-short").first();
  assert.match(await mark.getAttribute("title"), /\d in\b/, "the mark in the row of the step");
  assert.doesNotMatch(await mark.getAttribute("title"), /\d mm/);

  // A hint with a number in it.
  await byId(page, "go-lessons").click();
  await byId(page, "start-slide-and-turn").click();
  for (const _ of [1, 2, 3]) await byId(page, "hint").click();
  assert.match(await text(page, "stage"), /\d in\b/);
  assert.doesNotMatch(await text(page, "stage"), /\d mm/);
  await close(page);
});

test("a refusal speaks inches", async () => {
  const page = await site.open({ hash: "bench", storage: { [SESSION]: CASE, "nudgeproof.setting.units": "in" } });
  await learner.openStep(page, 2);
  await learner.type(page, "sensing-reach", 50);
  const notice = byId(page, "notice");
  await notice.getByText("That cannot be done").waitFor();
  assert.match(await notice.textContent(), /the reach is 50\.000 in, .* at most 39\.370 in/, "1000 mm");
  await close(page);
});

test("the coach's card, its hints, what happens in a run, and the record follow the unit", async () => {
  // The searches are too fast, and following is never stopped: home is carried along.
  const work = JSON.parse(CASE);
  work.actions = work.actions.filter((a) => a.step?.do !== "stop_following");
  for (const a of work.actions) {
    if (a.step?.do === "sensing_on") a.step.speed_mm_s = 80;
  }
  const storage = { [SESSION]: JSON.stringify(work), "nudgeproof.setting.units": "mm" };
  const page = await site.open({ hash: "bench", storage });
  const fast = byId(page, "finding-feel-too-fast");
  const told = async () => {
    await learner.coached(page);
    const cards = await page.locator("details.finding").allTextContents();
    return [...cards, await text(page, "score-weld")].join("\n");
  };
  // The time line, from its end back to where home is reached.
  const toHome = async () => {
    const slider = byId(page, "run-time");
    for (let share = 1; share > 0.9 && !/Home was carried/.test(await text(page, "moment")); share -= 0.001) {
      await slider.fill(share.toFixed(3));
    }
    return text(page, "moment");
  };
  await fast.waitFor();
  await fast.locator("summary").first().click();
  for (const _ of [1, 2, 3]) await fast.locator("[data-testid=finding-hint]").click();
  const metric = await told();
  assert.match(metric, /lets the wire search at 80 mm\/s: expected at most 60 mm\/s/);
  assert.match(metric, /a speed of 20 mm\/s/, "the hint");
  assert.match(metric, /away from home/);
  const carried = Number(/([\d.]+) mm off/.exec(await toHome())[1]);

  await byId(page, "units-in").click();
  const inches = await told();
  assert.match(inches, /lets the wire search at 3\.15 in\/s: expected at most 2\.36 in\/s/);
  assert.match(inches, /a speed of 0\.79 in\/s/, "the hint");
  assert.doesNotMatch(inches, /\bmm\b/);
  const off = Number(/([\d.]+) in off/.exec(await toHome())[1]);
  assert.ok(Math.abs(off * INCH - carried) < 0.07, `${off} in for ${carried} mm`);

  await byId(page, "go-record").click();
  const record = byId(page, "record-coach");
  await record.getByText("lets the wire search").waitFor();
  assert.doesNotMatch(await record.innerText(), /\bmm\b/);
  assert.match(await record.innerText(), /3\.15 in\/s/);
  await close(page);
});
