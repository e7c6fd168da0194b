"""Draws the DXF and SVG files of good/ by libraries that know nothing of this project, with areas and
perimeters by the same libraries, or by shapely from what they draw.

    pip install ezdxf==1.4.5 dxfwrite==1.2.2 svgwrite==1.4.3 drawsvg==2.4.2 svgpathtools==1.8.0 \
        matplotlib==3.11.2 shapely==2.2.0
    python make.py && node make.mjs
"""

import json
import math
import pathlib

import drawsvg
import ezdxf
import matplotlib
import svgpathtools
import svgwrite
from dxfwrite import DXFEngine
from ezdxf import disassemble, units
from ezdxf.math import BSpline, rational_bspline_from_arc
from shapely.geometry import LineString, Polygon
from shapely.ops import linemerge

HERE = pathlib.Path(__file__).parent
GOOD = HERE / "good"
numbers = []


def note(file, by, unit, outlines, open_=0, remarks=(), gap=0.0, source="the same library"):
    """`unit`: mm a unit, or "nothing", or "contradiction". Outlines in units of the file."""
    outlines = sorted(outlines, key=lambda o: -o[0])
    numbers.append(
        {
            "file": file,
            "by": by,
            "numbers_by": source,
            "unit": unit,
            "outlines": [{"area": a, "perimeter": p} for a, p in outlines],
            "open": open_,
            "remarks": list(remarks),
            "gap": gap,
        }
    )


def polygon(points):
    shape = Polygon(points)
    return shape.area, shape.exterior.length


def ezdxf_pieces(entities):
    """Each line, arc and curve of them as points, blocks taken apart by ezdxf."""
    for e in disassemble.recursive_decompose(entities):
        kind = e.dxftype()
        if kind in ("LWPOLYLINE", "POLYLINE"):
            yield from ezdxf_pieces(e.virtual_entities())
        elif kind == "LINE":
            yield [e.dxf.start, e.dxf.end]
        elif kind in ("ARC", "CIRCLE"):
            yield list(e.flattening(1e-6 * e.dxf.radius))
        elif kind == "ELLIPSE":
            yield list(e.flattening(1e-6))
        elif kind == "SPLINE":
            yield list(e.flattening(1e-6))


def ezdxf_outlines(doc, keep=lambda e: True):
    lines = []
    for piece in ezdxf_pieces([e for e in doc.modelspace() if keep(e)]):
        lines.append(LineString([(round(p[0], 5), round(p[1], 5)) for p in piece]))
    merged = linemerge(lines)
    merged = merged.geoms if hasattr(merged, "geoms") else [merged]
    return [polygon(m.coords) for m in merged if m.is_closed]


def ez(version, unit=units.MM):
    doc = ezdxf.new(version)
    doc.units = unit
    # As programs write it: 1 metric, 0 of feet and inches.
    doc.header["$MEASUREMENT"] = 0 if unit in (units.IN, units.FT) else 1
    return doc, doc.modelspace()


def save(doc, file, unit=1.0, **more):
    keep = more.pop("keep", lambda e: True)
    by = f"ezdxf {ezdxf.__version__}, {doc.acad_release}"
    note(file, by, unit, ezdxf_outlines(doc, keep), source="ezdxf's flattening, joined by shapely", **more)
    # Ids, times and what a plate needs of neither table nor layout would only make the files long.
    doc.saveas(GOOD / file)


# Corners with the bulge of the side after each: a plate with two rounded corners, a bay and a nose.
PLATE = [
    (0, 0, 0), (180, 0, math.tan(math.pi / 8)), (200, 20, 0), (200, 100, math.tan(math.pi / 8)),
    (180, 120, 0), (120, 120, -1), (80, 120, 0), (0, 120, 0), (0, 80, 0.5), (0, 40, 0),
]

doc = ezdxf.new("R12")
doc.modelspace().add_polyline2d(PLATE, format="xyb", close=True)
doc.modelspace().add_circle((50, 60), 15)
save(doc, "plate-r12.dxf", "nothing")

doc, msp = ez("R2000")
msp.add_lwpolyline(PLATE, format="xyb", close=True)
msp.add_circle((50, 60), 15)
msp.add_circle((150, 60), 7.5)
save(doc, "plate-r2000.dxf")

doc, msp = ez("R2004")
# A stadium with one corner cut, out of order, two ends the wrong way round and 0.03 mm apart.
msp.add_line((160, 80), (40, 80))
msp.add_arc((40, 40), 40, 90, 270)
msp.add_line((160, 0.0), (40, 0.0))
msp.add_line((180, 0.03), (160, 0.0))
msp.add_line((180, 0.0), (200, 40))
msp.add_arc((160, 40), 40, 0, 90)
msp.add_line((300, 0), (310, 10))
msp.add_line((310, 10), (330, 10))
note(
    "loose-r2004.dxf", f"ezdxf {ezdxf.__version__}, R2004", 1.0,
    [polygon(
        [(160, 80), (40, 80)] + [tuple(p)[:2] for p in msp[1].flattening(1e-6)][1:]
        + [(160, 0), (180, 0.03), (180, 0), (200, 40)] + [tuple(p)[:2] for p in msp[5].flattening(1e-6)][1:]
    )], open_=1, gap=0.03, source="ezdxf's flattening, shapely",
)
doc.saveas(GOOD / "loose-r2004.dxf")

doc, msp = ez("R2007")
slot = doc.blocks.new("SLOT", base_point=(10, 5))
slot.add_lwpolyline([(0, 0, 0), (20, 0, 1), (20, 10, 0), (0, 10, 1)], format="xyb", close=True)
pair = doc.blocks.new("PAIR")
pair.add_blockref("SLOT", (0, 0))
pair.add_blockref("SLOT", (40, 0), dxfattribs={"rotation": 30})
pair.add_circle((20, 30), 6)
msp.add_lwpolyline([(-50, -50), (150, -50), (150, 150), (-50, 150)], close=True)
msp.add_blockref("PAIR", (0, 0), dxfattribs={"rotation": 90})
msp.add_blockref("PAIR", (60, 60), dxfattribs={"xscale": 1.5, "yscale": 1.5, "rotation": 20})
# ezdxf does not shear a block within a block, so this one is not nested.
msp.add_blockref("SLOT", (60, -30), dxfattribs={"xscale": 1.5, "yscale": 0.75, "rotation": 20})
save(doc, "blocks-r2007.dxf")

doc, msp = ez("R2010")
hook = doc.blocks.new("HOOK", base_point=(3, 2))
hook.add_lwpolyline([(0, 0, 0), (30, 0, 0.3), (40, 15, 0), (10, 25, -0.2)], format="xyb", close=True)
hook.add_arc((20, 10), 4, 0, 180)
hook.add_line((16, 10), (24, 10))
hook.add_ellipse((10, 12), (4, 1), 0.5)
msp.add_blockref("HOOK", (0, 0))
msp.add_blockref("HOOK", (120, 0), dxfattribs={"extrusion": (0, 0, -1), "rotation": 15})
msp.add_blockref("HOOK", (100, 0), dxfattribs={"xscale": -1, "rotation": 40})
msp.add_circle((50, 80), 9, dxfattribs={"extrusion": (0, 0, -1)})
msp.add_lwpolyline(
    [(0, 50, 0), (20, 50, 0.4), (20, 70, 0)], format="xyb", close=True,
    dxfattribs={"extrusion": (0, 0, -1)},
)
save(doc, "mirrored-r2010.dxf")

doc, msp = ez("R2013")
closed = BSpline([(0, 0), (60, -10), (90, 40), (50, 80), (-20, 50), (0, 0)], order=4)
msp.add_spline(dxfattribs={"degree": 3}).apply_construction_tool(closed)
arc = rational_bspline_from_arc((150, 40), 25, 0, 360)
msp.add_spline().apply_construction_tool(arc)
msp.add_ellipse((250, 40), (30, 10), 0.4)
quintic = BSpline([(0, 200), (20, 240), (50, 180), (80, 260), (100, 200), (120, 220)], order=6)
msp.add_spline().apply_construction_tool(quintic)
msp.add_line((0, 200), (60, 140))
msp.add_line((60, 140), (120, 220))
save(doc, "splines-r2013.dxf")

doc, msp = ez("R2018")
hole = doc.blocks.new("HOLE")
hole.add_circle((0, 0), 4)
msp.add_lwpolyline([(-20, -20), (140, -20), (140, 80), (-20, 80)], close=True)
msp.add_blockref(
    "HOLE", (0, 0),
    dxfattribs={"column_count": 4, "row_count": 3, "column_spacing": 30, "row_spacing": 20, "rotation": 10},
)
save(doc, "array-r2018.dxf")

doc, msp = ez("R2018", units.IN)
msp.add_lwpolyline([(0, 0, 0), (8, 0, 0), (8, 4, 0.2), (0, 4, 0)], format="xyb", close=True)
msp.add_circle((2, 2), 0.5)
save(doc, "inch-r2018.dxf", 25.4)

doc, msp = ez("R2010")
doc.header["$MEASUREMENT"] = 0
msp.add_circle((0, 0), 40)
save(doc, "two-units-r2010.dxf", "contradiction")

doc, msp = ez("R2018")
msp.add_ellipse((0, 0), (50, 20), 0.6, start_param=0.3, end_param=2.8)
e = msp[0]
msp.add_line(e.end_point, e.start_point)
msp.add_ellipse((200, 0), (0, 50), 0.5, start_param=math.pi, end_param=math.tau, dxfattribs={"extrusion": (0, 0, -1)})
e = msp[2]
msp.add_line(e.start_point, e.end_point)
save(doc, "elliptic-r2018.dxf")

doc, msp = ez("R2010")
doc.layers.add("AWAY").off()
doc.layers.add("ICE").freeze()
msp.add_lwpolyline([(0, 0), (100, 0), (100, 50), (0, 50)], close=True, dxfattribs={"layer": "CUT"})
msp.add_text("KEEP DRY", dxfattribs={"layer": "NOTES"})
msp.add_mtext("two\\Plines", dxfattribs={"layer": "NOTES"})
msp.add_hatch().paths.add_polyline_path([(0, 0), (10, 0), (10, 10)])
msp.add_point((5, 5))
msp.add_line((0, 0, 0), (10, 0, 30))
msp.add_circle((50, 25), 5, dxfattribs={"layer": "AWAY"})
msp.add_circle((60, 25), 5, dxfattribs={"layer": "ICE"})
msp.add_circle((70, 25), 5, dxfattribs={"invisible": 1})
msp.add_circle((80, 25), 5, dxfattribs={"extrusion": (0, 1, 0)})
msp.add_linear_dim(base=(0, 70), p1=(0, 50), p2=(100, 50)).render()
msp.add_spline(fit_points=[(0, 0), (3, 3), (6, 0)])
msp.add_blockref("NOWHERE", (0, 0))
msp.add_line((4, 4), (4, 4))
doc.paperspace().add_line((0, 0), (1, 1))
note(
    "remarks-r2010.dxf", f"ezdxf {ezdxf.__version__}, R2010", 1.0, [(5000.0, 300.0)],
    remarks=["TEXT: text", "MTEXT: text", "HATCH: kind", "POINT: kind", "LINE: not_level", "CIRCLE: hidden",
             "CIRCLE: hidden", "CIRCLE: hidden", "CIRCLE: not_level", "DIMENSION: kind", "SPLINE: fit_points",
             "INSERT: no_such", "LINE: no_length", "LINE: on_paper"],
    source="by hand: 100 mm by 50 mm",
)
doc.saveas(GOOD / "remarks-r2010.dxf")

# dxfwrite: another writer, R12.
dwg = DXFEngine.drawing(str(GOOD / "dxfwrite-r12.dxf"))
line = DXFEngine.polyline([(0, 0), (90, 0), (90, 60), (40, 80), (0, 60)])
line.close()
dwg.add(line)
block = DXFEngine.block(name="eye", basepoint=(1, 1))
block.add(DXFEngine.circle(5, (1, 1)))
dwg.blocks.add(block)
dwg.add(DXFEngine.insert("eye", (30, 30), xscale=2, yscale=2))
dwg.add(DXFEngine.insert("EYE", (65, 30)))
dwg.add(DXFEngine.text("eye", (0, 0)))
dwg.save()
note(
    "dxfwrite-r12.dxf", "dxfwrite 1.2.2, R12", "nothing",
    [polygon([(0, 0), (90, 0), (90, 60), (40, 80), (0, 60)]), (math.pi * 100, math.tau * 10),
     (math.pi * 25, math.tau * 5)],
    remarks=["TEXT: text", "VIEWPORT: on_paper"], source="shapely, and the circle's formulas",
)


def measured(path):
    """Its own area() and length() of arcs take minutes: shapely's of its points, close together."""
    points = []
    for s in path:
        steps = 1 if isinstance(s, svgpathtools.Line) else 4000
        points += [s.point(i / steps) for i in range(steps)]
    return polygon([(p.real, p.imag) for p in points + [path[-1].end]])


def paths_of(file):
    """Area and length of each path as svgpathtools reads them, transforms flattened by it."""
    for path in svgpathtools.Document(str(GOOD / file)).paths():
        for sub in path.continuous_subpaths():
            sub = svgpathtools.Path(*[s for s in sub if s.start != s.end])
            if sub.isclosed():
                yield measured(sub)


dwg = svgwrite.Drawing(str(GOOD / "svgwrite-plate.svg"), size=("200mm", "120mm"), viewBox="0 0 200 120")
dwg.add(dwg.rect((5, 5), (190, 110), rx=12, ry=8))
dwg.add(dwg.circle((60, 60), 20))
dwg.add(dwg.ellipse((140, 60), (30, 15)))
dwg.add(dwg.path("M20 20 h20 a6 6 0 0 1 6 6 v10 q0 6 -6 6 h-20 c-8 0 -8 -22 0 -22 z"))
dwg.add(dwg.polygon([(170, 20), (185, 20), (180, 35)]))
dwg.add(dwg.text("plate", (1, 1)))
dwg.save()
note(
    "svgwrite-plate.svg", "svgwrite 1.4.3", 1.0, paths_of("svgwrite-plate.svg"), remarks=["text: text"],
    source="points by svgpathtools 1.8.0, shapely",
)

dwg = svgwrite.Drawing(str(GOOD / "svgwrite-groups.svg"), size=("10in", "5in"), viewBox="0 0 1000 500")
g = dwg.add(dwg.g(id="outer", transform="translate(100,50) rotate(20)"))
inner = g.add(dwg.g(transform="scale(2,0.5) skewX(10)"))
inner.add(dwg.circle((50, 50), 30))
inner.add(dwg.path("M0 0 L40 0 A20 20 0 1 1 40 40 L0 40 Z"))
g.add(dwg.rect((200, 10), (80, 60), transform="matrix(1 0.2 -0.3 1.1 5 6)"))
dwg.save()
note(
    "svgwrite-groups.svg", "svgwrite 1.4.3", 0.254, paths_of("svgwrite-groups.svg"), source="points by svgpathtools 1.8.0, shapely",
)

dwg = svgwrite.Drawing(str(GOOD / "svgwrite-use.svg"), size=("300mm", "200mm"), viewBox="0 0 300 200")
symbol = dwg.symbol(id="eye", viewBox="0 0 10 10")
symbol.add(dwg.circle((5, 5), 4))
dwg.defs.add(symbol)
dwg.defs.add(dwg.rect((0, 0), (20, 10), id="bar"))
dwg.add(dwg.use("#bar", insert=(30, 40)))
dwg.add(dwg.use("#bar", insert=(0, 0), transform="translate(100 100) rotate(45) scale(3)"))
dwg.add(dwg.use("#eye", insert=(200, 20), size=(40, 40)))
dwg.add(dwg.rect((0, 0), (5, 5), style="display:none"))
dwg.add(dwg.rect((0, 0), (6, 6), visibility="hidden"))
dwg.save()
note(
    "svgwrite-use.svg", "svgwrite 1.4.3", 1.0,
    [(200, 60), (1800, 180), (math.pi * 256, math.tau * 16)],
    remarks=["rect: hidden", "rect: hidden"], source="by hand: bars of 20 by 10 once and threefold, an eye of radius 4 · 4",
)

d = drawsvg.Drawing(400, 300, origin="center")
d.append(drawsvg.Lines(-80, -45, 70, -49, 95, 49, -90, 40, close=True))
d.append(drawsvg.ArcLine(0, 0, 30, 60, 270))
p = drawsvg.Path()
p.M(-30, 90).C(-30, 130, 50, 130, 50, 90).S(90, 60, 20, 70).T(-10, 60).Z()
d.append(p)
d.save_svg(str(GOOD / "drawsvg.svg"))
note(
    "drawsvg.svg", "drawsvg 2.4.2", "nothing",
    paths_of("drawsvg.svg"),
    source="points by svgpathtools 1.8.0, shapely",
)

path = svgpathtools.parse_path(
    "M 10,10 C 40,-20 90,20 120,10 A 40,25 30 0 1 110,80 Q 60,120 30,90 L 12,60 Z"
)
svgpathtools.wsvg([path], filename=str(GOOD / "svgpathtools.svg"), stroke_widths=[1], dimensions=(200, 150), viewbox="0 0 200 150")
note(
    "svgpathtools.svg", "svgpathtools 1.8.0", "nothing", [measured(path)],
)

matplotlib.use("svg")
matplotlib.rcParams["svg.hashsalt"] = "the same each time"
from matplotlib import patches, pyplot as plt  # noqa: E402

fig = plt.figure(figsize=(4, 3))
ax = fig.add_axes([0, 0, 1, 1], xlim=(0, 400), ylim=(0, 300))
ax.axis("off")
ax.add_patch(patches.Polygon([(20, 20), (380, 40), (350, 250), (60, 280)], closed=True, clip_on=False))
fig.patch.set_visible(False)
fig.savefig(GOOD / "matplotlib.svg", metadata={"Date": None})
# 4 inches are 288 points.
area, length = polygon([(20, 20), (380, 40), (350, 250), (60, 280)])
note(
    "matplotlib.svg", f"matplotlib {matplotlib.__version__}", 25.4 / 72, [(area * 0.72**2, length * 0.72)],
    source="shapely",
)

(HERE / "python.json").write_text(json.dumps(numbers, indent=1) + "\n")
