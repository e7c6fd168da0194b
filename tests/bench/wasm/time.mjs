// Times the module in WebAssembly and the same work natively, and prints the ratios.
// node time.mjs MODULE.wasm NATIVE
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";

const SOLVES = 100_000;
const RUNS = 20_000;
const [module, native] = process.argv.slice(2);
const { instance } = await WebAssembly.instantiate(readFileSync(module), {});
const { solves, studies } = instance.exports;

function best(count, work) {
  let result = work();
  let least = Infinity;
  for (let i = 0; i < 5; i++) {
    const begun = performance.now();
    result = work();
    least = Math.min(least, performance.now() - begun);
  }
  return [count / (least / 1000), result];
}

const [solve, sum] = best(SOLVES, () => solves(SOLVES));
const [study, p95] = best(RUNS, () => studies(RUNS));
const there = JSON.parse(execFileSync(native, { encoding: "utf8" }));
const row = (name, here, natively) =>
  console.log(
    `${name.padEnd(34)} wasm ${here.toExponential(2)} /s   native ${natively.toExponential(2)} /s   ratio ${(here / natively).toFixed(2)}`,
  );
row("planar solves with covariance", solve, there.solves_per_s);
row("study, whole production runs", study, there.studies_per_s);
const same = Math.abs(sum / there.sum - 1) < 1e-9 && p95 === there.p95;
console.log(same ? "both come to the same numbers" : `NOT the same: ${sum} ${p95} / ${there.sum} ${there.p95}`);
process.exit(same ? 0 : 1);
