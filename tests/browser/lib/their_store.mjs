// A record store of others, of the version that tests/browser/record-store.txt pins: Ralph, a server for xAPI, with its
// statements in a file. Only what xAPI gives is used of it, and its own model of a statement.
import { spawn, spawnSync } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

/** Its file is added to: of itself it writes it once, and then fails. */
const SERVE = `
import uvicorn
from ralph.backends.data.base import BaseOperationType
from ralph.backends.lrs.fs import FSLRSBackend
FSLRSBackend.default_operation_type = BaseOperationType.APPEND
uvicorn.run("ralph.api:app", host="127.0.0.1", port=0)
`;
/** Prints what its model of a statement finds wrong with each of a list. */
const CHECK = `
import json, sys
from pydantic import ValidationError
from ralph.models.xapi.base.statements import BaseXapiStatement
for statement in json.load(sys.stdin):
    try:
        BaseXapiStatement.model_validate_json(json.dumps(statement))
    except ValidationError as wrong:
        print(statement.get("verb"), [(e["loc"], e["msg"]) for e in wrong.errors()])
`;

export async function theirStore() {
  const python = `${process.env.RECORD_STORE ?? ""}/bin/python`;
  if (!existsSync(python)) throw new Error("the record store is not installed: run .ci/setup.sh browser, then . target/env.sh");
  const folder = mkdtempSync(join(tmpdir(), "nudgeproof-record-store-"));
  mkdirSync(join(folder, "statements"));
  const [key, secret] = ["unit", "secret"];
  const hash = spawnSync(python, ["-c", `import bcrypt; print(bcrypt.hashpw(b"${secret}", bcrypt.gensalt(4)).decode())`], { encoding: "utf8" });
  const users = [{ username: key, hash: hash.stdout.trim(), scopes: ["all"], agent: { mbox: "mailto:store@school.example" } }];
  writeFileSync(join(folder, "auth.json"), JSON.stringify(users));
  const env = {
    PATH: process.env.PATH,
    RALPH_APP_DIR: folder,
    RALPH_AUTH_FILE: join(folder, "auth.json"),
    RALPH_RUNSERVER_BACKEND: "fs",
    RALPH_BACKENDS__LRS__FS__DEFAULT_DIRECTORY_PATH: join(folder, "statements"),
  };
  const server = spawn(python, ["-c", SERVE], { cwd: folder, env });
  let said = "";
  const port = await new Promise((resolve, reject) => {
    const wait = setTimeout(() => reject(new Error(`the record store did not start:\n${said}`)), 60_000);
    for (const stream of [server.stdout, server.stderr]) {
      stream.on("data", (piece) => {
        said += piece;
        const found = /running on http:\/\/127\.0\.0\.1:(\d+)/.exec(said);
        if (!found) return;
        clearTimeout(wait);
        resolve(Number(found[1]));
      });
    }
    server.on("exit", () => reject(new Error(`the record store did not start:\n${said}`)));
  });
  const url = `http://127.0.0.1:${port}/xAPI`;
  const token = Buffer.from(`${key}:${secret}`).toString("base64");
  const headers = { authorization: `Basic ${token}`, "x-experience-api-version": "1.0.3", "content-type": "application/json" };
  return {
    url, token, key, secret,
    /** What it has by its own query (xAPI 1.0.3, part three, 2.1.3). */
    async query(parameters) {
      const answer = await fetch(`${url}/statements?${new URLSearchParams(parameters)}`, { headers });
      if (!answer.ok) throw new Error(`${answer.status}: ${await answer.text()}`);
      return (await answer.json()).statements;
    },
    /** The status with which it takes or refuses statements. */
    post: async (statements) =>
      (await fetch(`${url}/statements`, { method: "POST", headers, body: JSON.stringify(statements) })).status,
    /** What its model of a statement finds wrong, a line each. */
    wrong(statements) {
      const check = spawnSync(python, ["-c", CHECK], { cwd: folder, env, input: JSON.stringify(statements), encoding: "utf8" });
      if (check.status !== 0) throw new Error(check.stderr);
      return check.stdout.split("\n").filter(Boolean);
    },
    close: () => new Promise((resolve) => {
      server.removeAllListeners("exit");
      server.on("exit", () => {
        rmSync(folder, { recursive: true });
        resolve();
      });
      server.kill();
    }),
  };
}
