package draft

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/paneltest"
	"lampblack/panel/read"
)

// bare is the panel without what a new drawing can't give back: handles, lines and file names.
func bare(p panel.Panel) panel.Panel {
	p.Drawing, p.Name = "", ""
	strip := func(hs []panel.Hole) []panel.Hole {
		var out []panel.Hole
		for _, h := range hs {
			h.Source = panel.Source{}
			out = append(out, h)
		}
		return out
	}
	p.LEDs, p.Mounts = strip(p.LEDs), strip(p.Mounts)
	var os []panel.Opening
	for _, o := range p.Openings {
		o.Source = panel.Source{}
		os = append(os, o)
	}
	p.Openings = os
	p.Lettering = slices.Clone(p.Lettering)
	for i := range p.Lettering {
		p.Lettering[i].Angle = math.Round(p.Lettering[i].Angle*1e12) / 1e12
	}
	return p
}

// samePanel compares panels; a rounded bulge may differ in its last bits.
func samePanel(t *testing.T, want, got panel.Panel) {
	t.Helper()
	require.InDelta(t, want.Origin.X, got.Origin.X, 1e-9)
	require.InDelta(t, want.Origin.Y, got.Origin.Y, 1e-9)
	got.Origin = want.Origin
	round := func(c geom.Contour) geom.Contour {
		out := make(geom.Contour, len(c))
		for i, v := range c {
			out[i] = geom.Vertex{Pt: v.Pt, Bulge: math.Round(v.Bulge*1e12) / 1e12}
		}
		return out
	}
	for _, p := range []*panel.Panel{&want, &got} {
		*p = bare(*p)
		p.Outline = round(p.Outline)
		for i := range p.Openings {
			p.Openings[i].Contour = round(p.Openings[i].Contour)
		}
		var bodies []geom.Contour
		var boards []panel.Edge
		for _, c := range p.Bodies {
			bodies = append(bodies, round(c))
		}
		for _, b := range p.Boards {
			var edge panel.Edge
			for _, c := range b {
				edge = append(edge, round(c))
			}
			boards = append(boards, edge)
		}
		var symbols []panel.Symbol
		for _, s := range p.Symbols {
			s.Shape = round(s.Shape)
			var holes []geom.Contour
			for _, h := range s.Holes {
				holes = append(holes, round(h))
			}
			s.Holes = holes
			symbols = append(symbols, s)
		}
		p.Bodies, p.Boards, p.Symbols = bodies, boards, symbols
	}
	require.Equal(t, want, got)
}

// TestReadsBack: what is written reads back as the panel it came from, to the nanometre.
func TestReadsBack(t *testing.T) {
	for _, f := range append(paneltest.Files(t, "../read/testdata/focus/*.dxf"), paneltest.Files(t, "../read/testdata/weather/*.dxf")...) {
		d, _ := dxf.Read(t.Context(), f.Data, f.Name)
		ps, _ := read.Panels(t.Context(), d, read.Options{})
		require.NotEmpty(t, ps, f.Name)
		src, err := dxf.Write(Drawing(ps...), dxf.Options{})
		require.NoError(t, err)
		again, l := dxf.Read(t.Context(), src, "again.dxf")
		require.Empty(t, l, f.Name)
		require.Equal(t, "AC1015", again.Version)
		require.Equal(t, "mm", again.Units.Name)
		qs, l := read.Panels(t.Context(), again, read.Options{})
		require.Len(t, qs, len(ps))
		for _, x := range l {
			require.Less(t, x.Severity, diag.Warning, "%s: %s", f.Name, x.Text)
		}
		for i := range ps {
			samePanel(t, ps[i], qs[i])
		}
		twice, err := dxf.Write(Drawing(ps...), dxf.Options{})
		require.NoError(t, err)
		require.True(t, bytes.Equal(src, twice), "the same drawing gives the same bytes")
	}
}

// A filled shape with a hole, a line of its own width and a closed line of the usual one read back as they were; ezdxf finds the
// filling's area between its two boundaries, and no fault.
func TestFillingsAndWidthsReadBack(t *testing.T) {
	rect := func(x, y, w, h float64) geom.Contour {
		return geom.Rect(geom.Box{Min: geom.PtMM(x, y), Max: geom.PtMM(x+w, y+h)})
	}
	p := panel.Panel{
		Outline: rect(0, 0, 120, 60), LEDs: []panel.Hole{{At: geom.PtMM(30, 30), D: geom.MM(3)}},
		Symbols: []panel.Symbol{
			{Closed: true, Filled: true, Shape: rect(70, 30, 20, 20), Holes: []geom.Contour{rect(75, 35, 10, 10)}},
			{Closed: true, Shape: rect(10, 40, 40, 12)},
			{Closed: true, Width: geom.MM(0.8), Flat: true, Shape: geom.Circle(geom.PtMM(20, 15), geom.MM(8))},
			{Width: geom.MM(1.2), Flat: true, Shape: geom.Straight(geom.PtMM(40, 10), geom.PtMM(60, 10))},
			{Width: geom.MM(0.5), Shape: geom.Straight(geom.PtMM(40, 14), geom.PtMM(60, 14))},
			{Width: geom.MM(0.5), Dashes: []geom.Nm{geom.MM(3), -geom.MM(1), 0, -geom.MM(1)}, Runs: true, Shape: geom.Straight(geom.PtMM(40, 18), geom.PtMM(60, 18), geom.PtMM(65, 25))},
			{Width: geom.MM(1), Flat: true, Dashes: []geom.Nm{geom.MM(2), -geom.MM(1.5)}, Shape: geom.Straight(geom.PtMM(80, 10), geom.PtMM(100, 10), geom.PtMM(100, 20))},
		},
	}
	printed := p
	printed.Print = [2]panel.Print{
		geom.Top:    {Symbols: p.Symbols[:3], Texts: []panel.Text{{Text: "Ridge", At: geom.PtMM(80, 10), Height: geom.MM(3), Width: 1}}},
		geom.Bottom: {Symbols: p.Symbols[3:], Texts: []panel.Text{{Text: "desk", At: geom.PtMM(20, 30), Height: geom.MM(2), Width: 1, Mirror: true}}},
	}
	src, err := dxf.Write(Drawing(printed), dxf.Options{})
	require.NoError(t, err)
	again, _ := dxf.Read(t.Context(), src, "again.dxf")
	ps, _ := read.Panels(t.Context(), again, read.Options{})
	require.Len(t, ps, 1)
	require.Equal(t, printed.Print[geom.Bottom].Symbols, ps[0].Print[geom.Bottom].Symbols)
	require.Len(t, ps[0].Print[geom.Top].Symbols, 3)
	for side, k := range printed.Print {
		got := ps[0].Print[side].Texts
		require.Len(t, got, 1)
		got[0].Font = k.Texts[0].Font
		require.Equal(t, k.Texts, got)
	}
	src, err = dxf.Write(Drawing(p), dxf.Options{})
	require.NoError(t, err)
	d, l := dxf.Read(t.Context(), src, "again.dxf")
	require.Empty(t, l)
	qs, l := read.Panels(t.Context(), d, read.Options{})
	require.Len(t, qs, 1, "%v", l)
	samePanel(t, p, qs[0])
	const python = "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import ezdxf").Run(); err != nil {
		t.Skip("no ezdxf here (Debian: python3-ezdxf): ", err)
	}
	name := filepath.Join(t.TempDir(), "out.dxf")
	require.NoError(t, os.WriteFile(name, src, 0o644))
	out, err := exec.Command(python, "-c", `
import ezdxf, json, sys
doc = ezdxf.readfile(sys.argv[1])
h, = doc.modelspace().query("HATCH")
print(json.dumps([len(doc.audit().errors), h.dxf.solid_fill, h.dxf.hatch_style, [[list(v[:2]) for v in p.vertices] for p in h.paths]]))`, name).Output()
	require.NoError(t, err)
	require.JSONEq(t, `[0, 1, 0, [[[70,30],[90,30],[90,50],[70,50]], [[75,35],[85,35],[85,45],[75,45]]]]`, string(out))
}

// TestWriteForOthers: ezdxf, an independent reader, finds in a written drawing what went into it, and no fault.
func TestWriteForOthers(t *testing.T) {
	const python = "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import ezdxf").Run(); err != nil {
		t.Skip("no ezdxf here (Debian: python3-ezdxf): ", err)
	}
	path := func(closed bool, vs ...dxf.Vertex) dxf.Path { return dxf.Path{Closed: closed, Vertices: vs} }
	at := func(x, y, bulge float64) dxf.Vertex { return dxf.Vertex{XY: dxf.XY{X: x, Y: y}, Bulge: bulge} }
	d := dxf.Drawing{Name: "test.dxf", Version: "AC1015", Units: dxf.Units{Code: 4, Name: "mm", MMPerUnit: 1}}
	d.Entities = append(d.Entities,
		dxf.Entity{Layer: "OUTLINE", Path: path(true, at(0, 0, 0), at(120, 0, 0), at(120, 80, 0), at(0, 80, 0))},
		dxf.Entity{Layer: "LED", Path: path(true, at(28.5, 60, 1), at(31.5, 60, 1))},
		dxf.Entity{Layer: "LETTERING", Path: path(false, at(10, 10, 0), at(30, 10, 0))},
		dxf.Entity{Layer: "BODY", Path: path(true, at(50, 20, 0), at(60, 20, 1), at(60, 30, 0), at(50, 30, 1))},
		dxf.Entity{Layer: "LETTERING", Text: &dxf.Text{Text: "Kühlung 5 %", At: dxf.XY{X: 60, Y: 70}, Height: 4, Width: 1, H: dxf.Centre, V: dxf.Middle, Angle: 0.5}},
		dxf.Entity{Layer: "LETTERING", Text: &dxf.Text{Text: "OPEN\n{SHUT}", At: dxf.XY{X: 90, Y: 70}, Height: 3, Width: 1, H: dxf.Right, V: dxf.TopLine}},
		dxf.Entity{Layer: "LETTERING", Text: &dxf.Text{Text: "DEW", At: dxf.XY{X: 10, Y: 40}, Height: 3, Width: 1, Span: 20}})
	src, err := dxf.Write(d, dxf.Options{})
	require.NoError(t, err)
	name := filepath.Join(t.TempDir(), "out.dxf")
	require.NoError(t, os.WriteFile(name, src, 0o644))
	out, err := exec.Command(python, "-c", `
import ezdxf, json, sys
doc = ezdxf.readfile(sys.argv[1])
a = doc.audit()
m = doc.modelspace()
line, = m.query("LINE"); c, = m.query("CIRCLE"); rect, slot = m.query("LWPOLYLINE"); t, fit = m.query("TEXT"); mt, = m.query("MTEXT")
print(json.dumps({
  "faults": [str(e.message) for e in a.errors], "version": doc.dxfversion, "units": doc.header["$INSUNITS"],
  "layers": sorted(l.dxf.name for l in doc.layers), "line": [*line.dxf.start.vec2, *line.dxf.end.vec2],
  "circle": [*c.dxf.center.vec2, c.dxf.radius], "rect": [list(p) for p in rect.get_points("xyb")], "closed": rect.closed,
  "slot": [list(p) for p in slot.get_points("xyb")], "text": t.plain_text(), "align": t.get_pos()[0], "at": list(t.get_pos()[1].vec2),
  "angle": t.dxf.rotation, "height": t.dxf.height, "mtext": mt.plain_text(), "attach": mt.dxf.attachment_point, "fit": [fit.get_pos()[0], *fit.get_pos()[2].vec2]}))`, name).Output()
	require.NoError(t, err)
	var got map[string]any
	require.NoError(t, json.Unmarshal(out, &got))
	want := map[string]any{
		"faults": []any{}, "version": "AC1015", "units": 4.0, "layers": []any{"0", "BODY", "Defpoints", "LED", "LETTERING", "OUTLINE"},
		"line": []any{10.0, 10.0, 30.0, 10.0}, "circle": []any{30.0, 60.0, 1.5}, "closed": true,
		"rect": []any{[]any{0.0, 0.0, 0.0}, []any{120.0, 0.0, 0.0}, []any{120.0, 80.0, 0.0}, []any{0.0, 80.0, 0.0}},
		"slot": []any{[]any{50.0, 20.0, 0.0}, []any{60.0, 20.0, 1.0}, []any{60.0, 30.0, 0.0}, []any{50.0, 30.0, 1.0}},
		"text": "Kühlung 5 %", "align": "MIDDLE_CENTER", "at": []any{60.0, 70.0}, "angle": 0.5 * 180 / math.Pi, "height": 4.0,
		"mtext": "OPEN\n{SHUT}", "attach": 3.0, "fit": []any{"FIT", 30.0, 40.0},
	}
	require.InDelta(t, want["angle"], got["angle"], 1e-12)
	delete(want, "angle")
	delete(got, "angle")
	require.Equal(t, want, got)
}
