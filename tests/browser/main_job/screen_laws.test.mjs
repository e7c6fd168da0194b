// What holds of the bench at every size: the picture is the page, nothing is told before it is seen,
// nothing old is shown as if it were true, and nothing jumps.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { CASE, LESSON_SEED, session } from "../lib/cases.mjs";
import * as learner from "../lib/learner.mjs";
import { atStage, stage } from "../lib/lesson.mjs";
import { byId, close, SIZES, start, text } from "../lib/page.mjs";
import { CAUTION_READ, SESSION } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

const WORKED = { ...CAUTION_READ, [SESSION]: CASE };
const moving = (options) => site.open({ hash: "bench", storage: WORKED, reducedMotion: "no-preference", ...options });

/** The plan as it stands in the window: its share of it, and whether all of it can be seen. */
const plan = (page) =>
  page.evaluate(() => {
    const b = document.querySelector("[data-testid=sheet]").getBoundingClientRect();
    const r = document.querySelector("#clip-plan rect");
    const [x, y, w, h] = ["x", "y", "width", "height"].map((name) => Number(r.getAttribute(name)));
    return {
      share: (w * h) / (innerWidth * innerHeight),
      inView: b.left + x >= 0 && b.top + y >= 0 && b.left + x + w <= innerWidth && b.top + y + h <= innerHeight && scrollY === 0,
    };
  });

for (const [name, least] of [["desk", 0.55], ["projector", 0.6], ["phone", 0.3]]) {
  test(`${name}: the plan has its share of the window, and stays while a run plays`, async () => {
    const page = await moving({ size: SIZES[name] });
    if (name === "projector") await page.keyboard.press("Alt+p");
    const atRest = await plan(page);
    await page.keyboard.press("Control+Enter");
    await page.waitForFunction(() => document.querySelector("[data-testid=verdict]").dataset.verdict === "running");
    for (const seen of [atRest, await plan(page)]) {
      assert.ok(seen.share >= least, `${seen.share.toFixed(3)} of the window`);
      assert.ok(seen.inView, "all of it in view");
    }
    await close(page);
  });
}

test("nothing of a run is told before its moment plays", async () => {
  const page = await moving();
  await byId(page, "tab-readings").click();
  await byId(page, "run").click();
  await byId(page, "pause").click();
  assert.equal(await learner.verdict(page), "running");
  assert.equal(await byId(page, "later").count(), 0, "no step has its number");
  assert.equal(await byId(page, "offset-found").count(), 0, "no offset");
  assert.equal(await byId(page, "seam-miss-end").count(), 0, "no miss");
  assert.equal(await byId(page, "readings").locator("tbody tr").count(), 0, "no reading");
  assert.equal(await byId(page, "score").count(), 0, "no score");
  assert.equal(await byId(page, "no-findings").count(), 0, "no verdict of the coach");
  await byId(page, "go-record").click();
  await byId(page, "runs").locator("tbody tr").first().waitFor();
  const runs = await byId(page, "runs").locator("tbody tr").count();
  await byId(page, "go-bench").click();
  await byId(page, "run-end").click();
  assert.equal(await byId(page, "later").count(), 4, "at its end each feel has its number");
  assert.equal(await learner.verdict(page), "on-seam");
  await byId(page, "go-record").click();
  await byId(page, "runs").locator("tbody tr").first().waitFor();
  assert.equal(await byId(page, "runs").locator("tbody tr").count(), runs + 1, "and the record the run");
  await close(page);
});

test("a stage of a lesson is passed once its run has been seen", async () => {
  const page = await site.open({ seed: LESSON_SEED, storage: CAUTION_READ, reducedMotion: "no-preference" });
  await byId(page, "start-slide-and-turn").click();
  await learner.teachRoutine(page);
  await learner.freedoms(page, "x", "y", "turn");
  await learner.flag(page, true);
  const before = await stage(page);
  await byId(page, "run").click();
  await byId(page, "pause").click();
  assert.equal(await stage(page), before, "while it plays");
  await byId(page, "run-end").click();
  await atStage(page, before + 1);
  await close(page);
});

test("results of a run are marked as past once the part or the routine is another", async () => {
  const page = await site.open({ hash: "bench", storage: WORKED });
  const past = () => byId(page, "verdict").evaluate((e) => e.classList.contains("past"));
  assert.equal(await past(), false);
  await byId(page, "nudge-random").click();
  assert.equal(await past(), true);
  assert.match(await text(page, "verdict"), /run \d, before the part was moved/);
  await page.keyboard.press("Control+z");
  assert.equal(await past(), false, "taken back");
  await learner.add(page, "go-to");
  assert.match(await text(page, "verdict"), /run \d, before the routine was changed/);
  await close(page);
});

test("the step that runs stays in view", async () => {
  const page = await moving({ viewport: { width: 1366, height: 620 } });
  await byId(page, "run").click();
  await byId(page, "pause").click();
  for (let moments = 0; moments < 14; moments += 1) await byId(page, "moment-on").click();
  const hidden = await page.evaluate(() => {
    const row = document.querySelector(".step.running").getBoundingClientRect();
    const list = document.querySelector("[data-testid=step-list]").getBoundingClientRect();
    return row.top < list.top - 1 || row.bottom > list.bottom + 1;
  });
  assert.equal(hidden, false);
  await close(page);
});

test("no region changes its place or size when something is said, run, nudged or missed", async () => {
  const page = await site.open({ hash: "bench", storage: WORKED });
  const regions = () =>
    page.evaluate(() =>
      ["[data-testid=sheet]", "[data-testid=now]", "[data-testid=step-list]", "[data-testid=run-bar]", "[data-testid=palette]"].map((s) => {
        const b = document.querySelector(s).getBoundingClientRect();
        return [s, b.left, b.top, b.width, b.height].join(" ");
      }));
  const before = await regions();
  await byId(page, "nudge-random").click();
  assert.deepEqual(await regions(), before, "nudged");
  await learner.flag(page, true);
  await learner.run(page);
  assert.deepEqual(await regions(), before, "run on the moved part");
  await learner.flag(page, false);
  await byId(page, "nudge-reset").click();
  await learner.run(page);
  await learner.coached(page);
  assert.deepEqual(await regions(), before, "and missed");
  await close(page);
});

test("what a prediction is about stays in view while it is asked", async () => {
  for (const size of [SIZES.desk, SIZES.projector]) {
    const page = await site.open({ size, seed: 20, hash: "lessons", storage: CAUTION_READ });
    await byId(page, "start-what-follows").click();
    await byId(page, "sure-3").waitFor();
    const covered = await page.evaluate(() => {
      const box = (e) => e.getBoundingClientRect();
      const ask = box(document.querySelector("[data-testid=ask]"));
      const apart = (b) => b.right <= ask.left + 1 || b.left >= ask.right - 1 || b.bottom <= ask.top + 1 || b.top >= ask.bottom - 1;
      // What a pointer would meet in the middle of it.
      const onTop = (e) => {
        const b = box(e);
        return e.contains(document.elementFromPoint((b.left + b.right) / 2, (b.top + b.bottom) / 2));
      };
      const underCard = (e) => {
        const b = box(e);
        return Boolean(document.elementFromPoint((b.left + b.right) / 2, (b.top + b.bottom) / 2)?.closest("[data-testid=now]"));
      };
      const followed = [...document.querySelectorAll("[data-testid=step-select]")].slice(-8);
      return {
        part: !apart(box(document.querySelector("[data-testid=part]"))),
        steps: followed.filter(underCard).length,
        buttons: [...document.querySelectorAll("[data-testid=ask] button, [data-testid=nudge-random], [data-testid=torch-x]")].filter((e) => !onTop(e)).length,
      };
    });
    assert.deepEqual(covered, { part: false, steps: 0, buttons: 0 }, `${size.width} pixels`);
    await close(page);
  }
});

test("what a run is through with folds while it plays, and unfolds at its end", async () => {
  const page = await moving({ prepare: (page) => page.clock.install() });
  const rows = () => byId(page, "step-list").locator("li.step:visible").count();
  const all = await rows();
  await page.clock.pauseAt(new Date(Date.now() + 1000));
  await byId(page, "run").click();
  await page.clock.runFor(1000);
  assert.equal(await rows(), all, "nothing is done yet");
  await page.clock.runFor(15_000);
  assert.equal(await rows(), all - 7, "sensing on and off, with what is between them, in one row");
  assert.match(await byId(page, "step-list").locator(".fold-count:visible").textContent(), /and 7 more, done/);
  await byId(page, "run-end").click();
  assert.equal(await rows(), all);
  await close(page);
});

test("a line leads from the finding to what it speaks of on the plan", async () => {
  const page = await site.open({ hash: "bench", storage: { ...CAUTION_READ, [SESSION]: session("home-rides-along") } });
  await learner.coached(page);
  const ends = await page.evaluate(() => {
    const middle = (b) => [(b.left + b.right) / 2, (b.top + b.bottom) / 2];
    const ring = middle(document.querySelector("[data-testid=now-line] circle").getBoundingClientRect());
    const line = document.querySelector("[data-testid=now-line] path").getBoundingClientRect();
    const now = document.querySelector("[data-testid=now]").getBoundingClientRect();
    return { ring, right: line.right, now: now.left };
  });
  const home = await byId(page, "point-home").locator("path, use").first().boundingBox();
  const [x, y] = [home.x + home.width / 2, home.y + home.height / 2];
  assert.ok(Math.hypot(ends.ring[0] - x, ends.ring[1] - y) < 6, `round home: ${ends.ring}, and home at ${x}, ${y}`);
  assert.ok(Math.abs(ends.right - ends.now) < 4, `from the card: ${ends.right}, ${ends.now}`);
  await close(page);
});
