// A part of one's own: filled in, put on the bench, welded by a routine; kept, saved and opened again.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { violations } from "../lib/axe.mjs";
import { CASE } from "../lib/cases.mjs";
import * as learner from "../lib/learner.mjs";
import { byId, close, keys, savedFile, SIZES, start, tabTo, text } from "../lib/page.mjs";
import { SESSION, stored } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

const notice = (page) => text(page, "notice");
const header = async (page) => JSON.parse(await stored(page, SESSION));

/** A routine for a part with touches in front and on the left, and one seam along X: what a learner would teach. */
function routine({ rest: [x, y, z], model_touches, play, seams: [{ from, to }] }) {
  const points = [];
  const steps = [];
  const at = (name, place) => {
    if (!points.some((p) => p.name === name)) points.push({ name, at: place });
    return name;
  };
  const step = (entry) => steps.push({ id: steps.length + 1, ...entry });
  const move = (name, place, way = "joint") => step({ do: "move", to: at(name, place), way });
  const up = ([px, py, pz], by, back = 0) => [px, py - back, pz + by];
  move("home", [x + 40, y + 60, z - 80]);
  step({ do: "sensing_on" });
  model_touches.forEach(({ face, from: start, direction }, n) => {
    move(`over-${n + 1}`, up(start, 60));
    step({ do: "feel", from: at(`${face}-${n + 1}`, start), way: "linear", direction, face });
    move(`over-${n + 1}`, up(start, 60), "linear");
  });
  step({ do: "sensing_off" });
  step({ do: "find", place: "part", may: play.turn_deg > 0 ? ["x", "y", "turn"] : ["x", "y"] });
  step({ do: "follow", place: "part" });
  move("approach", up(from, 48, 20));
  step({ do: "weld_start", to: at("weld-start", from) });
  step({ do: "weld_end", to: at("weld-end", to) });
  move("retreat", up(to, 48, 20), "linear");
  step({ do: "stop_following" });
  step({ do: "trim_wire" });
  move("home");
  return { points, steps };
}

test("from a template by its dimensions to the bench and a weld that lands, by mouse", async () => {
  const page = await site.open({ hash: "rehearse" });
  await byId(page, "own-template").selectOption("lap");
  await byId(page, "own-title").fill("Shelter roof");
  await byId(page, "dim-length").fill("500");
  await byId(page, "drawn-length").getByText("500").waitFor();
  await byId(page, "dim-piece-length").fill("440");
  await byId(page, "own-edges").selectOption("cut");
  await byId(page, "clamp-right").uncheck();
  await byId(page, "rehearse-it").click();
  await byId(page, "bench").waitFor();
  const session = await header(page);
  const { part } = session;
  assert.deepEqual([part.name, part.title], ["own-shelter-roof", "Shelter roof"]);
  assert.deepEqual(part.bodies[0].edges.map((e) => e.made), ["cut", "cut", "cut", "cut"]);
  assert.deepEqual(part.clamps.map((c) => c.name), ["rear clamp"]);
  session.actions = [
    { action: "load_routine", routine: routine(part) },
    { action: "set_reference", on: true },
    { action: "run", speed: "reduced" },
    { action: "set_reference", on: false },
    { action: "run", speed: "reduced" },
    { action: "set_cell", state: "locked_out" },
    { action: "place_part", part: { dx: 4, dy: -3, turn_deg: 1 } },
    { action: "set_cell", state: "ready" },
  ];
  await page.evaluate(([key, kept]) => localStorage.setItem(key, kept), [SESSION, JSON.stringify(session)]);
  await page.reload();
  await byId(page, "bench").waitFor();
  await byId(page, "arc").click();
  await learner.run(page);
  assert.equal(await learner.verdict(page), "on-seam", await text(page, "notice"));
  await close(page);
});

test("a bad dimension is named at its field, and nothing can be rehearsed until it is put right", async () => {
  const page = await site.open({ hash: "rehearse" });
  const field = byId(page, "dim-piece-length");
  await field.fill("500");
  // 400 mm of plate, 50 mm on the left, 20 mm on the right.
  assert.equal(await text(page, "limits-piece-length"), "Expected 60.0 to 330.0 mm.");
  assert.equal(await field.getAttribute("aria-invalid"), "true");
  assert.ok(await byId(page, "rehearse-it").isDisabled());
  assert.match(await text(page, "own-wrong"), /^Rail, Length: expected 60\.0 to 330\.0 mm/);
  await field.fill("wide");
  assert.equal(await field.getAttribute("aria-invalid"), "true", "not a number");
  assert.deepEqual(await violations(page), []);
  await field.fill("320");
  assert.equal(await field.getAttribute("aria-invalid"), null);
  await byId(page, "own-title").fill(" ");
  await keys(page, "Tab");
  assert.equal(await text(page, "own-wrong"), "Give the part a name.");
  await close(page);
});

test("by keys alone", async () => {
  const page = await site.open({ hash: "rehearse" });
  await tabTo(page, '[data-testid="dim-length"]');
  await keys(page, "ArrowUp");
  await byId(page, "drawn-length").getByText("401").waitFor();
  await tabTo(page, '[data-testid="rehearse-it"]');
  await keys(page, "Enter");
  await byId(page, "bench").waitFor();
  const session = await header(page);
  assert.equal(session.part.name, "own-my-part");
  assert.deepEqual(session.part.bodies[0].outline[1], [401, 0]);
  await close(page);
});

test("work is asked about before it is replaced", async () => {
  const page = await site.open({ hash: "rehearse", storage: { [SESSION]: CASE } });
  await byId(page, "rehearse-it").click();
  await byId(page, "keep-work").click();
  assert.match(await notice(page), /Your work is as it was/);
  assert.equal((await header(page)).part, "bench-side");
  await byId(page, "rehearse-it").click();
  await byId(page, "open-link").click();
  await byId(page, "bench").waitFor();
  assert.equal((await header(page)).part.name, "own-my-part");
  await close(page);
});

test("a part is kept, saved as a file, opened again and removed", async () => {
  const page = await site.open({ hash: "rehearse" });
  await byId(page, "own-title").fill("Bench side");
  await byId(page, "dim-width").fill("300");
  await byId(page, "own-keep").click();
  assert.match(await notice(page), /Kept in this browser: Bench side/);
  const { y } = await byId(page, "notice").boundingBox();
  assert.ok(y >= 0 && y < page.viewportSize().height, `said where it is seen, at ${y}`);
  const saved = await savedFile(page, byId(page, "own-save"));
  assert.equal(saved.name, "own-bench-side.toml", "not the name of a part of the program");
  await page.reload();
  await byId(page, "own-open-kept").click();
  assert.equal(await text(page, "own-read"), "Bench side");
  await byId(page, "own-to-template").click();
  await byId(page, "own-open").setInputFiles({ name: "broken.toml", mimeType: "text/plain", buffer: Buffer.from("name = 3\n") });
  await page.waitForFunction(() => document.querySelector('[data-testid="notice"]').textContent.includes("broken.toml"));
  assert.match(await notice(page), /broken\.toml cannot be opened: line 1, column 8: name/);
  await byId(page, "own-open").setInputFiles(saved.path);
  await byId(page, "own-read").waitFor();
  await byId(page, "rehearse-it").click();
  await byId(page, "bench").waitFor();
  const { part } = await header(page);
  assert.deepEqual(part.bodies[0].outline[2], [400, 300]);
  await byId(page, "go-rehearse").click();
  await byId(page, "own-remove").click();
  assert.equal(await byId(page, "own-kept").count(), 0);
  await close(page);
});

test("nothing stands outside the page at any size, in either theme", async () => {
  for (const [name, size] of Object.entries(SIZES)) {
    for (const theme of ["light", "dark"]) {
      const page = await site.open({ hash: "rehearse", size, theme });
      for (const template of ["rail", "angle", "frame", "tube", "lap", "butt"]) {
        await byId(page, "own-template").selectOption(template);
        const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
        assert.ok(wide <= 0, `${name}, ${template}: ${wide} px too wide`);
      }
      assert.deepEqual(await violations(page), [], `${name}, ${theme}`);
      await close(page);
    }
  }
});
