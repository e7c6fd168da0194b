// Pictures of every place in three sizes and both themes: `make shots`. The bench also with a
// routine that has run, and what can be opened beside it.
import { mkdirSync } from "node:fs";
import { CASE } from "./lib/cases.mjs";
import { byId, close, PLACES, SHOTS, shot, SIZES, start } from "./lib/page.mjs";
import { SESSION } from "./lib/storage.mjs";

const press = (id) => async (page) => {
  await byId(page, id).click();
};

/** What is pictured: a name, the place, whether there is work, what is done first. */
const VIEWS = [
  ...PLACES.map((place) => ({ name: place, place, worked: place !== "lessons" })),
  { name: "bench-empty", place: "bench" },
  { name: "bench-lesson", place: "lessons", go: (page) => byId(page, "start-slide-and-turn").click() },
  { name: "bench-readings", place: "bench", worked: true, go: press("tab-readings") },
  { name: "bench-charts", place: "bench", worked: true, go: press("tab-charts") },
  { name: "bench-projected", place: "bench", worked: true, go: (page) => byId(page, "projector").click() },
];

/** The day on the pictures, so that those of two builds can be compared. */
const TODAY = new Date(2026, 10, 25);

mkdirSync(SHOTS, { recursive: true });
const site = await start();
for (const [name, size] of Object.entries(SIZES)) {
  for (const theme of ["light", "dark"]) {
    for (const view of VIEWS) {
      if (size === SIZES.phone && view.name === "bench-projected") continue; // nobody projects a phone
      const storage = view.worked ? { [SESSION]: CASE } : {};
      const page = await site.open({ hash: view.place, size, theme, storage, seed: 20, now: TODAY });
      await view.go?.(page);
      await shot(page, `${view.name}-${name}-${theme}`);
      await close(page);
    }
  }
}
await site.stop();
console.log(`shots: in ${SHOTS}`);
