// The cmi5 package, launched as a course system launches it, with a record store on another origin.
import assert from "node:assert/strict";
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { after, test } from "node:test";
import { inflateRawSync } from "node:zlib";
import { nudgeproof } from "../lib/cli.mjs";
import * as learner from "../lib/learner.mjs";
import { atStage, finished } from "../lib/lesson.mjs";
import { unzipped } from "../lib/packed.mjs";
import { byId, close, start, started } from "../lib/page.mjs";
import { recordStore } from "../lib/record_store.mjs";
import { theirStore } from "../lib/their_store.mjs";

const folder = `${mkdtempSync(join(tmpdir(), "nudgeproof-cmi5-"))}/`;
after(() => rmSync(folder, { recursive: true }));
for (const [name, bytes] of Object.entries(unzipped("nudgeproof-cmi5.zip"))) {
  mkdirSync(dirname(folder + name), { recursive: true });
  writeFileSync(folder + name, bytes);
}
const site = await start({ folder });
after(site.stop);

/** A visit that a course system launches: the store is the only other place that is asked for anything. */
async function launch(store, page) {
  const at = `${site.url}index.html${store.launch()}`;
  if (page) {
    await page.goto(at);
    await started(page);
    return page;
  }
  return site.open({ at, watched: false, others: [store.home] });
}
/** Leaves the page; what the store has by then. */
async function leave(page, store) {
  await page.goto("about:blank");
  for (let n = 0; n < 100 && !store.verbs().includes("terminated"); n += 1) await page.waitForTimeout(50);
  return store.verbs();
}
const until = async (page, met) => {
  for (let n = 0; n < 100; n += 1) {
    if (met()) return;
    await page.waitForTimeout(50);
  }
  assert.fail(`never met: ${met}`);
};

/** The session that the store would hand to the next launch: the third line of what is kept (shared.js). */
function keptSession(store) {
  const kept = store.documents.get("nudgeproof-work")?.kept;
  return kept && JSON.parse(inflateRawSync(Buffer.from(kept.split(".")[1], "base64url")).toString().split("\n")[2]);
}

const SETUP = JSON.stringify({ format: "nudgeproof-class", format_version: 1, start: { lesson: "one-touch" }, seed: 12, hints: 3 });
/** The lesson from its second stage to its end. */
async function fromStage2(page) {
  await atStage(page, 2);
  await learner.flag(page, false);
  await learner.run(page);
  await atStage(page, 3);
  await learner.byHand(page, () => learner.type(page, "nudge-y", 5));
  await byId(page, "answer-5").click();
  await byId(page, "sure-1").click();
  await learner.run(page);
  await atStage(page, 5);
  await byId(page, "arc").click();
  await learner.run(page);
  await finished(page);
}

test("a lesson that a teacher has set is told, goes on at the next launch, and is passed once", async () => {
  const store = await recordStore({ launchParameters: SETUP, returnURL: "http://127.0.0.1/course" });
  after(store.close);
  const page = await launch(store);
  await byId(page, "lesson-one-touch").waitFor();
  assert.equal(await page.locator("#back-to-course a").getAttribute("href"), "http://127.0.0.1/course");
  await learner.flag(page, true);
  await learner.run(page);
  await atStage(page, 2);
  await until(page, () => store.verbs().includes("answered"));
  // The page keeps its work more than once on the way: what is waited for is the run.
  await until(page, () => keptSession(store)?.actions.some(({ action }) => action === "run"));
  assert.deepEqual(await leave(page, store), ["initialized", "answered", "terminated"]);
  assert.deepEqual(store.refusals, []);
  await close(page);

  // At another machine.
  const next = await launch(store);
  await byId(next, "begin").click();
  await fromStage2(next);
  await until(next, () => store.verbs().includes("passed"));
  const passed = store.statements.find((s) => s.verb.id.endsWith("/passed"));
  assert.equal(passed.result.score.scaled, 1);
  await until(next, () => store.documents.get("nudgeproof-work").passed);
  const verbs = await leave(next, store);
  assert.deepEqual(verbs.filter((v) => v === "answered").length, 4, "the first stage was told at the first visit");
  assert.ok(verbs.includes("progressed"), "how skills stand");
  assert.equal(verbs.filter((v) => v === "scored").length, 1, "the record of the attempt");
  assert.equal(verbs.at(-1), "terminated", "the last");

  const third = await launch(store, next);
  await byId(third, "go-bench").click();
  await byId(third, "lesson-one-touch").waitFor();
  await third.waitForTimeout(800);
  assert.ok(!(await leave(third, store)).includes("passed"), "once in a registration");
  assert.deepEqual(store.refusals, []);
  await close(third);
});

test("a record store of others takes every statement, and gives score, pass and completion back", async () => {
  const theirs = await theirStore();
  after(theirs.close);
  const store = await recordStore({ launchParameters: SETUP, theirs });
  after(store.close);
  const page = await launch(store);
  await byId(page, "lesson-one-touch").waitFor();
  await learner.flag(page, true);
  await learner.run(page);
  await fromStage2(page);
  await until(page, () => store.verbs().includes("passed"));
  const sent = await leave(page, store);
  assert.deepEqual(store.refusals, [], "neither by them nor by us");
  await close(page);

  const { actor, registration, activityId } = store;
  let kept = [];
  for (let n = 0; n < 100 && kept.length < sent.length; n += 1) {
    kept = await theirs.query({ registration, agent: JSON.stringify(actor) });
    await new Promise((resolve) => { setTimeout(resolve, 50); });
  }
  assert.deepEqual(kept.map((s) => s.id).sort(), store.statements.map((s) => s.id).sort(), "all of them");
  assert.deepEqual(theirs.wrong(kept), [], "by their model of a statement");
  assert.ok(kept.every((s) => s.context.registration === registration && s.stored), "as they keep them");
  const of = (verb) => {
    const found = kept.filter((s) => s.verb.id === `http://adlnet.gov/expapi/verbs/${verb}`);
    assert.equal(found.length, 1, verb);
    return found[0];
  };
  const passed = of("passed");
  assert.equal(passed.object.id, activityId);
  assert.deepEqual([passed.result.success, passed.result.score.scaled], [true, 1]);
  assert.equal(of("completed").result.completion, true);
  const scored = of("scored");
  assert.deepEqual(scored.result.score, { scaled: 1, raw: 100, min: 0, max: 100 });
  assert.equal(scored.object.definition.name.en, "one-touch");

  // What they have, the command line grades.
  process.env.NUDGEPROOF_STORE_KEY = theirs.key;
  process.env.NUDGEPROOF_STORE_SECRET = theirs.secret;
  const { learners } = JSON.parse(nudgeproof("grade", `${theirs.url}/statements?ascending=true&limit=2`, "--json"));
  assert.deepEqual(learners.map((l) => [l.learner, l.sessions, l.best_score, l.landed]), [["Ida (17)", 1, 100, 1]]);

  // They do refuse what is wrong.
  assert.equal(await theirs.post([{ ...passed, id: undefined, actor: undefined }]), 422, "nobody did it");
  assert.equal(await theirs.post([{ ...passed, result: { success: false } }]), 409, "another one of this id");
  const beyond = { ...passed, result: { ...passed.result, score: { scaled: 1.5 } } };
  assert.match(theirs.wrong([beyond]).join(), /scaled.*less than or equal to 1/);
});

test("a review is looked at and not graded", async () => {
  const store = await recordStore({ launchMode: "Review" });
  after(store.close);
  const page = await launch(store);
  await byId(page, "go-bench").click();
  await learner.teachHome(page);
  await page.waitForTimeout(800);
  assert.deepEqual(await leave(page, store), ["initialized", "terminated"]);
  assert.deepEqual(store.refusals, []);
  await close(page);
});

test("a launch whose token was used already, or none at all: it works alone", async () => {
  const store = await recordStore();
  after(store.close);
  const query = store.launch();
  const first = await site.open({ at: `${site.url}index.html${query}`, watched: false, others: [store.home] });
  await close(first);
  for (const search of [query, ""]) {
    const page = await site.open({ at: `${site.url}index.html${search}`, watched: false, others: [store.home] });
    await byId(page, "start-one-touch").click();
    await byId(page, "lesson-one-touch").waitFor();
    await close(page);
  }
});
