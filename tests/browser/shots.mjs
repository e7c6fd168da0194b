// Pictures of every place and moment in three sizes and both themes: `make shots`. With words after the
// command only the views that have one of them in their names; with ONLY=phone only that size.
import { mkdirSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { CASE, file, session } from "./lib/cases.mjs";
import { nudgeproof } from "./lib/cli.mjs";
import { classWindow } from "./lib/instructor.mjs";
import { add, coached, flag, nudge, openStep, reach, run, teachHome, torchTo } from "./lib/learner.mjs";
import { byId, close, PLACES, SHOTS, SIZES, start, unfold } from "./lib/page.mjs";
import { CAUTION_READ, SESSION } from "./lib/storage.mjs";

const press = (id) => async (page) => {
  await reach(page, id);
  await byId(page, id).click();
};
const begin = (lesson) => press(`start-${lesson}`);
const inTurn = (...all) => async (page) => { for (const go of all) await go(page); };
/** So many of the same decision of a shift, by its key; nothing is welded that was not found. */
const decide = (key, times) => async (page) => {
  await byId(page, "shift-now").waitFor();
  for (let i = 0; i < times; i += 1) await page.keyboard.press((await byId(page, "shift-go-on").isDisabled()) ? "s" : key);
};
const show = (id) => async (page) => { await reach(page, id); await byId(page, id).first().scrollIntoViewIfNeeded(); };
/** A lesson done as it should be, up to so many actions before its end. */
const solved = (name, left = 0) => {
  const session = JSON.parse(nudgeproof("lessons", "solve", name, "--seed", "20"));
  return JSON.stringify({ ...session, actions: session.actions.slice(0, session.actions.length - left) });
};
/** A routine on its way: two feels of the south, the torch where a third would begin. */
const halfBuilt = async (page) => {
  await reach(page, "bench-panel");
  await unfold(page, "bench-panel");
  await byId(page, "part-choice").selectOption("bench-side");
  await unfold(page, "bench-panel");
  await teachHome(page);
  await add(page, "sensing-on");
  for (const at of [[350, -16, 5], [50, -16, 5]]) { await torchTo(page, ...at); await add(page, "feel"); }
  await torchTo(page, -16, 35, 5);
};

/** The run as it plays, so many ms after its start. */
const playing = (ms) => async (page) => {
  await page.clock.pauseAt(new Date(TODAY.getTime() + 60_000));
  await byId(page, "run").click();
  await page.clock.runFor(ms);
};

/** A part of the workshop on an empty bench. */
const onTheBench = (part) => async (page) => {
  await reach(page, "bench-panel");
  await unfold(page, "bench-panel");
  await byId(page, "part-choice").selectOption(part);
  await unfold(page, "bench-panel");
};

/** The day on the pictures, so that those of two builds can be compared. */
const TODAY = new Date(2026, 10, 25);

/** The ten seconds of the first screen, so many ms after they began. */
const idea = (ms) => async (page) => {
  await page.clock.pauseAt(new Date(TODAY.getTime() + 60_000));
  await byId(page, "show-idea").click().catch(() => {});
  await page.clock.runFor(ms);
};

/** A run that stops: the arc with the sensing voltage on. */
const STOPS = JSON.stringify({
  ...JSON.parse(CASE),
  actions: JSON.parse(CASE).actions.filter((a) => a.step?.do !== "sensing_off"),
});
/** A day on which something goes wrong in the shift. */
const SHIFT_DAY = new Date(2026, 10, 27, 12);

/** What is pictured: a name, the place, what work there is, whether a run moves, what is done first. */
const VIEWS = [
  ...PLACES.map((place) => ({ name: place, place, work: place === "lessons" ? undefined : CASE })),
  { name: "bench-empty", place: "bench" },
  { name: "bench-lesson", place: "lessons", go: begin("slide-and-turn") },
  { name: "bench-question", place: "lessons", go: begin("what-follows") },
  { name: "bench-drill", place: "lessons", go: begin("when-it-goes-wrong") },
  { name: "bench-readings", place: "bench", work: CASE, go: press("tab-readings") },
  { name: "bench-charts", place: "bench", work: CASE, go: press("tab-charts") },
  { name: "bench-step", place: "bench", work: CASE, go: async (page) => { await reach(page, "step-3"); await openStep(page, 3); } },
  { name: "bench-touch", place: "bench", work: CASE, moves: true, go: playing(4500) },
  { name: "bench-find", place: "bench", work: CASE, moves: true, go: playing(10_500) },
  { name: "bench-missed", place: "bench", work: session("home-rides-along"), go: run },
  { name: "bench-moved", place: "bench", work: CASE, go: async (page) => { await reach(page, "cell"); await nudge(page, -3, 5, 1); } },
  { name: "bench-projected", place: "bench", work: CASE, go: press("projector") },
  { name: "question-projected", place: "lessons", go: async (page) => { await begin("what-follows")(page); await press("projector")(page); } },
  { name: "class-question", place: "bench", work: CASE, go: async (page) => { for (const key of ["Alt+m", "Alt+z", "2", "Alt+z"]) await page.keyboard.press(key); } },
  { name: "reveal", place: "bench", work: CASE, go: async (page) => { await page.keyboard.press("Alt+m"); await page.keyboard.press("Alt+r"); } },
  { name: "class-window", place: "bench", work: CASE, go: async (page) => { await reach(page, "presenter"); return classWindow(page); } },
  {
    name: "class-table", place: "record", work: CASE, go: async (page) => {
      const of = (learner) => JSON.stringify({ ...JSON.parse(CASE), learner });
      await byId(page, "class-files").setInputFiles([file("1.json", of("Ida")), file("2.json", of("Otto")), file("3.json", "{ no session")]);
      await byId(page, "learners").waitFor();
      await byId(page, "learners").scrollIntoViewIfNeeded();
    },
  },
  { name: "whole-lessons", place: "lessons", whole: true },
  { name: "whole-record", place: "record", work: CASE, whole: true },
  { name: "whole-cell-sheet", place: "cell-sheet", work: CASE, whole: true },
  { name: "whole-answers", place: "answer-sheet", whole: true },
  { name: "idea-1", place: "lessons", moves: true, go: idea(2500) },
  { name: "idea-2", place: "lessons", moves: true, go: idea(6000) },
  { name: "caution", place: "bench", work: CASE, fresh: true, go: (page) => byId(page, "run").click() },
  { name: "bench-half", place: "bench", go: halfBuilt },
  { name: "bench-more-steps", place: "bench", go: inTurn(halfBuilt, press("more-steps")) },
  { name: "bench-editor-find", place: "bench", work: CASE, go: async (page) => { await reach(page, "step-10"); await openStep(page, 10); } },
  { name: "bench-detail", place: "bench", work: CASE, go: inTurn(press("detail-start")) },
  { name: "bench-set-up", place: "bench", work: CASE, go: inTurn(show("bench-panel"), (page) => unfold(page, "bench-panel")) },
  { name: "bench-for-class", place: "bench", work: CASE, go: inTurn(show("presenter"), (page) => unfold(page, "presenter")) },
  { name: "bench-hint", place: "lessons", go: inTurn(begin("slide-and-turn"), press("hint"), press("hint")) },
  { name: "bench-predicted", place: "lessons", go: inTurn(begin("what-follows"), press("answer-1"), press("sure-2"), run) },
  { name: "bench-miss", place: "bench", work: session("reference-retaken"), go: inTurn(run, coached) },
  { name: "bench-stopped", place: "bench", work: STOPS, go: inTurn(run, coached) },
  { name: "lesson-end", place: "bench", work: solved("slide-and-turn") },
  { name: "lesson-wire", place: "bench", work: solved("wire-as-finger", 2) },
  { name: "lesson-tilt", place: "bench", work: solved("slide-and-tilt", 1) },
  { name: "lesson-where", place: "bench", work: solved("where-to-touch", 1) },
  { name: "lesson-several", place: "bench", work: solved("several-places", 1) },
  { name: "lesson-shift", place: "lessons", go: begin("forty-parts") },
  { name: "lesson-shift-late", place: "lessons", go: inTurn(begin("forty-parts"), decide("g", 14)) },
  { name: "drill-causes", place: "lessons", go: inTurn(begin("when-it-goes-wrong"), press("look-clamps"), show("name-causes")) },
  { name: "drill-mends", place: "bench", work: solved("when-it-goes-wrong", 2) },
  { name: "test-task", place: "lessons", go: inTurn(begin("test-before"), show("leave-out")) },
  { name: "refresher", place: "lessons", go: press("start-refresher") },
  { name: "shift-late", place: "shift", now: SHIFT_DAY, go: inTurn(decide("g", 22), (page) => page.keyboard.press("l")) },
  { name: "shift-lost", place: "shift", now: SHIFT_DAY, go: async (page) => {
    await byId(page, "shift-now").waitFor();
    for (let i = 0; i < 39 && !(await byId(page, "shift-go-on").isDisabled()); i += 1) await page.keyboard.press("g");
  } },
  { name: "shift-result", place: "shift", now: SHIFT_DAY, whole: true, go: decide("g", 40) },
  { name: "rehearse-tube", place: "rehearse", go: async (page) => { await byId(page, "own-template").selectOption({ index: 3 }); } },
  { name: "rehearse-layouts", place: "rehearse", go: inTurn(press("own-best"), (page) => byId(page, "own-layout").nth(3).waitFor(), show("own-prospect")) },
  { name: "rehearse-study", place: "rehearse", go: inTurn(press("own-study"), show("study-misses"), press("own-study-stop")) },
  { name: "rehearse-drawing", place: "rehearse", go: async (page) => {
    await byId(page, "own-drawing").setInputFiles(fileURLToPath(new URL("../cases/drawings/good/plate-r2000.dxf", import.meta.url)));
    await byId(page, "drawing-front").waitFor();
  } },
  { name: "rehearsed", place: "rehearse", go: press("rehearse-it") },
  { name: "menu", place: "bench", work: CASE, phone: true, go: press("menu") },
  { name: "pane-steps", place: "bench", work: CASE, phone: true, go: press("pane-steps") },
  { name: "pane-more", place: "bench", work: CASE, phone: true, go: press("pane-more") },
  { name: "help", place: "bench", work: CASE, go: async (page) => { if (await byId(page, "menu").isVisible()) await byId(page, "menu").click(); await byId(page, "help").click(); } },
  { name: "part-frame", place: "bench", go: onTheBench("bench-frame") },
  { name: "part-lap", place: "bench", go: onTheBench("bin-roof") },
  { name: "part-butt", place: "bench", go: onTheBench("stand-splice") },
  { name: "part-corner", place: "bench", go: onTheBench("planter-corner") },
];

const words = process.argv.slice(2);
const sizes = process.env.ONLY?.split(",") ?? Object.keys(SIZES);
const themes = process.env.THEME?.split(",") ?? ["light", "dark"];
const wanted = (name, view) =>
  (words.length === 0 || words.some((word) => view.name.includes(word))) &&
  !(name === "phone" && view.name.endsWith("-projected")) && // nobody projects a phone
  !(view.phone && name !== "phone");

mkdirSync(SHOTS, { recursive: true });
const site = await start();
let pictures = 0;
for (const name of sizes) {
  for (const theme of themes) {
    for (const view of VIEWS.filter((view) => wanted(name, view))) {
      const size = SIZES[name];
      const storage = { ...(view.go && !view.fresh && CAUTION_READ), ...(view.work && { [SESSION]: view.work }) };
      const clock = view.moves
        ? { reducedMotion: "no-preference", prepare: (page) => page.clock.install({ time: TODAY }) }
        : { now: view.now ?? TODAY };
      const page = await site.open({ hash: view.place, size, theme, storage, seed: 20, ...clock });
      page.setDefaultTimeout(8000);
      try {
        const pictured = (await view.go?.(page)) ?? page;
        await pictured.screenshot({ path: `${SHOTS}${view.name}-${name}-${theme}.png`, fullPage: view.whole });
        pictures += 1;
      } catch (error) {
        console.error(`shots: ${view.name} ${name} ${theme}: ${error.message.split("\n")[0]}`);
        process.exitCode = 1;
      }
      await close(page);
    }
  }
}
await site.stop();
console.log(`shots: ${pictures} pictures in ${SHOTS}`);
