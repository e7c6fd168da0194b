// The test before the course: short tasks without help, kept on record, never forced.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { violations } from "../lib/axe.mjs";
import { goTo, press } from "../lib/keyboard.mjs";
import { finished, records } from "../lib/lesson.mjs";
import { byId, close, keys, start } from "../lib/page.mjs";
import { CAUTION_READ } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

const TASKS = 6;
const NOW = new Date("2026-11-25T12:00:00Z");

test("a test by keyboard alone: nothing is told, what is left out counts as not done", async () => {
  const page = await site.open({ seed: 9, now: NOW, hash: "lessons", storage: CAUTION_READ });
  await press(page, "start-test-before");
  await byId(page, "stage").waitFor();
  const names = [];
  for (let task = 0; task < TASKS; task += 1) {
    await byId(page, "leave-out").waitFor();
    names.push(await page.locator("section.lesson").getAttribute("data-testid"));
    for (const help of ["hint", "start-over", "answer-outcome", "well-done"]) {
      assert.equal(await byId(page, help).count(), 0, `no ${help} in a test`);
    }
    if (task === 0) assert.deepEqual(await violations(page), []);
    // What can be read off is answered, whatever it is; the rest is left out.
    const reading = (await byId(page, "sure-1").count()) === 0;
    if (reading) {
      await press(page, "answer-1");
      await finished(page);
      assert.equal(await byId(page, "lesson-score").count(), 0, "no score yet");
      assert.equal(await byId(page, "answer-outcome").count(), 0, "nor what was right");
      await press(page, "lesson-next");
    } else {
      await goTo(page, "leave-out");
      await keys(page, "Enter");
    }
    if (task < TASKS - 1) {
      await page.waitForFunction((before) => {
        const now = document.querySelector("section.lesson")?.dataset.testid;
        return now && now !== before;
      }, names.at(-1));
    }
  }
  await byId(page, "record").waitFor();
  assert.equal(new Set(names.map((n) => n.split("#")[0])).size, TASKS, `no lesson twice: ${names}`);
  const kept = await records(page);
  assert.equal(kept.length, TASKS);
  assert.ok(kept.every((r) => r.lesson.startsWith("before/") && [0, 100].includes(r.score)), JSON.stringify(kept));
  const right = kept.filter((r) => r.score === 100).length;
  assert.match(await byId(page, "result-test-before").textContent(), new RegExp(`${right} of ${TASKS} right`));
  assert.equal(await byId(page, "result-test-after").count(), 0, "not taken yet");
  await press(page, "go-lessons");
  assert.match(await byId(page, "card-test-before").textContent(), new RegExp(`${right} of ${TASKS} right`));
  assert.match(await byId(page, "begin").textContent(), /Begin/, "the course begins with its first lesson all the same");
  await close(page);
});

test("the answer sheet says what to look for, and what goes wrong in a shift", async () => {
  const page = await site.open({ hash: "answer-sheet" });
  assert.match(await byId(page, "watch-for").innerText(), /What to look for/);
  await byId(page, "answer-lesson").selectOption("forty-parts");
  await byId(page, "answer-trouble").first().waitFor();
  assert.match(await byId(page, "answer-trouble").first().innerText(), /^From part \d+.*Look: the/s);
  assert.match(await byId(page, "watch-for").innerText(), /dots between the limits/);
  assert.deepEqual(await violations(page), []);
  await close(page);
});
