// What the page keeps in the browser's local storage.

/** Key of the session; the text is exactly a session file. */
export const SESSION = "nudgeproof.session";
/** The safety caution has been read: runs start without it. */
export const CAUTION_READ = { "nudgeproof.setting.caution-read": "yes" };

/** The text under a key, or null. */
export const stored = (page, key) => page.evaluate((k) => localStorage.getItem(k), key);

/** Leaves no room in the browser's storage for anything longer than a few characters. */
export const fillStorage = (page) =>
  page.evaluate(() => {
    for (let size = 4_000_000, i = 0; size >= 1; i += 1) {
      try {
        localStorage.setItem(`filler.${i}`, "x".repeat(size));
      } catch {
        size = Math.floor(size / 2);
      }
    }
  });
