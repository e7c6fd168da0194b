// The spread at the seam of the routine in as-it-should-be.json, worked out once more by hand:
// ordinary least squares in the plane (JCGM 102:2011, or any text on it), nothing of the program.

/** Where the wire touches, mm, and the faces' normals. */
const TOUCHES = [
  { at: [350, -0.6], normal: [0, 1] },
  { at: [50, -0.6], normal: [0, 1] },
  { at: [-0.6, 35], normal: [1, 0] },
  { at: [-0.6, 215], normal: [1, 0] },
];
// Repeatability 0.10 mm and the scan of 4 ms at 20 mm/s, whose even spread has the variance
// width²/12 (JCGM 100:2008, 4.3.7); reference and production scatter alike.
const VARIANCE = 2 * (0.1 ** 2 + (20 * 0.004) ** 2 / 12);

/** The torch leans by 45° and the part stays on the table: of what it is off, this much is across the wire. */
const ACROSS_WIRE = Math.SQRT1_2;

/** One standard deviation across wire and seam, at a point of a seam along X, mm. */
export function acrossAt([x, _y]) {
  // Unknowns: shift along X, along Y, turn. A touch reads n · (shift + turn × r).
  const rows = TOUCHES.map(({ at, normal: [nx, ny] }) => [nx, ny, at[0] * ny - at[1] * nx]);
  const normal = [0, 1, 2].map((i) => [0, 1, 2].map((j) => rows.reduce((s, r) => s + r[i] * r[j], 0)));
  // The shift along Y of the point depends on the turn by its x.
  const v = [0, 1, x];
  const solved = solve(normal, v);
  return ACROSS_WIRE * Math.sqrt(VARIANCE * v.reduce((s, c, i) => s + c * solved[i], 0));
}

/** Solves a small linear system by elimination with pivots. */
function solve(matrix, right) {
  const a = matrix.map((row, i) => [...row, right[i]]);
  for (let c = 0; c < a.length; c += 1) {
    const pivot = a.slice(c).reduce((best, row, i) => (Math.abs(row[c]) > Math.abs(a[best][c]) ? c + i : best), c);
    [a[c], a[pivot]] = [a[pivot], a[c]];
    for (let r = 0; r < a.length; r += 1) {
      if (r === c) continue;
      const f = a[r][c] / a[c][c];
      a[r] = a[r].map((v, k) => v - f * a[c][k]);
    }
  }
  return a.map((row, i) => row[a.length] / row[i]);
}
