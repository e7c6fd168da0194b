// Keeps the page for work without a network, by the service worker beside it, and says when a newer version
// is ready. That one takes over when the learner says so, or once every window of the page is closed: never
// by itself while work is open.
"use strict";
(() => {
  const { serviceWorker } = navigator;
  if (!serviceWorker) return; // over plain http, or forbidden: the page works as long as there is a network
  let taken = false;
  const offer = (worker) => {
    const button = document.getElementById("update-now");
    button.onclick = () => {
      taken = true;
      button.disabled = true;
      worker.postMessage("take over");
    };
    document.getElementById("update").hidden = false;
  };
  // In other windows the old version works on: what it still loads is kept for it.
  serviceWorker.addEventListener("controllerchange", () => {
    if (taken) location.reload();
  });
  const keep = async () => {
    const registration = await serviceWorker.register("sw.js", { updateViaCache: "none" });
    const watch = (worker) => worker?.addEventListener("statechange", () => {
      // The very first version has nothing to take over from.
      if (worker.state === "installed" && serviceWorker.controller) offer(worker);
    });
    if (registration.waiting && serviceWorker.controller) offer(registration.waiting);
    watch(registration.installing);
    registration.addEventListener("updatefound", () => watch(registration.installing));
    // A page that stays open for days looks for a newer version when it is turned to again.
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") registration.update().catch(() => {});
    });
  };
  // After the program: its files come first. The browser refuses where it keeps nothing, and off the network.
  addEventListener("nudgeproof-started", () => keep().catch(() => {}), { once: true });
})();
