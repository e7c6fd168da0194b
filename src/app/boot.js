// Starts the program, and shows a plain page if it breaks. No other script is written by hand.
//
// What the program may rely on:
// - It mounts itself into #app. Once it has started, #shell is removed.
// - Its panic hook dispatches a CustomEvent "nudgeproof-panic" on window, with the message as
//   `detail`. #panic then stands in place of the page; nothing of the program runs any more.
// - The session it saves is the text under "nudgeproof.session" in local storage; that text,
//   byte for byte, is what the learner gets as a file. If the learner starts empty, it is
//   moved to "nudgeproof.session.aside"; what stood there moves on to ".2", and that to ".3".
"use strict";
(() => {
  const KEY = "nudgeproof.session";
  const byId = (id) => document.getElementById(id);

  // Local storage throws where the browser forbids it.
  const saved = () => {
    try {
      return localStorage.getItem(KEY);
    } catch {
      return null;
    }
  };

  const download = () => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([saved() ?? ""], { type: "application/json" }));
    link.download = "nudgeproof-session.json";
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 1000);
  };

  const startEmpty = () => {
    // What was put aside before moves on, the oldest goes, as when the program itself puts work
    // aside. Never more is stored than was: there is room.
    const places = ["", ".aside", ".aside.2", ".aside.3"].map((end) => KEY + end);
    const texts = places.map((place) => localStorage.getItem(place)).filter((text) => text !== null);
    places.forEach((place) => localStorage.removeItem(place));
    texts.slice(0, 3).forEach((text, n) => localStorage.setItem(places[n + 1], text));
    history.replaceState(null, "", location.pathname);
    location.reload();
  };

  let broken = false;
  const showPanic = (message) => {
    if (broken) return; // what follows a panic only repeats it
    broken = true;
    const work = saved();
    byId("panic-message").textContent = message;
    byId("panic-saved").hidden = !work;
    byId("panic-unsaved").hidden = Boolean(work);
    byId("panic-download").hidden = !work;
    byId("panic-aside").hidden = !work;
    byId("panic-download").addEventListener("click", download);
    byId("panic-reload").addEventListener("click", () => location.reload());
    byId("panic-aside").addEventListener("click", startEmpty);
    byId("app").hidden = true;
    byId("shell")?.remove();
    byId("panic").hidden = false;
    (work ? byId("panic-download") : byId("panic-reload")).focus();
  };

  addEventListener("nudgeproof-panic", (event) => showPanic(String(event.detail)));
  // A trap without a panic, for instance when memory runs out.
  addEventListener("error", ({ error }) => {
    if (error instanceof WebAssembly.RuntimeError) showPanic(String(error));
  });
  addEventListener("unhandledrejection", ({ reason }) => {
    if (reason instanceof WebAssembly.RuntimeError) showPanic(String(reason));
  });

  // The addresses stand in the preload links that Trunk writes; both are on their way by now. The
  // browser compiles the program while it arrives, so it cannot compare a checksum first: index.html
  // has none for it. Glue and program of different builds differ in their names.
  const address = (link) => document.querySelector(link).href;
  const start = async () => {
    const glue = await import(address('link[rel="modulepreload"]'));
    await glue.default({ module_or_path: address('link[rel="preload"][as="fetch"]') });
    byId("shell")?.remove();
  };
  start().catch((error) => showPanic(`The program did not start. ${error}`));
})();
