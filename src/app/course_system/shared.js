// A page within a course system. The packer (src/pack) puts this and one speaker, scorm12.js or cmi5.js, before
// the program; no other page has them.
//
// A speaker is an object with
//   open()            finds the course system; a promise of null if there is none, else of
//                     { learner, launch, kept, grades }: a name for whoever learns, the set-up that a teacher
//                     gave, what was kept last, and whether this visit is graded
//   tell(report)      what has been learned, see below; `report.stages` and `report.done` are those that are new
//   keep(text)        keeps a text until the next visit
//   commit()          sees that all of it is stored
//   close()           the end of the visit
//   longest           most characters of a text to keep
//
// The program finds `courseSystem` once `courseReady` is through, if there is a course system:
//   session, records  texts of files to go on with, or null where this browser has the newer ones
//   launch            the set-up of a class, or ""
//   returning         "yes" from the second visit on, or ""
//   tell(json)        takes what src/app/course_system/mod.rs writes
"use strict";

// What is stored belongs to one learner: each has a database of their own (src/app/boot.js), and what stands in local
// storage of others who sat here stands under their names.
const OURS = "nudgeproof.";
const OWNER = "nudgeproof-learner";
const SHELF = (learner) => `nudgeproof-of.${learner}.`;
// When the course system was last told, ms since 1970.
const TOLD = "nudgeproof.told-course-system";

const move = (from, to) => {
  for (const key of Object.keys(localStorage).filter((key) => key.startsWith(from))) {
    const text = localStorage.getItem(key);
    localStorage.removeItem(key); // first, so that there is room
    localStorage.setItem(to + key.slice(from.length), text);
  }
};

const takeSeat = (learner) => {
  const before = localStorage.getItem(OWNER) ?? "";
  if (before === learner) return;
  move(OURS, SHELF(before));
  move(SHELF(learner), OURS);
  localStorage.setItem(OWNER, learner);
};

// Local storage throws where the browser forbids it.
const tried = (call) => {
  try {
    return call();
  } catch {
    return null;
  }
};

// A text deflated (RFC 1951), as base64url (RFC 4648, section 5).
const through = async (stream, bytes) =>
  new Uint8Array(await new Response(new Blob([bytes]).stream().pipeThrough(stream)).arrayBuffer());
const pack = async (text) => {
  const bytes = await through(new CompressionStream("deflate-raw"), new TextEncoder().encode(text));
  const letters = btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(""));
  return letters.replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
};
const unpack = async (text) => {
  const letters = atob(text.replaceAll("-", "+").replaceAll("_", "/"));
  const bytes = Uint8Array.from(letters, (letter) => letter.charCodeAt(0));
  return new TextDecoder("utf-8", { fatal: true }).decode(await through(new DecompressionStream("deflate-raw"), bytes));
};

// What is kept: a version, and packed, a line each: when, the records, the session. Where that is too long, first
// the session goes, which the lesson's number draws again, and then the oldest records.
const VERSION = "1.";
const compact = (file) => file.split("\n").map((line) => line.trimStart()).join("");
const keepsake = async (when, { session, records }, longest) => {
  let [work, book] = [compact(session), records];
  for (;;) {
    const text = VERSION + (await pack([when, compact(JSON.stringify(book)), work].join("\n")));
    if (text.length <= longest) return text;
    if (work !== "") work = "";
    else if (book.records.length > 0) book = { ...book, records: book.records.slice(Math.ceil(book.records.length / 8)) };
    else return "";
  }
};
const opened = async (text) => {
  if (!text?.startsWith(VERSION)) return null;
  const lines = (await unpack(text.slice(VERSION.length))).split("\n");
  return { when: Number(lines[0]), records: lines[1] || null, session: lines[2] || null };
};

const speakThrough = (speaker) => {
  const enter = async () => {
    const system = await speaker.open();
    if (!system) return;
    tried(() => takeSeat(system.learner));
    globalThis.courseLearner = system.learner; // whose database it is
    // What another machine was told last is newer than what this browser has.
    const kept = await opened(system.kept).catch(() => null);
    const here = Number(tried(() => localStorage.getItem(TOLD)) ?? 0);
    const work = kept && kept.when > here ? kept : null;

    let known = null; // the stages that were told before
    const recorded = new Set(); // the attempts whose records were told
    let graded = "";
    let newest = null;
    let packing = false;
    // Packing takes a moment: only the newest state is worth it.
    const keepNewest = async () => {
      if (packing) return;
      packing = true;
      while (newest) {
        const { files, commit } = newest;
        newest = null;
        const when = Date.now();
        const text = await keepsake(when, files, speaker.longest);
        tried(() => localStorage.setItem(TOLD, String(when)));
        speaker.keep(text);
        if (commit) speaker.commit();
      }
      packing = false;
    };

    globalThis.courseSystem = {
      session: work?.session ?? null,
      records: work?.records ?? null,
      launch: system.launch,
      returning: system.kept ? "yes" : "",
      tell(json) {
        if (!system.grades) return;
        const { session, records, ...report } = JSON.parse(json);
        const name = (stage) => [report.lesson, report.seed, stage.number].join(".");
        const stages = report.stages.map((stage) => ({ ...stage, id: name(stage) }));
        // Those of a session that goes on were told at the last visit.
        known ??= new Set(work || here ? stages.map((stage) => stage.id) : []);
        report.stages = stages.filter((stage) => !known.has(stage.id));
        report.stages.forEach((stage) => known.add(stage.id));
        const attempt = ({ lesson, seed }) => [lesson, seed].join(".");
        report.done = report.done.filter((record) => !recorded.has(attempt(record)));
        report.done.forEach((record) => recorded.add(attempt(record)));
        speaker.tell(report);
        const now = JSON.stringify([report.score, report.passed, report.runs, records.length, [...known]]);
        newest = { files: { session, records: JSON.parse(records) }, commit: now !== graded || newest?.commit };
        graded = now;
        keepNewest();
      },
    };
    // The end of a visit is best effort: all that counts was stored when it was done.
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "hidden") speaker.commit();
    });
    addEventListener("pagehide", () => speaker.close());
    // A page that the browser has kept and brings back would speak in a visit that is over.
    addEventListener("pageshow", ({ persisted }) => {
      if (persisted) location.reload();
    });
  };
  globalThis.courseReady = enter().catch((error) => console.warn(`The course system did not answer as expected: ${error}`));
};
