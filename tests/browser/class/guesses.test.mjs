// The class guesses: hands are counted by keys, hidden while they come in, and shown after.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { violations } from "../lib/axe.mjs";
import { CASE, LESSON_SEED } from "../lib/cases.mjs";
import { classWindow, partner, plant } from "../lib/instructor.mjs";
import { byId, close, keys, SIZES, start, text } from "../lib/page.mjs";
import { CAUTION_READ, SESSION } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

const ready = (more) => site.open({ hash: "bench", storage: { ...CAUTION_READ, [SESSION]: CASE }, ...more });
const shown = (page) => byId(page, "now").locator("[data-testid^=hands-][data-value]").evaluateAll((all) => all.map((e) => e.dataset.value));
const HANDS = "hands-counted";

test("what is wrong: hands by keys, hidden until they are shown, and the right answer once it is revealed", async () => {
  const page = await ready({ size: SIZES.projector });
  await page.keyboard.press("Alt+p");
  await plant(page, "wire-bent");
  await page.keyboard.press("Alt+z");
  const answers = await byId(page, "class-question").locator("li > span:first-child").allTextContents();
  assert.equal(answers.length, 4);
  assert.ok(answers.includes("the wire is bent"), answers.join());
  await keys(page, "1", "3", "3", "4", "3");
  assert.equal(await text(page, HANDS), "Hands counted: 5");
  assert.deepEqual(await shown(page), [], "hidden while they come in");
  assert.equal(await byId(page, "class-question").locator("[data-right=true]").count(), 0);
  await page.keyboard.press("Alt+z");
  assert.deepEqual(await shown(page), ["1", "0", "3", "1"]);
  assert.equal(await byId(page, "class-question").locator("[data-right=true]").count(), 0, "still a secret");
  await keys(page, "1");
  assert.deepEqual(await shown(page), ["1", "0", "3", "1"], "counted no more");
  await page.keyboard.press("Alt+r");
  const right = await byId(page, "class-question").locator("[data-right=true] > span").first().textContent();
  assert.equal(right, "the wire is bent");
  assert.deepEqual(await violations(page), []);
  await page.keyboard.press("Alt+z");
  assert.equal(await byId(page, "class-question").count(), 0);
  await close(page);
});

test("a reveal shows the hands", async () => {
  const page = await ready();
  await page.keyboard.press("Alt+m");
  await page.keyboard.press("Alt+z");
  await keys(page, "2");
  await page.keyboard.press("Alt+r");
  const right = await byId(page, "class-question").locator("[data-right=true] > span").first().textContent();
  assert.equal(right, "the part was moved");
  assert.equal((await shown(page)).reduce((sum, n) => sum + Number(n), 0), 1);
  await close(page);
});

test("what is wrong goes with the work it was asked about: a lesson begun after it asks its own", async () => {
  const page = await ready();
  await page.keyboard.press("Alt+z");
  await byId(page, "class-question").waitFor();
  await byId(page, "go-lessons").click();
  await byId(page, "start-what-follows").click();
  await byId(page, "answer-1").click();
  assert.equal(await byId(page, "class-question").count(), 0);
  await close(page);
});

test("keys that are typed stay typing, and count nothing where nothing is asked", async () => {
  const page = await ready();
  await keys(page, "1", "2");
  await page.keyboard.press("Alt+z");
  assert.equal(await byId(page, HANDS).count(), 0, "nothing was asked before");
  await byId(page, "torch-x").fill("");
  await byId(page, "torch-x").pressSequentially("123");
  assert.equal(await byId(page, "torch-x").inputValue(), "123");
  assert.equal(await byId(page, HANDS).count(), 0, "typing");
  await byId(page, "torch-x").press("Enter");
  await byId(page, "help").focus();
  await keys(page, "2");
  assert.equal(await text(page, HANDS), "Hands counted: 1");
  await close(page);
});

test("a lesson's question is guessed and answered on the projector, and the hands stand beside the answer", async () => {
  const page = await site.open({ hash: "lessons", seed: LESSON_SEED, storage: CAUTION_READ, size: SIZES.projector });
  await byId(page, "start-what-follows").click();
  await byId(page, "ask").waitFor();
  await page.keyboard.press("Alt+p");
  assert.ok(await byId(page, "ask").isVisible(), "the question is on the projector");
  await keys(page, "1", "2", "2");
  assert.deepEqual(await shown(page), []);
  assert.equal(await text(page, HANDS), "Hands counted: 3");
  await byId(page, "answer-2").click();
  assert.deepEqual((await shown(page)).slice(0, 2), ["1", "2"], "beside the answers");
  await keys(page, "1");
  assert.deepEqual((await shown(page)).slice(0, 2), ["1", "2"], "counted no more");
  await keys(page, "7");
  await page.keyboard.press("Control+Enter");
  await byId(page, "answer-outcome").waitFor({ state: "attached" });
  await close(page);
});

test("hands are counted in the instructor's window too, by mouse, and taken away", async () => {
  const page = await ready();
  const window = await classWindow(page);
  await partner(window, "there");
  await byId(window, "ask-class").click();
  await byId(window, "question").waitFor();
  for (const id of ["count-1", "count-2", "count-2"]) await byId(window, id).click();
  await byId(window, "counted-2").filter({ hasText: "2" }).waitFor();
  await byId(window, "uncount-1").click();
  await byId(window, "counted-1").filter({ hasText: "0" }).waitFor();
  assert.equal(await text(page, HANDS), "Hands counted: 2");
  await page.bringToFront();
  await keys(page, "4");
  await byId(window, "counted-4").filter({ hasText: "1" }).waitFor();
  await byId(window, "show-hands").click();
  await byId(page, "hands-2").waitFor();
  assert.deepEqual(await shown(page), ["0", "2", "0", "1"]);
  await byId(window, "put-away").click();
  await byId(window, "no-question").waitFor();
  assert.equal(await byId(page, "class-question").count(), 0);
  await close(page);
});
