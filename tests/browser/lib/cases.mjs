// Session files of tests/cases, and what stands in them.
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

/** The folder of the project. */
export const ROOT = fileURLToPath(new URL("../../../", import.meta.url));

/** The text of tests/cases/sessions/NAME.json. */
export const session = (name) => readFileSync(`${ROOT}tests/cases/sessions/${name}.json`, "utf8");

/** A whole job: reference and proof done, the part nudged, the weld on the seam. */
export const CASE = session("as-it-should-be");
/** Tolerance of its part, mm: half the wire's diameter (common practice, no source). */
export const TOLERANCE = 0.6;

/** Seed in the file of *Slide and turn*: its part and places are the ones that learners here teach. */
export const LESSON_SEED = 20;

/** What was done in a session, without the settings that a file may leave out. */
export const actions = (text) =>
  JSON.parse(text).actions.map((a) => [a.action, a.point, a.at, a.step?.do, a.part, a.speed]);

/** A file to put into a file field. */
export const file = (name, text, mimeType = "text/plain") => ({ name, mimeType, buffer: Buffer.from(text) });
