// Pictures of every place in three sizes and both themes: `make shots`. The bench also with a
// routine that has run, and what can be opened beside it.
import { mkdirSync } from "node:fs";
import { CASE, file, session } from "./lib/cases.mjs";
import { classWindow } from "./lib/instructor.mjs";
import { nudge, openStep, reach, run } from "./lib/learner.mjs";
import { byId, close, PLACES, SHOTS, shot, SIZES, start, unfold } from "./lib/page.mjs";
import { CAUTION_READ, SESSION } from "./lib/storage.mjs";

const press = (id) => async (page) => {
  await reach(page, id);
  await byId(page, id).click();
};
const begin = (lesson) => press(`start-${lesson}`);

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
  { name: "bench-find", place: "bench", work: CASE, moves: true, go: playing(16_000) },
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
  { name: "help", place: "bench", work: CASE, go: press("help") },
  { name: "part-frame", place: "bench", go: onTheBench("bench-frame") },
  { name: "part-lap", place: "bench", go: onTheBench("bin-roof") },
  { name: "part-butt", place: "bench", go: onTheBench("stand-splice") },
  { name: "part-corner", place: "bench", go: onTheBench("planter-corner") },
];

/** The day on the pictures, so that those of two builds can be compared. */
const TODAY = new Date(2026, 10, 25);

/** With a word after the command only the views that have it in their names. */
const wanted = process.argv[2];

mkdirSync(SHOTS, { recursive: true });
const site = await start();
for (const [name, size] of Object.entries(SIZES)) {
  for (const theme of ["light", "dark"]) {
    for (const view of VIEWS) {
      if (wanted && !view.name.includes(wanted)) continue;
      if (size === SIZES.phone && view.name.endsWith("-projected")) continue; // nobody projects a phone
      const storage = { ...(view.go && CAUTION_READ), ...(view.work && { [SESSION]: view.work }) };
      const clock = view.moves
        ? { reducedMotion: "no-preference", prepare: (page) => page.clock.install({ time: TODAY }) }
        : { now: TODAY };
      const page = await site.open({ hash: view.place, size, theme, storage, seed: 20, ...clock });
      const pictured = (await view.go?.(page)) ?? page;
      await shot(pictured, `${view.name}-${name}-${theme}`);
      await close(page);
    }
  }
}
await site.stop();
console.log(`shots: in ${SHOTS}`);
