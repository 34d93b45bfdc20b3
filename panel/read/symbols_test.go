package read

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
)

// symbolsOf returns what is drawn rather than written on a panel of 120 x 60 with these entities on its lettering layer.
func symbolsOf(t *testing.T, more ...dxf.Entity) []panel.Symbol {
	t.Helper()
	d := drawn(t, "outline rect 0 0 120 60\nled circle 30 30 3\nlettering text 20 40 5 DOME")
	for i := range more {
		more[i].Type, more[i].Layer, more[i].Line = "LWPOLYLINE", "lettering", 100+i
	}
	d.Entities = append(d.Entities, more...)
	ps, l := Panels(t.Context(), d, Options{})
	require.Len(t, ps, 1, "%v", l)
	return ps[0].Symbols
}

func closed(xy ...float64) dxf.Entity {
	e := dxf.Entity{Path: dxf.Path{Closed: true}}
	for i := 0; i < len(xy); i += 2 {
		e.Path.Vertices = append(e.Path.Vertices, dxf.Vertex{XY: dxf.XY{X: xy[i], Y: xy[i+1]}})
	}
	return e
}

// A frame round a word is a line: 2 (40 + 12) mm long and 0.3 wide, and hides nothing; a second one in it too.
func TestFramesAreLines(t *testing.T) {
	frame, inner := closed(15, 36, 55, 36, 55, 48, 15, 48), closed(16, 37, 54, 37, 54, 47, 16, 47)
	s := symbolsOf(t, frame, inner)
	require.Len(t, s, 2)
	for i, length := range []float64{2 * (40 + 12), 2 * (38 + 10)} {
		require.True(t, s[i].Closed)
		require.False(t, s[i].Filled)
		require.InDelta(t, length*0.3, lettering.SymbolRegion(s[i], lettering.Stroke).Area(), 0.1)
	}
}

// Two rectangles one in the other are two lines, as small as a letter or not.
func TestDoubleFrames(t *testing.T) {
	for _, k := range []float64{1, 4} {
		s := symbolsOf(t, closed(70, 10, 70+7*k, 10, 70+7*k, 10+5*k, 70, 10+5*k), closed(70+k, 10+k, 70+6*k, 10+k, 70+6*k, 10+4*k, 70+k, 10+4*k))
		require.Len(t, s, 2)
		require.False(t, s[0].Filled || s[1].Filled, "%v", k)
	}
}

// As wide as they are drawn: a polyline's own width before its line weight, that before the usual one.
func TestWidthsAreKept(t *testing.T) {
	plain, weighty, wide := closed(10, 10, 20, 10, 20, 20), closed(30, 10, 40, 10, 40, 20), closed(50, 10, 60, 10, 60, 20)
	weighty.Weight, wide.Weight, wide.Width = 50, 50, 1.2
	line := closed(70, 10, 80, 10)
	line.Path.Closed, line.Weight = false, 70
	s := symbolsOf(t, plain, weighty, wide, line)
	var widths []geom.Nm
	for _, y := range s {
		require.False(t, y.Filled)
		widths = append(widths, y.Width)
	}
	require.Equal(t, []geom.Nm{0, geom.MM(0.5), geom.MM(1.2), geom.MM(0.7)}, widths)
}

// Fillings are areas, one within another a hole in it; a frame round them is a line all the same.
func TestFillings(t *testing.T) {
	out, in, frame := closed(70, 30, 90, 30, 90, 50, 70, 50), closed(75, 35, 85, 35, 85, 45, 75, 45), closed(65, 25, 95, 25, 95, 55, 65, 55)
	out.Fill, in.Fill = true, true
	s := symbolsOf(t, out, in, frame)
	require.Len(t, s, 2)
	require.True(t, s[0].Filled)
	require.Len(t, s[0].Holes, 1)
	require.InDelta(t, 20*20-10*10, lettering.SymbolRegion(s[0], lettering.Stroke).Area(), 1e-6)
	require.False(t, s[1].Filled)
}

// Letters drawn as their outlines are areas, the inside of an A left out, also one that stands alone; a frame round it is a line.
func TestLettersAreAreas(t *testing.T) {
	var all []dxf.Entity
	add := func(text string, x, y float64) {
		for _, g := range lettering.Outline(panel.Text{Text: text, At: geom.PtMM(x, y), Height: geom.MM(8), Width: 1}) {
			for _, r := range append([]geom.Ring{g.Outer}, g.Holes...) {
				e := dxf.Entity{Path: dxf.Path{Closed: true}}
				for _, p := range r {
					e.Path.Vertices = append(e.Path.Vertices, dxf.Vertex{XY: dxf.XY{X: p.X.MM(), Y: p.Y.MM()}})
				}
				all = append(all, e)
			}
		}
	}
	add("DATA", 60, 8)
	add("A", 20, 8)
	all = append(all, closed(16, 4, 30, 4, 30, 20, 16, 20))
	s := symbolsOf(t, all...)
	filled, holes := 0, 0
	for _, y := range s {
		if y.Filled {
			filled++
			holes += len(y.Holes)
		}
	}
	require.Equal(t, 5, filled)
	require.Equal(t, 4, holes, "of D, A, A and A")
	require.Len(t, s, 6)
}

// A rule of the project says that a closed line is filled, or that a letter is none; on our own layer too, where it names it.
func TestRulesFill(t *testing.T) {
	d := drawn(t, `
		outline rect 0 0 120 60
		led circle 30 30 3
		lettering text 20 40 5 DOME
		lettering rect 15 36 55 48
		lettering rect 60 10 70 14
		lettering circle 90 30 10
		lettering circle 90 30 6
		MARKS rect 60 40 64 44`)
	filled := func(rules ...string) (areas []float64, holes int) {
		ps, l := Panels(t.Context(), d, Options{Rules: rulesOf(t, strings.Join(rules, "; "))})
		require.NoError(t, l.Err())
		for _, s := range ps[0].Symbols {
			if s.Filled {
				areas, holes = append(areas, math.Round(lettering.SymbolRegion(s, lettering.Stroke).Area())), holes+len(s.Holes)
			}
		}
		slices.Sort(areas)
		return areas, holes
	}
	areas, _ := filled("lettering: layer lettering")
	require.Empty(t, areas)
	areas, _ = filled("lettering: filled shapes 10 x 4 mm on layer lettering")
	require.Equal(t, []float64{40}, areas)
	areas, holes := filled("lettering: filled circles on layer lettering")
	require.Equal(t, []float64{50}, areas, "a ring of 10 and 6 mm is pi/4 (100 - 36) = 50.3 mm²")
	require.Equal(t, 1, holes)
	areas, _ = filled("lettering: filled layer MARKS", "lettering: layer lettering")
	require.Equal(t, []float64{16}, areas)
}

// A letter, a filling and a word by rule outlined are lines.
func TestRulesOutline(t *testing.T) {
	d := drawn(t, "outline rect 0 0 120 60\nled circle 30 30 3\nlettering rect 60 10 70 14")
	d.Entities[2].Fill = true
	for _, rule := range []string{"outlined layer lettering", "outlined fills on layer lettering"} {
		ps, l := Panels(t.Context(), d, Options{Rules: rulesOf(t, "lettering: "+rule)})
		require.NoError(t, l.Err())
		require.Len(t, ps[0].Symbols, 1)
		require.False(t, ps[0].Symbols[0].Filled, rule)
	}
}

// What goes round other lettering is never filled: a text, an open line, a closed one that stays a line.
func TestNothingFilledHidesLettering(t *testing.T) {
	for _, inner := range []string{"lettering text 20 40 5 DOME", "lettering line 20 40 30 40", "lettering circle 30 42 4"} {
		d := drawn(t, "outline rect 0 0 120 60\nled circle 30 30 3\nlettering rect 15 36 55 48\n"+inner)
		ps, l := Panels(t.Context(), d, Options{Rules: rulesOf(t, "lettering: filled shapes 40 x 12 mm on layer lettering")})
		require.Equal(t, 1, l.Count(diag.Error), "%s: %v", inner, l)
		f := l[slices.IndexFunc(l, func(f diag.Finding) bool { return f.Severity == diag.Error })]
		require.Equal(t, "panel-fill-hides", f.Code)
		require.Contains(t, f.Text, "40 x 12 mm")
		require.Contains(t, f.Advice, "outlined shapes 40 x 12 mm")
		require.NotNil(t, f.Place.At)
		require.Len(t, ps, 1)
	}
}

// Texts that the rules of the lettering leave are told.
func TestTextsThatRulesLeave(t *testing.T) {
	d := drawn(t, "EDGE rect 0 0 120 60\nMARKS line 20 20 40 20\nNAMES text 20 40 5 DOME")
	for rules, want := range map[string]bool{"lettering: lines": true, "lettering: lines; lettering: texts": false, "lettering: lines; ignore: texts": false} {
		ps, l := Panels(t.Context(), d, Options{Rules: rulesOf(t, "outline: largest; "+rules)})
		require.Len(t, ps, 1)
		told := slices.ContainsFunc(l, func(f diag.Finding) bool { return f.Code == "panel-text-unused" })
		require.Equal(t, want, told, "%s: %v", rules, l)
	}
}

// Dashes begin and end with the entity that has them, however many lines meet there: a dashed rectangle of four lines is four times
// a side, a dashed line that others cross is one; and a line drawn through that goes on from it stays whole.
func TestDashesOfJoinedLines(t *testing.T) {
	d := drawn(t, `
		outline rect 0 0 120 60
		led circle 30 30 3
		lettering line 10 10 30 10
		lettering line 30 10 30 20
		lettering line 60 10 80 10
		lettering line 80 10 80 20
		lettering line 80 20 60 20
		lettering line 60 20 60 10
		lettering line 70 15 70 5`)
	pen := &dxf.Pen{Dashes: []float64{3, -2}}
	for _, i := range []int{2, 4, 5, 6, 7} {
		d.Entities[i].Pen = pen
	}
	d.Entities[6].Width = 1
	ps, l := Panels(t.Context(), d, Options{})
	require.NoError(t, l.Err())
	var long, dashed []float64
	for _, s := range ps[0].Symbols {
		require.False(t, s.Closed, "%v", s)
		mm := 0.0
		for _, e := range s.Shape.Edges()[:len(s.Shape)-1] {
			mm += e.Len() / 1e6
		}
		require.Equal(t, s.Width == geom.MM(1), s.Flat)
		if s.Dashes != nil {
			require.Equal(t, []geom.Nm{geom.MM(3), geom.MM(-2)}, s.Dashes)
			dashed = append(dashed, mm)
		} else {
			long = append(long, mm)
		}
	}
	slices.Sort(dashed)
	slices.Sort(long)
	require.Equal(t, []float64{10, 10, 20, 20, 20}, dashed)
	require.Equal(t, []float64{10, 10}, long)
}

// An outline and a body that are drawn dashed are what they are drawn round.
func TestDashedOutline(t *testing.T) {
	d := drawn(t, "outline rect 0 0 120 60\nled circle 30 30 3\nbody rect 60 20 80 40")
	for _, i := range []int{0, 2} {
		d.Entities[i].Pen = &dxf.Pen{Dashes: []float64{3, -2}}
	}
	ps, l := Panels(t.Context(), d, Options{})
	require.NoError(t, l.Err())
	require.Equal(t, 120.0*60, ps[0].Outline.Area())
	require.Equal(t, 20.0*20, ps[0].Bodies[0].Area())
	require.Empty(t, ps[0].Symbols)
}

// The tip of an arrow is a point: the line that leads to it ends where the head begins.
func TestArrowsArePointed(t *testing.T) {
	arrow := dxf.Entity{Path: dxf.Path{Vertices: []dxf.Vertex{{XY: dxf.XY{X: 60, Y: 20}}, {XY: dxf.XY{X: 70, Y: 20}}, {XY: dxf.XY{X: 74, Y: 20}}}},
		Pen: &dxf.Pen{Parted: true, Lines: []dxf.Path{{Vertices: []dxf.Vertex{{XY: dxf.XY{X: 60, Y: 20}}, {XY: dxf.XY{X: 70, Y: 20}}}}}}}
	head := closed(70, 18.5, 74, 20, 70, 21.5)
	head.Fill = true
	s := symbolsOf(t, arrow, head)
	require.Len(t, s, 2)
	var all geom.Region
	for _, y := range s {
		all = all.Or(lettering.SymbolRegion(y, lettering.Stroke))
	}
	require.Equal(t, geom.MM(74), all.Box().Max.X)
	require.Equal(t, geom.MM(59.85), all.Box().Min.X)
}
