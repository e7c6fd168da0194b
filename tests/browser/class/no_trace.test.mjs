// What an instructor does in secret leaves no trace on the page that the class sees, up to the first symptom.
import assert from "node:assert/strict";
import { after, test } from "node:test";
import { CASE } from "../lib/cases.mjs";
import { plant } from "../lib/instructor.mjs";
import * as learner from "../lib/learner.mjs";
import { byId, close, savedFile, start, unfold } from "../lib/page.mjs";
import { CAUTION_READ, SESSION, stored } from "../lib/storage.mjs";

const site = await start();
after(site.stop);

const ready = () => site.open({ hash: "bench", storage: { ...CAUTION_READ, [SESSION]: CASE }, now: 1_800_000_000_000 });

/** Everything that can be read or heard on the page as it stands, and what can be told from its controls. */
async function told(page) {
  await learner.coached(page);
  await page.waitForTimeout(300);
  return page.evaluate(() => {
    const texts = [];
    const walk = (node) => {
      if (node.nodeType === Node.TEXT_NODE) texts.push(node.data);
      if (!(node instanceof Element)) return;
      for (const { name, value } of node.attributes) {
        // What React-like ids and the drawing's size are, says nothing.
        if (/^(aria-|title$|alt$|data-|disabled$|class$|value$|d$|transform$)/.test(name)) texts.push(`${name}=${value}`);
      }
      if ("value" in node && typeof node.value === "string") texts.push(`value: ${node.value}`);
      for (const child of node.childNodes) walk(child);
    };
    walk(document.documentElement);
    return texts.join("\n");
  });
}

/** Where two long texts begin to differ, for a message that can be read. */
function difference(a, b) {
  const [as, bs] = [a.split("\n"), b.split("\n")];
  const at = as.findIndex((line, i) => line !== bs[i]);
  if (at < 0 && as.length === bs.length) return null;
  const from = at < 0 ? Math.min(as.length, bs.length) : at;
  return `line ${from}: ${as.slice(from, from + 4).join(" | ")}  ≠  ${bs.slice(from, from + 4).join(" | ")}`;
}

/** Every text that leaves the page: logs, grades, the session's record as it is printed. */
async function everywhere(page) {
  const all = { bench: await told(page) };
  for (const tab of ["readings", "charts"]) {
    await byId(page, `tab-${tab}`).click();
    all[tab] = await told(page);
  }
  await byId(page, "tab-elevation").click();
  await byId(page, "help").click();
  all.help = await told(page);
  await byId(page, "help-close").click();
  await byId(page, "go-record").click();
  await page.waitForFunction(() => !document.querySelector("[data-testid=record-coach][aria-busy=true]"));
  all.record = await told(page);
  for (const id of ["export-csv", "export-json"]) {
    all[id] = (await savedFile(page, byId(page, id))).text;
  }
  await byId(page, "save").click();
  all.saved = await told(page);
  await page.emulateMedia({ media: "print" });
  all.printed = await byId(page, "record").innerText();
  await page.emulateMedia({ media: "screen" });
  await byId(page, "go-bench").click();
  return all;
}

/** The two pages tell the same. */
async function same(a, b, when) {
  const [theirs, ours] = [await everywhere(a), await everywhere(b)];
  for (const place of Object.keys(theirs)) {
    assert.equal(difference(theirs[place], ours[place]), null, `${when}: ${place}`);
  }
}

const secretActions = async (page) =>
  JSON.parse(await stored(page, SESSION)).actions.filter((a) => a.action === "sealed");

/** Does the same on a page with a secret and on one without, and compares them at each step. */
async function traceless(secret, expected, steps) {
  const [open, kept] = [await ready(), await ready()];
  await secret(kept);
  assert.equal((await secretActions(kept)).length, expected, "it was done");
  await same(open, kept, "as soon as it is done");
  for (const [name, step] of steps) {
    for (const page of [open, kept]) await step(page);
    await same(open, kept, name);
  }
  await close(open);
  await close(kept);
}

const editAndUndo = [
  ["a step is added", (page) => page.keyboard.press("Alt+h")],
  ["and taken back", (page) => byId(page, "undo").click()],
  ["and done again", (page) => byId(page, "redo").click()],
];

test("a planted fault that has no symptom yet shows nowhere, over a run too", { timeout: 280_000 }, async () => {
  // It tells on the next reference run, and not on a run that compares.
  await traceless((page) => plant(page, "reference-on-moved-part"), 1, [
    ...editAndUndo,
    ["it is taken back for the run", (page) => byId(page, "undo").click()],
    ["a run", (page) => learner.run(page)],
  ]);
});

test("two faults and a move in secret show nowhere before a run", { timeout: 280_000 }, async () => {
  const secret = async (page) => {
    await plant(page, "wrong-part");
    await plant(page, "work-lead-off");
    await page.keyboard.press("Alt+m");
  };
  await traceless(secret, 3, [
    ["undo takes back the same", async (page) => {
      for (let i = 0; i < 3; i += 1) await byId(page, "undo").click();
    }],
    ["the part is moved by hand", (page) => learner.nudge(page, 2, 1, 0.5)],
  ]);
});

test("a key that plants nothing, or something that does not fit, shows nothing either", async () => {
  const [open, kept] = [await ready(), await ready()];
  await kept.keyboard.press("Alt+f");
  await kept.keyboard.press("Escape");
  assert.deepEqual(await secretActions(kept), []);
  await kept.keyboard.press("Alt+f");
  await same(open, kept, "while the letter is waited for");
  await close(open);
  await close(kept);
});

test("the symptom is seen, and what is behind it is not told before it is revealed", async () => {
  const page = await ready();
  await page.keyboard.press("Alt+m");
  await learner.run(page);
  const rules = (await learner.findings(page)).map((f) => f.rule);
  const words = await byId(page, "main").innerText();
  assert.doesNotMatch(words, /secret until|truly/i);
  for (const rule of ["reference-retaken-on-moved-part", "part-moved-mid-run", "arc-on-first-moved-part", "no-proof-run"]) {
    assert.ok(!rules.includes(rule), `${rule} would tell that the part was moved`);
  }
  await page.keyboard.press("Alt+r");
  assert.match(await byId(page, "notice").textContent(), /the part truly lies at/);
  await close(page);
});

test("the drawer that the class can see looks the same whatever is secret", async () => {
  const page = await ready();
  await unfold(page, "presenter");
  const drawer = () => byId(page, "presenter").evaluate((e) => e.outerHTML);
  const before = await drawer();
  await plant(page, "wire-bent");
  await byId(page, "move-in-secret").click();
  assert.equal((await secretActions(page)).length, 2);
  assert.equal(await drawer(), before);
  await close(page);
});
