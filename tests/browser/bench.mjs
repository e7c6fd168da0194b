// How soon a first visitor can act, how much work the page has while a run is on show, how quickly it
// answers, and how long a study takes: `make bench-page`. A bench, not a test: it prints numbers, and ends with 1 where a bar is
// missed. Of several visits each it tells the one that other work on the machine disturbed least.
import { readdirSync } from "node:fs";
import { session } from "./lib/cases.mjs";
import { reach } from "./lib/learner.mjs";
import { byId, close, DIST, start } from "./lib/page.mjs";
import { CAUTION_READ, SESSION } from "./lib/storage.mjs";

const SLOWDOWN = 4; // times
const LINE = { offline: false, latency: 40, downloadThroughput: 10e6 / 8, uploadThroughput: 10e6 / 8 }; // ms, byte/s
// ms, ms, ms a frame, ms, score; ms, ms, ms
const BARS = { painted: 500, pressed: 2500, scripting: 4, inp: 80, shift: 0.05, layouts: 2000, study: 4000, gap: 50 };
const SESSIONS = ["as-it-should-be", "home-rides-along"];
const SECONDS = 6;
const VISITS = 3;

const at = (sorted, share) => sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))];
const up = (values) => [...values].sort((a, b) => a - b);
let missed = false;
const say = (what, value, unit, bar) => {
  const bad = bar !== undefined && !(value < bar);
  missed ||= bad;
  const beside = bar === undefined ? "" : `   bar < ${bar}${bad ? "   MISSED" : ""}`;
  console.log(`${what.padEnd(46)}${value.toFixed(2).padStart(8)} ${unit}${beside}`);
};

/** Times the work in each frame: the callbacks of requestAnimationFrame are where the page draws. */
function watchFrames() {
  globalThis.bench = { work: [], frames: [], events: [], shift: 0 };
  const ask = globalThis.requestAnimationFrame.bind(globalThis);
  globalThis.requestAnimationFrame = (call) =>
    ask((time) => {
      const begin = performance.now();
      call(time);
      // What the page puts off to the end of its turn belongs to the same frame.
      queueMicrotask(() => queueMicrotask(() => bench.work.push(performance.now() - begin)));
      bench.frames.push(time);
    });
  new PerformanceObserver((list) => {
    for (const e of list.getEntries()) {
      if (!e.interactionId) continue;
      const on = e.target?.closest?.("[data-testid]")?.dataset.testid ?? "–";
      const work = e.processingEnd - e.processingStart;
      bench.events.push([`${e.name} on ${on}`, e.duration, work]);
    }
  }).observe({ type: "event", durationThreshold: 16, buffered: true });
  new PerformanceObserver((list) => {
    for (const e of list.getEntries()) if (!e.hadRecentInput) bench.shift += e.value;
  }).observe({ type: "layout-shift", buffered: true });
}

const site = await start();
const packed = await start({ packed: true });
const slowly = async (page) => {
  const cdp = await page.context().newCDPSession(page);
  await cdp.send("Emulation.setCPUThrottlingRate", { rate: SLOWDOWN });
  return cdp;
};

/** Presses the button to begin in the first frame that has one, and waits for the lesson. */
function pressBegin() {
  const find = (selector) => new Promise((done) => {
    const look = () => (document.querySelector(selector) ? done(document.querySelector(selector)) : requestAnimationFrame(look));
    look();
  });
  globalThis.press = (async () => {
    const button = await find("[data-testid=begin]");
    const there = performance.now();
    button.click();
    await find("[data-testid=stage]");
    const answered = await new Promise(requestAnimationFrame);
    return { there, answered };
  })();
}

/** A first visit over a slow line, with nothing in the cache: when the shell is painted, when a press works. */
async function firstVisit() {
  const page = await packed.open({
    wait: false,
    watched: false,
    reducedMotion: "no-preference",
    prepare: async (page) => {
      const cdp = await slowly(page);
      await cdp.send("Network.enable");
      await cdp.send("Network.emulateNetworkConditions", LINE);
      await page.addInitScript(pressBegin);
    },
  });
  const press = await page.evaluate(() => globalThis.press);
  const seen = await page.evaluate(() => ({
    painted: performance.getEntriesByName("first-contentful-paint")[0].startTime,
    loaded: Math.max(...performance.getEntriesByType("resource").map((e) => e.responseEnd)),
    bytes: performance.getEntriesByType("resource").reduce((sum, e) => sum + e.transferSize, 0),
  }));
  await close(page);
  return { ...press, ...seen };
}

/** Shows a run, and measures its frames. */
async function frames(name) {
  const page = await site.open({
    hash: "bench",
    reducedMotion: "no-preference",
    storage: { ...CAUTION_READ, [SESSION]: session(name) },
  });
  const cdp = await slowly(page);
  await page.evaluate(watchFrames);
  await byId(page, "run").click();
  await page.waitForTimeout(500); // the run itself is reckoned before its first frame
  await page.evaluate(() => { bench.work = []; bench.frames = []; });
  const scripting = async () => {
    const { metrics } = await cdp.send("Performance.getMetrics");
    return metrics.find((m) => m.name === "ScriptDuration").value * 1000;
  };
  await cdp.send("Performance.enable");
  const before = await scripting();
  await page.waitForTimeout(SECONDS * 1000);
  const all = (await scripting()) - before;
  const { work, frames } = await page.evaluate(() => bench);
  const sorted = up(work);
  const gaps = up(frames.slice(1).map((t, i) => t - frames[i]));
  await close(page);
  return { count: frames.length, p50: at(sorted, 0.5), p95: at(sorted, 0.95), mean: all / frames.length, gap: at(gaps, 0.5) };
}

/** The actions of the main job, by click and by key. */
async function actions() {
  const page = await site.open({
    hash: "bench",
    reducedMotion: "no-preference",
    storage: CAUTION_READ,
  });
  await slowly(page);
  await page.evaluate(watchFrames);
  await page.waitForTimeout(1500); // nobody presses before they have looked
  for (const id of ["add-home", "add-sensing-on", "add-feel", "add-sensing-off", "add-find", "add-follow", "add-stop-following"]) {
    await reach(page, id);
    await byId(page, id).click();
  }
  for (const [id, key] of [["torch", "ArrowLeft"], ["nudge-handle", "ArrowRight"], ["turn-handle", "ArrowUp"]]) {
    await byId(page, id).focus();
    for (let i = 0; i < 4; i += 1) await page.keyboard.press(key);
  }
  await byId(page, "nudge-random").click();
  await byId(page, "run").click();
  await page.waitForTimeout(800);
  await byId(page, "undo").click();
  await page.waitForTimeout(500);
  const { events, shift } = await page.evaluate(() => bench);
  await close(page);
  events.sort((a, b) => b[1] - a[1]);
  return { events, shift, slowest: events[0]?.[1] ?? 0 };
}

/** Best layouts and a study of 100 000 parts, at the machine's own speed: how long, and the longest frame meanwhile. */
async function rehearsal() {
  const page = await site.open({ hash: "rehearse", reducedMotion: "no-preference" });
  await page.waitForTimeout(1000);
  const timed = (press, done) => page.evaluate(async ([press, done]) => {
    const frame = () => new Promise(requestAnimationFrame);
    const begin = performance.now();
    document.querySelector(press).click();
    let [before, longest] = [begin, 0];
    while (document.querySelectorAll(done).length === 0) {
      const now = await frame();
      longest = Math.max(longest, now - before);
      before = now;
    }
    return { took: performance.now() - begin, longest };
  }, [press, done]);
  const layouts = await timed("[data-testid=own-best]", "[data-testid=own-layout]:nth-child(4)");
  const study = await timed("[data-testid=own-study]", "[data-testid=own-study-result] progress[value='100000']");
  await close(page);
  return { layouts: layouts.took, study: study.took, gap: Math.max(layouts.longest, study.longest) };
}

/** Of several visits the one that the machine's other work disturbed least. */
async function quietest(visit, size, visits = VISITS) {
  let best;
  for (let i = 0; i < visits; i += 1) {
    const now = await visit();
    if (!best || size(now) < size(best)) best = now;
  }
  return best;
}

// The server packs a file when it is first asked for it, which takes longer than a visit may.
for (const file of readdirSync(DIST)) {
  await (await fetch(packed.url + file, { headers: { "accept-encoding": "br" } })).arrayBuffer();
}
const first = await quietest(firstVisit, (seen) => seen.answered, 5);
console.log(`a first visit, CPU ${SLOWDOWN}× slower, 10 Mbit/s, latency 40 ms, files as brotli over HTTP/1.1`);
say("shell painted (FCP)", first.painted, "ms", BARS.painted);
say("all loaded", first.loaded, "ms");
say("button to begin is there", first.there, "ms");
say("and its press is answered", first.answered, "ms", BARS.pressed);

for (const name of SESSIONS) {
  const best = await quietest(() => frames(name), (seen) => seen.p95);
  console.log(`\n${name}, CPU ${SLOWDOWN}× slower, ${best.count} frames`);
  say("scripting a frame, p50", best.p50, "ms");
  say("scripting a frame, p95", best.p95, "ms", BARS.scripting);
  say("scripting a frame, mean (browser's own count)", best.mean, "ms");
  say("frames a second", 1000 / best.gap, "");
}
const { events, shift, slowest } = await quietest(actions, (seen) => seen.slowest);
console.log(`\nthe main job's actions, CPU ${SLOWDOWN}× slower`);
for (const [name, ms, work] of events.slice(0, 6)) {
  console.log(`  ${name}: ${ms} ms, of which ${work.toFixed(0)} ms in the handler`);
}
say("slowest answer (INP)", slowest, "ms", BARS.inp);
say("layout shift (CLS)", shift, "", BARS.shift);
const { layouts, study, gap } = await quietest(rehearsal, (seen) => seen.study);
console.log("\na part of one's own, at the machine's own speed");
say("best layouts of touches", layouts, "ms", BARS.layouts);
say("a study of 100 000 parts", study, "ms", BARS.study);
say("longest frame meanwhile", gap, "ms", BARS.gap);
await packed.stop();
await site.stop();
process.exitCode = missed ? 1 : 0;
