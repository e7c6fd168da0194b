// Opens what is stored, starts the program, and shows a plain page if it breaks or its last start did not end.
// What a packed page has besides stands in src/pack and src/app/course_system.
//
// What the program may rely on:
// - It mounts itself into #app. Once it has started, #shell is removed.
// - Its panic hook dispatches a CustomEvent "nudgeproof-panic" on window, with the message as
//   `detail`. #panic then stands in place of the page; nothing of the program runs any more.
// - It dispatches "nudgeproof-started" on window once it answers. Until then "nudgeproof.starting"
//   stands in local storage; a start that finds it there asks before it runs the program.
// - `nudgeproofStore` is open before it runs (src/app/storage). What is stored is read and changed here as well
//   where the program does not run.
"use strict";
(() => {
  const LESSONS = "setting.lessons";
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

  // What is stored. "journal" has the records of the session (src/session/journal.rs) by numbers that only grow,
  // "kept" has texts by their names. Each change is one transaction, and is through once it is on the disk.
  // Where there is no such database, local storage has the same, without that promise.
  const OURS = "nudgeproof.";
  const RECORD = "journal.";
  const ASIDE = ["session.aside", "session.aside.2", "session.aside.3"]; // the newest first
  const PATIENCE = 3000; // ms

  const answered = (request) => new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  const inTime = (promise) => {
    const late = new Promise((_, reject) => setTimeout(() => reject(new Error("It does not answer.")), PATIENCE));
    return Promise.race([promise, late]);
  };

  const inDatabase = async (name) => {
    const opening = indexedDB.open(name, 1);
    opening.onupgradeneeded = () => ["journal", "kept"].forEach((store) => opening.result.createObjectStore(store));
    const db = await inTime(answered(opening));
    db.onversionchange = () => db.close(); // for a newer page in another window
    const begin = (...how) => {
      const transaction = db.transaction(["journal", "kept"], ...how);
      return [transaction, transaction.objectStore("journal"), transaction.objectStore("kept")];
    };
    const numbered = IDBKeyRange.upperBound(Infinity); // no other keys
    const [, journal, kept] = begin();
    const all = [journal.getAllKeys(numbered), journal.getAll(numbered), kept.getAllKeys(), kept.getAll()];
    const [numbers, records, names, texts] = await inTime(Promise.all(all.map(answered)));
    const pairs = names.map((name, n) => [name, texts[n]]);
    return {
      kind: "database",
      last: numbers.at(-1) ?? 0,
      records: records.map(String),
      kept: new Map(pairs.filter((pair) => pair.every((value) => typeof value === "string"))),
      write(plan, ended, over) {
        const [transaction, journal, kept] = begin("readwrite", { durability: "strict" });
        let how = "failed";
        transaction.oncomplete = () => ended("stored");
        transaction.onabort = () => ended(how);
        const asked = [journal.openKeyCursor(numbered, "prev"), ...(over ? [journal.getAll(numbered)] : [])];
        asked.at(-1).onsuccess = () => {
          try {
            const last = asked[0].result?.key ?? 0;
            const { refused, clear, add, keep } = plan(last, asked[1]?.result);
            if (refused) {
              how = refused;
              transaction.abort();
              return;
            }
            if (clear && last > 0) journal.delete(IDBKeyRange.upperBound(last));
            if (add) journal.add(add[1], add[0]);
            for (const [name, text] of keep) text === null ? kept.delete(name) : kept.put(text, name);
            transaction.commit?.();
          } catch {
            transaction.abort();
          }
        };
      },
    };
  };

  const inLocalStorage = () => {
    const found = () => Object.keys(localStorage).filter((key) => key.startsWith(OURS)).sort();
    const names = (start) => found().filter((key) => key.startsWith(start)).map((key) => key.slice(start.length));
    const numbers = () => names(OURS + RECORD).map(Number);
    const record = (number) => localStorage.getItem(OURS + RECORD + number);
    const set = ([key, text]) => (text === null ? localStorage.removeItem(key) : localStorage.setItem(key, text));
    set([`${OURS}trial`, "written"]); // throws where nothing is kept
    set([`${OURS}trial`, null]);
    const texts = /^(setting|save|session)\./;
    const kept = names(OURS).filter((name) => texts.test(name));
    return {
      kind: "local",
      last: numbers().at(-1) ?? 0,
      records: numbers().map(record),
      kept: new Map(kept.map((name) => [name, localStorage.getItem(OURS + name)])),
      forget: (moved) => [...numbers().map((number) => RECORD + number), ...moved].forEach((name) => set([OURS + name, null])),
      write(plan, ended, over) {
        const before = numbers();
        const { refused, clear, add, keep } = plan(before.at(-1) ?? 0, over ? before.map(record) : undefined);
        if (refused) {
          queueMicrotask(() => ended(refused));
          return;
        }
        const changes = [
          ...(clear ? before.map((number) => [RECORD + number, null]) : []),
          ...(add ? [[RECORD + add[0], add[1]]] : []),
          ...keep,
        ].map(([name, text]) => [OURS + name, text]);
        const old = changes.map(([key]) => [key, localStorage.getItem(key)]);
        let how = "stored";
        try {
          changes.forEach(set);
        } catch {
          how = "failed";
          changes.forEach(([key]) => set([key, null])); // first, so that there is room
          old.forEach(set);
        }
        queueMicrotask(() => ended(how));
      },
    };
  };

  // The session that records give, as far as they can be read.
  const read = (records) => {
    let frame = null;
    const actions = [];
    for (const text of records) {
      const record = tried(() => JSON.parse(text));
      if (!Array.isArray(record?.add) || !(frame ?? record.begins?.frame)) break;
      frame = record.begins?.frame ?? frame;
      actions.splice(record.keep, Infinity, ...record.add);
    }
    return { frame, actions };
  };
  // The same as the text of a session file; null if there is none.
  const written = (records) => {
    const { frame, actions } = read(records);
    if (!frame) return records.length > 0 ? records.join("\n") : null;
    const list = actions.map((action) => `\n    ${action}`).join(",");
    return frame.head + list + (list && "\n  ") + frame.tail;
  };

  const openStore = async () => {
    let why = "";
    const learner = globalThis.courseLearner === undefined ? "" : `-of.${globalThis.courseLearner}`;
    const database = await inDatabase(`nudgeproof${learner}`).catch((error) => {
      why = `${error?.name}: ${error?.message}`;
      return null;
    });
    const none = { kind: "none", last: 0, records: [], kept: new Map(), write: (plan, ended) => queueMicrotask(() => ended("failed")) };
    const place = database ?? tried(inLocalStorage) ?? none;
    const { kept } = place;
    let { last, records } = place;
    let broken = false; // a record is missing: only a whole session can follow
    const windows = tried(() => new BroadcastChannel(`nudgeproof-kept${learner}`));
    const setKept = (changes) => changes.forEach(([name, text]) => (text === null ? kept.delete(name) : kept.set(name, text)));

    // What work put aside is once this text is the newest of it.
    const shelve = (text) => {
      const older = ASIDE.map((name) => kept.get(name) ?? null).filter((there) => there !== null && there !== text);
      return ASIDE.map((name, n) => [name, [text, ...older][n] ?? null]);
    };
    // A change: `record` to append; `whole` if it needs none before it; `over` what another window has stored, which
    // is put aside; `keep` as pairs of names and texts. Tells how it ended.
    const write = ({ record, whole = false, over = false, keep = [] }) => {
      const work = record !== undefined || whole;
      const changed = [];
      const take = (changes) => {
        changed.push(...changes.map(([name]) => [name, kept.get(name) ?? null]));
        setKept(changes);
      };
      let before = null;
      take(keep);
      if (work) records = whole ? [] : records;
      if (record !== undefined) records.push(record);
      const plan = (there, texts) => {
        if (work && !over && there !== last) return { refused: "other" };
        if (work && broken && !whole) return { refused: "failed" };
        const aside = over && texts.length > 0 ? shelve(written(texts)) : [];
        take(aside);
        const number = Math.max(there + 1, Date.now());
        if (work) [before, last] = [last, record === undefined ? 0 : number];
        return { clear: whole, add: record === undefined ? null : [number, record], keep: [...keep, ...aside] };
      };
      return new Promise((ended) => {
        const end = (how) => {
          const names = changed.map(([name]) => name);
          if (how === "stored") {
            if (work) broken = false;
            if (names.length > 0) windows?.postMessage(names.map((name) => [name, kept.get(name) ?? null]));
          } else {
            setKept(changed.reverse());
            if (work) [last, broken] = [before ?? last, true];
          }
          tried(() => store.tell?.(how, work, names[0] ?? "")); // a program that broke answers no more
          ended(how);
        };
        try {
          place.write(plan, end, over);
        } catch {
          queueMicrotask(() => end("failed")); // the browser has closed the database
        }
      });
    };

    const store = {
      kind: place.kind,
      why,
      tell: null, // called with how a change ended, whether it was one of the session, and what else it changed
      records: () => records,
      behind: () => broken || place === none, // not all of them are stored
      names: () => [...kept.keys()].sort(),
      get: (name) => kept.get(name) ?? null,
      keep: (changes) => write({ keep: changes }),
      append: (record, whole, aside) => write({ record, whole, keep: aside === undefined ? [] : shelve(aside) }),
      takeOver: (record) => write({ record, whole: true, over: true }),
      write,
      shelve,
    };
    windows?.addEventListener("message", ({ data }) => {
      setKept(data);
      store.tell?.("changed", false, data[0][0]);
    });
    // What had to go into local storage at an earlier visit moves here; work of then is put aside.
    const moveIn = async () => {
      const left = inLocalStorage();
      const work = written(left.records);
      const here = [...left.kept].filter(([name]) => !kept.has(name));
      if (work === null && here.length === 0) return;
      const moved = await write({ keep: [...here, ...(work === null ? [] : shelve(work))] });
      if (moved === "stored") left.forget(here.map(([name]) => name));
    };
    if (database) await moveIn().catch(() => {}); // where there is no local storage there is nothing to move
    return store;
  };
  let store;
  const saved = () => written(store.records());

  // The mark of a start: whose it is, and when that window was last seen alive (ms since 1970). A
  // window that is still starting writes it anew each second.
  const thisWindow = String(performance.timeOrigin);
  const lastWindow = tried(() => sessionStorage.getItem(STARTING)); // of this tab, before it was loaded again
  tried(() => sessionStorage.setItem(STARTING, thisWindow));
  const mark = () => tried(() => localStorage.getItem(STARTING));
  let alive = 0;
  let beat;
  const markStart = () => {
    alive = Date.now();
    tried(() => localStorage.setItem(STARTING, `${thisWindow} ${alive}`));
  };
  const started = () => {
    clearInterval(beat);
    beat = undefined;
    if (mark()?.startsWith(`${thisWindow} `)) tried(() => localStorage.removeItem(STARTING));
  };
  // Another window that is starting at this moment is no start that failed.
  const unfinished = () => {
    const left = mark();
    if (left === null) return false;
    const [owner, seen] = left.split(" ");
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

  // The record that takes back the last action; null where there is none.
  const oneBack = () => {
    const { actions } = read(store.records());
    return actions.length > 0 ? JSON.stringify({ keep: actions.length - 1, add: [] }) : null;
  };
  const takeBack = async () => {
    await store.append(oneBack(), false);
    loadAgain();
  };

  // What a start reads: the work and lessons of one's own. Where there are none, and a start still did
  // not end, everything else that is stored but saves.
  const readAtStart = () => {
    if (saved() !== null || store.get(LESSONS) !== null) return store.get(LESSONS) === null ? [] : [LESSONS];
    return store.names().filter((name) => name.startsWith("setting.") && !name.includes(".aside"));
  };
  // A name beside this one that is free.
  const besides = (name) => {
    let place = `${name}.aside`;
    for (let n = 2; store.get(place) !== null; n += 1) place = `${name}.aside.${n}`;
    return place;
  };
  const startEmpty = async (failed) => {
    const moved = failed ? readAtStart().flatMap((name) => [[besides(name), store.get(name)], [name, null]]) : [];
    const work = saved();
    await store.write({ whole: work !== null, keep: [...moved, ...(work === null ? [] : store.shelve(work))] });
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
    show("panic-saved", work && !failed && !store.behind());
    show("panic-behind", work && !failed && store.behind());
    show("panic-unsaved", !work && !failed);
    show("panic-stored", failed);
    show("panic-download", work);
    show("panic-back", work && oneBack() !== null);
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
    store = globalThis.nudgeproofStore = await openStore();
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
