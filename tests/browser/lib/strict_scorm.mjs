// A course system by SCORM 1.2 that takes nothing but what the standard allows, for the browser. After the Run-Time
// Environment (ADL, 2001) as a widely used course system checks it: patterns of values, codes of errors, what may be
// read and what written. Its source is handed to a page: it stands on its own.

export function strictScorm(given) {
  const log = [];
  const stored = { "cmi.core.lesson_mode": "normal", "cmi.core.lesson_status": "not attempted", ...given };
  const values = { ...stored };
  let state = "before";
  let error = "0";

  const text = (n) => new RegExp(`^[\\s\\S]{0,${n}}$`);
  const IDENTIFIER = /^[\u0021-\u007E]{1,255}$/;
  const SPAN = /^\d{2,4}:\d{2}:\d{2}(\.\d{1,2})?$/;
  const SCORE = (value) => /^-?\d{1,3}(\.\d+)?$/.test(value) && value >= 0 && value <= 100;
  const STATUS = /^(passed|completed|failed|incomplete|browsed)$/;
  const one = (pattern) => (typeof pattern === "function" ? pattern : (value) => pattern.test(value));
  // What may be written, and what also be read.
  const WRITTEN = [
    [/^cmi\.core\.lesson_location$/, text(255), "rw"],
    [/^cmi\.core\.lesson_status$/, STATUS, "rw"],
    [/^cmi\.core\.score\.(raw|min|max)$/, SCORE, "rw"],
    [/^cmi\.core\.session_time$/, SPAN, "w"],
    [/^cmi\.core\.exit$/, /^(time-out|suspend|logout|)$/, "w"],
    [/^cmi\.suspend_data$/, text(4096), "rw"],
    [/^cmi\.objectives\.\d+\.id$/, IDENTIFIER, "rw"],
    [/^cmi\.objectives\.\d+\.score\.(raw|min|max)$/, SCORE, "rw"],
    [/^cmi\.objectives\.\d+\.status$/, /^(passed|completed|failed|incomplete|browsed|not attempted)$/, "rw"],
    [/^cmi\.interactions\.\d+\.id$/, IDENTIFIER, "w"],
    [/^cmi\.interactions\.\d+\.time$/, /^([01]\d|2[0-3]):[0-5]\d:[0-5]\d(\.\d{1,2})?$/, "w"],
    [/^cmi\.interactions\.\d+\.type$/, /^(true-false|choice|fill-in|matching|performance|sequencing|likert|numeric)$/, "w"],
    [/^cmi\.interactions\.\d+\.student_response$/, text(255), "w"],
    [/^cmi\.interactions\.\d+\.result$/, /^(correct|wrong|unanticipated|neutral|-?\d{1,3}(\.\d+)?)$/, "w"],
    [/^cmi\.interactions\.\d+\.latency$/, SPAN, "w"],
  ];
  const READ = [
    "cmi.core.student_id", "cmi.core.student_name", "cmi.core.credit", "cmi.core.entry", "cmi.core.lesson_mode",
    "cmi.core.total_time", "cmi.launch_data", "cmi.student_data.mastery_score",
  ];
  const rule = (key) => WRITTEN.find(([pattern]) => pattern.test(key));
  const count = (list) => new Set(Object.keys(values).filter((k) => k.startsWith(`cmi.${list}.`)).map((k) => k.split(".")[2])).size;
  const answer = (code, value) => {
    error = code;
    return value;
  };
  const did = (name, ...args) => log.push([name, ...args]);
  const refused = (code, name, ...args) => {
    did(`REFUSED ${code}`, name, ...args);
    return answer(code, name === "LMSGetValue" ? "" : "false");
  };
  const under = (name, empty, next, from) => {
    if (empty !== "") return refused("201", name, empty);
    if (!from.includes(state)) return refused(state === "before" ? "301" : "101", name);
    did(name);
    state = next;
    return answer("0", "true");
  };
  return {
    log, stored, values,
    API: {
      LMSInitialize: (empty) => under("LMSInitialize", empty, "open", ["before"]),
      LMSFinish: (empty) => {
        const result = under("LMSFinish", empty, "over", ["open"]);
        if (result === "true") Object.assign(stored, values);
        return result;
      },
      LMSCommit: (empty) => {
        const result = under("LMSCommit", empty, "open", ["open"]);
        if (result === "true") Object.assign(stored, values);
        return result;
      },
      LMSGetValue(key) {
        if (state !== "open") return refused("301", "LMSGetValue", key);
        const list = /^cmi\.(objectives|interactions)\._count$/.exec(key);
        if (list) return answer("0", String(count(list[1])));
        if (READ.includes(key)) return answer("0", values[key] ?? "");
        if (!rule(key)) return refused("401", "LMSGetValue", key);
        if (rule(key)[2] === "w") return refused("404", "LMSGetValue", key);
        return answer("0", values[key] ?? "");
      },
      LMSSetValue(key, value) {
        if (state !== "open") return refused("301", "LMSSetValue", key);
        if (typeof value !== "string") return refused("405", "LMSSetValue", key, value);
        if (READ.includes(key)) return refused("403", "LMSSetValue", key);
        if (!rule(key) || !one(rule(key)[1])(value)) return refused(rule(key) ? "405" : "401", "LMSSetValue", key, value);
        const list = /^cmi\.(objectives|interactions)\.(\d+)\./.exec(key);
        if (list && Number(list[2]) > count(list[1])) return refused("201", "LMSSetValue", key);
        did("LMSSetValue", key, value);
        values[key] = value;
        return answer("0", "true");
      },
      LMSGetLastError: () => error,
      LMSGetErrorString: () => "",
      LMSGetDiagnostic: () => "",
    },
  };
}
