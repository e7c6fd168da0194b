// The course as its learners take it: by keyboard alone, with fresh tasks, over a reload.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { nudgeproof } from "../lib/cli.mjs";
import { flag, goTo, press, type } from "../lib/keyboard.mjs";
import { stepNumber } from "../lib/learner.mjs";
import { atStage, finished, records, score, seed, stage } from "../lib/lesson.mjs";
import { byId, close, keys, start, tabTo } from "../lib/page.mjs";
import { CAUTION_READ, SESSION, stored } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

test("a guided lesson, by keyboard alone: say, say how sure, run, see", async () => {
  // One touch, one freedom, at its own seed: the part slides along Y.
  const page = await site.open({ seed: 12, storage: CAUTION_READ });
  await press(page, "start-one-touch");
  await byId(page, "lesson-one-touch").waitFor();

  await flag(page, true);
  await press(page, "run");
  await atStage(page, 2);
  await flag(page, false);
  await press(page, "run");
  await atStage(page, 3);

  await press(page, "cell");
  await type(page, "nudge-y", 5);
  await press(page, "cell");
  await atStage(page, 4);
  // The offset will be 5 mm, next to the fifth choice. The fourth is wrong on purpose.
  await press(page, "answer-4");
  assert.equal(await byId(page, "run").getAttribute("aria-disabled"), "true", "how sure is still to be said");
  await press(page, "sure-1");
  await press(page, "sure-3");
  assert.equal(await byId(page, "sure-3").getAttribute("aria-pressed"), "true", "it may be changed");
  await press(page, "run");
  await atStage(page, 5);
  assert.equal(await byId(page, "answer-outcome").getAttribute("data-right"), "false", "a wrong one is told");
  await press(page, "arc");
  await press(page, "run");
  await finished(page);

  assert.equal(await score(page), 100, "a prediction costs nothing");
  assert.match(await byId(page, "sure-end").textContent(), /Certain: 0 of 1 came true/);
  const [kept] = await records(page);
  assert.deepEqual([kept.lesson, kept.seed, kept.score], ["one-touch", 12, 100]);
  assert.deepEqual(kept.predictions.certain, { said: 1, right: 0 });
  assert.match(await byId(page, "lesson-next").textContent(), /Two faces/, "one thing to do next: the next lesson");
  await goTo(page, "lesson-next");
  await keys(page, "Enter");
  await byId(page, "lesson-two-faces").waitFor();
  await close(page);
});

test("several places on a long frame, by keyboard alone", async () => {
  const name = "several-places";
  const { actions } = JSON.parse(nudgeproof("lessons", "solve", name, "--seed", "41"));
  const predicted = actions.filter((a) => a.action === "predict").map((a) => a.answer);
  const page = await site.open({ seed: 41, storage: CAUTION_READ });
  await press(page, `start-${name}`);
  await byId(page, `lesson-${name}`).waitFor();
  await KEYS.predict(page, { answer: predicted[0], certainty: "certain" });
  await press(page, "run");
  await atStage(page, 2);
  assert.match(await byId(page, "verdict").textContent(), /Missed/, "no touch tells of the right foot");

  await press(page, "nudge-reset");
  await open(page, (await stepNumber(page, "Sensing off", "last")) - 1);
  await press(page, "add-find");
  await type(page, "find-place", "right-end");
  await tickOnly(page, ["x", "y"]);
  await open(page, await stepNumber(page, "Follow part", "last"));
  await goTo(page, "follow-place");
  await keys(page, "r"); // a list goes to what begins with the letter
  assert.equal(await byId(page, "follow-place").inputValue(), "right-end");
  await atStage(page, 3);
  await flag(page, true);
  await press(page, "run");
  await flag(page, false);
  await press(page, "run");
  await atStage(page, 4);

  const { part, bodies } = actions.findLast((a) => a.action === "place_part");
  await press(page, "cell");
  await KEYS.place_part(page, { part });
  // From field to field: the left foot stands before the right one.
  for (const foot of ["left foot", "right foot"]) {
    await type(page, "body-x", bodies[foot].dx);
    await type(page, "body-y", bodies[foot].dy);
  }
  await press(page, "cell");
  await atStage(page, 5);
  await KEYS.predict(page, { answer: predicted[1], certainty: "certain" });
  await press(page, "run");
  await atStage(page, 6);
  await press(page, "arc");
  await press(page, "run");
  await finished(page);
  assert.equal(await score(page), 100);
  assert.match(await byId(page, "sure-end").textContent(), /Certain: 2 of 2 came true/);
  await close(page);
});

test("a refresher, by keyboard alone: short tasks drawn from the record", async () => {
  const now = new Date("2026-11-25T12:00:00Z");
  const today = Math.floor(now / 86_400_000);
  const attempt = { part: "bench-side", landed: true, faults: false, findings: [], aided: [] };
  const record = (lesson, ago, points) => ({ day: today - ago, lesson, seed: 5, score: points, attempt });
  const file = (list) => JSON.stringify({ format: "nudgeproof-records", format_version: 1, records: list });
  const page = await site.open({
    seed: 15,
    now,
    hash: "lessons",
    storage: { ...CAUTION_READ, "nudgeproof.setting.records": file([record("slide-and-turn", 40, 95), record("taught-path", 40, 60)]) },
  });
  assert.match(await byId(page, "refresher-due").textContent(), /^Due now: /);
  await press(page, "start-refresher");
  await byId(page, "stage").waitFor();
  const round = (await stored(page, "nudgeproof.setting.refresher")).split("\n");
  assert.ok(round.length >= 2, `mixed: ${round}`);
  const names = [];
  for (let left = round.length; left > 0; left -= 1) {
    await byId(page, "stage").waitFor();
    names.push(await page.locator("section.lesson").getAttribute("data-testid"));
    await doOneItem(page);
    await finished(page);
    assert.ok((await score(page)) >= 80, `${names.at(-1)} passed`);
    await press(page, "lesson-next");
  }
  assert.equal(new Set(names.map((n) => n.split("#")[0])).size, round.length, `out of different lessons: ${names}`);
  await byId(page, "record").waitFor();
  assert.equal((await records(page)).filter((r) => r.lesson.includes("#")).length, round.length, "each is kept");
  await close(page);
});

/** Does the single stage on the page, whatever it is: as its third hint says. */
async function doOneItem(page) {
  const saved = async () => JSON.parse(await stored(page, SESSION));
  const { lesson, seed: number, actions } = await saved();
  const [name, n] = lesson.split("#");
  const whole = JSON.parse(nudgeproof("lessons", "solve", name, "--seed", String(number))).actions;
  const own = ownPart(whole, actions, Number(n));
  // The list has a place to follow once something finds it.
  const follows = (a) => a.action === "change_step" && a.step.do === "follow";
  const added = own.findLastIndex((a) => a.action === "add_step") + 1;
  const early = own.slice(0, added).filter(follows);
  const inOrder = [...own.slice(0, added).filter((a) => !follows(a)), ...early, ...own.slice(added)];
  for (const action of inOrder) await doAction(page, action);
}

/** What of the whole solution is still to be done after what has been done already. */
function ownPart(whole, begun, n) {
  const rest = whole.slice(begun.length);
  const next = rest.findIndex((a) => a.action === "predict" && a.stage > n);
  return next < 0 ? rest : rest.slice(0, next);
}

const KEYS = {
  teach: async (page, { at }) => {
    for (const [i, axis] of ["x", "y", "z"].entries()) await type(page, `torch-${axis}`, at[i]);
  },
  add_step: async (page, { at, step }) => {
    if (at !== undefined) await open(page, at); // the new one goes in below it
    const pieces = { weld_start: "weld-from", weld_through: "weld-through", weld_end: "weld-to", trim_wire: "trim" };
    const move = step.to === "home" ? "home" : "go-to";
    await press(page, `add-${step.do === "move" ? move : (pieces[step.do] ?? step.do.replace("_", "-"))}`);
    if (step.do === "find") {
      if (step.place !== "part") await type(page, "find-place", step.place);
      await tickOnly(page, step.may);
    }
    if (at !== undefined || step.do === "find") await closeStep(page);
  },
  change_step: async (page, { step }) => {
    if (step.do === "find") {
      await open(page, await stepNumber(page, "Find "));
      await tickOnly(page, step.may);
    } else {
      assert.equal(step.do, "follow", "of the steps this test changes a find or a follow");
      await open(page, await stepNumber(page, "Follow ", "last"));
      await goTo(page, "follow-place");
      await keys(page, step.place[0]); // a list goes to what begins with the letter
    }
    await closeStep(page);
  },
  look: (page, a) => press(page, `look-${a.at}`),
  name: async (page, { causes }) => {
    for (const { cause, by } of causes) {
      await goTo(page, `cause-${cause}`);
      await keys(page, "Space");
      if (by) await choose(page, `by-${cause}`, by.look ? `look-${by.look}` : `run-${by.reading.run}-${by.reading.what}`);
    }
    await press(page, "name-causes");
  },
  reveal: () => {}, // comes with the right cause
  mend: (page, a) => press(page, `mend-${a.by}`),
  cut_wire: async (page) => {
    if (await byId(page, "mend-cut-wire").isVisible()) return press(page, "mend-cut-wire");
    if (!(await byId(page, "cut-wire-to").isVisible())) {
      await tabTo(page, '[data-testid="bench-panel"] > summary', 400);
      await keys(page, "Enter");
    }
    return press(page, "cut-wire-to");
  },
  predict: async (page, a) => {
    await press(page, `answer-${a.answer}`);
    if (a.certainty) await press(page, "sure-3");
  },
  set_reference: (page, a) => flag(page, a.on),
  set_cell: async (page, a) => {
    const lockedOut = await byId(page, "cell").getAttribute("aria-checked");
    if (lockedOut !== String(a.state === "locked_out")) await press(page, "cell");
  },
  run: async (page, a) => {
    if ((await byId(page, "arc").getAttribute("aria-checked")) !== String(a.arc ?? false)) await press(page, "arc");
    const [to, from, key] = a.speed === "full" ? ["run-full", "run-reduced", "ArrowRight"] : ["run-reduced", "run-full", "ArrowLeft"];
    if (!(await byId(page, to).isChecked())) {
      await goTo(page, from);
      await keys(page, key);
    }
    await press(page, "run");
  },
  place_part: async (page, a) => {
    const { dx = 0, dy = 0, turn_deg: turn = 0 } = a.part;
    const bodies = Object.values(a.bodies ?? {});
    if (bodies.length > 0 && [a.part, ...bodies].every((pose) => Object.values(pose).every((v) => v === 0))) {
      return press(page, "nudge-reset");
    }
    await type(page, "nudge-x", dx);
    await type(page, "nudge-y", dy);
    await type(page, "nudge-turn", turn);
    // From field to field, body by body.
    for (const body of bodies) {
      await type(page, "body-x", body.dx);
      await type(page, "body-y", body.dy);
    }
  },
};

/** Goes down a list to this choice. */
async function choose(page, id, wanted) {
  await goTo(page, id);
  const choices = await byId(page, id).locator("option").count();
  for (let i = 0; i < choices && (await byId(page, id).inputValue()) !== wanted; i += 1) await keys(page, "ArrowDown");
  assert.equal(await byId(page, id).inputValue(), wanted);
}

/** Goes to the step at this place, from 1, and opens it. */
async function open(page, n) {
  await goTo(page, "step-select");
  const at = () => page.evaluate(() => Number(document.activeElement.closest("[data-testid^=step-]:not(button)")?.dataset.testid.slice(5)));
  for (let i = 0; i < 100 && (await at()) !== n; i += 1) await keys(page, (await at()) < n ? "ArrowDown" : "ArrowUp");
  assert.equal(await at(), n, "the step in focus");
  await keys(page, "Enter");
}

/** Closes the step that is open, so that the next one goes in at the end. */
async function closeStep(page) {
  await goTo(page, "step-select");
  await keys(page, "Escape");
}

/** Ticks these boxes of the find that is open, and no other. */
async function tickOnly(page, may) {
  // A find opens as it is added.
  await byId(page, "may-x").waitFor();
  for (const freedom of ["x", "y", "height", "turn", "tilt_x", "tilt_y"]) {
    const box = `may-${freedom.replace("_", "-")}`;
    if ((await byId(page, box).isChecked()) === may.includes(freedom)) continue;
    await goTo(page, box);
    await keys(page, " ");
  }
}

async function doAction(page, action) {
  if (await byId(page, "lesson-finished").isVisible()) return;
  const by = KEYS[action.action];
  assert.ok(by, `this test has no keys for ${action.action}`);
  await by(page, action);
}

test("every attempt is another task, and a reload goes on with the same one", async () => {
  const page = await site.open({ hash: "lessons", storage: CAUTION_READ });
  const places = new Set();
  for (let i = 0; i < 4; i += 1) {
    await byId(page, "go-lessons").click();
    await byId(page, "start-what-follows").click();
    places.add(await seed(page));
  }
  assert.equal(places.size, 4, "four fresh seeds");
  await byId(page, "hint").click();
  await byId(page, "answer-2").click();
  const before = [await seed(page), await stage(page)];
  const say = await byId(page, "stage").textContent();
  await page.reload();
  await byId(page, "stage").waitFor();
  assert.deepEqual([await seed(page), await stage(page)], before, "the same attempt, as far as it was");
  assert.equal(await byId(page, "stage").textContent(), say, "with its texts, its answer and its hint");

  // Undo goes back to the start of the lesson, not past it; starting over can be undone.
  await byId(page, "undo").click();
  await byId(page, "undo").click();
  assert.equal(await byId(page, "undo").isDisabled(), true, "the start of the lesson stays");
  assert.ok((await byId(page, "step-list").locator(".words").count()) > 0, "with its routine");
  await byId(page, "answer-1").click();
  await byId(page, "start-over").click();
  assert.notEqual(await seed(page), before[0], "another task");
  await byId(page, "undo").click();
  assert.equal(await seed(page), before[0], "and back");
  assert.equal(await byId(page, "answer-1").getAttribute("aria-pressed"), "true", "with what had been done");
  await close(page);
});

test("a run waits for its prediction, and says so", async () => {
  const page = await site.open({ seed: 16, hash: "lessons", storage: CAUTION_READ });
  await byId(page, "start-what-follows").click();
  assert.equal(await byId(page, "run").getAttribute("aria-disabled"), "true");
  await byId(page, "run").click({ force: true });
  assert.match(await byId(page, "notice").textContent(), /Answer the question/);
  assert.match(await byId(page, "title-run").textContent(), /^2 · proof run$/, "nothing was run");
  await page.waitForFunction(() => document.activeElement?.dataset.testid === "answer-1");
  await keys(page, "9");
  assert.equal(await byId(page, "sure-3").isDisabled(), true, "nothing is said yet of which one could be sure");
  await keys(page, "Enter");
  assert.equal(await byId(page, "run").getAttribute("aria-disabled"), "true", "and how sure one is");
  assert.equal(await byId(page, "coach-silent").count(), 1, "the coach tells nothing meanwhile");
  await keys(page, "8", "9");
  assert.equal(await byId(page, "sure-3").getAttribute("aria-pressed"), "true");
  assert.equal(await byId(page, "run").getAttribute("aria-disabled"), null);
  await byId(page, "run").click();
  await atStage(page, 2);
  await close(page);
});

test("alone, the number of an answer gives it, and no hands are counted", async () => {
  const page = await site.open({ seed: 20, hash: "lessons", storage: CAUTION_READ });
  await byId(page, "start-what-follows").click();
  await byId(page, "answer-2").waitFor();
  await page.evaluate(() => document.activeElement?.blur());
  await keys(page, "2", "8");
  assert.equal(await byId(page, "answer-2").getAttribute("aria-pressed"), "true");
  assert.equal(await byId(page, "sure-2").getAttribute("aria-pressed"), "true");
  assert.equal(await byId(page, "hands-counted").count(), 0);
  await close(page);
});
