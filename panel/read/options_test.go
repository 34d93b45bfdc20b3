package read

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/paneltest"
)

// drawn makes a Drawing of "LAYER circle x y d", "LAYER rect x0 y0 x1 y1" and "LAYER text x y h WORDS" lines, in mm.
func drawn(t testing.TB, lines string) dxf.Drawing {
	t.Helper()
	d := dxf.Drawing{Name: "mount.dxf", Units: dxf.Units{Code: 4, Name: "mm", MMPerUnit: 1}}
	for i, s := range strings.Split(strings.TrimSpace(lines), "\n") {
		f := strings.Fields(s)
		var v [4]float64
		for k := range min(4, len(f)-2) {
			_, _ = fmt.Sscan(f[2+k], &v[k])
		}
		e := dxf.Entity{Type: strings.ToUpper(f[1]), Layer: f[0], Handle: fmt.Sprintf("%X", 32+i), Line: i + 1}
		at := dxf.XY{X: v[0], Y: v[1]}
		switch f[1] {
		case "circle":
			r := v[2] / 2
			e.Path = dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: dxf.XY{X: at.X - r, Y: at.Y}, Bulge: 1}, {XY: dxf.XY{X: at.X + r, Y: at.Y}, Bulge: 1}}}
		case "rect":
			e.Path = dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: at}, {XY: dxf.XY{X: v[2], Y: v[1]}}, {XY: dxf.XY{X: v[2], Y: v[3]}}, {XY: dxf.XY{X: v[0], Y: v[3]}}}}
		case "line":
			e.Path = dxf.Path{Vertices: []dxf.Vertex{{XY: at}, {XY: dxf.XY{X: v[2], Y: v[3]}}}}
		case "text":
			e.Text = &dxf.Text{Text: strings.Join(f[5:], " "), At: at, Height: v[2], Width: 1}
		default:
			t.Fatalf("what is %q?", s)
		}
		d.Entities = append(d.Entities, e)
	}
	return d
}

func codes(l diag.List) []string {
	var out []string
	for _, f := range l {
		out = append(out, f.Severity.String()+" "+f.Code)
	}
	return out
}

func TestLayerMapping(t *testing.T) {
	d := drawn(t, `
		FRAME rect 5 5 105 65
		lamps circle 20 20 3
		Led circle 30 20 3`)
	ps, l := Panels(t.Context(), d, Options{Name: "mount", Layers: map[panel.Role]string{panel.RoleOutline: "frame", panel.RoleLED: "LAMPS, LED"}})
	paneltest.Subjects(t, l)
	require.Empty(t, l)
	require.Len(t, ps, 1)
	require.Equal(t, "mount", ps[0].Name)
	require.Len(t, ps[0].LEDs, 2)
	require.Equal(t, panel.Origin{X: 5, Y: 5}, ps[0].Origin)
	require.Equal(t, geom.PtMM(15, 15), ps[0].LEDs[0].At)
	_, l = Panels(t.Context(), d, Options{Layers: map[panel.Role]string{panel.RoleOutline: "EDGE"}})
	paneltest.Subjects(t, l)
	require.Contains(t, codes(l), "error panel-layer-missing")
	require.Contains(t, l[0].Advice, "FRAME")
}

func TestMeantLayer(t *testing.T) {
	_, l := Panels(t.Context(), drawn(t, `
		OUTLINE rect 0 0 100 60
		LEDs circle 20 20 3`), Options{})
	require.Equal(t, []string{"note panel-guess"}, codes(l))
	require.Contains(t, l[0].Text, "taken as the hole of a 3 mm LED")
}

// A layer that the project names and the drawing has not is told once; the layer of our name, which the project set aside, is
// no second warning.
func TestNamedLayerMissing(t *testing.T) {
	d := drawn(t, `
		OUTLINE rect 0 0 100 60
		LED circle 20 20 3`)
	_, l := Panels(t.Context(), d, Options{Layers: map[panel.Role]string{panel.RoleOutline: "FRAME"}})
	paneltest.Subjects(t, l)
	require.Equal(t, []string{"error panel-layer-missing", "note panel-layer-ignored"}, codes(l))
	require.Contains(t, l[0].Text, "FRAME")
	require.Contains(t, l[1].Text, "the project names layer FRAME for outline")
	require.Contains(t, l[1].Advice, "layers: {outline: OUTLINE}")
}

// The advice is in people's plural, and its unit is one that a project takes.
func TestUnitAdvice(t *testing.T) {
	d := drawn(t, `
		OUTLINE rect 0 0 6 4
		LED circle 2 2 0.118`)
	_, l := Panels(t.Context(), d, Options{})
	paneltest.Subjects(t, l)
	i := slices.IndexFunc(l, func(f diag.Finding) bool { return f.Code == "panel-too-small" })
	require.GreaterOrEqual(t, i, 0)
	require.Contains(t, l[i].Advice, "if the drawing is in inches, the panel is 152.4 x 101.6 mm")
	require.Contains(t, l[i].Advice, `"units: inch"`)
	// So small that its edge is as thin as what is left between two lines drawn for one: it is a panel all the same, and too small.
	_, l = Panels(t.Context(), drawn(t, "OUTLINE rect 0 0 80 50\nLED circle 20 20 3"), Options{Unit: "um"})
	i = slices.IndexFunc(l, func(f diag.Finding) bool { return f.Code == "panel-too-small" })
	require.GreaterOrEqual(t, i, 0, "%v", l)
	require.Contains(t, l[i].Advice, "if the drawing is in mm, the panel is 80 x 50 mm")
	require.NotContains(t, codes(l), "error panel-no-outline")
	// A long strip of that width is none; that there is a closed line is not denied.
	_, l = Panels(t.Context(), drawn(t, "OUTLINE rect 0 0 300 0.1"), Options{})
	i = slices.IndexFunc(l, func(f diag.Finding) bool { return f.Code == "panel-no-outline" })
	require.GreaterOrEqual(t, i, 0, "%v", l)
	require.Contains(t, l[i].Text, "no closed line on layer outline round a panel: the largest, 300 x 0.1 mm, is too thin")
}

// What is too large or too small for a panel stops a build, not a survey.
func TestSurveyTakesAnySize(t *testing.T) {
	for _, size := range []string{"1010 100", "4 3"} {
		d := drawn(t, "OUTLINE rect 0 0 "+size)
		_, l := Panels(t.Context(), d, Options{})
		require.True(t, l.HasErrors(), "%v", l)
		_, seen := Survey(t.Context(), d, Options{})
		require.False(t, seen.HasErrors(), "%v", seen)
		require.Len(t, seen, len(l))
	}
	ps, l := Panels(t.Context(), drawn(t, "OUTLINE rect 0 0 1010 100"), Options{})
	require.Len(t, ps, 1, "it is shown")
	require.Equal(t, "the panel is 1010 x 100 mm, larger than the 1 m that can be built", l[0].Text)
	// 3.7 m are no panel; drawn in mm and marked as inches, it is one of 146 mm.
	d := drawn(t, "OUTLINE rect 0 0 3711 2826")
	d.Units = dxf.Units{Code: 1, Name: "in", MMPerUnit: 25.4}
	_, l = Survey(t.Context(), d, Options{})
	require.Equal(t, "error panel-too-large", codes(l)[0])
	require.Contains(t, l[0].Advice, "units: mm")
}

// A hole knows the line of the file that it stands on.
func TestHolesKnowTheirLine(t *testing.T) {
	const name = "../../examples/observatory/dome.dxf"
	src, err := os.ReadFile(name)
	require.NoError(t, err)
	d, _ := dxf.Read(t.Context(), src, name)
	ps, _ := Panels(t.Context(), d, Options{})
	lines := strings.Split(strings.ReplaceAll(string(src), "\r\n", "\n"), "\n")
	require.NotEmpty(t, ps[0].LEDs)
	for _, h := range append(slices.Clone(ps[0].LEDs), ps[0].Mounts...) {
		require.Positive(t, h.Line)
		require.Equal(t, "CIRCLE", strings.TrimSpace(lines[h.Line]), "%d", h.Line)
	}
	for _, o := range ps[0].Openings {
		require.Positive(t, o.Line)
	}
}

func TestUnitOverride(t *testing.T) {
	d := drawn(t, `
		outline rect 0 0 4 3
		led circle 1 1 0.125`)
	_, l := Panels(t.Context(), d, Options{})
	paneltest.Subjects(t, l)
	require.Contains(t, codes(l), "error panel-too-small")
	ps, l := Panels(t.Context(), d, Options{Unit: "inch"})
	paneltest.Subjects(t, l)
	require.Equal(t, []string{"note panel-unit-override"}, codes(l))
	require.Equal(t, geom.PtMM(25.4, 25.4), ps[0].LEDs[0].At)
	require.Equal(t, geom.MM(3.175), ps[0].LEDs[0].D)
	_, l = Panels(t.Context(), d, Options{Unit: "cubit"})
	paneltest.Subjects(t, l)
	require.Contains(t, codes(l), "error panel-unknown-unit")
}

func TestSeveralPanels(t *testing.T) {
	d := drawn(t, `
		OUTLINE rect 200 0 280 60
		OUTLINE rect 0 0 80 60
		LED circle 220 20 3
		LED circle 20 20 3
		LED circle 30 20 3
		NOTES text 205 -6 4 Dome shutter
		NOTES text 5 -6 4 Focus motor
		LETTERING text 10 40 4 FOCUS`)
	ps, l := Panels(t.Context(), d, Options{})
	paneltest.Subjects(t, l)
	require.False(t, l.HasErrors())
	require.Len(t, ps, 2)
	require.Equal(t, "focus-motor", ps[0].Name, "named after the caption, from left to right")
	require.Equal(t, "dome-shutter", ps[1].Name)
	require.Len(t, ps[0].LEDs, 2)
	require.Len(t, ps[1].LEDs, 1)
	require.Len(t, ps[0].Lettering, 1)
	require.Empty(t, ps[1].Lettering)
	ps, _ = Panels(t.Context(), d, Options{Name: "dome", At: &dxf.XY{X: 250, Y: 30}})
	require.Len(t, ps, 1)
	require.Equal(t, "dome", ps[0].Name)
	require.Len(t, ps[0].LEDs, 1)
	_, l = Panels(t.Context(), d, Options{At: &dxf.XY{X: 150, Y: 30}})
	paneltest.Subjects(t, l)
	require.True(t, l.HasErrors())
}

func TestGuess(t *testing.T) {
	d := drawn(t, `
		0 rect 0 0 120 80
		0 circle 6 6 3.2
		0 circle 114 6 3.2
		0 circle 114 74 3.2
		0 circle 6 74 3.2
		0 circle 30 60 3.1
		0 circle 60 60 3.1
		0 circle 90 60 5.1
		0 circle 60 30 12
		0 rect 20 20 40 40
		0 text 50 65 4 DOME`)
	rep, l := Survey(t.Context(), d, Options{})
	require.False(t, l.HasErrors())
	require.True(t, rep.Guessed)
	require.Len(t, rep.Panels, 1)
	p := rep.Panels[0]
	require.Len(t, p.Mounts, 4, "3.2 mm in the corners")
	require.Len(t, p.LEDs, 3, "3.1 and 5.1 mm")
	require.Len(t, p.Openings, 2)
	require.Len(t, p.Lettering, 1)
	require.Equal(t, []Circles{{3.1, 2, panel.RoleLED}, {3.2, 4, panel.RoleMount}, {5.1, 1, panel.RoleLED}, {12, 1, panel.RoleOpening}}, rep.Circles)
	require.Equal(t, panel.RoleOutline, rep.Loops[0].Role)
	require.InDelta(t, 9600, rep.Loops[0].AreaMM2, 1e-9)
	guesses := 0
	for _, f := range l {
		if f.Code == "panel-guess" || f.Code == "panel-question" {
			guesses++
		}
	}
	require.Equal(t, 7, guesses, "outline, four diameters, other openings, texts: %v", codes(l))
}

func TestSurvey(t *testing.T) {
	d := drawn(t, `
		OUTLINE rect 0 0 120 80
		LED circle 30 60 3
		TITLE rect -50 -50 300 200
		TITLE line 0 -10 50 -10
		TITLE line 50 -10 50 -20
		TITLE line 70 -10 90 -10
		NOTES line 60 20 80 20
		NOTES line 80 20 80 30
		NOTES line 90 20 95 20
		LETTERING line 20 20 30 20
		LETTERING line 30 20 30 30
		LETTERING text 50 65 4 DOME`)
	d.Version = "AC1015"
	rep, l := Survey(t.Context(), d, Options{})
	require.Equal(t, []string{"note panel-layer-ignored", "note panel-layer-ignored"}, codes(l))
	require.Equal(t, "2000", rep.Release)
	require.Equal(t, dxf.Box{Min: dxf.XY{X: -50, Y: -50}, Max: dxf.XY{X: 300, Y: 200}}, rep.Extents)
	require.Equal(t, []Count{{"CIRCLE", "LED", panel.RoleLED, 1}, {"LINE", "LETTERING", panel.RoleLettering, 2}, {"TEXT", "LETTERING", panel.RoleLettering, 1},
		{"LINE", "NOTES", "", 3}, {"RECT", "OUTLINE", panel.RoleOutline, 1}, {"LINE", "TITLE", "", 3}, {"RECT", "TITLE", "", 1}}, rep.Counts)
	ends := []dxf.XY{}
	for _, e := range rep.Open {
		ends = append(ends, e.At)
	}
	require.ElementsMatch(t, []dxf.XY{{X: 60, Y: 20}, {X: 80, Y: 30}}, ends,
		"both ends of the corner; a straight line by itself is no shape that is open, nor are lettering and a title block")
	require.Equal(t, []Left{{"2 open lines", "NOTES", "within the panel"}, {"2 open lines and 1 closed line", "TITLE", "outside every panel"}}, rep.Left)
	require.Len(t, rep.Texts, 1)
	require.Len(t, rep.Panels, 1)
}

// TestSymbols: lines of the lettering, closed and open, are lines, and a fork stays two of them.
func TestSymbols(t *testing.T) {
	d := drawn(t, `
		OUTLINE rect 0 0 120 80
		LED circle 30 60 3
		LETTERING circle 50 50 8
		LETTERING line 10 10 20 10
		LETTERING line 20 10 30 15
		LETTERING line 60 10 70 10
		LETTERING line 70 10 80 15
		LETTERING line 70 10 80 5`)
	ps, l := Panels(t.Context(), d, Options{})
	paneltest.Subjects(t, l)
	require.Empty(t, l)
	closed, open := 0, 0
	for _, s := range ps[0].Symbols {
		if s.Closed {
			closed++
			require.InDelta(t, 50.27, s.Shape.Area(), 0.01) // π·4²
		} else {
			open++
		}
	}
	require.Equal(t, 1, closed)
	require.Equal(t, 4, open, "one chain of two lines, and three that meet at a point")
}

// TestSame: the same drawing gives the same panels and findings, to the last bit.
func TestSame(t *testing.T) {
	d := drawn(t, `
		OUTLINE rect 0 0 120 80
		OUTLINE rect 200 0 300 80
		LED circle 30 60 3
		LED circle 31 60 3
		NOTES line 0 0 5 5
		0 line 0 0 5 5
		LED circle 230 60 3`)
	ps, l := Panels(t.Context(), d, Options{})
	paneltest.Subjects(t, l)
	for range 20 {
		qs, m := Panels(t.Context(), d, Options{})
		require.Equal(t, ps, qs)
		require.Equal(t, l, m)
	}
}
