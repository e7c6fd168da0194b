// The rest of good/, by JavaScript libraries, and numbers.json with the numbers of both.
//
//     npm install makerjs@0.19.2 @svgdotjs/svg.js svgdom@0.1.14 paper dxf-writer @tarikjabiri/dxf d3-path
//     python make.py && node make.mjs
import { readFileSync, writeFileSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';

// Where the libraries are installed; beside this file if nothing is said.
const require = createRequire(process.env.LIBRARIES ? `${process.env.LIBRARIES}/x.js` : import.meta.url);
const here = new URL('.', import.meta.url).pathname;
const version = (name) => JSON.parse(readFileSync(require.resolve.paths(name)[0] + `/${name}/package.json`)).version;
const numbers = JSON.parse(readFileSync(`${here}/python.json`));
rmSync(`${here}/python.json`);

function note(file, text, by, numbersBy, unit, outlines, more = {}) {
  writeFileSync(`${here}/good/${file}`, text);
  outlines.sort((a, b) => b[0] - a[0]);
  numbers.push({
    file, by, numbers_by: numbersBy, unit,
    outlines: outlines.map(([area, perimeter]) => ({ area, perimeter })),
    open: 0, remarks: [], gap: 0, ...more,
  });
}

// makerjs: a plate with a slot, a bolt circle and dog bones; its own chains measure lengths.
const m = require('makerjs');
const plate = {
  models: {
    outside: new m.models.RoundRectangle(150, 90, 12),
    slot: m.model.move(new m.models.Slot([0, 0], [40, 15], 6), [40, 40]),
    ring: m.model.move(new m.models.BoltCircle(20, 3, 5), [110, 45]),
    bones: m.model.move(new m.models.Dogbone(20, 12, 2, 0), [15, 12]),
  },
};
function chains(model) {
  const found = [];
  m.model.findChains(model, (list) => list.forEach((chain) => {
    const points = m.chain.toPoints(chain, 0.002);
    let twice = 0;
    points.forEach(([x, y], i) => {
      const [u, v] = points[(i + 1) % points.length];
      twice += x * v - u * y;
    });
    found.push([Math.abs(twice) / 2, chain.pathLength]);
  }));
  return found;
}
const makerjs = `makerjs ${version('makerjs')}`;
const circles = chains(plate).map(([a, p]) =>
  // Its points on a circle start anywhere: by the formula instead.
  Math.abs(p - 6 * Math.PI) < 1e-9 ? [9 * Math.PI, p] : [a, p]);
note('makerjs-plate.dxf', m.exporter.toDXF(plate, { units: m.unitType.Millimeter }), makerjs, makerjs, 1, circles);
note('makerjs-plate.svg', m.exporter.toSVG(plate, { units: m.unitType.Millimeter, accuracy: 1e-9 }), makerjs, makerjs, 1, circles.map((o) => [...o]));

// dxf-writer: lines in pieces, a circle, an arc.
const Writer = require('dxf-writer');
const w = new Writer();
w.setUnits('Centimeters');
w.drawLine(0, 0, 12, 0).drawLine(12, 7, 12, 0).drawLine(12, 7, 4, 7).drawLine(0, 3, 0, 0);
w.drawArc(4, 3, 4, 90, 180);
w.drawCircle(8, 3, 1.5);
w.drawText(1, 1, 0.5, 0, 'cm');
note('dxf-writer.dxf', w.toDxfString(), `dxf-writer ${version('dxf-writer')}`, 'by hand: 12 by 7 with a corner of radius 4', 10, [
  [84 - 16 + 4 * Math.PI, 12 + 7 + 8 + 3 + 2 * Math.PI],
  [2.25 * Math.PI, 3 * Math.PI],
], { remarks: ['TEXT: text'] });

// @tarikjabiri/dxf
const { DxfWriter, point3d, point2d, LWPolylineFlags, Units } = require('@tarikjabiri/dxf');
const t = new DxfWriter();
t.setUnits(Units.Millimeters);
t.addLWPolyline([
  { point: point2d(0, 0) }, { point: point2d(80, 0), bulge: 1 }, { point: point2d(80, 40) }, { point: point2d(0, 40) },
], { flags: LWPolylineFlags.Closed });
t.addCircle(point3d(20, 20, 0), 8);
t.addEllipse(point3d(60, 20, 0), point3d(12, 0, 0), 0.5, 0, 2 * Math.PI);
const a = 12, b = 6, h = ((a - b) / (a + b)) ** 2;
// Series for the circumference of an ellipse (Abramowitz and Stegun 17.3.11 as Ivory's series in h, from memory).
const around = Math.PI * (a + b) * (1 + h / 4 + h ** 2 / 64 + h ** 3 / 256 + 25 * h ** 4 / 16384 + 49 * h ** 5 / 65536 + 441 * h ** 6 / 1048576);
note('tarikjabiri.dxf', t.stringify(), `@tarikjabiri/dxf ${version('@tarikjabiri/dxf')}`, 'by hand, and the series for an ellipse', 1, [
  [3200 + 200 * Math.PI, 80 + 80 + 40 + 20 * Math.PI], [64 * Math.PI, 16 * Math.PI], [72 * Math.PI, around],
]);

// svg.js: groups within groups.
const { createSVGWindow } = require('svgdom');
const { SVG, registerWindow } = require('@svgdotjs/svg.js');
const window = createSVGWindow();
registerWindow(window, window.document);
const draw = SVG(window.document.documentElement).size('160mm', '80mm').viewbox(0, 0, 320, 160);
const group = draw.group().translate(20, 10).scale(2, 2, 0, 0);
group.polygon('0,0 50,0 50,20 30,30 0,20');
group.circle(10).center(20, 10);
group.group().rotate(30, 0, 0).rect(20, 10).move(60, 0);
const side = Math.hypot(20, 10);
note('svgjs.svg', draw.svg(), `@svgdotjs/svg.js ${version('@svgdotjs/svg.js')}`, 'by hand, twice as large on the sheet', 0.5, [
  [4 * (1000 + 10 * (50 + 20) / 2 - 0), 2 * (50 + 20 + Math.hypot(20, 10) + Math.hypot(30, 10) + 20)],
  [4 * 25 * Math.PI, 2 * 10 * Math.PI], [4 * 200, 2 * 60],
].map((o, i) => i ? o : [4 * (50 * 20 + (50 * 10) / 2), o[1]]));

// paper.js: its own areas and lengths.
const paper = require('paper/dist/paper-core');
paper.setup(new paper.Size(300, 200));
const shapes = [
  new paper.Path.Star(new paper.Point(80, 80), 7, 30, 60),
  new paper.Path.RegularPolygon(new paper.Point(200, 60), 5, 40),
];
shapes[0].smooth();
const cut = new paper.Path.Circle(new paper.Point(220, 150), 30)
  .subtract(new paper.Path.Rectangle(new paper.Point(200, 150), new paper.Size(60, 60)));
shapes.push(cut);
shapes.forEach((shape) => shape.rotate(13));
note('paper.svg', `<svg xmlns="http://www.w3.org/2000/svg" width="300" height="200">${shapes.map((s) => `<path d="${s.pathData}"/>`).join('\n')}</svg>`, `paper ${version('paper')}`, 'the same library', 'nothing',
  shapes.map((shape) => [Math.abs(shape.area), shape.length]));

// d3-path: arcs and curves by their formulas.
const { path } = await import(require.resolve('d3-path'));
const p = path();
p.moveTo(60, 40); p.arc(40, 40, 20, 0, 1.5 * Math.PI); p.lineTo(40, 40); p.closePath();
p.rect(100, 10, 30, 20);
note('d3-path.svg', `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 160 80" width="16cm" height="8cm"><path d="${p}"/></svg>`,
  `d3-path ${version('d3-path')}`, 'by hand: three quarters of a disc of radius 20, and 30 by 20', 1,
  [[300 * Math.PI, 30 * Math.PI + 40], [600, 100]]);

writeFileSync(`${here}/numbers.json`, JSON.stringify(numbers, null, 1) + '\n');
