// Files out and in: the session, the log, the record; and the session replayed by the command line.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { CASE, file, LESSON_SEED } from "../lib/cases.mjs";
import { nudgeproof } from "../lib/cli.mjs";
import * as learner from "../lib/learner.mjs";
import { records } from "../lib/lesson.mjs";
import { byId, close, savedFile, start } from "../lib/page.mjs";
import { SESSION, stored } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

test("a file is opened, and a broken one is refused in one sentence that names it", async () => {
  const page = await site.open({ hash: "bench" });
  await learner.teachHome(page);
  const good = await stored(page, SESSION);
  await byId(page, "go-record").click();
  await byId(page, "fresh-session").click();
  const open = (name, text) => byId(page, "import-session").setInputFiles(file(name, text, "application/json"));
  await open("torn.json", good.slice(0, 40));
  await page.getByText(/torn\.json cannot be opened: line \d+/).waitFor();
  await open("good.json", good);
  await page.getByText("Opened: good.json.").waitFor();
  await byId(page, "go-bench").click();
  await byId(page, "bench").waitFor();
  assert.deepEqual(await learner.steps(page), ["Go to home"], "the work of the file");
  await close(page);
});

// Builds the command line if it is not built yet.
test("the file it saves replays natively to the same numbers", { timeout: 600_000 }, async () => {
  const page = await site.open({ hash: "lessons", seed: LESSON_SEED });
  await byId(page, "start-slide-and-turn").click();
  await learner.teachRoutine(page);
  await learner.freedoms(page, "x", "y", "turn");
  await learner.referenceAndProof(page);
  await learner.nudge(page, 6, -4, 2.5);
  await byId(page, "answer-1").click();
  await byId(page, "sure-1").click();
  await learner.run(page);
  const shown = await learner.misses(page);

  await byId(page, "go-record").click();
  const score = await learner.number(page, "score");
  const saved = await savedFile(page, byId(page, "export-session"));
  assert.equal(saved.text, await stored(page, SESSION), "what is stored is what is saved");

  const replayed = JSON.parse(nudgeproof("replay", saved.path, "--json"));
  const weld = replayed.runs.at(-1).seam_misses.at(-1);
  const native = [weld.start.across_mm, weld.end.across_mm];
  // Sine and cosine of the two machines may differ in their last bit; a hundredth is shown.
  native.forEach((mm, i) => assert.ok(Math.abs(mm - shown[i]) < 1e-9, `${mm} mm natively, ${shown[i]} on the page`));
  assert.equal(replayed.score.total, score, "the score");
  await close(page);
});

test("the log is exported as CSV and as JSON", async () => {
  const page = await site.open({ hash: "record", storage: { [SESSION]: CASE } });
  const save = async (id) => (await savedFile(page, byId(page, id))).text;
  const csv = await save("export-csv");
  assert.equal(csv.split("\n")[0].trim(), "run,time_s,step,what,detail,x_mm,y_mm,z_mm");
  const [, first] = csv.split("\n").map((line) => line.trim().split(","));
  assert.match(first[1], /^\d+\.\d\d$/, "a hundredth of a second");
  for (const mm of first.slice(-3)) assert.match(mm, /^-?\d+\.\d{3}$/, "a thousandth of a millimetre");
  const rows = JSON.parse(await save("export-json"));
  assert.equal(csv.trim().split("\n").length, rows.length + 1, "the same rows");
  await close(page);
});

test("a record that cannot be read is said in one sentence, and nothing is lost", async () => {
  const page = await site.open({ hash: "record", storage: { "nudgeproof.setting.records": "{ half a rec" } });
  assert.match(await byId(page, "records-unreadable").textContent(), /cannot be read \(line 1, column 3: expected JSON\)/);
  const aside = () => stored(page, "nudgeproof.setting.records.aside.1");
  assert.equal(await aside(), "{ half a rec");
  const saved = { format: "nudgeproof-records", format_version: 1, records: [
    { day: 20_000, lesson: "heights", seed: 7, score: 88, attempt: { part: "stand-foot", landed: true, faults: false, findings: [], aided: [] } },
  ] };
  await byId(page, "open-records").setInputFiles(file("record.json", JSON.stringify(saved)));
  await byId(page, "record-heights").waitFor();
  assert.equal((await records(page)).length, 1, "kept");
  assert.equal(await aside(), "{ half a rec", "and what could not be read is still there");
  await close(page);
});
