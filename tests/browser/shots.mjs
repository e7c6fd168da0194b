// Pictures of every place in three sizes and both themes: `make shots`.
import { mkdirSync } from "node:fs";
import { close, PLACES, SHOTS, shot, SIZES, start } from "./lib/page.mjs";

mkdirSync(SHOTS, { recursive: true });
const site = await start();
for (const [name, size] of Object.entries(SIZES)) {
  for (const theme of ["light", "dark"]) {
    for (const place of PLACES) {
      const page = await site.open({ hash: place, size, theme });
      await shot(page, `${place}-${name}-${theme}`);
      await close(page);
    }
  }
}
await site.stop();
console.log(`shots: in ${SHOTS}`);
