// The finished page starts: shell first, then the program, without a complaint.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { close, SIZES, start, started } from "../lib/page.mjs";

const site = await start();
after(site.stop);

test("the shell is painted before the program runs", async () => {
  const page = await site.open({ javaScriptEnabled: false, wait: false });
  assert.equal(await page.locator("#shell h1").textContent(), "Nudgeproof");
  assert.ok(await page.locator("#shell").isVisible(), "the shell can be seen");
  assert.ok(await page.locator("noscript").isVisible(), "and says what is needed");
  assert.ok(await page.locator("#panic").isHidden(), "nothing broke");
  await close(page);
});

for (const [name, size] of Object.entries(SIZES)) {
  test(`the program starts, ${name}`, async () => {
    const page = await site.open({ size });
    assert.ok(await page.locator("#app").isVisible());
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    assert.ok(wide <= 0, `nothing hangs over the side, but ${wide} px do`);
    await close(page);
  });
}

// How soon is what `make bench-page` measures.
test("the shell is painted, and the layout does not shift", async () => {
  const page = await site.open({ wait: false });
  await page.evaluate(() => {
    globalThis.shift = 0;
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries()) globalThis.shift += entry.value;
    }).observe({ type: "layout-shift", buffered: true });
  });
  await started(page);
  await page.waitForTimeout(500);
  const paint = await page.evaluate(
    () => performance.getEntriesByName("first-contentful-paint")[0]?.startTime,
  );
  const shift = await page.evaluate(() => globalThis.shift);
  assert.ok(paint > 0, "something was painted");
  assert.ok(shift < 0.01, `layout shift of ${shift}`);
  await close(page);
});

test("works from a folder of any name", async (t) => {
  const elsewhere = await start({ prefix: "/some/where%20else/" });
  t.after(elsewhere.stop);
  await close(await elsewhere.open());
});

test("the program is compiled while it is loaded", async () => {
  const page = await site.open({
    prepare: (page) => page.addInitScript(() => {
      globalThis.compiled = [];
      for (const how of ["instantiate", "instantiateStreaming", "compile", "compileStreaming"]) {
        const call = WebAssembly[how];
        WebAssembly[how] = (...given) => { compiled.push(how); return call.apply(WebAssembly, given); };
      }
    }),
  });
  assert.deepEqual(await page.evaluate(() => globalThis.compiled), ["instantiateStreaming"]);
  await close(page);
});

test("nothing is loaded twice", async () => {
  const asked = [];
  const page = await site.open({ prepare: (page) => page.on("request", (r) => asked.push(r.url())) });
  assert.ok(asked.some((url) => url.endsWith(".wasm")), "the program is loaded");
  assert.deepEqual(asked, [...new Set(asked)]);
  await close(page);
});
