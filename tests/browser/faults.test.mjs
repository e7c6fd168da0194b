// Every fault an instructor can plant, from the fault to its symptom: what a learner can read
// before it is revealed, what stays hidden until then, and what the page then says.
// How large each symptom is stands in DEVELOPERS.md, written by tests/fault_consequences.rs.
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, test } from "node:test";
import { fileURLToPath } from "node:url";
import * as learner from "./lib/learner.mjs";
import { byId, close, start } from "./lib/page.mjs";

const site = await start();
after(site.stop);

/** A bench with a routine that works: reference and proof done, the part nudged, the weld on the seam. */
const CASE = fileURLToPath(new URL("../cases/sessions/as-it-should-be.json", import.meta.url));
const session = await readFile(CASE, "utf8");
const TOLERANCE = 0.6; // mm, of the part in the case

/** Rules whose names would give a secret away. */
const TELLTALES = [
  "part-moved-mid-run", "reference-away-from-taught", "reference-retaken-on-moved-part",
  "stick-out-changed", "wire-bent-and-used", "probe-edited-after-reference",
];

async function ready() {
  const storage = { "nudgeproof.session": session, "nudgeproof.setting.caution-read": "yes" };
  return site.open({ hash: "bench", storage });
}

const text = (page, id) => byId(page, id).textContent();
const fold = (page, id) => byId(page, id).locator("summary").first().click();

/** Runs, and waits for the end of this run, not of the one before. */
async function run(page) {
  const before = await text(page, "title-run");
  await byId(page, "run").click();
  await page.waitForFunction((was) => {
    const now = document.querySelector("[data-testid=title-run]")?.textContent;
    const verdict = document.querySelector("[data-testid=verdict]")?.dataset.verdict;
    return now !== was && verdict !== "running";
  }, before);
}

/** What the learner reads: verdict, misses, offset found, what the touches disagree by, findings. */
async function readings(page) {
  const value = async (id) =>
    (await byId(page, id).count()) ? Number(await byId(page, id).getAttribute("data-value")) : null;
  const rules = (await learner.findings(page)).map((f) => f.rule);
  await byId(page, "tab-readings").click();
  const residual = byId(page, "residual");
  const seen = {
    verdict: await learner.verdict(page),
    below: await byId(page, "verdict").locator("text").last().textContent(),
    start: await value("seam-miss-start"),
    end: await value("seam-miss-end"),
    note: (await byId(page, "detail-start").locator("text").last().textContent()).trim(),
    dx: await value("reading-offset-dx"),
    dy: await value("reading-offset-dy"),
    turn: await value("reading-offset-turn"),
    residual: (await residual.count()) ? Number(/[\d.]+/.exec(await residual.textContent())[0]) : null,
    crash: await byId(page, "crash").count(),
    truth: await byId(page, "reading-true").count(),
    rules,
  };
  await byId(page, "tab-coach").click();
  return seen;
}

/** Plants a fault by the presenter's panel, does `how`, reads, and sees to it that it stays a secret. */
async function planted(kind, how = run) {
  const page = await ready();
  await fold(page, "presenter");
  await byId(page, "fault-choice").selectOption(kind);
  const name = await byId(page, "fault-choice").evaluate((s) => s.selectedOptions[0].textContent);
  await byId(page, "plant").click();
  assert.equal(await byId(page, "secret").count(), 1, "a secret is kept, and the sign says so");
  await fold(page, "presenter");
  await how(page);
  const seen = await readings(page);
  assert.ok(!(await byId(page, "main").innerText()).includes(name), "the fault is not named");
  assert.deepEqual(seen.rules.filter((r) => TELLTALES.includes(r)), [], "nor told by the coach");
  assert.equal(seen.truth, 0, "the true motion is not shown");
  await fold(page, "presenter");
  assert.equal(await byId(page, "known-faults").locator("li").count(), 0, "nor listed");
  return { page, name, seen };
}

/** Reveals: the notice and the list name it. */
async function revealed(page, name) {
  await byId(page, "reveal").click();
  assert.ok((await text(page, "notice")).includes(name), "the notice names it");
  assert.ok((await text(page, "known-faults")).includes(name), "the list names it");
  await learner.coached(page);
}

// Without any fault: what the same run gives, for the symptoms to be compared with.
const sound = await (async () => {
  const page = await ready();
  await run(page);
  const seen = await readings(page);
  await close(page);
  return seen;
})();

test("the case is sound: without a fault the weld is on the seam", () => {
  assert.equal(sound.verdict, "on-seam");
  assert.ok(sound.residual < 0.2 && Math.abs(sound.start) < 0.2 && Math.abs(sound.end) < 0.2, JSON.stringify(sound));
});

const missed = (seen) => {
  assert.equal(seen.verdict, "missed");
  assert.ok(Math.max(Math.abs(seen.start), Math.abs(seen.end)) > TOLERANCE, JSON.stringify(seen));
};
const near = (value, by_hand, within, what) =>
  assert.ok(Math.abs(value - by_hand) <= within, `${what}: ${value}, and by hand ${by_hand}`);
const drawn = (page, id, selector) => byId(page, id).locator(selector).first().getAttribute("d");

test("paint on an edge: the touch reads too deep, the weld misses", async () => {
  const { page, name, seen } = await planted("painted-edge");
  missed(seen);
  // Pressed in by 1.5 mm along +Y at one of the two touches: the part seems to lie that much further.
  assert.ok(seen.dy > sound.dy + 0.7, `offset ${seen.dy}, sound ${sound.dy}`);
  await revealed(page, name);
  await close(page);
});

test("a clamp in the way: the run stops at something that is not drawn there", async () => {
  const { page, name, seen } = await planted("clamp-moved");
  assert.equal(seen.verdict, "stopped");
  assert.equal(seen.crash, 1, "the place is marked");
  assert.match(seen.below, /south stop/);
  const believed = await byId(page, "sheet").locator(".clamp path").evaluateAll((all) => all.map((p) => p.getAttribute("d")));
  await revealed(page, name);
  const there = await byId(page, "sheet").locator(".clamp path").evaluateAll((all) => all.map((p) => p.getAttribute("d")));
  assert.notDeepEqual(there, believed, "the clamp is drawn where it stands");
  assert.deepEqual((await readings(page)).rules, [], "and the learner's routine is not blamed");
  await close(page);
});

test("out of square: the weld lands, but the touches disagree", async () => {
  const { page, name, seen } = await planted("out-of-square");
  assert.equal(seen.verdict, "on-seam");
  assert.ok(seen.residual > 2 * sound.residual, `${seen.residual} mm, sound ${sound.residual} mm`);
  const believed = await drawn(page, "part", ".body");
  await revealed(page, name);
  assert.notEqual(await drawn(page, "part", ".body"), believed, "the part is drawn as it is");
  await close(page);
});

test("a bent wire: the offset is wrong by the bend, and the weld lands all the same", async () => {
  const { page, name, seen } = await planted("wire-bent");
  assert.equal(seen.verdict, "on-seam");
  // The tip touches 1.5 mm earlier along X and 1 mm earlier along Y than the controller thinks.
  near(seen.dx - sound.dx, -1.5, 0.1, "along X");
  near(seen.dy - sound.dy, -1.0, 0.1, "along Y");
  const bend = () => drawn(page, "torch", ".bend");
  const straight = await bend();
  assert.equal(await byId(page, "cut-wire").count(), 0, "no cut is offered for a bend nobody sees");
  await revealed(page, name);
  assert.notEqual(await bend(), straight, "the bend is drawn");
  assert.ok((await learner.findings(page)).some((f) => f.rule === "wire-bent-and-used"), "the coach names it");
  await byId(page, "cut-wire").click();
  assert.equal(await bend(), straight, "and gone with a cut");
  await close(page);
});

test("another stick-out: right across the seam, and wrong in height", async () => {
  const { page, name, seen } = await planted("stick-out-changed");
  assert.equal(seen.verdict, "missed");
  assert.ok(Math.abs(seen.start) < TOLERANCE && Math.abs(seen.end) < TOLERANCE, "across");
  // 3 mm more wire: 3 mm lower.
  assert.match(seen.note, /✗ .* across, −3\.00 mm in height/);
  assert.match(seen.below, /−3\.00 mm/);
  await revealed(page, name);
  assert.ok((await learner.findings(page)).some((f) => f.rule === "stick-out-changed"), "the coach names it");
  await close(page);
});

test("another probing speed: every touch is read later by the same", async () => {
  const { page, name, seen } = await planted("probing-speed-changed");
  missed(seen);
  // 200 instead of 20 mm/s for 5 ms of latency and up to 4 ms of scan: 0.9 to 1.6 mm along each
  // search; the turn, which four touches share, stays.
  for (const axis of ["dx", "dy"]) near(seen[axis] - sound[axis], 1.25, 0.6, axis);
  near(seen.turn, sound.turn, 0.2, "turn");
  await revealed(page, name);
  assert.ok((await learner.findings(page)).some((f) => f.rule === "probe-edited-after-reference"));
  await close(page);
});

test("the part slips after its touches: a sound offset, and a weld beside the seam", async () => {
  const { page, name, seen } = await planted("part-slips-mid-run");
  missed(seen);
  near(seen.dx, sound.dx, 1e-9, "offset along X");
  near(seen.residual, sound.residual, 1e-9, "residual");
  await revealed(page, name);
  assert.ok((await learner.findings(page)).some((f) => f.rule === "part-moved-mid-run"), "the coach names it");
  await close(page);
});

test("a reference taken on a moved part: the touches agree, and every weld is wrong", async () => {
  const again = async (page) => {
    await learner.flag(page, true);
    await run(page);
    await learner.flag(page, false);
    await run(page);
  };
  const { page, name, seen } = await planted("reference-on-moved-part", again);
  missed(seen);
  assert.ok(seen.residual <= sound.residual, `they agree within ${seen.residual} mm`);
  await run(page);
  missed(await readings(page));
  await revealed(page, name);
  const rules = (await learner.findings(page)).map((f) => f.rule);
  assert.ok(rules.includes("reference-retaken-on-moved-part"), rules.join());
  await close(page);
});

test("another part: touches as usual, the seam elsewhere, and the wire runs into it", async () => {
  const { page, name, seen } = await planted("wrong-part");
  assert.equal(seen.verdict, "stopped");
  assert.match(seen.below, /seat rail/);
  near(seen.residual, sound.residual, 0.1, "residual");
  const miss = () => byId(page, "detail-start").locator(".miss").count();
  assert.equal(await miss(), 0, "beside the seam of the part that is drawn the weld looks right");
  assert.ok(Math.abs(seen.start) > 3, `${seen.start} mm off`);
  await revealed(page, name);
  assert.equal(await miss(), 1, "beside the seam of the part that lies there it does not");
  await close(page);
});

test("the next part by key, on the sheet and with Alt anywhere", async () => {
  const page = await ready();
  const first = await text(page, "title-part");
  await byId(page, "torch").focus();
  await page.keyboard.press("n");
  assert.notEqual(await text(page, "title-part"), first);
  await page.keyboard.press("Alt+n");
  const parts = await byId(page, "part-choice").locator("option").allTextContents();
  assert.equal(await text(page, "title-part"), parts[2], "the third of the list");
  await close(page);
});

test("a tall part lifts and tilts by keys, and shows its lean", async () => {
  const page = await site.open({ hash: "bench" });
  await fold(page, "bench-panel");
  await byId(page, "part-choice").selectOption("planter-tub");
  assert.equal(await byId(page, "part").locator(".lean").count(), 0, "upright");
  await byId(page, "turn-handle").focus();
  for (const key of ["PageUp", "PageUp", "End"]) await page.keyboard.press(key);
  assert.equal(await byId(page, "nudge-tilt-x").inputValue(), "1.0");
  assert.equal(await byId(page, "nudge-tilt-y").inputValue(), "−0.5");
  const height = async () => Number((await byId(page, "nudge-z").inputValue()).replace("−", "-"));
  const before = await height();
  await byId(page, "nudge-handle").focus();
  await page.keyboard.press("PageUp");
  await page.keyboard.press("Shift+PageDown");
  near((await height()) - before, 0.9, 1e-6, "lifted by a millimetre less a tenth");
  assert.notEqual(await byId(page, "part").locator(".lean").count(), 0, "and leaning");
  await close(page);
});

test("a point is dragged in height in the elevation", async () => {
  const page = await ready();
  const grip = byId(page, "height-weld-start");
  const height = async () => Number(await grip.getAttribute("aria-valuenow"));
  assert.equal(await height(), 12);
  const box = await grip.locator(".target").boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x, y - 6);
  await page.mouse.move(x, y - 12);
  assert.match(await grip.locator(".label").textContent(), / mm$/, "the height is written beside it meanwhile");
  assert.equal(await height(), 12, "and not yet taught");
  await page.mouse.up();
  const raised = await height();
  assert.ok(raised > 12, `raised to ${raised}`);
  assert.match(await text(page, "notice"), new RegExp(`weld-start.*${raised.toFixed(1)}`));
  await byId(page, "undo").click();
  assert.equal(await height(), 12, "and back");
  await close(page);
});

test("a wire driven into the part is bent, drawn so, and straight once it is cut", async () => {
  const page = await site.open({ hash: "bench", storage: { "nudgeproof.setting.caution-read": "yes" } });
  await learner.torchTo(page, -120, 60, 6);
  await learner.add(page, "home");
  await learner.torchTo(page, 100, 60, 6);
  await learner.add(page, "clear");
  await run(page);
  assert.equal(await learner.verdict(page), "stopped");
  assert.equal(await byId(page, "crash").count(), 1, "marked on the plan");
  assert.equal(await byId(page, "crash-side").count(), 1, "and in the elevation");
  assert.match(await byId(page, "crash").textContent(), /wire .* side plate/);
  const bent = () => byId(page, "torch").locator(".bend").evaluate((path) => path.getTotalLength());
  assert.ok((await bent()) > 0.5, "drawn bent");
  await byId(page, "cut-wire").click();
  assert.equal(await bent(), 0, "straight");
  assert.equal(await byId(page, "cut-wire").count(), 0, "nothing more to cut");
  await byId(page, "undo").click();
  assert.ok((await bent()) > 0.5, "undone");
  await close(page);
});

test("a tilted part: the six numbers found are the six that were typed", async () => {
  const page = await site.open({ hash: "bench", storage: { "nudgeproof.setting.caution-read": "yes" } });
  await fold(page, "bench-panel");
  await byId(page, "part-choice").selectOption("planter-tub");
  await fold(page, "bench-panel");
  const step = async (piece, x, y, z) => {
    if (x !== undefined) await learner.torchTo(page, x, y, z);
    await learner.add(page, piece);
  };
  await step("home", -160, -180, 260);
  await step("begin-probing");
  // The touches that the part's drawing proposes, with the way over its edge in between.
  for (const [aim, ...at] of [
    ["minus-z", 40, 40, 106], ["minus-z", 220, 40, 106], ["minus-z", 130, 165, 106],
    ["plus-y", 210, -15, 84], ["plus-y", 50, -15, 84], ["plus-x", -15, 40, 84], ["plus-x", -15, 150, 84],
  ]) {
    if (at[1] === 165) await step("clear", 220, 40, 140); // over the rib
    if (at[1] === 40 && at[2] === 84) await step("clear", 50, -40, 140); // back from the south face
    if (at[0] === 210) await step("clear", 130, 165, 160); // straight up from behind the rib
    if (at[2] < 100) await step("clear", at[0] - 20, at[1] - 20, 140);
    await learner.torchTo(page, ...at);
    await byId(page, `aim-${aim}`).click();
    await step("arrive");
  }
  await step("finish-probing");
  await step("clear", -60, 150, 160);
  await step("follow");
  await step("approach", 40, 100, 140);
  await step("weld-start", 40, 120, 92);
  await step("weld-end", 220, 120, 92);
  await step("retreat", 220, 100, 140);
  await step("stop-following");
  await step("home");
  await learner.freedoms(page, "slide and tilt");
  await learner.referenceAndProof(page);
  const typed = { "nudge-x": 2, "nudge-y": -1.5, "nudge-turn": 1, "nudge-tilt-x": 0.6, "nudge-tilt-y": -0.4 };
  for (const [id, value] of Object.entries(typed)) await learner.type(page, id, value);
  await run(page);
  assert.equal(await learner.verdict(page), "on-seam", await text(page, "verdict"));
  const numbers = (await text(page, "offset-found")).replaceAll("−", "-").match(/[-+]?\d+\.\d+/g).map(Number);
  assert.equal(numbers.length, 6, "two lines, six numbers");
  const [x, y, , turn, tiltX, tiltY] = numbers;
  near(x, 2, 0.5, "X");
  near(y, -1.5, 0.5, "Y");
  near(turn, 1, 0.2, "turn");
  near(tiltX, 0.6, 0.2, "tilt about X");
  near(tiltY, -0.4, 0.2, "tilt about Y");
  await close(page);
});
