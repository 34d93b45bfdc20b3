package sheet

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/dxf"
	"lampblack/panel/geom"
)

// The sheets as DXF, read back by the reader, which knows nothing of the writer: millimetres, a layer each in a colour of its
// own, areas as drawn, arcs as arcs, in R2000 and in R12.
func TestSheetsAsDXF(t *testing.T) {
	for _, rel := range []dxf.Release{dxf.R2000, dxf.R12} {
		laser := UsualLaser()
		laser.Release = rel
		src, err := Face(t.Context(), desk(), nil, Options{Laser: laser}).DXF(t.Context())
		require.NoError(t, err)
		d, l := dxf.Read(t.Context(), src, "face.dxf")
		require.Equal(t, string(rel), d.Version)
		if rel == dxf.R2000 {
			require.Empty(t, l)
			require.Equal(t, "mm", d.Units.Name)
		}
		area, arcs := map[string]float64{}, 0
		for _, e := range d.Entities {
			require.True(t, e.Path.Closed, e.Type)
			var c geom.Contour
			for _, v := range e.Path.Vertices {
				c = append(c, geom.Vertex{Pt: geom.PtMM(v.X, v.Y), Bulge: v.Bulge})
				if v.Bulge != 0 && e.Layer == "3-cut-outer" {
					arcs++
				}
			}
			area[e.Layer] += math.Abs(c.SignedArea())
		}
		require.InDelta(t, deskArea, area["3-cut-outer"], 1e-4*deskArea)
		inner := display + math.Pi/4*(12.2*12.2+2*3.2*3.2)
		require.InDelta(t, inner, area["2-cut-inner"], 1e-4*inner)
		require.Equal(t, 4, arcs, "of the corners")
		want := map[string]uint8{"1-engrave": 7, "2-cut-inner": 5, "3-cut-outer": 1} // black, blue, red: DXF Reference, group 62
		for _, y := range d.Layers {
			if c, ok := want[y.Name]; ok {
				require.Equal(t, c, y.Colour, y.Name)
				delete(want, y.Name)
			}
		}
		require.Empty(t, want)
	}
}

// A round trip through ezdxf, an independent library: no fault, and areas of the cuts equal to 0.01 %.
func TestSheetsForOthers(t *testing.T) {
	const python = "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import ezdxf").Run(); err != nil {
		t.Skip("no ezdxf here (Debian: python3-ezdxf): ", err)
	}
	for _, rel := range []dxf.Release{dxf.R2000, dxf.R12} {
		laser := UsualLaser()
		laser.Release = rel
		s := LED(t.Context(), desk(), Options{Laser: laser})
		src, err := s.DXF(t.Context())
		require.NoError(t, err)
		name := filepath.Join(t.TempDir(), "led.dxf")
		require.NoError(t, os.WriteFile(name, src, 0o644))
		again := filepath.Join(t.TempDir(), "again.dxf")
		out, err := exec.Command(python, "-c", `
import ezdxf, json, math, sys
doc = ezdxf.readfile(sys.argv[1])
faults = [str(e.message) for e in doc.audit().errors]
area = {}
for e in doc.modelspace():
    if e.dxftype() == "CIRCLE":
        a = math.pi * e.dxf.radius ** 2
    else:
        pts = [tuple(p) for p in e.get_points("xyb")] if e.dxftype() == "LWPOLYLINE" else [(v.dxf.location.x, v.dxf.location.y, v.dxf.bulge) for v in e.vertices]
        a = 0
        for (x1, y1, b), (x2, y2, _) in zip(pts, pts[1:] + pts[:1]):
            a += (x1 * y2 - x2 * y1) / 2
            if b:
                t = 4 * math.atan(b); r = math.hypot(x2 - x1, y2 - y1) / 2 / math.sin(abs(t) / 2)
                a += math.copysign(r * r * (abs(t) - math.sin(abs(t))) / 2, b)
        a = abs(a)
    area[e.dxf.layer] = area.get(e.dxf.layer, 0) + a
doc.saveas(sys.argv[2])
print(json.dumps({"faults": faults, "area": area}))`, name, again).Output()
		require.NoError(t, err)
		var got struct {
			Faults []string
			Area   map[string]float64
		}
		require.NoError(t, json.Unmarshal(out, &got))
		require.Empty(t, got.Faults)
		inner := display + math.Pi/4*(12.2*12.2+2*3.2*3.2+3*3*3)
		require.InDelta(t, deskArea, got.Area["3-cut-outer"], 1e-4*deskArea)
		require.InDelta(t, inner, got.Area["2-cut-inner"], 1e-4*inner)

		// What it writes of it is the same sheet to our reader.
		back, err := os.ReadFile(again)
		require.NoError(t, err)
		d, _ := dxf.Read(t.Context(), back, "again.dxf")
		e, _ := dxf.Read(t.Context(), src, "led.dxf")
		require.Len(t, d.Entities, len(e.Entities))
		for i := range d.Entities {
			require.Equal(t, e.Entities[i].Layer, d.Entities[i].Layer)
			require.InDelta(t, e.Entities[i].Path.Box().W(), d.Entities[i].Path.Box().W(), 1e-6)
		}
	}
}

// What a laser's program goes by, as shops ask for it: fills without a stroke for what is engraved, thin unfilled lines for cuts,
// inner before outer, a pure colour each.
func TestPaintOfTheLaser(t *testing.T) {
	svg := string(face(t.Context(), desk(), nil, Options{Laser: Laser{Cut: 0xff00ff, Inner: 0x00ff00, Engrave: 0x0000ff, Line: 25 * geom.Micrometre}}))
	engrave, inner, outer := strings.Index(svg, `id="1-engrave"`), strings.Index(svg, `id="2-cut-inner"`), strings.Index(svg, `id="3-cut-outer"`)
	require.True(t, 0 < engrave && engrave < inner && inner < outer)
	require.Contains(t, svg[engrave:inner], `fill="#0000ff"`)
	require.NotContains(t, svg[engrave:inner], "stroke")
	for _, cut := range []struct{ part, colour string }{{svg[inner:outer], "#00ff00"}, {svg[outer:], "#ff00ff"}} {
		require.Contains(t, cut.part, `fill="none"`)
		require.Contains(t, cut.part, `stroke="`+cut.colour+`"`)
		require.Contains(t, cut.part, `stroke-width="0.025"`)
		require.Equal(t, 1, strings.Count(cut.part, "stroke="), "one colour a layer")
	}
	usual := string(face(t.Context(), desk(), nil, Options{}))
	for _, c := range []string{`fill="#000000"`, `stroke="#0000ff"`, `stroke="#ff0000"`, `stroke-width="0.01"`} {
		require.Contains(t, usual, c)
	}
}

// Paint on the back turns the face over, its cuts with its lettering, and no other sheet; and says so.
func TestPaintedBehind(t *testing.T) {
	p := desk()
	front, back := read(t, face(t.Context(), p, nil, Options{})), read(t, face(t.Context(), p, nil, Options{Behind: true}))
	middle := front.w / 2
	round := func(d drawn) float64 { // of the toggle's hole, the only circle of 12.2 mm
		for _, c := range d.groups["2-cut-inner"] {
			if _, dia, ok := c.Circular(); ok && dia == geom.MM(12.2) {
				return c.Box().Centre().X.MM()
			}
		}
		return math.NaN()
	}
	require.InDelta(t, 80+2, round(front), 1e-3)
	require.InDelta(t, 2*middle-(80+2), round(back), 1e-3)
	require.Contains(t, string(face(t.Context(), p, nil, Options{Behind: true})), "Seen from behind")
	for _, f := range []func(o Options) []byte{
		func(o Options) []byte { return leds(t.Context(), p, o) }, func(o Options) []byte { return diffuser(t.Context(), p, o) },
	} {
		require.True(t, bytes.Equal(f(Options{}), f(Options{Behind: true})))
	}
}

// People see every sheet from the front, in lines that a screen shows, whatever the laser gets.
func TestPreview(t *testing.T) {
	p := desk()
	shown := func(o Options) []byte {
		return Preview(t.Context(), "desk: its sheets", Face(t.Context(), p, nil, o), Diffuser(t.Context(), p, o), LED(t.Context(), p, o))
	}
	svg := shown(Options{})
	d := read(t, svg)
	require.InDelta(t, 100+4, d.w, 1e-9)
	require.InDelta(t, 3*60+2*6+4, d.h, 1e-9, "one below the other")
	for _, what := range []string{"face", "diffuser", "LED"} {
		require.Equal(t, 1, strings.Count(string(svg), `aria-label="`+what+` sheet"`))
	}
	require.NotContains(t, string(svg), `stroke-width="0.01"`)
	require.True(t, bytes.Equal(svg, shown(Options{Behind: true, Laser: Laser{Cut: 0x00ff00, Line: 1}})))
}
