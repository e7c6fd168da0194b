// Speaks to a course system by cmi5 (AICC `CMI-5_Spec_Current`): statements (xAPI 1.0.3) to the record store that
// the launch names.
{
  const began = performance.now();
  const launched = new URLSearchParams(location.search);
  const [endpoint, tokens, actor, registration, activity] =
    ["endpoint", "fetch", "actor", "registration", "activityId"].map((name) => launched.get(name));
  const store = endpoint?.replace(/\/?$/, "/");

  const VERB = {
    initialized: "http://adlnet.gov/expapi/verbs/initialized",
    completed: "http://adlnet.gov/expapi/verbs/completed",
    passed: "http://adlnet.gov/expapi/verbs/passed",
    terminated: "http://adlnet.gov/expapi/verbs/terminated",
    answered: "http://adlnet.gov/expapi/verbs/answered",
    progressed: "http://adlnet.gov/expapi/verbs/progressed",
    mastered: "http://w3id.org/xapi/adl/verbs/mastered",
    scored: "http://adlnet.gov/expapi/verbs/scored",
  };
  const CATEGORY = "https://w3id.org/xapi/cmi5/context/categories/";
  const MASTERY = "https://w3id.org/xapi/cmi5/context/extensions/masteryscore";
  // The record of an attempt within its statement: `nudgeproof grade` reads it (src/cli/grade/statements.rs).
  const RECORD = "urn:uuid:6f0c7b52-3a0e-4a56-9f7e-6a1f6f9f2b13";
  // What the page keeps in the store, beside what the course system has there.
  const WORK = "nudgeproof-work";

  let authorization = "";
  let data = {}; // LMS.LaunchData
  let done = false; // passed, in this registration
  let over = false;
  const skillsTold = new Map();

  const ask = (method, path, query, body, more = {}) => fetch(`${store}${path}${query ? `?${new URLSearchParams(query)}` : ""}`, {
    method,
    headers: {
      Authorization: authorization,
      "X-Experience-API-Version": "1.0.3",
      ...(body === undefined ? {} : { "Content-Type": "application/json" }),
    },
    body: body === undefined ? undefined : JSON.stringify(body),
    ...more,
  });
  // What is on its way when the page is left still arrives, unless it is too long for that (Fetch, "keepalive").
  const arrives = (body) => ({ keepalive: JSON.stringify(body).length < 50_000 });
  const state = (stateId) => ({ stateId, activityId: activity, agent: actor, registration });
  const read = async (path, query) => {
    const answer = await ask("GET", path, query);
    if (answer.status === 404) return null;
    if (!answer.ok) throw new Error(`${path}: ${answer.status}`);
    return answer.json();
  };

  // crypto.randomUUID is there over https alone (RFC 9562, version 4).
  const uuid = () => "10000000-1000-4000-8000-100000000000".replace(/[018]/g, (digit) =>
    (digit ^ (crypto.getRandomValues(new Uint8Array(1))[0] & (15 >> (digit / 4)))).toString(16));
  // ISO 8601
  const duration = () => `PT${((performance.now() - began) / 1000).toFixed(2)}S`;

  // A statement as the template of the launch has it. Those that cmi5 defines carry its category, and one more
  // where they say that the unit is done.
  const statement = (verb, { result, object = { id: activity }, defined = false, extensions } = {}) => {
    const context = structuredClone(data.contextTemplate ?? {});
    context.registration = registration;
    const categories = defined ? ["cmi5", ...(result?.completion || result?.success ? ["moveon"] : [])] : [];
    if (categories.length > 0) {
      context.contextActivities ??= {};
      const there = context.contextActivities.category ?? [];
      const missing = categories.map((name) => CATEGORY + name).filter((id) => !there.some((c) => c.id === id));
      context.contextActivities.category = [...there, ...missing.map((id) => ({ objectType: "Activity", id }))];
    }
    if (extensions) context.extensions = { ...context.extensions, ...extensions };
    return {
      id: uuid(),
      actor: JSON.parse(actor),
      verb: { id: VERB[verb], display: { en: verb } },
      object: { objectType: "Activity", ...object },
      ...(result && { result }),
      context,
      timestamp: new Date().toISOString(),
    };
  };

  // One after the other. What waits when the page is left goes with the last.
  let waiting = [];
  let sending = Promise.resolve();
  const send = (statements) => {
    waiting.push(...statements);
    sending = sending.then(async () => {
      if (waiting.length === 0) return;
      const now = waiting;
      waiting = [];
      const answer = await ask("POST", "statements", null, now, arrives(now)).catch(() => null);
      // Off the network: with the next. A store that refuses them would refuse them again.
      if (answer === null && !over) waiting = [...now, ...waiting];
    });
    return sending;
  };

  const below = (kind, name, definition) => ({ id: `${activity}${activity.includes("#") ? "/" : "#"}${kind}/${encodeURIComponent(name)}`, definition });
  const ofSkill = ({ name, score, passed }) => statement(passed ? "mastered" : "progressed", {
    object: below("skill", name, { type: "http://adlnet.gov/expapi/activities/objective", name: { en: name } }),
    result: { score: { scaled: score / 100 } },
  });
  const ofStage = ({ id, right, answer }) => statement("answered", {
    object: below("stage", id, { type: "http://adlnet.gov/expapi/activities/cmi.interaction", interactionType: "performance", name: { en: id } }),
    result: { success: right !== false, ...(answer !== null && { response: String(answer) }) },
  });
  const ofRecord = (record) => statement("scored", {
    object: below("attempt", `${record.lesson}.${record.seed}`, { type: "http://adlnet.gov/expapi/activities/lesson", name: { en: record.lesson } }),
    result: {
      score: { scaled: record.score / 100, raw: record.score, min: 0, max: 100 },
      success: record.attempt.landed,
      completion: true,
      extensions: { [RECORD]: record },
    },
  });

  speakThrough({
    // A record store sets no such limit; a document of this size is stored quickly anywhere.
    longest: 65_536,
    async open() {
      if (![endpoint, tokens, actor, registration, activity].every(Boolean)) return null;
      const answer = await fetch(tokens, { method: "POST" });
      const token = answer.ok && (await answer.json())["auth-token"];
      if (!token) throw new Error("it gave no token");
      authorization = `Basic ${token}`;
      data = (await read("activities/state", state("LMS.LaunchData"))) ?? {};
      await read("agents/profile", { profileId: "cmi5LearnerPreferences", agent: actor }).catch(() => null);
      const work = await read("activities/state", state(WORK)).catch(() => null);
      done = work?.passed === true;
      send([statement("initialized", { defined: true })]);
      if (data.returnURL) {
        const back = document.getElementById("back-to-course");
        back.querySelector("a").href = data.returnURL;
        back.hidden = false;
      }
      const { account, mbox, mbox_sha1sum: sum, openid } = JSON.parse(actor);
      return {
        learner: account ? `${account.homePage} ${account.name}` : (mbox ?? sum ?? openid ?? ""),
        launch: data.launchParameters ?? "",
        kept: work?.kept ?? "",
        grades: (data.launchMode ?? "Normal") === "Normal",
      };
    },
    tell({ passed, score, skills, stages, done: attempts }) {
      const changed = skills.filter(({ name, score: now }) => (skillsTold.get(name) ?? 0) !== now);
      changed.forEach(({ name, score: now }) => skillsTold.set(name, now));
      const statements = [...stages.map(ofStage), ...attempts.map(ofRecord), ...changed.map(ofSkill)];
      const scaled = (score ?? 0) / 100;
      // At most one of each in a registration, and the score no less than what passes.
      if (passed && !done && scaled >= (data.masteryScore ?? 0)) {
        done = true;
        const extensions = data.masteryScore === undefined ? undefined : { [MASTERY]: data.masteryScore };
        statements.push(
          statement("completed", { defined: true, result: { completion: true, duration: duration() } }),
          statement("passed", { defined: true, extensions, result: { success: true, score: { scaled }, duration: duration() } }),
        );
      }
      if (statements.length > 0) send(statements);
    },
    keep(kept) {
      const work = { kept, passed: done };
      ask("PUT", "activities/state", state(WORK), work, arrives(work)).catch(() => {});
    },
    commit: () => send([]),
    close() {
      if (over) return;
      over = true;
      const last = statement("terminated", { defined: true, result: { duration: duration() } });
      const all = [...waiting, last];
      ask("POST", "statements", null, all, arrives(all)).catch(() => {});
      waiting = [];
    },
  });
}
