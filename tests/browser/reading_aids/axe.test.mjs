// Every place of the page, read by axe-core in both themes.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { violations } from "../lib/axe.mjs";
import { close, PLACES, SIZES, start } from "../lib/page.mjs";

const site = await start();
after(site.stop);

for (const place of PLACES) {
  for (const [size, theme] of [["desk", "light"], ["desk", "dark"], ["phone", "light"]]) {
    test(`${place}, ${size}, ${theme}`, async () => {
      const page = await site.open({ hash: place, size: SIZES[size], theme });
      assert.deepEqual(await violations(page), []);
      await close(page);
    });
  }
}

test("the check itself finds an unnamed button", async () => {
  const page = await site.open();
  await page.evaluate(() => document.body.append(document.createElement("button")));
  const found = await violations(page);
  assert.ok(found.some((line) => line.startsWith("button-name")), found.join("\n"));
  await close(page);
});
