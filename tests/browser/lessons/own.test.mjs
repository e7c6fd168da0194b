// Lessons that an instructor wrote: read from a file, listed, taken, kept, refused.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { after, test } from "node:test";
import { file, ROOT } from "../lib/cases.mjs";
import { atStage, seed } from "../lib/lesson.mjs";
import { byId, close, start } from "../lib/page.mjs";
import { CAUTION_READ } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

test("an instructor's own lesson is read from disk, listed, taken, and kept", async () => {
  const page = await site.open({ hash: "lessons", storage: CAUTION_READ });
  const own = readFileSync(`${ROOT}lessons/taught-path.toml`, "utf8")
    .replace('name = "taught-path"', 'name = "from-our-shop"')
    .replace("Why a taught path misses", "From our own shop");
  await byId(page, "load-lesson").setInputFiles(file("from-our-shop.toml", own));
  await byId(page, "card-from-our-shop").waitFor();
  await byId(page, "start-from-our-shop").click();
  await byId(page, "lesson-from-our-shop").waitFor();
  const number = await seed(page);
  await page.reload();
  await byId(page, "lesson-from-our-shop").waitFor();
  assert.equal(await seed(page), number, "gone on with after a reload");
  await byId(page, "run").click();
  await atStage(page, 2);
  await byId(page, "go-lessons").click();
  await byId(page, "remove-from-our-shop").click();
  await byId(page, "card-from-our-shop").waitFor({ state: "detached" });
  await close(page);
});

test("a broken lesson is refused in one sentence with its place", async () => {
  const page = await site.open({ hash: "lessons" });
  const good = readFileSync(`${ROOT}lessons/taught-path.toml`, "utf8");
  const refused = async (text, expected) => {
    await byId(page, "load-lesson").setInputFiles(file("mine.toml", text));
    await page.waitForFunction(
      (pattern) => new RegExp(pattern).test(document.querySelector("[data-testid=disk-says]").textContent),
      expected.source,
    );
  };
  await refused(good.replace("minutes = 6", 'minutes = "six"'), /mine\.toml cannot be added: line \d+, column \d+: /);
  await refused(good.replace("title = ", "titel = "), /line \d+, column \d+: .*titel/);
  await refused(good.replace('part = "bench-side"', 'part = "a-chair"'), /key `part`: expected one of bench-side/);
  await refused(good, /the course has a lesson named taught-path already/);
  assert.equal(await byId(page, "from-disk").locator("article").count(), 0, "none is listed");
  await close(page);
});
