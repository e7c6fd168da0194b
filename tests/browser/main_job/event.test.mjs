// A run as it plays: each touch is told at its moment and not before, and so is what a find has found.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { CASE } from "../lib/cases.mjs";
import { byId, close, start } from "../lib/page.mjs";
import { CAUTION_READ, SESSION } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

/** What a viewer sees of the run at one moment. */
const seen = (page) =>
  page.evaluate(() => {
    const find = (id) => document.querySelector(`[data-testid=${id}]`);
    const all = (selector) => [...document.querySelectorAll(selector)];
    const shown = (e) => getComputedStyle(e).display !== "none";
    return {
      sight: find("event").dataset.sight,
      touches: all("[data-testid=touches] .touch").map((e) => ({
        number: e.querySelector(".digit").textContent,
        figure: e.querySelector(".figure").textContent,
        words: shown(e.querySelector(".words")) ? e.querySelector(".words").textContent : "",
      })),
      pins: all("[data-testid=time-marks] .shown[data-testid^=pin-]").map((e) => e.dataset.testid),
      glass: find("glass-title")?.textContent.replace(/\D/g, "") ?? "",
      found: Boolean(find("find-scene")),
      carried: find("event").querySelector(".carrying").getAttribute("d") !== "",
      beads: all(".bead").length,
      arc: all("[data-testid=torch] .arc-sign").length,
      verdict: find("verdict").dataset.verdict,
    };
  });

/** Plays the run on a clock of our own, and looks at it every so many ms. */
async function watched(page, everyMs, mostMs) {
  await page.clock.pauseAt(new Date(Date.now() + 1000));
  await byId(page, "run").click();
  const looks = [];
  for (let ms = 0; ms <= mostMs; ms += everyMs) {
    looks.push({ ms, ...(await seen(page)) });
    if (looks.length > 1 && looks.at(-1).verdict !== "running") break;
    await page.clock.runFor(everyMs);
  }
  return looks;
}

const opened = (options) =>
  site.open({ hash: "bench", storage: { ...CAUTION_READ, [SESSION]: CASE }, ...options });
const moving = { reducedMotion: "no-preference", prepare: (page) => page.clock.install() };

test("a run tells each touch at its moment, then what was found, and takes 15 to 25 s", async () => {
  const page = await opened(moving);
  await byId(page, "arc").click();
  const looks = await watched(page, 100, 40_000);

  const sights = looks.map((l) => l.sight).filter((s, i, all) => s !== "none" && s !== all[i - 1]);
  assert.deepEqual(sights, ["contact", "contact", "contact", "contact", "ghost", "arrow", "path"]);
  const seconds = (sight) => looks.filter((l) => l.sight === sight).length / 10;
  assert.ok(seconds("contact") / 4 >= 0.6, `each contact stands: ${seconds("contact")} s for four`);
  const length = looks.at(-1).ms / 1000;
  assert.ok(length > 14.5 && length < 25.5, `it played for ${length} s`);

  let told = 0;
  let before = "none";
  for (const look of looks) {
    if (look.sight === "contact" && before !== "contact") told += 1;
    before = look.sight;
    const at = `${look.ms} ms, ${look.sight}`;
    assert.equal(look.touches.length, told, `touches shown at ${at}`);
    look.touches.forEach((touch, i) => {
      assert.equal(touch.number, String(i + 1), `its number at ${at}`);
      assert.match(touch.figure, /^[+−]\d+\.\d$/, `by how much at ${at}`);
      const now = look.sight === "contact" && i === told - 1;
      const words = touch.figure.startsWith("+") ? "mm further on" : "mm sooner";
      assert.equal(touch.words, now ? words : "", `in words only at its contact, ${at}`);
    });
    const finding = ["ghost", "arrow", "path"].includes(look.sight);
    assert.equal(look.found, finding, `the find at ${at}`);
    if (told < 4) {
      assert.ok(look.pins.length <= told, `pins at ${at}: ${look.pins}`);
      assert.ok(!look.pins.includes("pin-find") && !look.carried, `nothing found at ${at}`);
    }
    if (["contact", "ghost", "arrow"].includes(look.sight)) {
      assert.deepEqual([look.carried, look.beads, look.arc], [false, 0, 0], `too early at ${at}`);
    }
    if (look.glass) assert.ok(finding || look.glass.startsWith(String(told)), `glass at ${at}`);
  }
  assert.ok(looks.some((l) => l.arc === 1 && l.beads === 0), "the arc is drawn while it burns");
  const last = looks.at(-1);
  assert.equal(last.verdict, "on-seam");
  assert.deepEqual([last.beads, last.arc, last.glass], [1, 0, ""], "the bead stays, arc and glass go");
  assert.deepEqual(last.pins, ["pin-1", "pin-2", "pin-3", "pin-4", "pin-find"]);
  // South at x = 350 with a nudge of −4 mm and 2.5°: 350 sin 2.5° − 4, and so on round the part.
  const byHand = [11.1, -2.0, 4.3, -3.5];
  last.touches.forEach((touch, i) => {
    const mm = Number(touch.figure.replace("−", "-"));
    assert.ok(Math.abs(mm - byHand[i]) < 0.8, `touch ${i + 1}: ${mm} mm, by hand ${byHand[i]}`);
  });
  await close(page);
});

test("a reference run learns its touches and compares them with nothing", async () => {
  const page = await opened({});
  await byId(page, "reference").click();
  await byId(page, "run").click();
  await page.waitForFunction(() => document.querySelectorAll(".touch").length === 4);
  const sights = [];
  for (let i = 0; i < 60 && !sights.includes("contact"); i += 1) {
    await byId(page, "moment-back").click();
    const { sight, touches } = await seen(page);
    sights.push(sight);
    assert.ok(touches.every((touch) => touch.figure === ""), "no number");
    if (sight === "contact") assert.equal(touches.at(-1).words, "learned");
  }
  assert.ok(sights.includes("learned"), `the find has learned: ${sights}`);
  assert.ok(sights.includes("contact"), `and a touch before it: ${sights}`);
  await close(page);
});

test("with less motion the find is three stills, and nothing is animated", async () => {
  const page = await opened({});
  await byId(page, "run").click();
  const sights = [];
  for (let i = 0; i < 60 && sights.at(-1) !== "contact"; i += 1) {
    await byId(page, "moment-back").click();
    const look = await seen(page);
    sights.push(look.sight);
    assert.equal(look.carried, look.touches.length === 4 && !["ghost", "arrow", "contact"].includes(look.sight), look.sight);
    const animations = await page.evaluate(() => document.getAnimations().length);
    assert.equal(animations, 0, `nothing moves at ${look.sight}`);
  }
  assert.deepEqual(sights.filter((s) => s !== "none"), ["path", "arrow", "ghost", "contact"]);
  await close(page);
});

test("a run that was given up is called so, also after the page was loaded anew, and what was said goes with its place", async () => {
  const page = await opened({});
  await page.keyboard.press("Control+Shift+Enter");
  await byId(page, "abort").click();
  await page.waitForFunction(() => document.querySelector("[data-testid=verdict]").dataset.verdict === "given-up");
  assert.match(await byId(page, "verdict").textContent(), /Given up/);
  await page.reload();
  await byId(page, "verdict").waitFor();
  assert.equal(await byId(page, "verdict").getAttribute("data-verdict"), "given-up");
  await byId(page, "reference").click();
  assert.notEqual(await byId(page, "notice").textContent(), "");
  await page.waitForTimeout(1100);
  await byId(page, "go-record").click();
  await byId(page, "record").waitFor();
  assert.equal(await byId(page, "notice").textContent(), "", "said of the bench");
  await close(page);
});
