// The lessons about the sensing circuit and about a shift, as their learners take them.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { violations } from "../lib/axe.mjs";
import { nudgeproof } from "../lib/cli.mjs";
import { goTo, press } from "../lib/keyboard.mjs";
import { atStage, finished, records, score } from "../lib/lesson.mjs";
import { byId, close, keys, SIZES, start } from "../lib/page.mjs";
import { CAUTION_READ } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

const LOOKS = ["wire-tip", "clamps", "part", "work-lead"];
const solution = (name, seed) => JSON.parse(nudgeproof("lessons", "solve", name, "--seed", String(seed))).actions;
const signs = (page) => byId(page, "tray").locator("span").evaluateAll((all) => all.map((e) => e.dataset.sign));

/** Does what is decided and answered in the lesson about a shift, by keys. */
async function byKeys(page, actions) {
  for (const a of actions) {
    if (a.action === "predict") {
      await press(page, `answer-${a.answer}`);
      if (a.certainty) await keys(page, "7");
    } else if (a.what.decide === "look") {
      const at = LOOKS.indexOf(a.what.at);
      if (!(await byId(page, `look-${at + 1}`).isChecked())) {
        await goTo(page, `look-${LOOKS.indexOf(await chosen(page)) + 1}`);
        while (!(await byId(page, `look-${at + 1}`).isChecked())) await keys(page, "ArrowDown");
      }
      await keys(page, "l");
    } else {
      await keys(page, a.what.decide === "stop" ? "s" : "g");
    }
  }
}

const chosen = (page) =>
  page.evaluate((looks) => looks.find((_, i) => document.querySelector(`[data-testid=look-${i + 1}]`).checked), LOOKS);

test("a shift in a lesson, by keyboard alone: read, foretell, decide, and kept on record", async () => {
  const page = await site.open({ seed: 35, hash: "lessons", storage: CAUTION_READ });
  await press(page, "start-forty-parts");
  await atStage(page, 1);
  const actions = solution("forty-parts", 35).filter((a) => ["decide", "predict"].includes(a.action));
  await byKeys(page, actions.slice(0, 8));
  const before = (await signs(page)).indexOf("now");
  await keys(page, "g");
  assert.equal((await signs(page)).indexOf("now"), before, "the next part waits for the answer");
  assert.match(await byId(page, "notice").textContent(), /Answer the question/);
  await byKeys(page, actions.slice(8, 9));
  await atStage(page, 2);
  await keys(page, "g");
  assert.equal((await signs(page)).indexOf("now"), before, "and for the prediction");
  await byKeys(page, actions.slice(9, 11));
  await atStage(page, 3);
  assert.ok(await byId(page, "undo").isDisabled(), "what was decided stays");

  const rest = actions.slice(11);
  await byKeys(page, rest.slice(0, 10));
  const [now, says] = [await signs(page), await byId(page, "shift-now").innerText()];
  await page.reload();
  await atStage(page, 3);
  assert.deepEqual([await signs(page), await byId(page, "shift-now").innerText()], [now, says], "a reload goes on with it");
  await byKeys(page, rest.slice(10, -1));
  await atStage(page, 4);
  assert.ok((await byId(page, "troubles").locator("li").count()) > 0, "what was wrong is told at the end");
  await byKeys(page, rest.slice(-1));
  await finished(page);
  assert.equal(await score(page), 100);
  const [kept] = await records(page);
  assert.deepEqual([kept.lesson, kept.seed, kept.score, kept.shift.scrap], ["forty-parts", 35, 100, 0]);
  assert.deepEqual(await violations(page), []);
  await close(page);
});

test("whoever goes on with whatever is found does not pass the shift", async () => {
  const page = await site.open({ seed: 36, hash: "lessons", storage: CAUTION_READ });
  await byId(page, "start-forty-parts").click();
  const answer = async (certain) => {
    await byId(page, "answer-1").click();
    if (certain) await byId(page, "sure-3").click();
  };
  for (let part = 0; part < 40; part += 1) {
    if (part === 8) {
      await answer(false);
      await atStage(page, 2);
      await answer(true);
    }
    await byId(page, (await byId(page, "shift-go-on").isDisabled()) ? "shift-stop" : "shift-go-on").click();
  }
  await answer(false);
  await finished(page);
  assert.ok((await score(page)) < 80);
  assert.match(await byId(page, "lesson-next").textContent(), /again|another/i, "and it is offered again");
  assert.ok((await signs(page)).includes("scrap"));
  await close(page);
});

for (const [name, size] of Object.entries(SIZES)) {
  test(`what the words point at is on the screen: ${name}`, async () => {
    const page = await site.open({ seed: 35, size, hash: "lessons", storage: CAUTION_READ });
    await byId(page, "start-forty-parts").click();
    await atStage(page, 1);
    const inside = async (id) => {
      const box = await byId(page, id).first().boundingBox();
      return box.y >= 0 && box.y + box.height <= size.height && box.x >= 0 && box.x + box.width <= size.width;
    };
    for (const id of ["shift-go-on", "shift-look", "shift-stop"]) assert.ok(await inside(id), id);
    // On a phone the charts lie under the words, and stay where they were scrolled to.
    if (size === SIZES.phone) await byId(page, "chart-y").scrollIntoViewIfNeeded();
    for (let i = 0; i < 8; i += 1) await byId(page, "shift-go-on").click();
    assert.ok(await inside("chart-y"), "the chart that is read");
    assert.match(await byId(page, "chart-y").innerText(), / to /, "with its limits");
    assert.equal(await page.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth), true);
    await close(page);
  });
}

test("the sensing circuit: what the last run read, a prediction, then cause and mend", async () => {
  // A seed with the work lead off: its runs feel nothing.
  const seed = 40;
  const actions = solution("sensing-circuit", seed);
  const page = await site.open({ seed, hash: "lessons", storage: CAUTION_READ });
  await byId(page, "start-sensing-circuit").click();
  await atStage(page, 1);
  assert.ok((await byId(page, "evidence").locator("> li").count()) >= 4, "the runs stand below the question");
  const answers = actions.filter((a) => a.action === "predict");
  assert.equal(answers[0].answer, 3, "nothing felt");
  await byId(page, "answer-3").click();
  await atStage(page, 2);
  await byId(page, "look-work-lead").click();
  await byId(page, "answer-3").click();
  await byId(page, "sure-3").click();
  await byId(page, "run").click();
  await atStage(page, 3);
  assert.equal(await byId(page, "answer-outcome").getAttribute("data-right"), "true");
  await byId(page, "cause-work-lead-off").check();
  await byId(page, "by-work-lead-off").selectOption("look-work-lead");
  await byId(page, "name-causes").click();
  await atStage(page, 4);
  await byId(page, "mend-fasten-lead").click();
  await byId(page, "mend-cut-wire").click();
  await byId(page, "run-full").click();
  await byId(page, "arc").click();
  await byId(page, "run").click();
  await finished(page);
  assert.ok((await score(page)) >= 97, "the look took two minutes that the runs had told already");
  await close(page);
});
