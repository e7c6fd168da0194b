// The answer sheet of a lesson: the answers are right for its task number, and it fits on paper.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { violations } from "../lib/axe.mjs";
import { byId, close, start, text } from "../lib/page.mjs";
import { CAUTION_READ } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

/** The sheet of a lesson for this task number. */
async function sheet(page, lesson, number) {
  await byId(page, "answer-lesson").selectOption(lesson);
  await byId(page, "answer-number").fill(String(number));
  await byId(page, "answer-number").press("Enter");
  await page.waitForFunction((n) => document.querySelector("[data-testid=answer-sheet] dl")?.textContent.includes(`Task number${n}`), number);
}

/** The right answers on the sheet, by the number of the task. */
const answers = (page) =>
  byId(page, "answers").locator("tbody tr").evaluateAll((rows) =>
    Object.fromEntries(rows.map((r, i) => [i + 1, r.querySelector(".right-answer").textContent]).filter(([, says]) => says)));

test("the lessons lead to it, and the class's number is its own", async () => {
  const page = await site.open({ hash: "lessons" });
  await byId(page, "class-number").fill("4711");
  await byId(page, "class-number").press("Enter");
  await byId(page, "go-answer-sheet").click();
  await byId(page, "answer-sheet").waitFor();
  assert.equal(await byId(page, "answer-number").inputValue(), "4711");
  await page.evaluate(() => { window.print = () => { document.title = "printed"; }; });
  await byId(page, "print-answers").click();
  assert.equal(await page.title(), "printed");
  assert.deepEqual(await violations(page), []);
  await close(page);
});

test("who answers as the sheet says is right", async () => {
  // At its own seed the weld rides with the part, and home too.
  const page = await site.open({ seed: 16, hash: "answer-sheet", storage: CAUTION_READ });
  await sheet(page, "what-follows", 16);
  const right = await answers(page);
  assert.equal(right[1], "it lands");
  await byId(page, "go-lessons").click();
  await byId(page, "start-what-follows").click();
  await byId(page, "ask").locator("button", { hasText: right[1] }).first().click();
  await byId(page, "sure-3").click();
  await byId(page, "run").click();
  await page.locator(`[data-testid=stage][data-stage="2"]`).waitFor();
  assert.equal(await byId(page, "answer-outcome").getAttribute("data-right"), "true");
  await close(page);
});

test("of a drill it tells the cause and what mends it", async () => {
  const page = await site.open({ hash: "answer-sheet" });
  // What number 24 plants.
  await sheet(page, "when-it-goes-wrong", 24);
  assert.match(await text(page, "answer-cause"), /^What is wrong: the part slips after its touches\..* To mend it: .*clamps/);
  await close(page);
});

for (const format of ["A4", "Letter"]) {
  test(`it fits on one page of ${format}, from the dark page as well`, async () => {
    const page = await site.open({ hash: "answer-sheet", theme: "dark" });
    await sheet(page, "slide-and-turn", 20);
    await page.emulateMedia({ media: "print" });
    const pdf = (await page.pdf({ format })).toString("latin1");
    assert.equal(pdf.match(/\/Type \/Page\b/g).length, 1, "pages");
    assert.equal(await byId(page, "answer-sheet").evaluate((e) => getComputedStyle(e).color), "rgb(0, 0, 0)");
    assert.ok(await byId(page, "print-answers").isHidden());
    await close(page);
  });
}
