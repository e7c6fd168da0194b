// Opens the finished page (dist/) in Chromium, and watches that it behaves.
import { existsSync } from "node:fs";
import { readFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";
import { serve } from "./server.mjs";
import { fill } from "./storage.mjs";

export const DIST = fileURLToPath(new URL("../../../dist/", import.meta.url));
export const SHOTS = fileURLToPath(new URL("../shots/", import.meta.url));
export const SIZES = {
  desk: { width: 1366, height: 768 },
  projector: { width: 1024, height: 768 },
  phone: { width: 390, height: 844 },
};
/** Every place of the page, by the address behind the hash. */
export const PLACES = ["lessons", "bench", "rehearse", "record", "cell-sheet", "answer-sheet", "shift"];

const FLAGS = ["--disable-gpu", "--disable-dev-shm-usage", "--no-first-run"];

function options() {
  const executablePath = process.env.CHROME;
  if (!executablePath) throw new Error("CHROME is not set: run '. target/env.sh', or use 'make test'");
  const root = process.getuid?.() === 0;
  return { executablePath, args: root ? [...FLAGS, "--no-sandbox"] : FLAGS };
}
const launch = async () => chromium.launch(options());

/** A browser of its own that keeps what it stores in a folder. */
export const launchPersistent = (folder) =>
  chromium.launchPersistentContext(folder, { ...options(), viewport: SIZES.desk, reducedMotion: "reduce" });

/** The browser of this file of tests; every visitor has a context, and so storage, of their own. */
let browser;
let sites = 0;
/** Requests to elsewhere by visitors whose visit was never closed: the end of the file tells of them. */
let strays = [];

/**
 * Notes each request of a visitor to elsewhere, from whichever of their pages and workers, in the list that it
 * gives. `home` is where their pages come from, `others` what else a test serves to them.
 */
export function strayRequests(context, home, others = []) {
  const found = [];
  const own = [home, ...others].map((url) => new URL(url).origin);
  context.on("request", (request) => {
    const url = new URL(request.url());
    if (["data:", "blob:"].includes(url.protocol) || own.includes(url.origin)) return;
    if (url.protocol === "file:" && request.isNavigationRequest()) return; // a test has opened it
    found.push(url.href);
    strays.push(url.href);
  });
  return found;
}

/**
 * A server of the page: `const site = await start(); after(site.stop)`. All of a file share one browser.
 * `site.open({ size, theme, hash, storage, seed, now })` gives a fresh visitor's page; with `seed` every
 * attempt at a lesson is that one and not a fresh one, with `now` the calendar stands still. `prepare`
 * is done before the page is loaded; with `watched: false` nothing stands between page and network, and only its
 * requests are noted. `others` are addresses that it may ask beside the server's. `folder` is another folder
 * than dist/; with `at` another address than the server's is opened.
 */
export async function start(options = {}) {
  const { folder = DIST } = options;
  if (!existsSync(`${folder}index.html`)) throw new Error(`${folder} holds no page: run 'make dist' first`);
  sites += 1;
  browser ??= launch();
  const server = await serve(folder, options);
  const open = async ({ size = SIZES.desk, theme = "light", hash = "", storage = {}, wait = true, seed, now, watched = true, prepare, at, others, ...rest } = {}) => {
    const context = await (await browser).newContext({
      viewport: size,
      colorScheme: theme,
      reducedMotion: "reduce",
      hasTouch: size === SIZES.phone,
      ...rest,
    });
    const elsewhere = strayRequests(context, server.url, others);
    const page = await context.newPage();
    page.elsewhere = elsewhere;
    page.faults = watched ? await watch(page, server.url) : [];
    if (Object.keys(storage).length > 0) await fill(page, storage);
    if (now !== undefined) await page.clock.setFixedTime(now);
    if (seed !== undefined) {
      await page.addInitScript((n) => { Math.random = () => (n - 0.5) / 999_999; }, seed);
    }
    await prepare?.(page);
    await page.goto((at ?? server.url) + (hash && `#/${hash}`));
    if (wait) await started(page);
    return page;
  };
  return {
    url: server.url,
    open,
    stop: async () => {
      await server.close();
      sites -= 1;
      if (sites > 0) return;
      await (await browser).close();
      if (strays.length > 0) throw new Error(`requests to elsewhere:\n  ${strays.join("\n  ")}`);
    },
  };
}

/** The program has started: it has drawn into #app, and the static shell is gone. */
export async function started(page) {
  await page.waitForFunction(() => {
    const app = document.getElementById("app");
    return (app?.childElementCount > 0 && !document.getElementById("shell")) || !document.getElementById("panic")?.hidden;
  });
  if (await page.locator("#panic").isVisible()) {
    throw new Error(`the page broke at its start: ${await page.locator("#panic-message").textContent()}`);
  }
}

/** Notes each console warning or error, uncaught error and failed answer; lets no request out to elsewhere. */
async function watch(page, home) {
  const faults = [];
  page.on("console", (m) => {
    if (["error", "warning"].includes(m.type())) faults.push(`console ${m.type()}: ${m.text()}`);
  });
  page.on("pageerror", (e) => faults.push(`uncaught: ${e.message}`));
  page.on("response", (r) => r.status() >= 400 && faults.push(`${r.status()}: ${r.url()}`));
  await page.route("**/*", (route) => {
    const url = route.request().url();
    return url.startsWith(home) || url.startsWith("data:") || url.startsWith("blob:") ? route.continue() : route.abort();
  });
  return faults;
}

/** Ends a visit; fails if anything went wrong in it that is not in `expected`. */
export async function close(page, { expected = [] } = {}) {
  const elsewhere = (page.elsewhere ?? []).map((url) => `request to elsewhere: ${url}`);
  strays = strays.filter((url) => !page.elsewhere?.includes(url)); // told here
  const faults = [...page.faults, ...elsewhere].filter((f) => !expected.some((pattern) => pattern.test(f)));
  await page.context().close();
  if (faults.length > 0) throw new Error(`the page complained:\n  ${faults.join("\n  ")}`);
}

/** `await keys(page, "Tab", "Tab", "Enter")` */
export async function keys(page, ...names) {
  for (const name of names) await page.keyboard.press(name);
}

/** Presses Tab until the element in focus fits `selector`; fails after `limit` presses. */
export async function tabTo(page, selector, limit = 200) {
  for (let i = 0; i < limit; i += 1) {
    await page.keyboard.press("Tab");
    if (await page.evaluate((s) => Boolean(document.activeElement?.matches(s)), selector)) return;
  }
  throw new Error(`no way to ${selector} with the Tab key`);
}

/** The element with this data-testid. */
export const byId = (page, id) => page.getByTestId(id);

/** What the element with this data-testid says. */
export const text = (page, id) => byId(page, id).textContent();

/** Opens or closes a drawer. */
export const unfold = (page, id) => byId(page, id).locator("summary").first().click();

/** Presses a button that saves a file: its name and its text. */
export async function savedFile(page, button) {
  const [download] = await Promise.all([page.waitForEvent("download"), button.click()]);
  const path = await download.path();
  return { name: download.suggestedFilename(), path, text: await readFile(path, "utf8") };
}

/** A picture into tests/browser/shots/. */
export const shot = (page, name) => page.screenshot({ path: `${SHOTS}${name}.png` });
