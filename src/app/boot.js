// Starts the program, and shows a plain page if it breaks or its last start did not end. What a packed page
// has besides stands in src/pack and src/app/course_system.
//
// What the program may rely on:
// - It mounts itself into #app. Once it has started, #shell is removed.
// - Its panic hook dispatches a CustomEvent "nudgeproof-panic" on window, with the message as
//   `detail`. #panic then stands in place of the page; nothing of the program runs any more.
// - It dispatches "nudgeproof-started" on window once it answers. Until then "nudgeproof.starting"
//   stands in local storage; a start that finds it there asks before it runs the program.
// - The session it saves is the text under "nudgeproof.session" in local storage; that text,
//   byte for byte, is what the learner gets as a file. If the learner starts empty, it is
//   moved to "nudgeproof.session.aside"; what stood there moves on to ".2", and that to ".3".
"use strict";
(() => {
  const SESSION = "nudgeproof.session";
  const LESSONS = "nudgeproof.setting.lessons";
  const STARTING = "nudgeproof.starting";
  const byId = (id) => document.getElementById(id);

  // Local storage throws where the browser forbids it.
  const tried = (call) => {
    try {
      return call();
    } catch {
      return null;
    }
  };
  const read = (key) => tried(() => localStorage.getItem(key));
  const saved = () => read(SESSION);

  // The mark of a start: whose it is, and when that window was last seen alive (ms since 1970). A
  // window that is still starting writes it anew each second.
  const thisWindow = String(performance.timeOrigin);
  const lastWindow = tried(() => sessionStorage.getItem(STARTING)); // of this tab, before it was loaded again
  tried(() => sessionStorage.setItem(STARTING, thisWindow));
  let alive = 0;
  let beat;
  const markStart = () => {
    alive = Date.now();
    tried(() => localStorage.setItem(STARTING, `${thisWindow} ${alive}`));
  };
  const started = () => {
    clearInterval(beat);
    beat = undefined;
    if (read(STARTING)?.startsWith(`${thisWindow} `)) tried(() => localStorage.removeItem(STARTING));
  };
  // Another window that is starting at this moment is no start that failed.
  const unfinished = () => {
    const mark = read(STARTING);
    if (mark === null) return false;
    const [owner, seen] = mark.split(" ");
    return owner === lastWindow || !(Date.now() - seen < 10_000);
  };
  addEventListener("nudgeproof-started", () => {
    requestAnimationFrame(started);
    setTimeout(started, 1000); // a window that cannot be seen draws no frames
  }, { once: true });
  // Whoever leaves early, while the page still works, leaves no mark.
  addEventListener("pagehide", () => {
    if (beat && Date.now() - alive < 5000) started();
  });

  const download = () => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([saved() ?? ""], { type: "application/json" }));
    link.download = "nudgeproof-session.json";
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 1000);
  };

  // Without what the address carries: that may be what broke the page.
  const loadAgain = () => {
    history.replaceState(null, "", location.pathname);
    location.reload();
  };

  // The session without its last action; null where there is none, or where a number of it is too
  // long for this language to write it as it was.
  const withoutLastAction = () => tried(() => {
    const text = saved();
    const session = JSON.parse(text);
    if (session.actions.length === 0 || /[\s:,[]-?\d{16,}[\s,\]}]/.test(text)) return null;
    session.actions.pop();
    return JSON.stringify(session, null, 2);
  });
  const takeBack = () => {
    const text = withoutLastAction();
    tried(() => localStorage.setItem(SESSION, text)); // shorter than before: there is room
    loadAgain();
  };

  // Moves what stands under a key to a key beside it that is free.
  const moveAside = (key) => {
    let place = `${key}.aside`;
    for (let n = 2; localStorage.getItem(place) !== null; n += 1) place = `${key}.aside.${n}`;
    const text = localStorage.getItem(key);
    localStorage.removeItem(key);
    localStorage.setItem(place, text);
  };
  // What a start reads: the work and lessons of one's own. Where there are none, and a start still did
  // not end, everything else that is stored but saves.
  const readAtStart = () => tried(() => {
    const lessons = read(LESSONS) === null ? [] : [LESSONS];
    if (saved() !== null || lessons.length > 0) return lessons;
    return Object.keys(localStorage).filter((k) => k.startsWith("nudgeproof.setting.") && !k.includes(".aside"));
  }) ?? [];
  const startEmpty = (failed) => {
    if (failed) readAtStart().forEach(moveAside);
    // What was put aside before moves on, the oldest goes, as when the program itself puts work
    // aside. Never more is stored than was: there is room.
    if (saved() !== null) {
      const places = ["", ".aside", ".aside.2", ".aside.3"].map((end) => SESSION + end);
      const texts = places.map((place) => localStorage.getItem(place)).filter((text) => text !== null);
      places.forEach((place) => localStorage.removeItem(place));
      texts.slice(0, 3).forEach((text, n) => localStorage.setItem(places[n + 1], text));
    }
    tried(() => localStorage.removeItem(STARTING)); // another start, with other things
    loadAgain();
  };

  const show = (id, shown) => {
    byId(id).hidden = !shown;
  };
  let broken = false;
  // `starting`: it was in this start, or in the last.
  const showChoices = (starting, message) => {
    const work = saved();
    const failed = starting && (work !== null || readAtStart().length > 0);
    byId("panic-message").textContent = message;
    show("panic-details", message);
    show("panic-saved", work && !failed);
    show("panic-unsaved", !work && !failed);
    show("panic-stored", failed);
    show("panic-download", work);
    show("panic-back", work && withoutLastAction() !== null);
    show("panic-aside", work && !failed);
    show("panic-all-aside", failed);
    byId("panic-download").onclick = download;
    byId("panic-back").onclick = takeBack;
    byId("panic-aside").onclick = () => startEmpty(false);
    byId("panic-all-aside").onclick = () => startEmpty(true);
    show("app", false);
    show("panic", true);
    if (byId("shell")) show("shell", false);
    byId(work ? "panic-download" : "panic-reload").focus();
  };
  const showPanic = (message) => {
    if (broken) return; // what follows a panic only repeats it
    broken = true;
    const starting = beat !== undefined;
    clearInterval(beat);
    beat = undefined; // the mark stays
    byId("panic-reload").onclick = () => location.reload();
    showChoices(starting, message);
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
  const loaded = async () => {
    const glue = await import(address('link[rel="modulepreload"]'));
    return { run: glue.default, program: address('link[rel="preload"][as="fetch"]') };
  };
  const start = async () => {
    markStart();
    beat = setInterval(markStart, 1000);
    // A page in one file holds both (src/pack/embedded.js).
    const { run, program } = await (globalThis.nudgeproofEmbedded ?? loaded)();
    await run({ module_or_path: program });
    byId("shell")?.remove();
  };
  const tryStart = () => start().catch((error) => {
    if (!(error instanceof WebAssembly.RuntimeError)) started(); // it was not loaded: nothing stored did that
    showPanic(`The program did not start. ${error}`);
  });

  // A page in a course system first hears what is known there (src/app/course_system).
  const begin = async () => {
    await globalThis.courseReady;
    if (!(unfinished() && (saved() !== null || readAtStart().length > 0))) return tryStart();
    byId("panic-title").textContent = "The last start did not end.";
    byId("panic-reload").onclick = () => {
      byId("panic-title").textContent = "Something broke.";
      show("panic", false);
      show("app", true);
      show("shell", true);
      tryStart();
    };
    showChoices(true, "");
  };
  begin();
})();
