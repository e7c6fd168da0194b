// A whole browser with a profile on the disk, which can be killed as by a power cut or a crash.
import { readdirSync, readFileSync } from "node:fs";
import { launchPersistent } from "./page.mjs";

/** The browser's own process that works on this profile: all others of it are in its group. */
function browserOf(profile) {
  for (const pid of readdirSync("/proc").filter((name) => /^\d+$/.test(name))) {
    let given = [];
    try {
      given = readFileSync(`/proc/${pid}/cmdline`, "utf8").split("\0");
    } catch {
      continue; // it has ended meanwhile
    }
    if (given.includes(`--user-data-dir=${profile}`) && !given.some((flag) => flag.startsWith("--type="))) return Number(pid);
  }
  throw new Error(`no browser works on ${profile}`);
}

/** Opens a browser on a profile: its page, and `kill()`, which ends all of its processes at once. */
export async function open(profile) {
  const context = await launchPersistent(profile);
  const page = context.pages()[0] ?? (await context.newPage());
  const pid = browserOf(profile);
  const gone = new Promise((resolve) => { context.on("close", resolve); });
  return {
    page,
    kill: async () => {
      process.kill(-pid, "SIGKILL");
      await gone;
    },
    close: () => context.close(),
  };
}
