// The colours of style/tokens.css, by their roles: enough contrast in both themes, and apart from
// each other for the colour-blind. No browser: only the constants are read.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { fileURLToPath } from "node:url";

const css = readFileSync(fileURLToPath(new URL("../../../style/tokens.css", import.meta.url)), "utf8");
const block = (selector) => css.slice(css.indexOf(`${selector} {`)).split("}")[0];
const read = (text) => Object.fromEntries([...text.matchAll(/--([a-z-]+): (#[0-9a-f]{6});/g)].map((m) => [m[1], m[2]]));
const paper = read(block(":root"));
const blueprint = { ...paper, ...read(block(':root[data-theme="blueprint"]')) };

/** Linear light of one channel; WCAG 2.2, definition of relative luminance. */
const linear = (v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
const channels = (hex) => [1, 3, 5].map((i) => linear(Number.parseInt(hex.slice(i, i + 2), 16) / 255));
/** Relative luminance, WCAG 2.2. */
const luminance = ([r, g, b]) => 0.2126 * r + 0.7152 * g + 0.0722 * b;
/** Contrast ratio, WCAG 2.2. */
function contrast(a, b) {
  const [high, low] = [luminance(channels(a)), luminance(channels(b))].sort((p, q) => q - p);
  return (high + 0.05) / (low + 0.05);
}

test("the formula gives the known ratios", () => {
  assert.equal(contrast("#000000", "#ffffff"), 21, "black on white (WCAG 2.2)");
  assert.equal(contrast("#767676", "#ffffff").toFixed(2), "4.54", "the well-known lightest grey for text on white");
});

/** Roles that are written with, and the grounds they are written on: 4.5 : 1 (WCAG 2.2, 1.4.3). */
const TEXT = ["ink", "ink-soft", "sensing", "follow", "good", "bad", "warn"];
const GROUNDS = ["paper", "card", "body", "paper-deep"];
const ON_WASH = [["ink", "sensing-wash"], ["good", "good-wash"], ["bad", "bad-wash"], ["warn", "warn-wash"], ["ink", "warn-wash"], ["press-ink", "press"]];
/** Roles that are drawn with: 3 : 1 (WCAG 2.2, 1.4.11). */
const LINES = ["ink-faint", "ghost", "weld", "torch", "focus", ...TEXT];

for (const [name, theme] of [["paper", paper], ["blueprint", blueprint]]) {
  test(`${name}: whatever is read has 4.5 : 1, whatever is drawn 3 : 1`, () => {
    const low = [];
    const check = (front, back, least) => {
      const ratio = contrast(theme[front], theme[back]);
      if (!(ratio >= least)) low.push(`${front} on ${back}: ${ratio.toFixed(2)} : 1, needs ${least}`);
    };
    for (const back of GROUNDS) {
      for (const front of TEXT) check(front, back, 4.5);
      for (const front of LINES) check(front, back, 3);
    }
    for (const [front, back] of ON_WASH) check(front, back, 4.5);
    assert.deepEqual(low, []);
  });

  // Machado, Oliveira, Fernandes: A physiologically-based model for simulation of color vision
  // deficiency (2009), table 1, severity 1.0; the matrices act on linear RGB.
  const SEEN = {
    protanopia: [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    deuteranopia: [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.01182, 0.04294, 0.968881]],
    tritanopia: [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.3039]],
  };
  /** CIE L*a*b* (CIE 15:2004) of linear sRGB, D65. */
  function lab([r, g, b]) {
    const f = (t) => (t > (6 / 29) ** 3 ? Math.cbrt(t) : t / (3 * (6 / 29) ** 2) + 4 / 29);
    const x = f((0.4124 * r + 0.3576 * g + 0.1805 * b) / 0.9505);
    const y = f(0.2126 * r + 0.7152 * g + 0.0722 * b);
    const z = f((0.0193 * r + 0.1192 * g + 0.9505 * b) / 1.089);
    return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
  }
  const apart = (a, b) => Math.hypot(...lab(a).map((v, i) => v - lab(b)[i]));

  // Told apart by colour as well as by shape: the two rails, and good from bad. About 2.3 is just
  // noticeable in L*a*b* (Mahy and others 1994); ten times that is plain (common practice, no source).
  for (const [a, b] of [["sensing", "follow"], ["good", "bad"], ["sensing", "weld"]]) {
    test(`${name}: ${a} and ${b} are plainly apart for every kind of colour vision`, () => {
      const near = [];
      for (const [kind, matrix] of Object.entries(SEEN)) {
        const seen = (role) => matrix.map((row) => Math.min(1, Math.max(0, row.reduce((s, c, i) => s + c * channels(theme[role])[i], 0))));
        const distance = apart(seen(a), seen(b));
        if (distance < 23) near.push(`${kind}: ${distance.toFixed(1)}`);
      }
      assert.deepEqual(near, []);
    });
  }
}
