// What the page keeps in the browser: texts under names, and the records of the session (src/app/boot.js).

/** Name of the session; the text is exactly a session file. */
export const SESSION = "nudgeproof.session";
/** The safety caution has been read: runs start without it. */
export const CAUTION_READ = { "nudgeproof.setting.caution-read": "yes" };
/** The mark of a start, which stands in local storage. */
export const STARTING = "nudgeproof.starting";

/** The record that begins with this text of a session file, or with any other text. */
export function recordOf(text) {
  const whole = (head, tail, add) => JSON.stringify({ begins: { version: 1, frame: { head, tail } }, keep: 0, add });
  let session;
  try {
    session = JSON.parse(text);
  } catch {
    return whole(text, "", []);
  }
  if (!Array.isArray(session.actions)) return whole(text, "", []);
  const parts = (file) => file.match(/^(.*?"actions": \[)(?:\n {4}(.*?)\n {2})?(\].*)$/s);
  const [, head, actions, tail] = parts(text) ?? parts(JSON.stringify(session, null, 2));
  return whole(head, tail, actions ? actions.split(/,\n {4}(?=\S)/) : []);
}

/** Fills the browser's store before the page's first load: texts by their names, `{ [SESSION]: text }`. */
export const fill = (page, storage) =>
  page.addInitScript((entries) => {
    if (sessionStorage.getItem("filled")) return; // once, not at each load
    sessionStorage.setItem("filled", "yes");
    for (const [name, text] of entries.local) localStorage.setItem(name, text);
    const opening = indexedDB.open("nudgeproof", 1);
    opening.onupgradeneeded = () => {
      const [journal, kept] = ["journal", "kept"].map((name) => opening.result.createObjectStore(name));
      entries.records.forEach((record, n) => journal.add(record, n + 1));
      for (const [name, text] of entries.kept) kept.add(text, name);
    };
    opening.onsuccess = () => opening.result.close();
  }, sorted(storage));

const own = (name) => name.replace(/^nudgeproof\./, "");
function sorted(storage) {
  const { [SESSION]: session, [STARTING]: starting, ...kept } = storage;
  return {
    local: starting === undefined ? [] : [[STARTING, starting]],
    records: session === undefined ? [] : [session].flat().map((text) => (Array.isArray(session) ? text : recordOf(text))),
    kept: Object.entries(kept).map(([name, text]) => [own(name), text]),
  };
}

/** Everything in a database: the records of the session, and the texts by their names. */
export const database = (page, name = "nudgeproof") =>
  page.evaluate(async (name) => {
    const answered = (request) => new Promise((resolve, reject) => {
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
    const db = await answered(indexedDB.open(name));
    try {
      const stores = db.transaction(["journal", "kept"]);
      const [journal, kept] = ["journal", "kept"].map((store) => stores.objectStore(store));
      const [records, names, texts] = await Promise.all([journal.getAll(), kept.getAllKeys(), kept.getAll()].map(answered));
      return { records, kept: Object.fromEntries(names.map((key, n) => [key, texts[n]])) };
    } finally {
      db.close();
    }
  }, name);

/** The session that records hold, as the text of its file; null without records. */
export function sessionOf(records) {
  let frame = null;
  const actions = [];
  for (const record of records.map((text) => JSON.parse(text))) {
    frame = record.begins?.frame ?? frame;
    actions.splice(record.keep, Infinity, ...record.add);
  }
  const list = actions.map((action) => `\n    ${action}`).join(",");
  return frame && frame.head + list + (list && "\n  ") + frame.tail;
}

/** The text under a name, or null. What the page wrote before is in it. */
export async function stored(page, name) {
  const { records, kept } = await database(page);
  return name === SESSION ? sessionOf(records) : kept[own(name)] ?? null;
}

/** Does in the database what another window of the page would do: a text under a name, or another session. */
export const storeElsewhere = (page, storage) =>
  page.evaluate(async ({ records, kept }) => {
    const answered = (request) => new Promise((resolve, reject) => {
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
    const db = await answered(indexedDB.open("nudgeproof"));
    const stores = db.transaction(["journal", "kept"], "readwrite");
    const [journal, texts] = ["journal", "kept"].map((store) => stores.objectStore(store));
    if (records.length > 0) journal.clear();
    records.forEach((record, n) => journal.add(record, Date.now() + n));
    for (const [name, text] of kept) texts.put(text, name);
    await new Promise((resolve) => { stores.oncomplete = resolve; });
    db.close();
  }, sorted(storage));

/**
 * For `prepare`: the browser gives the pages of `url` so many bytes; it forgets that at the end of the visit, or by
 * what this returns. (Chromium takes 0 for no limit.)
 */
export async function limitStorage(page, url, bytes) {
  const client = await page.context().newCDPSession(page);
  const { origin } = new URL(url);
  await client.send("Storage.overrideQuotaForOrigin", { origin, quotaSize: bytes });
  return () => client.send("Storage.overrideQuotaForOrigin", { origin });
}

/** Leaves no room in the browser's storage for anything longer than a few characters. */
export const fillStorage = (page) =>
  page.evaluate(async () => {
    for (let size = 2 ** 20, n = 0; size >= 16; n += 1) {
      const ended = await nudgeproofStore.keep([[`setting.filler.${n}`, "x".repeat(size)]]);
      if (ended !== "stored") size /= 2;
    }
  });
