// Speaks to a course system by SCORM 1.2 (ADL, 2001, Run-Time Environment). Values are texts, and so are answers.
{
  const began = performance.now();
  let api = null;
  let status = "";
  let stageBegan = began;

  // The API stands in a window around this one, or in the one that opened this. Windows of another origin throw.
  const MOST_WINDOWS = 10;
  const lookAround = (from) => {
    try {
      for (let w = from, n = 0; w && n < MOST_WINDOWS; w = w.parent, n += 1) {
        if (w.API) return w.API;
        if (w.parent === w) return null;
      }
    } catch { /* another origin */ }
    return null;
  };
  const find = () => lookAround(window) ?? lookAround(opener) ?? null;

  const get = (key) => String(api.LMSGetValue(key) ?? "");
  const set = (key, value) => api.LMSSetValue(key, String(value));
  const count = (list) => Number.parseInt(get(`cmi.${list}._count`), 10) || 0;

  // CMITimespan, HHHH:MM:SS.ss
  const span = (ms) => {
    const hundredths = Math.round(ms / 10);
    const two = (n) => String(Math.floor(n)).padStart(2, "0");
    const [h, m, s] = [hundredths / 360000, (hundredths / 6000) % 60, (hundredths / 100) % 60];
    return `${String(Math.floor(h)).padStart(4, "0")}:${two(m)}:${two(s)}.${two(hundredths % 100)}`;
  };
  const clock = (date) => [date.getHours(), date.getMinutes(), date.getSeconds()].map((n) => String(n).padStart(2, "0")).join(":");

  let objectives = new Map(); // the place of each in the list
  const tellSkill = ({ name, score, passed }) => {
    let n = objectives.get(name);
    if (n === undefined) {
      n = objectives.size;
      objectives.set(name, n);
      set(`cmi.objectives.${n}.id`, name);
    }
    set(`cmi.objectives.${n}.score.raw`, score);
    set(`cmi.objectives.${n}.status`, passed ? "passed" : score > 0 ? "incomplete" : "not attempted");
  };

  let interactions = 0;
  const tellStage = ({ id, right, answer }) => {
    const now = performance.now();
    const at = `cmi.interactions.${interactions}`;
    interactions += 1;
    set(`${at}.id`, id);
    set(`${at}.type`, "performance");
    set(`${at}.time`, clock(new Date()));
    if (answer !== null) set(`${at}.student_response`, answer);
    set(`${at}.result`, right === false ? "wrong" : "correct");
    set(`${at}.latency`, span(now - stageBegan));
    stageBegan = now;
  };

  speakThrough({
    longest: 4096,
    async open() {
      const found = find();
      if (!found || String(found.LMSInitialize("")) !== "true") return null;
      api = found;
      const mode = get("cmi.core.lesson_mode");
      status = get("cmi.core.lesson_status");
      if (mode === "browse" && status === "not attempted") set("cmi.core.lesson_status", "browsed");
      const grades = mode !== "browse" && mode !== "review";
      if (grades) {
        if (status === "" || status === "not attempted") set("cmi.core.lesson_status", "incomplete");
        const all = Array.from({ length: count("objectives") }, (_, n) => [get(`cmi.objectives.${n}.id`), n]);
        objectives = new Map(all);
        interactions = count("interactions");
        api.LMSCommit("");
      }
      return {
        learner: get("cmi.core.student_id"),
        launch: get("cmi.launch_data"),
        kept: get("cmi.suspend_data"),
        grades,
      };
    },
    tell({ passed, score, skills, stages }) {
      if (!api) return;
      // What a course system has once called passed stays so.
      if (passed && status !== "passed") {
        status = "passed";
        set("cmi.core.lesson_status", status);
      }
      if (score !== null) {
        set("cmi.core.score.min", 0);
        set("cmi.core.score.max", 100);
        set("cmi.core.score.raw", score);
      }
      skills.forEach(tellSkill);
      stages.forEach(tellStage);
    },
    keep(text) {
      if (api) set("cmi.suspend_data", text);
    },
    commit() {
      if (!api) return; // the visit is over
      set("cmi.core.session_time", span(performance.now() - began));
      api.LMSCommit("");
    },
    close() {
      if (!api) return;
      set("cmi.core.exit", "suspend");
      this.commit();
      api.LMSFinish("");
      api = null;
    },
  });
}
