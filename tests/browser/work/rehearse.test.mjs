// A part of one's own: filled in, put on the bench, welded by a routine; kept, saved and opened again.
import assert from "node:assert/strict";
import { fileURLToPath } from "node:url";
import { after, test } from "node:test";
import { violations } from "../lib/axe.mjs";
import { CASE } from "../lib/cases.mjs";
import * as learner from "../lib/learner.mjs";
import { byId, close, keys, savedFile, SIZES, start, tabTo, text } from "../lib/page.mjs";
import { SESSION, stored, storeElsewhere } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

const notice = (page) => text(page, "notice");
/** The parts that are kept and what is filled in, by their names in the store. */
const PARTS = "nudgeproof.setting.parts";
const AT_HAND = "nudgeproof.setting.part-at-hand";
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
  await storeElsewhere(page, { [SESSION]: JSON.stringify(session) });
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
  assert.equal(await byId(page, "own-title").inputValue(), "Bench side");
  assert.equal(await byId(page, "dim-width").inputValue(), "300.0", "as it was filled in");
  await byId(page, "own-open").setInputFiles(saved.path);
  await byId(page, "own-read").waitFor();
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
  assert.match(await notice(page), /Removed: Bench side/);
  await byId(page, "own-put-back").click();
  assert.equal(await byId(page, "own-kept").count(), 1);
  assert.equal(await byId(page, "own-put-back").count(), 0, "nothing else is gone");
  await close(page);
});

test("parts with other names are other parts, whatever letters they have", async () => {
  const page = await site.open({ hash: "rehearse" });
  const long = "Bus shelter with a bench and a bin, the left side";
  for (const title of ["座椅", "垃圾桶", `${long} one`, `${long} two`, "Lid", "lid", "A".repeat(200)]) {
    await byId(page, "own-title").fill(title);
    await byId(page, "own-keep").click();
    await byId(page, "own-kept").getByText(title, { exact: true }).waitFor();
  }
  assert.equal(await byId(page, "own-kept").count(), 7);
  const over = await byId(page, "own-kept").evaluateAll((all) => all.filter((li) => li.scrollWidth > li.clientWidth).length);
  assert.equal(over, 0, "no name runs over its line");
  await byId(page, "own-remove").last().click();
  const put = await byId(page, "own-put-back").evaluate((e) => [e.scrollHeight, e.clientHeight, e.scrollWidth, e.clientWidth]);
  assert.ok(put[0] <= put[1] && put[2] <= put[3], `its button holds the name: ${put}`);
  await close(page);
});

/** Takes the outline of a drawing that says its unit and has one edge in front. */
async function takeOutline(page) {
  await byId(page, "own-drawing").setInputFiles(drawing("plate-r2000.dxf"));
  await byId(page, "drawing-front").waitFor();
  await byId(page, "drawing-take").click();
}

/** A lap of a narrow sheet, and its first touch moved by 9 mm to the left; where that stood, mm. */
async function fillInLid(page) {
  await byId(page, "own-template").selectOption("lap");
  await byId(page, "own-title").fill("Lid");
  await byId(page, "dim-piece-width").fill("90");
  await byId(page, "dim-piece-width").press("Tab");
  const start = await touchX(page, 0);
  await byId(page, "own-touch").first().focus();
  for (let n = 0; n < 9; n += 1) await page.keyboard.press("ArrowLeft");
  return start;
}

test("what a kept part replaces can be put back", async () => {
  const page = await site.open({ hash: "rehearse" });
  const keep = async (width) => {
    await byId(page, "own-title").fill("Bench side");
    await byId(page, "dim-width").fill(width);
    await byId(page, "own-keep").click();
  };
  await keep("300");
  await keep("310");
  assert.equal(await byId(page, "own-kept").count(), 1, "one of a name");
  await byId(page, "own-put-back").click();
  await byId(page, "own-open-kept").click();
  assert.equal(await byId(page, "dim-width").inputValue(), "300.0");
  await byId(page, "own-put-back").click();
  await byId(page, "own-open-kept").click();
  assert.equal(await byId(page, "dim-width").inputValue(), "310.0", "and the one that made room for it");
  await close(page);
});

test("what is filled in and not kept is there again after the page was loaded anew, with its touches", async () => {
  const page = await site.open({ hash: "rehearse" });
  const start = await fillInLid(page);
  assert.match(await stored(page, AT_HAND), /piece-width\W+90/, "on the disk");
  await page.reload();
  await byId(page, "own-template").waitFor();
  assert.equal(await byId(page, "own-template").inputValue(), "lap");
  assert.equal(await byId(page, "own-title").inputValue(), "Lid");
  assert.equal(await byId(page, "dim-piece-width").inputValue(), "90.0");
  assert.equal(await touchX(page, 0), start - 9);
  // What cannot be a part is not stored: the last that could is there.
  await byId(page, "dim-piece-width").fill("9000");
  await page.reload();
  await byId(page, "dim-piece-width").waitFor();
  assert.equal(await byId(page, "dim-piece-width").inputValue(), "90.0");
  await close(page);
});

test("each kind of part stays as it was filled in while another is chosen, the outline of a drawing too", async () => {
  const page = await site.open({ hash: "rehearse" });
  await takeOutline(page);
  await byId(page, "dim-piece-length").fill("80");
  await byId(page, "own-template").selectOption("lap");
  await byId(page, "dim-width").fill("310");
  await byId(page, "own-title").fill("Lid");
  await byId(page, "own-title").press("Tab");
  await byId(page, "own-template").selectOption("outline");
  assert.equal(await byId(page, "dim-piece-length").inputValue(), "80.0");
  assert.equal(await byId(page, "dim-length").count(), 0, "the outline has it");
  assert.equal(await byId(page, "own-title").inputValue(), "Lid", "the name it has now");
  await byId(page, "own-template").selectOption("lap");
  assert.equal(await byId(page, "dim-width").inputValue(), "310.0");
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

test("the forecast of a part goes by how its edges were made", async () => {
  const page = await site.open({ hash: "rehearse" });
  await byId(page, "own-forecast").getByText("±0.27 mm").waitFor();
  await byId(page, "own-edges").selectOption("rolled");
  await byId(page, "own-forecast").getByText("✗").waitFor();
  await close(page);
});

const DRAWINGS = new URL("../../cases/drawings/good/", import.meta.url);
const drawing = (name) => fileURLToPath(new URL(name, DRAWINGS));
const choices = (page, id) => byId(page, id).locator("option").allInnerTexts();

test("from a drawing to a part on the bench: its outline, the edge in front, and what was joined", async () => {
  const page = await site.open({ hash: "rehearse" });
  await byId(page, "own-drawing").setInputFiles(drawing("plate-r2000.dxf"));
  await byId(page, "drawing-front").waitFor();
  const outlines = await choices(page, "drawing-outline");
  assert.equal(outlines.length, 3, outlines.join());
  assert.match(outlines[0], /LWPOLYLINE 2F, layer "0", line 1772/);
  assert.match((await choices(page, "drawing-unit"))[0], /^1\.0000 mm, as it says$/);
  assert.deepEqual(await violations(page), []);
  // A hole is no plate.
  await byId(page, "drawing-outline").selectOption("1");
  await byId(page, "drawing-wrong").getByText("No edge of this outline").waitFor();
  assert.ok(await byId(page, "drawing-take").isDisabled());
  await byId(page, "drawing-outline").selectOption("0");
  const [front] = await byId(page, "drawing-front").locator("option:checked").allInnerTexts();
  const long = Number(front.match(/: ([\d.]+) mm/)[1]);
  await byId(page, "drawing-take").click();
  assert.equal(await byId(page, "drawing-dialog").isVisible(), false);
  assert.equal(await byId(page, "own-template").inputValue(), "outline");
  assert.equal(await byId(page, "dim-length").count(), 0, "the outline has it");
  await byId(page, "own-title").fill("Bin bracket, drawn");
  await byId(page, "own-title").press("Tab");
  // What stands on it must stand on it.
  await byId(page, "dim-piece-from-front").fill("1");
  await byId(page, "own-wrong").getByText("The rail does not stand on the plate").or(byId(page, "own-wrong").getByText("expected")).waitFor();
  await byId(page, "dim-piece-length").fill("80");
  await byId(page, "dim-piece-from-front").fill("30");
  await byId(page, "own-forecast").getByText("±").first().waitFor();
  await byId(page, "rehearse-it").click();
  await byId(page, "bench").waitFor();
  const { part } = await header(page);
  assert.equal(part.title, "Bin bracket, drawn");
  const [plate] = part.bodies;
  assert.ok(plate.outline.length > 20, "its rounded corners came along");
  assert.equal(plate.holes.length, 2);
  const corner = (at) => (Array.isArray(at) ? at : at.at);
  const [a, b] = plate.outline.slice(0, 2).map(corner);
  assert.ok(Math.abs(Math.hypot(b[0] - a[0], b[1] - a[1]) - long) < 0.1, `${a} to ${b}: ${long} mm`);
  await close(page);
});

test("a drawing that leaves its unit in doubt asks, and one that is none says why", async () => {
  const page = await site.open({ hash: "rehearse" });
  await byId(page, "own-drawing").setInputFiles(drawing("two-units-r2010.dxf"));
  await byId(page, "drawing-unit").waitFor();
  assert.match((await choices(page, "drawing-unit"))[0], /two ways/);
  assert.ok(await byId(page, "drawing-take").isDisabled());
  await byId(page, "drawing-unit").selectOption("inch");
  await byId(page, "drawing-outline").getByText(/2032/).waitFor({ state: "attached" });
  await byId(page, "drawing-cancel").click();
  await byId(page, "own-drawing").setInputFiles(drawing("remarks-r2010.dxf"));
  await byId(page, "drawing-remarks").waitFor();
  assert.equal(await byId(page, "drawing-remarks").locator("li").count(), 14, "element by element");
  await page.keyboard.press("Escape");
  await byId(page, "own-drawing").setInputFiles(drawing("loose-r2004.dxf"));
  await byId(page, "drawing-remarks").getByText("The largest gap was 0.030 mm").waitFor();
  await page.keyboard.press("Escape");
  for (const [name, bytes, says] of [
    ["none.dxf", Buffer.from("hello"), /cannot be used: .*a DXF begins with a number/],
    ["empty.svg", Buffer.alloc(0), /cannot be used/],
    ["cut.svg", Buffer.from("<svg"), /cannot be used/],
    ["picture.svg", Buffer.from("\x89PNG....", "latin1"), /a picture/],
  ]) {
    await byId(page, "own-drawing").setInputFiles({ name, mimeType: "application/octet-stream", buffer: bytes });
    await byId(page, "drawing-state").getByText(says).waitFor();
    await byId(page, "drawing-cancel").click();
  }
  await close(page);
});

const rows = (page) => byId(page, "own-layout").allInnerTexts();

test("best layouts of touches are found, kept off a face, and taken: their steps come to the bench", async () => {
  const page = await site.open({ hash: "rehearse" });
  await byId(page, "own-best").click();
  await byId(page, "own-layout").nth(3).waitFor();
  const found = (await rows(page)).map((row) => row.match(/(\d)\s+±([\d.]+) [✓✗]\s+(\d+) s/).slice(1).map(Number));
  assert.ok((await byId(page, "own-prospect").innerText()).includes("At the worst end, mm"));
  const [, three, four, five] = found;
  assert.deepEqual(found.map(([touches]) => touches), [4, 3, 4, 5]);
  assert.ok(four[1] <= three[1] && five[1] <= four[1], "more touches scatter less");
  assert.ok(four[1] < found[0][1], "the best of four is better than the one that was drawn");
  await byId(page, "own-take").nth(3).click();
  await byId(page, "own-take").nth(3).getByText("Taken").waitFor();
  await byId(page, "own-take").nth(0).click();
  await byId(page, "own-take").nth(0).getByText("Taken").waitFor();
  await byId(page, "own-take").nth(3).click();
  await byId(page, "own-title").fill("Bench end");
  await byId(page, "own-title").press("Tab");
  await byId(page, "own-take").nth(3).getByText("Taken").waitFor();
  // Another dimension, another part: other layouts are best.
  await byId(page, "dim-length").fill("420");
  await byId(page, "drawn-length").getByText("420").waitFor();
  assert.deepEqual(await rows(page), [], "layouts of another part");
  await byId(page, "own-best").click();
  await byId(page, "own-layout").nth(3).waitFor();
  const faces = await byId(page, "own-keep-out").count();
  assert.ok(faces >= 2, "faces that can be kept out");
  await page.getByLabel("left", { exact: true }).check();
  await byId(page, "own-best").isDisabled();
  await page.waitForFunction(() => !document.querySelector("[data-testid=own-best]").disabled);
  await byId(page, "own-take").nth(2).click();
  await byId(page, "rehearse-it").click();
  await byId(page, "bench").waitFor();
  const { part, actions } = await header(page);
  const feels = actions[0].routine.steps.filter((step) => step.do === "feel");
  assert.equal(feels.length, part.model_touches.length, "its steps came along");
  assert.ok(part.model_touches.every(({ face }) => face !== "left"), "and none of them is on the face kept out");
  await close(page);
});

test("the layout as drawn is taken only when it is taken; layouts and study are there after a visit to the bench", async () => {
  const page = await site.open({ hash: "rehearse" });
  await byId(page, "own-best").click();
  await byId(page, "own-layout").nth(3).waitFor();
  await byId(page, "own-study").click();
  await byId(page, "study-misses").waitFor();
  await byId(page, "own-study-stop").click();
  const [found, counted] = [await rows(page), await text(page, "study-counted")];
  assert.ok(found.every((row) => row.includes("Take it")), found.join());
  await byId(page, "rehearse-it").click();
  await byId(page, "bench").waitFor();
  assert.deepEqual((await header(page)).actions ?? [], [], "nothing was taken");
  await byId(page, "go-rehearse").click();
  assert.deepEqual(await rows(page), found);
  assert.equal(await text(page, "study-counted"), counted);
  await byId(page, "own-take").nth(0).click();
  await byId(page, "own-take").nth(0).getByText("Taken").waitFor();
  // A dimension later it is still the layout of the drawing.
  await byId(page, "dim-length").fill("420");
  await byId(page, "drawn-length").getByText("420").waitFor();
  const drawn = await touchX(page, 0);
  await byId(page, "own-best").click();
  await byId(page, "own-take").nth(0).getByText("Taken").waitFor();
  await byId(page, "rehearse-it").click();
  await byId(page, "bench").waitFor();
  const { part, actions } = await header(page);
  assert.equal(actions[0].action, "load_routine", "its steps came along");
  assert.equal(part.model_touches[0].from[0], drawn);
  await close(page);
});

/** Where touch n starts along the front, by what a screen reader hears. */
const touchX = async (page, n) => Number(/from X (\d+),/.exec(await byId(page, "own-touch").nth(n).getAttribute("aria-label"))[1]);
/** Presses in the middle of something and moves on by so much; it is still held. */
const drag = async (page, grip, [dx, dy]) => {
  const { x, y, width, height } = await grip.boundingBox();
  const at = [x + width / 2, y + height / 2];
  await page.mouse.move(...at);
  await page.mouse.down();
  for (const share of [0.25, 0.5, 0.75, 1]) await page.mouse.move(at[0] + dx * share, at[1] + dy * share);
};
const forecastWords = (page) => byId(page, "own-forecast").innerText();

test("touches slide along their faces by mouse and by keys, and the forecast follows", async () => {
  const page = await site.open({ hash: "rehearse" });
  const touch = byId(page, "own-touch").first();
  const [start, words] = [await touchX(page, 0), await forecastWords(page)];
  await drag(page, touch.locator(".target"), [-60, 25]);
  const held = await touchX(page, 0);
  assert.ok(held < start - 20, `${held}: along the front, to the left`);
  await page.waitForFunction((before) => document.querySelector("[data-testid=own-forecast]").innerText !== before, words);
  await page.keyboard.press("Escape");
  assert.equal(await touchX(page, 0), start, "Escape puts it back");
  await page.mouse.up();
  assert.equal(await forecastWords(page), words);
  await drag(page, touch.locator(".target"), [-60, 0]);
  await page.mouse.up();
  assert.equal(await touchX(page, 0), held);
  await page.mouse.move(100, 100);
  assert.equal(await touchX(page, 0), held, "it is let go");
  // The keys go on where the pointer was.
  for (const key of ["ArrowLeft", "ArrowLeft", "ArrowRight", "ArrowUp"]) await page.keyboard.press(key);
  assert.equal(await touchX(page, 0), held - 1);
  // No further than where it is sure to land on its face.
  await drag(page, touch.locator(".target"), [900, 0]);
  await page.mouse.up();
  assert.ok(await touchX(page, 0) < 400, "still in front of the plate");
  await drag(page, touch.locator(".target"), [-60, 0]);
  await page.mouse.up();
  const there = await touchX(page, 0);
  // Another tolerance or a longer plate leaves it where it is; another kind of part has its own touches.
  await byId(page, "dim-tolerance").fill("0.8");
  await byId(page, "dim-length").fill("420");
  await byId(page, "drawn-length").getByText("420").waitFor();
  assert.equal(await touchX(page, 0), there);
  await byId(page, "rehearse-it").click();
  await byId(page, "bench").waitFor();
  const { part, actions } = await header(page);
  assert.equal(part.model_touches[0].from[0], there);
  const points = actions[0].routine.points;
  assert.ok(points.some(({ at }) => Math.abs(at[0] - there) < 1e-9), "its routine feels from there");
  await byId(page, "go-rehearse").click();
  assert.equal(await touchX(page, 0), there, "kept on the page");
  await byId(page, "own-template").selectOption({ index: 0 });
  await byId(page, "own-template").selectOption({ index: 1 });
  await byId(page, "own-template").selectOption({ index: 0 });
  assert.equal(await touchX(page, 0), there, "as it was left");
  await close(page);
});

test("dimensions are dragged on the drawing, stay within their limits, and Escape puts them back", async () => {
  const page = await site.open({ hash: "rehearse" });
  const value = async (id) => Number(await byId(page, `dim-${id}`).inputValue());
  const before = await value("length");
  await drag(page, byId(page, "drawn-length").locator(".hold"), [70, 5]);
  assert.ok(await value("length") > before + 30, `${await value("length")}`);
  const box = await byId(page, "drawn-length").boundingBox();
  await page.keyboard.press("Escape");
  await page.mouse.up();
  assert.equal(await value("length"), before);
  await drag(page, byId(page, "drawn-length").locator(".hold"), [70, 5]);
  const held = await byId(page, "drawn-length").boundingBox();
  assert.ok(Math.abs(held.width - box.width) < 1.5, "the same pull, the same length");
  await page.mouse.up();
  const long = await value("length");
  assert.equal(long, Math.round(long), "whole millimetres");
  // Upwards: further from the front; a tall rail in halves of a millimetre.
  const front = await value("piece-from-front");
  await drag(page, byId(page, "drawn-piece-from-front").locator(".hold"), [0, -20]);
  await page.mouse.up();
  assert.ok(await value("piece-from-front") > front);
  await drag(page, byId(page, "drawn-piece-height").locator(".hold"), [0, 400]);
  await page.mouse.up();
  const limits = (await byId(page, "limits-piece-height").textContent()).match(/[\d.]+/g).map(Number);
  assert.equal(await value("piece-height"), limits[0], "no lower than it may be");
  assert.equal(await byId(page, "own-wrong").textContent(), "");
  await close(page);
});

test("a finger drags a touch and a dimension on a phone, and the page stays", async () => {
  const page = await site.open({ hash: "rehearse", size: SIZES.phone });
  const finger = await page.context().newCDPSession(page);
  const pull = async (grip, [dx, dy]) => {
    const { x, y, width, height } = await grip.boundingBox();
    const at = (share) => [{ x: x + width / 2 + dx * share, y: y + height / 2 + dy * share }];
    await finger.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: at(0) });
    for (const share of [0.25, 0.5, 0.75, 1]) {
      await finger.send("Input.dispatchTouchEvent", { type: "touchMove", touchPoints: at(share) });
    }
    await finger.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
  };
  const start = await touchX(page, 0);
  await pull(byId(page, "own-touch").first().locator(".target"), [-40, 30]);
  assert.ok(await touchX(page, 0) < start - 20);
  const width = Number(await byId(page, "dim-width").inputValue());
  await pull(byId(page, "drawn-width").locator(".hold"), [0, 25]);
  assert.ok(Number(await byId(page, "dim-width").inputValue()) < width, "downwards: narrower");
  assert.equal(await page.evaluate(() => document.scrollingElement.scrollTop), 0);
  await close(page);
});

test("a part that is kept is opened as it was filled in, with its touches, and changed", async () => {
  const page = await site.open({ hash: "rehearse" });
  const start = await fillInLid(page);
  assert.equal(await touchX(page, 0), start - 9);
  await byId(page, "own-keep").click();
  assert.match(await stored(page, PARTS), /piece-width\W+90/, "on the disk");
  await page.reload();
  await byId(page, "own-open-kept").click();
  assert.equal(await byId(page, "own-template").inputValue(), "lap");
  assert.equal(await byId(page, "dim-piece-width").inputValue(), "90.0");
  assert.equal(await touchX(page, 0), start - 9, "the touch where it was moved to");
  await byId(page, "dim-piece-width").fill("95");
  // Pressed while the field still has the focus: nothing moves away from under the pointer.
  await byId(page, "own-keep").click();
  assert.equal(await byId(page, "own-kept").count(), 1, "in the place of what was kept before");
  assert.match(await stored(page, PARTS), /piece-width\W+95/, "on the disk");
  await page.reload();
  await byId(page, "own-open-kept").click();
  assert.equal(await byId(page, "dim-piece-width").inputValue(), "95.0");
  await close(page);
});

test("a part with the outline of a drawing is kept with it, and its rail is changed later", async () => {
  const page = await site.open({ hash: "rehearse" });
  await takeOutline(page);
  await byId(page, "own-title").fill("Bin bracket, drawn");
  await byId(page, "dim-piece-length").fill("80");
  await byId(page, "dim-piece-length").press("Tab");
  await byId(page, "own-keep").click();
  assert.match(await stored(page, PARTS), /Bin bracket, drawn/, "on the disk");
  await page.reload();
  await byId(page, "own-open-kept").click();
  assert.equal(await byId(page, "own-template").inputValue(), "outline");
  assert.equal(await byId(page, "dim-length").count(), 0, "the outline has it");
  assert.equal(await byId(page, "dim-piece-length").inputValue(), "80.0");
  await byId(page, "dim-piece-length").fill("70");
  await byId(page, "dim-piece-length").press("Tab");
  await byId(page, "rehearse-it").click();
  await byId(page, "bench").waitFor();
  const { part } = await header(page);
  assert.equal(part.bodies[0].holes.length, 2);
  const { from, to } = part.seams[0];
  assert.ok(Math.abs(Math.hypot(to[0] - from[0], to[1] - from[1])) <= 70, "a seam on the shorter rail");
  await close(page);
});

test("a part that is kept stands among the parts to work on", async () => {
  const page = await site.open({ hash: "rehearse" });
  await byId(page, "own-title").fill("Tram stop bench");
  await byId(page, "own-keep").click();
  await byId(page, "go-lessons").click();
  await byId(page, "free-own-tram-stop-bench").click();
  await byId(page, "bench").waitFor();
  assert.equal((await header(page)).part.title, "Tram stop bench");
  await close(page);
});

test("a lesson of the course is had on one's own part, and as a file for a class", async () => {
  const page = await site.open({ hash: "rehearse" });
  await byId(page, "own-title").fill("Tram stop bench");
  const { name, path } = await savedFile(page, byId(page, "own-lesson-save"));
  assert.equal(name, "slide-and-turn-on-own-tram-stop-bench.toml");
  await byId(page, "own-lesson").selectOption("turn");
  await byId(page, "own-lesson-add").click();
  assert.match(await notice(page), /Added: .*: Tram stop bench/);
  await byId(page, "own-lesson").selectOption("heights");
  await byId(page, "own-lesson-add").click();
  assert.match(await notice(page), /cannot be had on this part/, "its seam does not change its height");
  await byId(page, "go-lessons").click();
  await byId(page, "load-lesson").setInputFiles(path);
  await byId(page, `card-${name.replace(".toml", "")}`).waitFor();
  await byId(page, "start-turn-on-own-tram-stop-bench").click();
  await byId(page, "bench").waitFor();
  assert.equal((await header(page)).part.title, "Tram stop bench");
  await page.reload();
  await byId(page, "bench").waitFor();
  assert.match(await byId(page, "now").innerText(), /1/, "the lesson goes on");
  await close(page);
});

test("a study of whole runs goes on beside the page, is stopped, and a part of it is watched", async () => {
  const page = await site.open({ hash: "rehearse", storage: { [SESSION]: CASE } });
  await byId(page, "own-study").click();
  await byId(page, "study-misses").waitFor();
  // The page answers meanwhile, and another part has another study.
  await byId(page, "own-title").fill("Bench end");
  await byId(page, "own-title").press("Tab");
  await byId(page, "own-study-stop").waitFor();
  await byId(page, "dim-length").fill("410");
  await byId(page, "drawn-length").getByText("410").waitFor();
  assert.equal(await byId(page, "study-counted").count(), 0, "a study of another part");
  await byId(page, "own-study").click();
  await byId(page, "study-counted").getByText(/of 100.000 parts/).waitFor();
  await page.getByRole("progressbar", { name: "Runs of the study so far" }).waitFor();
  await byId(page, "own-study-stop").click();
  const counted = await text(page, "study-counted");
  await byId(page, "own-study").waitFor();
  assert.equal(await text(page, "study-counted"), counted, "what was run stays");
  const says = await byId(page, "study-watch").first().innerText();
  const [, off] = says.match(/: ([\d.]+) mm off/);
  await byId(page, "study-watch").first().click();
  const asked = await page.getByRole("dialog").innerText();
  assert.match(asked, /lies Bench end, with a routine of \d+ steps and 2 runs of it/, asked);
  await byId(page, "open-link").click();
  await byId(page, "bench").waitFor();
  const { actions } = await header(page);
  const kinds = actions.map(({ action }) => action);
  assert.deepEqual(kinds.slice(-3), ["set_cell", "noise_from", "run"]);
  assert.ok((await byId(page, "bench").innerText()).includes(off), `the run misses by ${off} mm`);
  await close(page);
});

test("what the touches will give fits on each screen, in both themes, and can be used by everyone", async () => {
  for (const size of Object.values(SIZES)) {
    const page = await site.open({ hash: "rehearse", size });
    await byId(page, "own-best").click();
    await byId(page, "own-layout").nth(3).waitFor();
    await byId(page, "own-study").click();
    await byId(page, "study-misses").waitFor();
    await byId(page, "own-study-stop").click();
    assert.deepEqual(await violations(page), []);
    const box = await byId(page, "own-prospect").boundingBox();
    assert.ok(box.x >= 0 && box.x + box.width <= size.width + 0.5, JSON.stringify(box));
    await close(page);
  }
});
