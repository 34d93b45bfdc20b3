#!/usr/bin/python3
"""Writes one panel of a home observatory ("focus motor") in many encodings, and measures it.

Drawings go to panel/read/testdata/focus/*.dxf and the expected values to panel/testdata/focus/expected.json. Written and
measured with ezdxf (Debian package python3-ezdxf; the version is in the JSON) and, for area and perimeter of the
flattened outline, shapely. Run from the repository's root: /usr/bin/python3 testdata/dxf/measure.py
(with --measure the drawings stay as they are and only the values are taken anew).
All data are our own. ezdxf stamps files with identifiers of their own, so that a new run changes bytes, not values.
"""
import json, math, os, random, sys
import ezdxf
from ezdxf.math import Matrix44, Vec3
from shapely.geometry import Polygon

OUT = "panel/read/testdata/focus"
Q = math.tan(math.pi / 8)  # bulge of a quarter circle

# The panel, in mm: 120 x 80 with corners of 6 mm, a notch in the lower edge and one curved step.
OUTLINE = [(36, 20, 0), (70, 20, 0), (70, 26, -Q), (74, 30, 0), (86, 30, -Q), (90, 26, 0), (90, 20, 0),
           (144, 20, Q), (150, 26, 0), (150, 94, Q), (144, 100, 0), (36, 100, Q), (30, 94, 0), (30, 26, Q)]
LEDS = [(45 + 12.5 * i, 88.25) for i in range(7)] + [(45, 45), (135, 45)]
MOUNTS = [(36, 30), (144, 30), (144, 92), (36, 92)]
KNOB = (110, 55, 12.2)
DISPLAY = [(50, 50, 0), (82, 50, Q), (84, 52, 0), (84, 70, Q), (82, 72, 0), (50, 72, Q), (48, 70, 0), (48, 52, Q)]
BODY = [(44, 46), (88, 46), (88, 76), (44, 76)]
TEXTS = [("FOCUS", 90, 80, 4, 0, "center-middle"), ("IN", 45, 38, 3, 0, "left-baseline"),
         ("OUT", 135, 38, 3, 0, "right-baseline"), ("STEP", 125, 55, 2.5, 90, "center-top")]
ALIGN = {"center-middle": "MIDDLE_CENTER", "left-baseline": "LEFT", "right-baseline": "RIGHT", "center-top": "TOP_CENTER"}


class Pen:
    """Draws the panel into a layout; options say how."""

    def __init__(self, layout, k=1.0, dx=0.0, dy=0.0, r12=False, flat=False):
        self.m, self.k, self.dx, self.dy, self.r12, self.flat = layout, k, dx, dy, r12, flat

    def at(self, x, y):
        return ((x + self.dx) * self.k, (y + self.dy) * self.k)

    def layer(self, name):
        return {"layer": "0" if self.flat else name}

    def poly(self, pts, name):
        pts = [(*self.at(p[0], p[1]), p[2] if len(p) > 2 else 0) for p in pts]
        if self.r12:
            self.m.add_polyline2d(pts, format="xyb", close=True, dxfattribs=self.layer(name))
        else:
            self.m.add_lwpolyline(pts, format="xyb", close=True, dxfattribs=self.layer(name))

    def loose(self, pts, name, rng, gap=0.0):
        """Lines and arcs in any order and direction."""
        parts = []
        for i, (x, y, b) in enumerate(pts):
            u, v = pts[(i + 1) % len(pts)][:2]
            if b == 0:
                parts.append(("line", (x, y), (u, v)))
            else:
                c, a0, a1, r = ezdxf.math.bulge_to_arc((x, y), (u, v), b)
                parts.append(("arc", c, r, math.degrees(a0), math.degrees(a1)))
        rng.shuffle(parts)
        for n, p in enumerate(parts):
            if p[0] == "line":
                a, b = p[1], p[2]
                if rng.random() < 0.5:
                    a, b = b, a
                if gap and n % 3 == 0:
                    d = Vec3(b) - Vec3(a)
                    b = tuple((Vec3(b) - d.normalize(gap)).vec2)
                self.m.add_line(self.at(*a), self.at(*b), dxfattribs=self.layer(name))
            else:
                self.m.add_arc(self.at(p[1].x, p[1].y), p[2] * self.k, p[3], p[4], dxfattribs=self.layer(name))

    def circle(self, x, y, d, name):
        self.m.add_circle(self.at(x, y), d / 2 * self.k, dxfattribs=self.layer(name))

    def texts(self):
        for s, x, y, h, rot, anchor in TEXTS:
            t = self.m.add_text(s, dxfattribs={**self.layer("LETTERING"), "height": h * self.k, "rotation": rot})
            t.set_pos(self.at(x, y), align=ALIGN[anchor])

    def rest(self, leds=None):
        for x, y in LEDS:
            (leds or (lambda x, y: self.circle(x, y, 3.0, "LED")))(x, y)
        for x, y in MOUNTS:
            self.circle(x, y, 3.2, "MOUNT")
        self.circle(*KNOB, "OPENING")
        self.poly(DISPLAY, "OPENING")
        if not self.flat:
            self.poly(BODY, "BODY")
        self.texts()

    def all(self):
        self.poly(OUTLINE, "OUTLINE")
        self.rest()


def new(version="R2000", units=4):
    doc = ezdxf.new(version)
    if units is not None and version != "R12":
        doc.header["$INSUNITS"] = units
    return doc, doc.modelspace()


def save(doc, name, **kw):
    doc.saveas(os.path.join(OUT, name + ".dxf"), **kw)


def four_splines(m, x, y, d):
    """A circle as vector programs write it: four cubic splines."""
    r, k = d / 2, d / 2 * 4 / 3 * math.tan(math.pi / 8)
    pts = [[(r, 0), (r, k), (k, r), (0, r)]]
    for _ in range(3):
        pts.append([(-b, a) for a, b in pts[-1]])
    for c in pts:
        s = m.add_open_spline([(x + a, y + b, 0) for a, b in c], degree=3, dxfattribs={"layer": "LED"})
        s.knots = [0, 0, 0, 0, 1, 1, 1, 1]


def write():
    os.makedirs(OUT, exist_ok=True)
    rng = random.Random(20261125)
    for name, version in [("r2000", "R2000"), ("r2004", "R2004"), ("r2007", "R2007"), ("r2010", "R2010"), ("r2013", "R2013"), ("r2018", "R2018")]:
        doc, m = new(version); Pen(m).all(); save(doc, name)
    doc, m = new("R12"); Pen(m, r12=True).all(); save(doc, "r12")
    doc, m = new(); Pen(m).all(); save(doc, "binary-r2000", fmt="bin")
    doc, m = new("R12"); Pen(m, r12=True).all(); save(doc, "binary-r12", fmt="bin")
    doc, m = new(units=1); Pen(m, k=1 / 25.4).all(); save(doc, "inch")
    doc, m = new(units=5); Pen(m, k=0.1).all(); save(doc, "cm")
    doc, m = new(); p = Pen(m); p.loose(OUTLINE, "OUTLINE", rng); p.rest(); save(doc, "loose")
    doc, m = new(); p = Pen(m); p.loose(OUTLINE, "OUTLINE", rng, gap=0.004); p.rest(); save(doc, "loose-4um")
    doc, m = new(); p = Pen(m, flat=True); p.all(); save(doc, "no-layers")
    doc, m = new()
    p = Pen(m); p.poly(OUTLINE, "OUTLINE"); p.rest(lambda x, y: four_splines(m, x, y, 3.0)); save(doc, "led-splines")
    doc, m = new()
    p = Pen(m); p.poly(OUTLINE, "OUTLINE")
    p.rest(lambda x, y: m.add_lwpolyline([(x + 1.5 * math.cos(t * math.pi / 24), y + 1.5 * math.sin(t * math.pi / 24)) for t in range(48)], close=True, dxfattribs={"layer": "LED"}))
    save(doc, "led-chords")
    doc, m = new()
    p = Pen(m); p.poly(OUTLINE, "OUTLINE")
    p.rest(lambda x, y: m.add_lwpolyline([(x, y - 1.5, 1), (x, y + 1.5, 1)], format="xyb", close=True, dxfattribs={"layer": "LED"}))
    save(doc, "led-bulges")
    doc, m = new()
    p = Pen(m); p.poly(OUTLINE, "OUTLINE")
    def arcs(x, y):
        m.add_arc((x, y), 1.5, 30, 200, dxfattribs={"layer": "LED"}); m.add_arc((x, y), 1.5, 200, 30, dxfattribs={"layer": "LED"})
    p.rest(arcs); save(doc, "led-arcs")
    doc, m = new()
    p = Pen(m); p.poly(OUTLINE, "OUTLINE")
    p.rest(lambda x, y: m.add_ellipse((x, y), major_axis=(0, 1.5), ratio=1, dxfattribs={"layer": "LED"})); save(doc, "led-ellipses")
    doc, m = new()
    b = doc.blocks.new("HOLE", base_point=(2, 1)); b.add_circle((2, 1), 0.75)
    p = Pen(m); p.poly(OUTLINE, "OUTLINE")
    p.rest(lambda x, y: m.add_blockref("HOLE", (x, y), dxfattribs={"layer": "LED", "xscale": 2, "yscale": -2, "rotation": 33}))
    save(doc, "led-blocks")
    doc, m = new()
    b = doc.blocks.new("OVAL"); b.add_ellipse((0, 0), major_axis=(3, 0), ratio=0.25)
    p = Pen(m); p.poly(OUTLINE, "OUTLINE")
    p.rest(lambda x, y: m.add_blockref("OVAL", (x, y), dxfattribs={"layer": "LED", "xscale": 0.5, "yscale": 2}))
    save(doc, "led-unequal")
    # An array for the row of seven, with negative column spacing inside a half turn; the other two are circles.
    doc, m = new()
    b = doc.blocks.new("DOT"); b.add_circle((0, 0), 1.5)
    p = Pen(m); p.poly(OUTLINE, "OUTLINE"); p.rest(lambda x, y: p.circle(x, y, 3.0, "LED") if y < 50 else None)
    m.add_blockref("DOT", LEDS[0], dxfattribs={"layer": "LED", "rotation": 180, "column_count": 7, "column_spacing": -12.5})
    save(doc, "led-array")
    # The whole panel in a block of blocks: drawn at a third of its size, turned, mirrored, and put back by the INSERTs.
    doc, m = new()
    b = doc.blocks.new("PANEL"); inner = Pen(b)
    inner.all()
    outer = doc.blocks.new("SHEET")
    turn = Matrix44.chain(Matrix44.scale(-1 / 3, 1 / 3, 1), Matrix44.z_rotate(math.radians(90)))
    back = turn.copy(); back.inverse()
    for e in b:
        e.transform(turn)
    outer.add_blockref("PANEL", (0, 0), dxfattribs={"rotation": -90})
    m.add_blockref("SHEET", (0, 0), dxfattribs={"xscale": -3, "yscale": 3})
    save(doc, "nested-mirrored")
    # Everything on planes that face away, as if drawn from behind.
    doc, m = new()
    away = {"extrusion": (0, 0, -1)}
    m.add_lwpolyline([(-x, y, -b) for x, y, b in OUTLINE], format="xyb", close=True, dxfattribs={"layer": "OUTLINE", **away})
    for x, y in LEDS:
        m.add_circle((-x, y), 1.5, dxfattribs={"layer": "LED", **away})
    for x, y in MOUNTS:
        m.add_circle((-x, y), 1.6, dxfattribs={"layer": "MOUNT", **away})
    m.add_circle((-KNOB[0], KNOB[1]), KNOB[2] / 2, dxfattribs={"layer": "OPENING", **away})
    m.add_lwpolyline([(-x, y, -b) for x, y, b in DISPLAY], format="xyb", close=True, dxfattribs={"layer": "OPENING", **away})
    m.add_lwpolyline([(-x, y) for x, y in BODY], close=True, dxfattribs={"layer": "BODY", **away})
    Pen(m).texts()
    save(doc, "facing-away")
    # Far from zero: coordinates of a site plan.
    doc, m = new(); Pen(m, dx=400000, dy=-250000).all(); save(doc, "far")
    # Same text, other dress: CR LF, comments and stray blanks; and nothing but ENTITIES without an end mark.
    text = open(os.path.join(OUT, "r2000.dxf"), encoding="utf-8").read().split("\n")
    out = []
    for i in range(0, len(text) - 1, 2):
        if i % 200 == 0:
            out += ["999", "a remark"]
        out += ["   " + text[i].strip() + " ", text[i + 1] + (" " if text[i].strip() in ("10", "20", "42") else "")]
    open(os.path.join(OUT, "crlf-comments.dxf"), "w", newline="").write("\r\n".join(out) + "\r\n")
    text = open(os.path.join(OUT, "r12.dxf"), encoding="utf-8").read().split("\n")
    pairs = [(text[i].strip(), text[i + 1]) for i in range(0, len(text) - 1, 2)]
    start = pairs.index(("2", "ENTITIES")) - 1
    end = next(i for i in range(start, len(pairs)) if pairs[i] == ("0", "ENDSEC"))
    open(os.path.join(OUT, "entities-only.dxf"), "w").write("".join(f"{c}\n{v}\n" for c, v in pairs[start:end + 1]))


def measure():
    """Measures r2000.dxf with ezdxf and shapely alone."""
    doc = ezdxf.readfile(os.path.join(OUT, "r2000.dxf"))
    m = doc.modelspace()

    def shape(e):
        # The path module makes cubic curves of arcs, which are 7 um too long here; so arcs by themselves.
        pts = []
        for part in e.virtual_entities():
            if part.dxftype() == "ARC":
                run = [(v.x, v.y) for v in part.flattening(1e-7)]
                if pts and math.dist(run[-1], pts[-1]) < 1e-6:
                    run.reverse()
            else:
                run = [(part.dxf.start.x, part.dxf.start.y), (part.dxf.end.x, part.dxf.end.y)]
            pts += run
        p = Polygon(pts)
        x0, y0, x1, y1 = p.bounds
        return {"area": round(p.area, 4), "perimeter": round(p.exterior.length, 4), "bbox": [round(v, 4) for v in (x0, y0, x1, y1)]}

    def circles(layer):
        return [{"x": round(e.dxf.center.x, 6), "y": round(e.dxf.center.y, 6), "d": round(2 * e.dxf.radius, 6)} for e in m.query(f'CIRCLE[layer=="{layer}"]')]

    texts = []
    for e in m.query("TEXT"):
        align, p, _ = e.get_pos()
        anchor = {v: k for k, v in ALIGN.items()}[align]
        texts.append({"text": e.dxf.text, "x": p.x, "y": p.y, "height": e.dxf.height, "rotation": e.dxf.rotation, "anchor": anchor})
    return {
        "ezdxf": ezdxf.__version__,
        "outline": shape(m.query('LWPOLYLINE[layer=="OUTLINE"]').first),
        "display": shape(m.query('LWPOLYLINE[layer=="OPENING"]').first),
        "body": shape(m.query('LWPOLYLINE[layer=="BODY"]').first),
        "knob": circles("OPENING"), "leds": circles("LED"), "mounts": circles("MOUNT"), "texts": texts,
    }


if __name__ == "__main__":
    if "--measure" not in sys.argv:
        write()
    with open(os.path.join(OUT, "expected.json"), "w") as f:
        json.dump(measure(), f, indent=1)
        f.write("\n")
