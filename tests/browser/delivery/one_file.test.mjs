// The one file, opened from disk: no server, no network.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { pathToFileURL } from "node:url";
import { CASE, file, TOLERANCE } from "../lib/cases.mjs";
import * as learner from "../lib/learner.mjs";
import { PACKED } from "../lib/packed.mjs";
import { byId, close, start, started } from "../lib/page.mjs";
import { CAUTION_READ, SESSION, stored } from "../lib/storage.mjs";

const site = await start({ folder: `${PACKED}site/` });
after(site.stop);
const at = pathToFileURL(`${PACKED}nudgeproof.html`).href;

/** A visitor, and what went wrong. */
async function open(options) {
  const page = await site.open({ at, watched: false, ...options });
  page.on("console", (m) => ["error", "warning"].includes(m.type()) && page.faults.push(m.text()));
  page.on("pageerror", (e) => page.faults.push(e.message));
  page.on("request", (r) => !/^(data|blob):/.test(r.url()) && r.url().split("#")[0] !== at && page.faults.push(r.url()));
  return page;
}

test("the main job, from disk: taught by hand, felt, found, welded on the seam", async () => {
  const page = await open({ hash: "bench", storage: CAUTION_READ });
  await learner.teachRoutine(page);
  await learner.freedoms(page, "x", "y", "turn");
  await learner.referenceAndProof(page);
  await learner.nudge(page, 6, -4, 2.5);
  await learner.run(page);
  for (const miss of await learner.misses(page)) {
    assert.ok(Math.abs(miss) < TOLERANCE, `${miss} mm at the seam`);
  }
  const work = await stored(page, SESSION);
  assert.ok(work.includes('"run"'), "the work is stored");
  await page.reload();
  await started(page);
  assert.equal(await stored(page, SESSION), work, "and is there again");
  await close(page);
});

test("a session opens from a file, a lesson begins, and a study runs in workers", async () => {
  const page = await open({ hash: "record", storage: CAUTION_READ });
  await byId(page, "import-session").setInputFiles(file("job.json", CASE, "application/json"));
  await page.getByText("Opened: job.json.").waitFor();
  assert.ok(await learner.number(page, "score") > 90);
  await byId(page, "go-lessons").click();
  await byId(page, "start-one-touch").click();
  await byId(page, "lesson-one-touch").waitFor();
  await byId(page, "go-rehearse").click();
  await byId(page, "own-study").click();
  await byId(page, "study-misses").waitFor();
  await byId(page, "own-study-stop").click();
  await close(page);
});
