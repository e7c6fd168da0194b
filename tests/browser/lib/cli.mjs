// The command line beside the page: the same library, built for this machine.
import { execFileSync } from "node:child_process";
import { statSync } from "node:fs";
import { ROOT } from "./cases.mjs";

/** What `nudgeproof …` prints. Takes the newest build there is, and builds it where there is none. */
export function nudgeproof(...args) {
  const builds = ["debug", "release"].map((profile) => `${ROOT}target/${profile}/nudgeproof`);
  const age = (path) => statSync(path, { throwIfNoEntry: false })?.mtimeMs ?? 0;
  const [newest] = builds.filter(age).sort((a, b) => age(b) - age(a));
  const [command, ...before] = newest ? [newest] : ["cargo", "run", "--quiet", "--locked", "--"];
  return execFileSync(command, [...before, ...args], { cwd: ROOT, encoding: "utf8" });
}
