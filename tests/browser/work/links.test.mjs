// The link that carries a session: there and back, refused where it would not survive, never at the
// cost of the work that is there.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { deflateRawSync, inflateRawSync } from "node:zlib";
import { violations } from "../lib/axe.mjs";
import { actions, CASE } from "../lib/cases.mjs";
import * as learner from "../lib/learner.mjs";
import { byId, close, keys, SIZES, start, tabTo } from "../lib/page.mjs";
import { SESSION, stored } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

// zlib is the independent writer and reader of the same standard, RFC 1951.
const pack = (text) => deflateRawSync(text).toString("base64url");
const unpack = (link) => inflateRawSync(Buffer.from(link.split("#/open?1.")[1], "base64url")).toString();

const focused = (page) => page.evaluate(() => document.activeElement?.dataset.testid);

async function link(page) {
  await byId(page, "copy-link").click();
  await byId(page, "link").waitFor();
  return byId(page, "link").inputValue();
}

test("a link carries the whole session to another browser", async () => {
  const from = await site.open({ hash: "record", storage: { [SESSION]: CASE } });
  const address = await link(from);
  assert.ok(address.length < 2953, `${address.length} characters: the main job fits a QR code (ISO/IEC 18004, 40-L)`);
  assert.deepEqual(actions(unpack(address)), actions(CASE), "as another program reads it");
  assert.deepEqual(await violations(from), []);
  await close(from);

  const to = await site.open({ hash: address.split("#/")[1] });
  await byId(to, "bench").waitFor();
  await to.getByText("Opened what the link carried.").waitFor();
  assert.equal((await learner.steps(to)).length, 18);
  assert.deepEqual(actions(await stored(to, SESSION)), actions(CASE));
  assert.equal(new URL(to.url()).hash, "#/bench", "loading again does not open it again");
  await close(to);
});

test("the button puts it on the clipboard, where the browser allows that", async () => {
  const page = await site.open({ hash: "record", permissions: ["clipboard-read", "clipboard-write"] });
  const address = await link(page);
  await page.getByText("The link is copied.").waitFor();
  assert.equal(await page.evaluate(() => navigator.clipboard.readText()), address);
  await close(page);
});

/** Opens a link in the page that is there, as if it was pasted into the address. */
async function follow(page) {
  await page.evaluate((hash) => { location.hash = hash; }, `#/open?1.${pack(CASE)}`);
}

test("a link asks before it replaces work; kept, all stays as it was, by keys alone", async () => {
  const work = JSON.stringify({ ...JSON.parse(CASE), actions: JSON.parse(CASE).actions.slice(0, 9) });
  const page = await site.open({ hash: "record", storage: { [SESSION]: work } });
  await tabTo(page, "[data-testid=copy-link]");
  for (const answer of ["Escape", "Enter"]) {
    await follow(page);
    const question = byId(page, "replace-question");
    await question.filter({ hasText: `Actions in it: ${actions(CASE).length}` }).waitFor();
    assert.deepEqual(await violations(page), []);
    assert.equal(await focused(page), "keep-work", "the answer that changes nothing comes first");
    await keys(page, answer);
    await question.waitFor({ state: "hidden" });
    await byId(page, "notice").filter({ hasText: "Your work is as it was" }).waitFor();
    assert.equal(await focused(page), "copy-link", "the focus is back where it was");
    assert.deepEqual(JSON.parse(await stored(page, SESSION)), JSON.parse(work));
    assert.equal(await stored(page, `${SESSION}.aside`), null, "nothing was put aside");
    assert.equal(new URL(page.url()).hash, "#/record", "the link is gone from the address");
    await byId(page, "record").waitFor();
  }
  await page.reload();
  await byId(page, "record").waitFor();
  assert.equal(await byId(page, "replace-question").isVisible(), false, "and is not asked about again");
  await close(page);
});

test("a link opened over work puts the work aside, and undo brings it back, by keys alone", async () => {
  const page = await site.open({ hash: "bench" });
  await learner.teachHome(page);
  const before = await stored(page, SESSION);
  await follow(page);
  await byId(page, "replace-question").waitFor();
  await tabTo(page, "[data-testid=open-link]", 2);
  await keys(page, "Enter");
  await byId(page, "notice").filter({ hasText: "undo brings it back" }).waitFor();
  assert.equal((await learner.steps(page)).length, 18);
  assert.equal(await stored(page, `${SESSION}.aside`), before);
  await keys(page, "Control+z");
  assert.deepEqual(await learner.steps(page), ["Go to home"], "the work before");
  await close(page);
});

test("the question about a link fits a phone, and is answered by touch", async () => {
  const page = await site.open({ hash: "bench", size: SIZES.phone });
  await learner.teachHome(page);
  for (const [answer, steps] of [["keep-work", 1], ["open-link", 18]]) {
    await follow(page);
    const button = byId(page, answer);
    await button.waitFor();
    const box = await button.boundingBox();
    assert.ok(box.height >= 24 && box.x >= 0 && box.x + box.width <= SIZES.phone.width, JSON.stringify(box));
    await button.tap();
    await byId(page, "replace-question").waitFor({ state: "hidden" });
    assert.equal((await learner.steps(page)).length, steps, answer);
  }
  await byId(page, "undo").tap();
  assert.deepEqual(await learner.steps(page), ["Go to home"], "the work before");
  await close(page);
});

test("a lesson that was only opened makes room for a link without a question", async () => {
  const page = await site.open({ hash: "lessons" });
  await page.locator("[data-testid^=start-]").first().click();
  await byId(page, "bench").waitFor();
  await follow(page);
  await page.getByText("Opened what the link carried.").waitFor();
  await close(page);
});

test("work that would make too long a link is refused, with the file in its place", async () => {
  const session = JSON.parse(CASE);
  // Numbers without a pattern, which nothing packs.
  let seed = 1;
  const random = () => (seed = (seed * 48271) % 2147483647) / 2147483647;
  for (let i = 0; i < 600; i += 1) session.actions.push({ action: "move_torch", to: [random(), random(), 300 + random()] });
  const page = await site.open({ hash: "record", storage: { [SESSION]: JSON.stringify(session) } });
  await byId(page, "copy-link").click();
  const refused = byId(page, "link-refused");
  await refused.filter({ hasText: "would be" }).waitFor();
  assert.match(await refused.textContent(), /would be \d+ characters long, and more than 8000 .* Save the work as a file/);
  assert.equal(await byId(page, "link").count(), 0);
  await close(page);
});

// A few hundred characters that would keep any reader busy for minutes.
const feel = { action: "add_step", step: { do: "feel", from: "a", way: "joint", direction: [1, 0, 0], face: "a" } };
const tooMany = JSON.stringify({
  format: "nudgeproof-session",
  format_version: 2,
  part: "bench-side",
  actions: Array(3000).fill(feel),
});

const broken = [
  ["without a version", "nothing", /Expected a version mark/],
  ["of a later version", `2.${pack(CASE)}`, /written in version 2; expected version 1/],
  ["cut off in a chat", `1.${pack(CASE).slice(0, 400)}`, /cannot be unpacked; expected the whole link/],
  ["with a line break's sign in it", `1.${pack(CASE).slice(0, 40)}=${pack(CASE).slice(40)}`, /Character 50 after the hash is none a link can hold/],
  ["too long", `1.${"A".repeat(9000)}`, /9009 characters long; expected at most 8000/],
  ["that swells up", `1.${pack(" ".repeat(4_000_000))}`, /unpacks to 3906 KiB; expected at most 1024 KiB/],
  ["with more feels than a routine may have", `1.${pack(tooMany)}`, /The session in it cannot be read: action 101 \(add_step\): a routine holds at most 100 feels, not 101/],
  ["with something else in it", `1.${pack('{"format":"recipe"}')}`, /The session in it cannot be read: top level: missing key/],
  ["with a session that cannot be", `1.${pack(CASE.replace('"weld_end"', '"weld_up"'))}`, /The session in it cannot be read: action \d+/],
];
for (const [name, rest, expected] of broken) {
  test(`a link ${name} is refused in one sentence, and the work stays`, async () => {
    const page = await site.open({ hash: "record", storage: { [SESSION]: CASE } });
    await page.evaluate((hash) => { location.hash = hash; }, `#/open?${rest}`);
    await byId(page, "notice").filter({ hasText: "The link was not opened, and your work is as it was." }).waitFor();
    assert.match(await byId(page, "notice").textContent(), expected);
    assert.equal(await stored(page, SESSION), CASE);
    await close(page);
  });
}

test("of links that were damaged on their way none breaks the page or costs work", async () => {
  const page = await site.open({ hash: "record", storage: { [SESSION]: CASE } });
  const setup = JSON.stringify({ format: "nudgeproof-class", format_version: 1, start: { lesson: "one-touch" }, seed: 12 });
  let seed = 7;
  const below = (n) => (seed = (seed * 48271) % 2147483647) % n;
  const damaged = (text) => {
    const at = below(text.length);
    return text.slice(0, at) + String.fromCharCode(33 + below(94)).repeat(below(3)) + text.slice(at + below(4));
  };
  let opened = 0;
  for (let n = 0; n < 80; n += 1) {
    const [kind, file] = n % 2 ? ["open", CASE] : ["class-setup", setup];
    // In what is packed, or in how it is packed.
    const rest = n % 4 < 2 ? `1.${pack(damaged(file))}` : damaged(`1.${pack(file)}`);
    await page.evaluate((hash) => { location.hash = hash; }, `#/${kind}?${rest}`);
    const question = byId(page, "keep-work");
    await question.or(byId(page, "notice").filter({ hasText: "was not opened" })).first().waitFor();
    if (await question.isVisible()) {
      opened += 1;
    } else {
      // Another link changes the notice, so that the next answer is a new one.
      await follow(page);
    }
    await question.click();
    assert.equal(await page.locator("#panic").isVisible(), false, rest);
  }
  assert.ok(opened < 40, `${opened} of 80 could still be read`);
  assert.equal(await stored(page, SESSION), CASE);
  await close(page);
});
