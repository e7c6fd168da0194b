// Where an attempt at a lesson stands, as the page says it.
import { byId } from "./page.mjs";
import { stored } from "./storage.mjs";

/** Number of the stage that is under way, from 1. */
export const stage = async (page) => Number(await byId(page, "stage").getAttribute("data-stage"));
export const atStage = (page, n) => page.locator(`[data-testid=stage][data-stage="${n}"]`).waitFor();
export const finished = (page) => byId(page, "lesson-finished").waitFor();
export const score = async (page) => Number(await byId(page, "lesson-score").getAttribute("data-value"));
/** Seed of the attempt: part, places and faults are drawn from it. */
export const seed = (page) => page.locator("section.lesson").getAttribute("data-seed");

/** The attempts on record in this browser. */
export const records = async (page) =>
  JSON.parse((await stored(page, "nudgeproof.setting.records")) ?? '{"records":[]}').records;
