// What the plan tells before a run: the way of the routine, the forecast at the weld, distances and
// snapping of what is in hand.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { CASE } from "../lib/cases.mjs";
import { acrossAt } from "../lib/forecast.mjs";
import * as learner from "../lib/learner.mjs";
import { byId, close, SIZES, start } from "../lib/page.mjs";
import { CAUTION_READ, SESSION } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

/** The main job as taught, before its first run; without what is taught at these points. */
function taught(...without) {
  const session = JSON.parse(CASE);
  const until = session.actions.findIndex((a) => a.action === "set_reference");
  const about = (a) => a.point ?? a.step?.from ?? a.step?.to;
  session.actions = session.actions.slice(0, until).filter((a) => !without.includes(about(a)));
  return JSON.stringify(session);
}

const open = (session, options = {}) =>
  site.open({ hash: "bench", storage: { [SESSION]: session, ...CAUTION_READ }, ...options });

const value = async (page, id) => Number(await byId(page, id).getAttribute("data-value"));
const says = (page, id) => byId(page, id).textContent();
/** Presses the mouse in the middle of an element, and moves it by so many pixels. */
async function hold(page, locator, dx, dy) {
  const box = await locator.boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + dx / 2, y + dy / 2);
  await page.mouse.move(x + dx, y + dy);
}
/** Pixels of one mm on the plan, by the names of two points 300 mm apart. */
async function scale(page) {
  const middle = async (id) => {
    const box = await byId(page, id).locator(".target").boundingBox();
    return box.x + box.width / 2;
  };
  return ((await middle("point-south-1")) - (await middle("point-south-2"))) / 300;
}

test("the way of the routine is on the plan before anything runs, and makes room for a run", async () => {
  const page = await open(taught());
  const route = byId(page, "route");
  assert.equal(await route.locator("path.feel").count(), 4, "an arrow for each feel");
  assert.deepEqual(await route.locator(".route-number").allTextContents(), ["1", "2", "3", "4"]);
  assert.ok((await route.locator("path.sensing").count()) >= 5, "ways with sensing on, and arrow heads");
  // Two lines beside each other: two subpaths.
  const double = await route.locator("path.follow").first().getAttribute("d");
  assert.equal(double.match(/M/g).length, 2, "what follows is a double line");
  assert.equal(await route.locator("path.weld-ticks").count(), 1, "a weld has the ticks of its seam");
  // 15.4 mm from its start to the face.
  const length = await route.locator("path.feel").first().evaluate((e) => e.getTotalLength());
  assert.ok(Math.abs(length / (await scale(page)) - 15.4) < 0.1, `${length} px to the face`);
  // The way to south-1 is a joint move: it bows away from the base of the arm, to the south.
  const bow = await route.locator("path.sensing").first().evaluate((path) => {
    const [a, b, c] = [0, 0.5, 1].map((s) => path.getPointAtLength(s * path.getTotalLength()));
    return b.y - (a.y + c.y) / 2;
  });
  assert.ok(bow > 3, `bowed by ${bow} px`);
  await learner.flag(page, true);
  await learner.run(page);
  assert.equal(await route.locator("path").count(), 0, "a run that went through draws its own way");
  await close(page);
});

test("two points are enough for a way, with its direction", async () => {
  const page = await open(taught("south-1", "south-2", "west-1", "west-2", "clear-2", "approach", "weld-start", "weld-end", "retreat"));
  const paths = byId(page, "route").locator("path.route:not(.ahead)");
  assert.ok((await paths.count()) >= 1, "from home on");
  assert.ok((await byId(page, "route").locator(".route-head").count()) >= 1, "with an arrow head");
  await close(page);
});

test("the forecast on the plan is that of the charts, and of the hand-made sum", async () => {
  const page = await open(taught());
  const [a, b] = [await says(page, "forecast-a"), await says(page, "forecast-b")];
  const [start, end] = [80, 360].map((x) => (3 * acrossAt([x, 160])).toFixed(2));
  assert.equal(a, `A ±${start} ✓`, "weld start");
  assert.equal(b, `B ±${end} ✓`, "weld end");
  await byId(page, "tab-charts").click();
  const caption = await byId(page, "chart-spread").locator("figcaption").textContent();
  assert.ok(caption.includes(start) && caption.includes(end), `${caption} has ${start} and ${end}`);
  assert.match(await says(page, "forecast"), /three sigma, drawn × \d+/);
  assert.equal(await byId(page, "forecast").locator("path.limit").count(), 4, "limits at both ends");
  await close(page);
});

test("where there is no forecast yet, its place says why", async () => {
  const page = await open(taught("south-2", "west-2"));
  assert.equal(await byId(page, "forecast-a").count(), 0, "no number");
  assert.equal(await says(page, "forecast-none"), "no forecast yet: one more touch");
  await close(page);
});

test("the forecast changes while a touch is in hand, and while one is dragged", async () => {
  const page = await open(taught("west-2"));
  const before = Number(await byId(page, "forecast-b").getAttribute("data-across"));
  await learner.torchTo(page, -16, 215, 5);
  const with_ = Number(await byId(page, "forecast-b").getAttribute("data-in-hand"));
  assert.ok(with_ < before, `${with_} with the touch, ${before} without`);
  const number = (v) => v.toFixed(2);
  assert.equal(await says(page, "forecast-b"), `B ±${number(before)} ✓ → ±${number(with_)} ✓`);
  assert.equal(await byId(page, "forecast").locator(".without").count(), 2, "both ellipses");
  // Put in before the find, the touch gives what was told.
  await learner.openStep(page, await learner.stepNumber(page, "Feel +X from west-1"));
  await learner.add(page, "feel");
  learner.near(Number(await byId(page, "forecast-b").getAttribute("data-across")), with_, 1e-9, "the forecast");
  await learner.torchTo(page, -100, 100, 50);
  // A point that is dragged towards the other: the lever gets shorter, the forecast worse.
  await hold(page, byId(page, "point-west-2").locator(".target"), 0, 60);
  const dragged = Number(await byId(page, "forecast-b").getAttribute("data-in-hand"));
  assert.ok(dragged > with_ + 0.005, `${dragged} while it is dragged`);
  await page.mouse.up();
  learner.near(Number(await byId(page, "forecast-b").getAttribute("data-across")), dragged, 1e-9, "dropped there");
  await byId(page, "undo").click();
  learner.near(Number(await byId(page, "forecast-b").getAttribute("data-across")), with_, 1e-9, "taken back");
  await close(page);
});

test("a press on a point still brings the torch there", async () => {
  const page = await open(taught());
  await hold(page, byId(page, "point-clear-1").locator(".target"), 0, 0);
  await page.mouse.up();
  assert.equal(await byId(page, "torch-x").inputValue(), "−40.0");
  await close(page);
});

test("the torch in hand tells its distances, snaps, and says what to", async () => {
  const page = await open(taught("west-2"));
  await learner.torchTo(page, -30, 205, 5);
  learner.near(await value(page, "distance-ahead"), 29.4, 1e-6, "the side of the wire to the face");
  assert.match(await says(page, "distance-ahead"), /^29\.4 to the west face$/);
  learner.near(await value(page, "distance-lever"), 170, 1e-6, "from west-1");
  assert.equal(await byId(page, "guide").count(), 0, "in line with nothing");
  const side = await says(page, "distances-side");
  for (const words of ["tip 5.0 over the table", "7.0 under the top edge", "level with west-1"]) {
    assert.ok(side.includes(words), `${side} says ${words}`);
  }
  // To 2 mm beside the line of west-1: it snaps onto it.
  const mm = await scale(page);
  const torch = byId(page, "torch").locator(".target");
  await hold(page, torch, 12 * mm, 0);
  assert.equal(await byId(page, "torch-x").inputValue(), "−16.0", "snapped");
  assert.match(await says(page, "guide"), /^in line with west-1$/);
  assert.match(await says(page, "distance-ahead"), /^15\.4 to the west face$/);
  // With Control held down it goes where it is dragged.
  await page.keyboard.down("Control");
  const box = await torch.boundingBox();
  await page.mouse.move(box.x + box.width / 2 - 2 * mm, box.y + box.height / 2);
  await page.mouse.up();
  await page.keyboard.up("Control");
  const free = await byId(page, "torch-x").inputValue();
  assert.notEqual(free, "−16.0", "not snapped");
  assert.equal(await byId(page, "guide").count(), 0, `in line with nothing at ${free}`);
  await close(page);
});

test("a tip inside metal is told, one at the seam is not", async () => {
  const page = await open(taught());
  await learner.torchTo(page, 60, 60, 5);
  assert.equal(await says(page, "tip-inside"), "The tip is inside the side plate.");
  await learner.torchTo(page, 80, 160, 12);
  assert.equal(await byId(page, "tip-inside").count(), 0, "where it is to weld");
  assert.match(await says(page, "guide"), /^at the end of the seam$/);
  await close(page);
});

test("height snaps to an earlier touch", async () => {
  const page = await open(taught("west-2"));
  await learner.torchTo(page, -16, 205, 12);
  const torch = byId(page, "torch-height").locator(".target");
  const levels = new Set();
  const box = await torch.boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let down = 1; down <= 16; down += 1) {
    await page.mouse.move(x, y + down);
    levels.add(await byId(page, "torch-z").inputValue());
  }
  await page.mouse.up();
  assert.ok(levels.has("5.0") && levels.has("6.0"), `level with west-1, and mid-height: ${[...levels]}`);
  assert.ok(!levels.has("4.0"), `nothing just below a level: ${[...levels]}`);
  await close(page);
});

test("the arm reaches from the torch towards its base, and follows it", async () => {
  const page = await open(taught());
  const transform = () => byId(page, "arm").locator(".arm-links").getAttribute("transform");
  const before = await transform();
  await learner.torchTo(page, -100, 100, 50);
  assert.notEqual(await transform(), before, "it came along");
  assert.match(await says(page, "arm"), /its base stands \d+ mm further on/);
  await close(page);
});

for (const size of ["desk", "phone"]) {
  test(`names and numbers on the plan do not lie over each other (${size})`, async () => {
    const page = await open(taught("west-2"), { size: SIZES[size] });
    const overlaps = () =>
      byId(page, "sheet").evaluate((sheet) => {
        const groups = ["points", "forecast", "distances", "route"].map((id) => sheet.querySelector(`[data-testid=${id}]`));
        const clamps = [...sheet.querySelectorAll(".clamp text, .cutter text")];
        const texts = [...groups.flatMap((g) => [...g.querySelectorAll("text")]), ...clamps];
        const boxes = texts.map((e) => ({ says: e.textContent, at: e.getBoundingClientRect() }));
        const meet = (a, b) => a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 3 && b.top < a.bottom - 3;
        const found = [];
        boxes.forEach((a, i) => boxes.slice(i + 1).forEach((b) => meet(a.at, b.at) && found.push(`${a.says} / ${b.says}`)));
        return { found, count: boxes.length };
      });
    const rest = await overlaps();
    assert.ok(rest.count > 12, `${rest.count} names`);
    assert.deepEqual(rest.found, [], "at rest");
    for (const [x, y] of [[-16, 205], [200, -16], [-16, 120]]) {
      await learner.torchTo(page, x, y, 5);
      assert.deepEqual((await overlaps()).found, [], `with the torch at ${x}, ${y}`);
    }
    await close(page);
  });
}
