#!/usr/bin/python3
"""Writes a second panel of a home observatory ("weather") in many encodings, and measures it.

As measure.py does for "focus motor": drawings go to panel/read/testdata/weather/*.dxf, expected values to
panel/read/testdata/weather/expected.json, written and measured with ezdxf and shapely (versions in the JSON). Here every layer
is used, and the encodings are those of vector programs, old programs and careless hands.
Run from the repository's root: /usr/bin/python3 testdata/dxf/weather.py (with --measure only the values are taken anew).
All data are our own.
"""
import json, math, os, random, sys
import ezdxf, shapely
from ezdxf.math import Matrix44, Vec3, bulge_to_arc, rational_bspline_from_arc
from shapely.geometry import Polygon

OUT = "panel/read/testdata/weather"
Q = math.tan(math.pi / 8)


def box(x0, y0, x1, y1, r=0):
    if r == 0:
        return [(x0, y0, 0), (x1, y0, 0), (x1, y1, 0), (x0, y1, 0)]
    return [(x0 + r, y0, 0), (x1 - r, y0, Q), (x1, y0 + r, 0), (x1, y1 - r, Q), (x1 - r, y1, 0), (x0 + r, y1, Q), (x0, y1 - r, 0), (x0, y0 + r, Q)]


# Millimetres. 160 x 70, chamfered below, with an arched upper edge and a half-round notch at the right.
OUTLINE = [(-20, 14, 0), (-16, 10, 0), (136, 10, 0), (140, 14, 0), (140, 35, -1), (140, 45, 0), (140, 72, 0), (130, 80, 0.1), (-10, 80, 0), (-20, 72, 0)]
SHAPES = [
    ("OPENING", box(0, 30, 36, 50, 1.5)),
    ("OPENING", [(60 + 6 * math.cos(t * math.pi / 3), 40 + 6 * math.sin(t * math.pi / 3), 0) for t in range(6)]),
    ("OPENING", [(80, 38, 0), (96, 38, 1), (96, 42, 0), (80, 42, 1)]),
    ("MOUNT", [(52, 13, 0), (56, 13, 1), (56, 16.2, 0), (52, 16.2, 1)]),
    ("BODY", box(-3, 26, 39, 54)),
    ("BOARD", box(-16, 18, 130, 76, 3)),
]
CIRCLES = [("LED", -12 + 14 * i, 66, 3.0) for i in range(10)] + [("LED", 50, 22, 5.0), ("LED", 70, 22, 5.0)] + \
    [("MOUNT", x, y, 3.4) for x, y in [(-13, 20), (133, 20), (-13, 70), (133, 70)]] + \
    [("OPENING", 115, 40, 7.2), ("OPENING", 115, 58, 7.2), ("BODY", 115, 40, 14.0)] + \
    [("LETTERING", 20, 22, 6.0), ("LETTERING", 20, 22, 4.4)]
LINES = [("LETTERING", 30, 22, 40, 22), ("LETTERING", 30, 24.5, 40, 24.5)]
TEXTS = [("WEATHER", 60, 73.5, 3.5, 0, "center-middle"), ("RAIN", 3, 58.5, 2.5, 0, "left-top"), ("WIND", 126, 52, 2.5, 90, "center-middle"),
         ("22\u00b0C", 100, 27, 3, 0, "right-bottom")]
ALIGN = {"center-middle": "MIDDLE_CENTER", "left-top": "TOP_LEFT", "right-bottom": "BOTTOM_RIGHT"}
ATTACH = {"center-middle": 5, "left-top": 1, "right-bottom": 9}


def parts(pts):
    """The edges of a closed shape: ("line", a, b) and ("arc", centre, radius, a0, a1), in degrees."""
    out = []
    for i, (x, y, b) in enumerate(pts):
        u, v = pts[(i + 1) % len(pts)][:2]
        if b == 0:
            out.append(("line", (x, y), (u, v)))
        else:
            c, a0, a1, r = bulge_to_arc((x, y), (u, v), b)
            out.append(("arc", (c.x, c.y), r, math.degrees(a0), math.degrees(a1)))
    return out


def flat(pts, sagitta=5e-4):
    out = []
    for i, (x, y, b) in enumerate(pts):
        u, v = pts[(i + 1) % len(pts)][:2]
        out.append((x, y))
        if b:
            c, a0, a1, r = bulge_to_arc((x, y), (u, v), b)
            sweep = 4 * math.atan(b)
            n = max(2, math.ceil(abs(sweep) / (2 * math.acos(1 - sagitta / r))))
            a = math.atan2(y - c.y, x - c.x)
            out += [(c.x + r * math.cos(a + sweep * k / n), c.y + r * math.sin(a + sweep * k / n)) for k in range(1, n)]
    return out


class Pen:
    """Draws the panel; subclasses and options change how."""

    def __init__(self, layout, k=1.0):
        self.m, self.k = layout, k

    def p(self, x, y):
        return (x * self.k, y * self.k)

    def shape(self, name, pts):
        self.m.add_lwpolyline([(*self.p(x, y), b) for x, y, b in pts], format="xyb", close=True, dxfattribs={"layer": name})

    def circle(self, name, x, y, d):
        self.m.add_circle(self.p(x, y), d / 2 * self.k, dxfattribs={"layer": name})

    def line(self, name, x0, y0, x1, y1):
        self.m.add_line(self.p(x0, y0), self.p(x1, y1), dxfattribs={"layer": name})

    def text(self, s, x, y, h, rot, anchor):
        t = self.m.add_text(s, dxfattribs={"layer": "LETTERING", "height": h * self.k, "rotation": rot})
        t.set_pos(self.p(x, y), align=ALIGN[anchor])

    def all(self):
        self.shape("OUTLINE", OUTLINE)
        for name, pts in SHAPES:
            self.shape(name, pts)
        for c in CIRCLES:
            self.circle(*c)
        for l in LINES:
            self.line(*l)
        for t in TEXTS:
            self.text(*t)
        return self


class Old(Pen):  # R12: POLYLINE, and %%d for the degree sign
    def shape(self, name, pts):
        self.m.add_polyline2d([(*self.p(x, y), b) for x, y, b in pts], format="xyb", close=True, dxfattribs={"layer": name})

    def text(self, s, *a):
        super().text(s.replace("\u00b0", "%%d"), *a)


class Fitted(Old):  # curve-fit polylines: flag 2, and 1 on the vertices that the fitting put in
    def shape(self, name, pts):
        pl = self.m.add_polyline2d([(*self.p(x, y), b) for x, y, b in pts], format="xyb", close=True, dxfattribs={"layer": name})
        pl.dxf.flags |= 2
        for v in pl.vertices[1::2]:
            v.dxf.flags |= 1


class Unclosed(Pen):  # the first vertex again instead of the closed flag, and a pen width
    def shape(self, name, pts):
        pts = [(*self.p(x, y), 0.2, 0.2, b) for x, y, b in pts]
        self.m.add_lwpolyline(pts + [(pts[0][0], pts[0][1], 0.2, 0.2, 0)], format="xyseb", dxfattribs={"layer": name})


class Loose(Pen):  # lines and arcs in any order and direction, with a dozen of no length
    rng = random.Random(7)

    def shape(self, name, pts):
        ps = parts(pts)
        self.rng.shuffle(ps)
        for p in ps:
            if p[0] == "line":
                a, b = (p[1], p[2]) if self.rng.random() < 0.5 else (p[2], p[1])
                self.m.add_line(self.p(*a), self.p(*b), dxfattribs={"layer": name})
            else:
                self.m.add_arc(self.p(*p[1]), p[2] * self.k, p[3], p[4], dxfattribs={"layer": name})
        for x, y, _ in pts[:2]:
            self.m.add_line(self.p(x, y), self.p(x, y), dxfattribs={"layer": name})


class Twice(Loose):  # and all of it twice, straight sides in overlapping pieces
    def shape(self, name, pts):
        for p in parts(pts):
            if p[0] == "line":
                a, b = Vec3(p[1]), Vec3(p[2])
                for u, v in [(0, 0.7), (0.4, 1), (1, 0.5)]:
                    self.m.add_line(a.lerp(b, u), a.lerp(b, v), dxfattribs={"layer": name})
            else:
                for _ in range(2):
                    self.m.add_arc(p[1], p[2], p[3], p[4], dxfattribs={"layer": name})

    def circle(self, *a):
        super().circle(*a)
        super().circle(*a)


class Ellipses(Loose):  # circles and arcs as ELLIPSE
    def shape(self, name, pts):
        for p in parts(pts):
            if p[0] == "line":
                self.m.add_line(p[1], p[2], dxfattribs={"layer": name})
            else:
                a0, a1 = p[3], p[4]
                self.m.add_ellipse(p[1], major_axis=(p[2], 0), ratio=1, start_param=math.radians(a0), end_param=math.radians(a1), dxfattribs={"layer": name})

    def circle(self, name, x, y, d):
        self.m.add_ellipse((x, y), major_axis=(0, d / 2), ratio=1, dxfattribs={"layer": name})


class Splines(Pen):  # as vector programs: everything is SPLINE; arcs exactly, by weights
    def arc(self, name, c, r, a0, a1):
        while a1 <= a0:
            a1 += 360
        n = max(1, math.ceil((a1 - a0) / 90 - 1e-9))
        for i in range(n):
            s = rational_bspline_from_arc(center=Vec3(c), radius=r, start_angle=a0 + (a1 - a0) * i / n, end_angle=a0 + (a1 - a0) * (i + 1) / n)
            e = self.m.add_spline(dxfattribs={"layer": name})
            e.apply_construction_tool(s)

    def shape(self, name, pts):
        for p in parts(pts):
            if p[0] == "line":
                a, b = Vec3(p[1]), Vec3(p[2])
                e = self.m.add_open_spline([a, a.lerp(b, 1 / 3), a.lerp(b, 2 / 3), b], degree=3, dxfattribs={"layer": name})
                e.knots = [0, 0, 0, 0, 1, 1, 1, 1]
            else:
                self.arc(name, *p[1:])

    def circle(self, name, x, y, d):
        self.arc(name, (x, y), d / 2, 0, 360)


class Chords(Pen):  # closed 3-D polylines with thousands of vertices
    def shape(self, name, pts):
        self.m.add_polyline3d([(x, y, 0) for x, y in flat(pts)], close=True, dxfattribs={"layer": name})

    def circle(self, name, x, y, d):
        n = 120
        self.m.add_polyline3d([(x + d / 2 * math.cos(2 * math.pi * i / n), y + d / 2 * math.sin(2 * math.pi * i / n), 0) for i in range(n)], close=True, dxfattribs={"layer": name})


class Rings(Pen):  # holes with a second line round them, as a pen's two edges or a countersink
    def circle(self, name, x, y, d):
        super().circle(name, x, y, d)
        if name in ("LED", "MOUNT"):
            super().circle(name, x, y, d + 0.25)
            super().circle(name, x, y, d)


class Words(Pen):  # MTEXT with codes
    def text(self, s, x, y, h, rot, anchor):
        s = "{\\fSans|b0|i0;\\H%g;%s}" % (h, s.replace("\u00b0", "\\U+00B0"))
        self.m.add_mtext(s, dxfattribs={"layer": "LETTERING", "char_height": h, "rotation": rot, "attachment_point": ATTACH[anchor], "insert": (x, y)})


class Filled(Pen):  # the ring as a filled area
    def circle(self, name, x, y, d):
        if name == "LETTERING":
            if d > 5:
                h = self.m.add_hatch(dxfattribs={"layer": name})
                h.paths.add_polyline_path([(x - d / 2, y, 1), (x + d / 2, y, 1)], is_closed=True)
                e = h.paths.add_edge_path()
                e.add_arc((x, y), radius=2.2, start_angle=0, end_angle=180)
                e.add_ellipse((x, y), major_axis=(2.2, 0), ratio=1, start_angle=180, end_angle=360)
            return
        super().circle(name, x, y, d)


class Blocks(Pen):  # each curve a block of its own, drawn half as large, turned, and put back; z scale 0
    n = 0

    def inner(self, x, y):
        self.n += 1
        b = self.m.doc.blocks.new("C%d" % self.n, base_point=(3, 4))
        self.m.add_blockref("C%d" % self.n, (x, y), dxfattribs={"layer": self.name, "xscale": 2, "yscale": 2, "zscale": 0, "rotation": 90})
        return b

    def shape(self, name, pts):
        self.name = name
        x0, y0 = pts[0][:2]
        # (x, y) relative to the first point, turned back by a quarter and halved, and the base point added.
        self.inner(x0, y0).add_lwpolyline([((y - y0) / 2 + 3, -(x - x0) / 2 + 4, b) for x, y, b in pts], format="xyb", close=True, dxfattribs={"layer": "0"})

    def circle(self, name, x, y, d):
        self.name = name
        self.inner(x, y).add_circle((3, 4), d / 4, dxfattribs={"layer": "0"})


def new(version="R2000", units=4):
    doc = ezdxf.new(version)
    doc.header["$INSUNITS"] = units
    return doc, doc.modelspace()


def save(doc, name, **kw):
    doc.saveas(os.path.join(OUT, name + ".dxf"), **kw)


def write():
    os.makedirs(OUT, exist_ok=True)
    for name, pen, version in [("r2000", Pen, "R2000"), ("r12", Old, "R12"), ("curve-fit", Fitted, "R12"), ("unclosed", Unclosed, "R2004"), ("loose", Loose, "R2018"),
                               ("twice", Twice, "R2010"), ("ellipses", Ellipses, "R2000"), ("splines", Splines, "R2007"), ("chords-3d", Chords, "R12"),
                               ("rings", Rings, "R2013"), ("mtext", Words, "R2000"), ("filled", Filled, "R2010"), ("blocks", Blocks, "R2000")]:
        doc, m = new(version)
        pen(m).all()
        save(doc, name)
    for name, code, mm in [("mil", 9, 0.0254), ("metres", 6, 1000), ("feet", 2, 304.8), ("micrometres", 13, 0.001), ("decimetres", 14, 100), ("yards", 10, 914.4), ("unitless", 0, 1)]:
        doc, m = new(units=code)
        Pen(m, 1 / mm).all()
        save(doc, name)
    doc, m = new("R2007")
    Pen(m).all()
    save(doc, "binary-r2007", fmt="bin")
    # The whole panel in one INSERT, mirrored, with a scale of 0.3529.
    doc, m = new()
    b = doc.blocks.new("SHEET")
    Pen(b).all()
    back = Matrix44.scale(-1 / 0.3529, 1 / 0.3529, 1)
    for e in b:
        e.transform(back)
    m.add_blockref("SHEET", (0, 0), dxfattribs={"xscale": -0.3529, "yscale": 0.3529})
    save(doc, "one-insert")
    # With what does not belong: layers off and frozen, paper space, invisible things, dimension points, a frame.
    doc, m = new("R2010")
    for name in ("SCRAP", "OLD"):
        doc.layers.add(name)
    doc.layers.get("SCRAP").off()
    doc.layers.get("OLD").freeze()
    Pen(m).all()
    for name in ("SCRAP", "OLD", "DEFPOINTS", "FRAME"):
        m.add_lwpolyline([(-200, -200), (300, -200), (300, 200), (-200, 200)], close=True, dxfattribs={"layer": name})
    m.add_circle((40, 66), 41, dxfattribs={"layer": "LED"})  # to be made invisible below
    doc.layout("Layout1").add_circle((40, 66), 40, dxfattribs={"layer": "LED"})
    m.add_point((0, 0), dxfattribs={"layer": "LED"})
    m.add_3dface([(0, 0, 0), (9, 0, 0), (9, 9, 3)], dxfattribs={"layer": "OUTLINE"})
    m.add_circle((40, 66), 9, dxfattribs={"layer": "OPENING", "extrusion": (0, 1, 1)})
    save(doc, "clutter")
    # ezdxf 0.18 does not write group 60.
    name = os.path.join(OUT, "clutter.dxf")
    text = open(name, encoding="utf-8").read()
    circle = "100\nAcDbCircle\n 10\n40.0\n 20\n66.0\n 30\n0.0\n 40\n41.0\n"
    assert text.count(circle) == 1
    open(name, "w", encoding="utf-8").write(text.replace(circle, " 60\n1\n" + circle))


def measure():
    """Measures r2000.dxf with ezdxf and shapely alone."""
    doc = ezdxf.readfile(os.path.join(OUT, "r2000.dxf"))
    m = doc.modelspace()

    def ring(e):
        if e.dxftype() == "CIRCLE":
            c, r, n = e.dxf.center, e.dxf.radius, 4000
            return Polygon([(c.x + r * math.cos(2 * math.pi * i / n), c.y + r * math.sin(2 * math.pi * i / n)) for i in range(n)])
        pts = []
        for part in e.virtual_entities():
            if part.dxftype() == "ARC":
                run = [(v.x, v.y) for v in part.flattening(1e-7)]
                if pts and math.dist(run[-1], pts[-1]) < 1e-6:
                    run.reverse()
            else:
                run = [(part.dxf.start.x, part.dxf.start.y), (part.dxf.end.x, part.dxf.end.y)]
            pts += run
        return Polygon(pts)

    def shapes(layer):
        return [{"area": round(p.area, 4), "perimeter": round(p.exterior.length, 4), "bbox": [round(v, 4) for v in p.bounds]}
                for p in map(ring, m.query(f'LWPOLYLINE[layer=="{layer}"]'))]

    def circles(layer):
        return [{"x": round(e.dxf.center.x, 6), "y": round(e.dxf.center.y, 6), "d": round(2 * e.dxf.radius, 6)} for e in m.query(f'CIRCLE[layer=="{layer}"]')]

    texts = []
    for e in m.query("TEXT"):
        align, p, _ = e.get_pos()
        texts.append({"text": e.dxf.text, "x": p.x, "y": p.y, "height": e.dxf.height, "rotation": e.dxf.rotation, "anchor": {v: k for k, v in ALIGN.items()}[align]})
    a, b = map(ring, m.query('CIRCLE[layer=="LETTERING"]'))
    out = {"ezdxf": ezdxf.__version__, "shapely": shapely.__version__, "texts": texts, "ring_area": round(a.difference(b).area, 3),
           "lines": [[round(v, 6) for v in (*e.dxf.start.vec2, *e.dxf.end.vec2)] for e in m.query('LINE[layer=="LETTERING"]')]}
    for layer in ("OUTLINE", "OPENING", "MOUNT", "BODY", "BOARD", "LED"):
        out[layer.lower()] = {"shapes": shapes(layer), "circles": circles(layer)}
    return out


if __name__ == "__main__":
    if "--measure" not in sys.argv:
        write()
    with open(os.path.join(OUT, "expected.json"), "w") as f:
        json.dump(measure(), f, indent=1)
        f.write("\n")
