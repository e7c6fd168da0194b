// A record store and course system for cmi5 on a free port: hands out one token, keeps documents and statements, and
// refuses what AICC `CMI-5_Spec_Current` or xAPI 1.0.3 forbids. Every refusal is noted. With `theirs`, a store of
// others (their_store.mjs), each statement goes there as it came, and the answer is theirs.
import { createServer } from "node:http";

const ADL = "http://adlnet.gov/expapi/verbs/";
const CMI5 = "https://w3id.org/xapi/cmi5/context/categories/cmi5";
const MOVE_ON = "https://w3id.org/xapi/cmi5/context/categories/moveon";
const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/;
const DURATION = /^PT\d+(\.\d{1,2})?S$/;

export async function recordStore({ launchMode = "Normal", launchParameters, masteryScore = 0.8, returnURL, theirs } = {}) {
  const actor = { objectType: "Agent", name: "Ida", account: { homePage: "http://school.example", name: "17" } };
  const token = theirs?.token ?? "c2VjcmV0";
  const registration = "2f1d2ba4-7ad4-4b9a-8b0c-1f4f8f2b3a10";
  const activityId = "http://school.example/units/1";
  const template = {
    contextActivities: { grouping: [{ id: "http://school.example/courses/1", objectType: "Activity" }] },
    extensions: { "https://w3id.org/xapi/cmi5/context/extensions/sessionid": "session-1" },
  };
  const documents = new Map();
  const statements = [];
  const refusals = [];
  let tokens = 1;
  const launchData = { contextTemplate: template, launchMode, masteryScore, moveOn: "Passed", launchParameters, returnURL };

  const wrong = (statement) => {
    const verb = statement.verb.id.replace(ADL, "");
    const categories = (statement.context?.contextActivities?.category ?? []).map((c) => c.id);
    const before = statements.map((s) => s.verb.id.replace(ADL, ""));
    const defined = ["initialized", "completed", "passed", "failed", "terminated"].includes(verb);
    if (!UUID.test(statement.id)) return "its id";
    if (JSON.stringify(statement.actor) !== JSON.stringify(actor)) return "its actor";
    if (statement.context?.registration !== registration) return "its registration";
    if (Number.isNaN(Date.parse(statement.timestamp))) return "its time";
    if (statement.context.extensions?.["https://w3id.org/xapi/cmi5/context/extensions/sessionid"] !== "session-1") return "the template's session";
    if (statement.context.contextActivities?.grouping?.[0]?.id !== "http://school.example/courses/1") return "the template's grouping";
    if (categories.includes(CMI5) !== defined) return "the category cmi5";
    if (before.includes("terminated")) return "after the end";
    if ((before.length === 0) !== (verb === "initialized")) return "the first is initialized, and only that";
    if (launchMode !== "Normal" && !["initialized", "terminated"].includes(verb)) return `in mode ${launchMode}`;
    if (defined && statement.object.id !== activityId) return "its object";
    if (["completed", "passed"].includes(verb) && before.includes(verb)) return "twice";
    if (["completed", "passed", "terminated"].includes(verb) && !DURATION.test(statement.result?.duration)) return "its duration";
    if (["completed", "passed"].includes(verb) !== categories.includes(MOVE_ON)) return "the category moveon";
    if (verb === "completed" && statement.result.completion !== true) return "completion";
    if (verb === "passed" && !(statement.result.success === true && statement.result.score.scaled >= masteryScore)) return "its score";
    if (verb === "passed" && statement.context.extensions["https://w3id.org/xapi/cmi5/context/extensions/masteryscore"] !== masteryScore) return "the mastery score";
    const { scaled } = statement.result?.score ?? { scaled: 0 };
    return scaled >= -1 && scaled <= 1 ? null : "its scaled score";
  };

  const server = createServer(async (request, response) => {
    const url = new URL(request.url, "http://localhost");
    let body = "";
    for await (const piece of request) body += piece;
    const answer = (status, value) => {
      response.writeHead(status, {
        "Access-Control-Allow-Origin": "*",
        "Access-Control-Allow-Headers": "authorization, content-type, x-experience-api-version",
        "Access-Control-Allow-Methods": "GET, POST, PUT",
        "Content-Type": "application/json",
      });
      response.end(value === undefined ? "" : JSON.stringify(value));
    };
    const refuse = (status, why) => {
      refusals.push(`${request.method} ${url.pathname}: ${why}`);
      answer(status, { error: why });
    };
    if (request.method === "OPTIONS") return answer(204);
    if (url.pathname === "/token") {
      if (request.method !== "POST") return refuse(405, "a token is asked for by POST");
      tokens -= 1;
      return tokens < 0 ? answer(200, { "error-code": "1", "error-text": "already in use" }) : answer(200, { "auth-token": token });
    }
    if (request.headers.authorization !== `Basic ${token}`) return refuse(401, "its token");
    if (!/^1\.0\.\d$/.test(request.headers["x-experience-api-version"])) return refuse(400, "its version");
    if (url.pathname === "/xapi/statements" && request.method === "POST") {
      for (const statement of JSON.parse(body)) {
        // Once more the same is no other one (xAPI 1.0.3, part three, 2.1.2).
        if (statements.some((s) => JSON.stringify(s) === JSON.stringify(statement))) continue;
        const why = wrong(statement);
        if (why) return refuse(400, `${statement.verb?.id}: ${why}`);
        statements.push(statement);
      }
      if (!theirs) return answer(200, []);
      const { authorization, "x-experience-api-version": version, "content-type": type } = request.headers;
      const headers = { authorization, "x-experience-api-version": version, "content-type": type };
      const theirAnswer = await fetch(`${theirs.url}/statements`, { method: "POST", headers, body });
      const said = await theirAnswer.text();
      return theirAnswer.ok ? answer(200, []) : refuse(theirAnswer.status, `the store: ${said}`);
    }
    if (url.pathname === "/xapi/activities/state" || url.pathname === "/xapi/agents/profile") {
      const id = url.searchParams.get("stateId") ?? url.searchParams.get("profileId");
      if (JSON.stringify(JSON.parse(url.searchParams.get("agent"))) !== JSON.stringify(actor)) return refuse(400, "its agent");
      if (url.pathname.endsWith("state")) {
        if (url.searchParams.get("registration") !== registration) return refuse(400, "its registration");
        if (url.searchParams.get("activityId") !== activityId) return refuse(400, "its activity");
      }
      if (request.method === "PUT") {
        if (id === "LMS.LaunchData") return refuse(403, "that is the course system's");
        documents.set(id, JSON.parse(body));
        return answer(204);
      }
      const found = id === "LMS.LaunchData" ? launchData : documents.get(id);
      return found === undefined ? answer(404) : answer(200, found);
    }
    refuse(404, "no such place");
  });
  await new Promise((resolve) => server.listen(0, "127.0.0.1", resolve));
  const home = `http://127.0.0.1:${server.address().port}`;
  return {
    home, statements, refusals, documents, actor, registration, activityId,
    verbs: () => statements.map((s) => s.verb.id.split("/").at(-1)),
    /** A new launch, with a token of its own. */
    launch: () => {
      tokens = 1;
      statements.length = 0;
      return `?${new URLSearchParams({ endpoint: `${home}/xapi`, fetch: `${home}/token`, actor: JSON.stringify(actor), registration, activityId })}`;
    },
    close: () => new Promise((resolve) => {
      server.close(resolve);
      server.closeAllConnections();
    }),
  };
}
