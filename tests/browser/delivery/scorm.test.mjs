// The SCORM 1.2 package in two course systems: one that takes nothing but what the standard allows, and an independent
// one from npm. The page stands in a frame, as there; the course system in the window around it.
import assert from "node:assert/strict";
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { after, test } from "node:test";
import { ROOT } from "../lib/cases.mjs";
import * as learner from "../lib/learner.mjs";
import { atStage, finished } from "../lib/lesson.mjs";
import { unzipped } from "../lib/packed.mjs";
import { byId, close, start } from "../lib/page.mjs";
import { strictScorm } from "../lib/strict_scorm.mjs";

const folder = `${mkdtempSync(join(tmpdir(), "nudgeproof-scorm-"))}/`;
after(() => rmSync(folder, { recursive: true }));
for (const [name, bytes] of Object.entries(unzipped("nudgeproof-scorm12.zip"))) {
  mkdirSync(dirname(`${folder}course/${name}`), { recursive: true });
  writeFileSync(`${folder}course/${name}`, bytes);
}
// A course system has frames around its courses.
const FRAME = `<!doctype html><title>Courses</title><link rel="icon" href="data:,">
  <div><iframe name="content" width="1366" height="760"></iframe></div>`;
writeFileSync(`${folder}index.html`, `${FRAME}<script src="strict.js"></script>`);
writeFileSync(`${folder}again.html`, `${FRAME}<script src="scorm-again.js"></script><script src="again.js"></script>`);
writeFileSync(`${folder}strict.js`, `${strictScorm}
  const given = JSON.parse(sessionStorage.getItem("given") ?? "{}");
  globalThis.system = strictScorm(given);
  globalThis.API = system.API;`);
writeFileSync(`${folder}again.js`, `
  globalThis.API = new Scorm12API({ autocommit: false, logLevel: 5, sendFullCommit: true });
  const given = JSON.parse(sessionStorage.getItem("given") ?? "null");
  if (given) API.loadFromJSON(given, "");
  globalThis.commits = [];
  API.on("LMSCommit", () => commits.push(API.renderCMIToJSONObject()));`);
const again = createRequire(import.meta.url).resolve("scorm-again/scorm12");
writeFileSync(`${folder}scorm-again.js`, readFileSync(again));

const site = await start({ folder });
after(site.stop);
/** Lessons of the course: a file each, beside the glossary. */
const LESSONS = readdirSync(`${ROOT}lessons`).filter((name) => /\.toml$/.test(name) && name !== "glossary.toml").length;
const STUDENT = { "cmi.core.student_id": "17", "cmi.core.student_name": "Doe, Jan" };

/** Opens a visit to the course; the page in the frame, and the window around it. */
async function visit({ given = STUDENT, page, system = "" } = {}) {
  const around = page ?? (await site.open({ wait: false, watched: true }));
  await around.evaluate((values) => sessionStorage.setItem("given", JSON.stringify(values)), given);
  await around.goto(`${site.url}${system}`);
  return around;
}
async function launch(around) {
  await around.evaluate(() => { frames.content.location = "course/index.html"; });
  const frame = around.frame("content");
  await frame.waitForFunction(() => document.getElementById("app")?.childElementCount > 0 && !document.getElementById("shell"));
  return frame;
}
const system = (around) => around.evaluate(() => ({ log: system.log, stored: system.stored }));
const refusals = (log) => log.filter(([name]) => name.startsWith("REFUSED"));
/** The end of a visit: what was stored by then. */
async function leave(around) {
  await around.evaluate(() => { frames.content.location = "about:blank"; });
  await around.waitForFunction(() => system.log.some(([name]) => name === "LMSFinish"));
  return system(around);
}

/** The first two stages of *One touch, one freedom*: a reference run, and one that compares. */
async function twoRuns(frame) {
  await learner.flag(frame, true);
  await learner.run(frame);
  await atStage(frame, 2);
  await learner.flag(frame, false);
  await learner.run(frame);
  await atStage(frame, 3);
}

/** Does *One touch, one freedom* at its own seed; its prediction is wrong on purpose. */
async function oneTouch(frame) {
  await byId(frame, "start-one-touch").click();
  await byId(frame, "lesson-one-touch").waitFor();
  await twoRuns(frame);
  await learner.byHand(frame, () => learner.type(frame, "nudge-y", 5));
  await atStage(frame, 4);
  await byId(frame, "answer-4").click();
  await byId(frame, "sure-1").click();
  await learner.run(frame);
  await atStage(frame, 5);
}

test("a lesson is told to the course system within what the standard allows", async () => {
  const around = await visit();
  const frame = await launch(around);
  assert.equal((await system(around)).stored["cmi.core.lesson_status"], "incomplete", "begun");
  const promise = await frame.locator(".promise").innerText();
  assert.match(promise, /^Your course is told/, "and not that nothing leaves this computer");
  await oneTouch(frame);
  // A graded run is stored at once, long before the end.
  await around.waitForFunction(() => system.stored["cmi.interactions.3.id"] !== undefined);
  const under_way = (await system(around)).stored;
  assert.equal(under_way["cmi.interactions.3.result"], "wrong", "the prediction did not come true");
  assert.match(under_way["cmi.interactions.3.id"], /^one-touch\.\d+\.4$/);

  await byId(frame, "arc").click();
  await learner.run(frame);
  await finished(frame);
  await around.waitForFunction(() => system.stored["cmi.core.score.raw"] !== undefined);
  const { log, stored } = await leave(around);
  assert.deepEqual(refusals(log), [], "nothing was refused");
  assert.equal(stored["cmi.core.lesson_status"], "incomplete", "one lesson is not the course");
  assert.equal(stored["cmi.core.score.raw"], String(Math.floor(100 / LESSONS)), "the mean over all lessons");
  const skills = Object.entries(stored).filter(([key]) => /objectives\.\d+\.id/.test(key)).map(([, id]) => id);
  assert.equal(skills.length, 6, `an objective a skill: ${skills}`);
  assert.ok(skills.includes("run_reference"));
  const stages = Object.keys(stored).filter((key) => /interactions\.\d+\.id/.test(key));
  assert.equal(stages.length, 5, "an interaction a stage");
  assert.match(stored["cmi.core.session_time"], /^0000:0\d:\d\d\.\d\d$/);
  assert.equal(stored["cmi.core.exit"], "suspend");
  assert.ok(stored["cmi.suspend_data"].length <= 4096, `${stored["cmi.suspend_data"].length} characters`);
  const calls = log.map(([name]) => name);
  assert.deepEqual([calls[0], calls.at(-1)], ["LMSInitialize", "LMSFinish"]);
  assert.equal(calls.filter((name) => /Initialize|Finish/.test(name)).length, 2, "once each");
  await close(around);
});

test("on another machine the learner goes on where they left", async () => {
  const around = await visit();
  const frame = await launch(around);
  await oneTouch(frame);
  const steps = await learner.steps(frame);
  await around.waitForFunction(() => system.stored["cmi.interactions.3.id"] !== undefined);
  const before = await leave(around);
  await close(around);

  const elsewhere = await visit({ given: before.stored });
  const again = await launch(elsewhere);
  await byId(again, "begin").click();
  await byId(again, "lesson-one-touch").waitFor();
  await atStage(again, 5);
  assert.deepEqual(await learner.steps(again), steps, "the routine is there");
  await byId(again, "arc").click();
  await learner.run(again);
  await finished(again);
  await elsewhere.waitForFunction(() => system.stored["cmi.core.score.raw"] !== undefined);
  const { log, stored } = await leave(elsewhere);
  assert.deepEqual(refusals(log), []);
  const stages = Object.entries(stored).filter(([key]) => /interactions\.\d+\.id/.test(key)).map(([, id]) => id.split(".")[2]);
  assert.deepEqual(stages, ["1", "2", "3", "4", "5"], "no stage is told twice");
  await close(elsewhere);
});

test("two learners at one machine do not see each other's work", async () => {
  const around = await visit();
  const frame = await launch(around);
  await byId(frame, "go-bench").click();
  await learner.teachHome(frame);
  const first = await leave(around);

  await visit({ page: around, given: { ...STUDENT, "cmi.core.student_id": "18" } });
  const second = await launch(around);
  await byId(second, "go-bench").click();
  await byId(second, "bench").waitFor();
  assert.deepEqual(await learner.steps(second), [], "an empty bench");
  await leave(around);

  // The course system has lost what the first kept: this machine has not.
  await visit({ page: around, given: STUDENT });
  const third = await launch(around);
  await byId(third, "go-bench").click();
  assert.deepEqual(await learner.steps(third), ["Go to home"], "one's own work");
  assert.deepEqual(refusals(first.log), []);
  await close(around);
});

test("a teacher's set-up gives lesson, number and hints, and that lesson is then the course", async () => {
  const setup = 'format = "nudgeproof-class"\nformat_version = 1\nstart = { lesson = "one-touch" }\nseed = 12\nhints = 0\nhide = ["coach"]';
  const around = await visit({ given: { ...STUDENT, "cmi.launch_data": setup } });
  const frame = await launch(around);
  await byId(frame, "lesson-one-touch").waitFor();
  assert.equal(await frame.locator("section.lesson").getAttribute("data-seed"), "12");
  assert.equal(await byId(frame, "coach").isVisible(), false, "the coach is put away");
  await twoRuns(frame);
  await learner.byHand(frame, () => learner.type(frame, "nudge-y", 5));
  await byId(frame, "answer-5").click();
  await byId(frame, "sure-1").click();
  await learner.run(frame);
  await atStage(frame, 5);
  await byId(frame, "arc").click();
  await learner.run(frame);
  await finished(frame);
  await around.waitForFunction(() => system.stored["cmi.core.lesson_status"] === "passed");
  const { log, stored } = await leave(around);
  assert.deepEqual(refusals(log), []);
  assert.equal(stored["cmi.core.score.raw"], "100");
  await close(around);
});

test("a set-up that cannot be read is said, and the page works without it", async () => {
  const around = await visit({ given: { ...STUDENT, "cmi.launch_data": "<b>seed</b>" } });
  const frame = await launch(around);
  await frame.getByText("The set-up that your course gives cannot be read").waitFor();
  assert.equal(await frame.locator("b", { hasText: "seed" }).count(), 0, "as a text, and no markup");
  await byId(frame, "start-one-touch").click();
  await byId(frame, "lesson-one-touch").waitFor();
  await close(around);
});

test("a review of an earlier attempt is looked at and not graded", async () => {
  const around = await visit({ given: { ...STUDENT, "cmi.core.lesson_mode": "review", "cmi.core.lesson_status": "passed" } });
  const frame = await launch(around);
  await byId(frame, "go-bench").click();
  await learner.teachHome(frame);
  await frame.waitForTimeout(600);
  const { log } = await leave(around);
  assert.deepEqual(refusals(log), []);
  const written = log.filter(([name]) => name === "LMSSetValue").map(([, key]) => key);
  assert.deepEqual([...new Set(written)].sort(), ["cmi.core.exit", "cmi.core.session_time"], "nothing but the time");
  await close(around);
});

test("with no course system around it works alone, and says nothing of it", async () => {
  const around = await site.open({ wait: false });
  await around.goto(`${site.url}course/index.html`);
  await byId(around, "start-one-touch").click();
  await byId(around, "lesson-one-touch").waitFor();
  assert.equal(await around.evaluate(() => globalThis.courseSystem), undefined);
  await close(around); // nor on the console
});

test("an independent course system takes it, and hands back where the learner left", async () => {
  const around = await visit({ given: { core: { student_id: "17" } }, system: "again.html" });
  const frame = await launch(around);
  await oneTouch(frame);
  await around.waitForFunction(() => commits.at(-1)?.cmi.interactions?.["3"] !== undefined);
  const last = await around.evaluate(() => commits.at(-1).cmi);
  assert.equal(last.interactions["3"].result, "wrong");
  assert.equal(last.core.lesson_status, "incomplete");
  assert.equal(last.core.exit ?? "", "", "still at it");
  await around.evaluate(() => { frames.content.location = "about:blank"; });
  await around.waitForFunction(() => API.isTerminated());
  const end = await around.evaluate(() => commits.at(-1).cmi);
  assert.equal(end.core.exit, "suspend", "the last commit came as the page was left");
  await close(around);

  const elsewhere = await visit({ given: { core: { student_id: "17", lesson_status: "incomplete" }, suspend_data: last.suspend_data }, system: "again.html" });
  const again = await launch(elsewhere);
  await byId(again, "begin").click();
  await atStage(again, 5);
  await close(elsewhere);
});
