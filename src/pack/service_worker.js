// Hands out the files of one version of the page, with or without a network. Above stand that version and its
// files with their checksums, as they were packed.
//
// Versions never mix: a file whose checksum is another's ends the installing, and the browser tries again
// later; the page itself comes from this version alone; all else has its content's hash in its name.
"use strict";
const BEGINS = `nudgeproof ${registration.scope} `;
const CACHE = BEGINS + VERSION;

addEventListener("install", (event) => event.waitUntil(install()));
const install = async () => {
  const cache = await caches.open(CACHE);
  try {
    await Promise.all(Object.entries(FILES).map(async ([address, integrity]) => {
      const answer = await fetch(address, { integrity, cache: "no-cache" });
      if (!answer.ok) throw new Error(`${address}: ${answer.status}`);
      await cache.put(address, answer);
    }));
  } catch (error) {
    await caches.delete(CACHE);
    throw error;
  }
};

addEventListener("activate", (event) => event.waitUntil(dropOlder()));
const dropOlder = async () => {
  // Another window may still work with what an older version loads late.
  const windows = await clients.matchAll({ type: "window", includeUncontrolled: true });
  if (windows.length > 1) return;
  const names = await caches.keys();
  const older = names.filter((name) => name.startsWith(BEGINS) && name !== CACHE);
  await Promise.all(older.map((name) => caches.delete(name)));
};

addEventListener("message", ({ data }) => {
  if (data === "take over") skipWaiting();
});

addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method === "GET" && request.url.startsWith(registration.scope)) event.respondWith(answer(request));
});
const answer = async (request) => {
  const cache = await caches.open(CACHE);
  const address = request.url.split(/[?#]/)[0].replace(/index\.html$/, "");
  const kept = (await cache.match(address)) ?? (await caches.match(address));
  return kept ?? fetch(request);
};
