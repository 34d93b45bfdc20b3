package read

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/paneltest"
	"lampblack/panel/role"
)

// rules reads roles as a project file has them, "role: rule" each.
func rules(t *testing.T, list ...string) []Rule {
	t.Helper()
	var out []Rule
	for i := 0; i < len(list); i += 2 {
		r, err := ParseRule(panel.Role(list[i]), list[i+1])
		require.NoError(t, err)
		out = append(out, r)
	}
	return out
}

func TestParseRule(t *testing.T) {
	for s, want := range map[string]Rule{
		"layer CUTOUTS":                  {Kind: ByLayer, Layer: "CUTOUTS"},
		"Layer  drill holes ":            {Kind: ByLayer, Layer: "drill holes"},
		"circles":                        {Kind: CircleRule},
		"circles 3.0 mm":                 {Kind: CircleRule, Min: geom.MM(3), Max: geom.MM(3)},
		"circle 3":                       {Kind: CircleRule, Min: geom.MM(3), Max: geom.MM(3)},
		"circles 3 mm .. 3.2 mm":         {Kind: CircleRule, Min: geom.MM(3), Max: geom.MM(3.2)},
		"circles 3 to 3.2 mm":            {Kind: CircleRule, Min: geom.MM(3), Max: geom.MM(3.2)},
		"circles 3-3.2mm":                {Kind: CircleRule, Min: geom.MM(3), Max: geom.MM(3.2)},
		"shapes 20 TO 22 x 10–12 mm":     {Kind: ShapeRule, W: geom.MM(20), W2: geom.MM(22), H: geom.MM(10), H2: geom.MM(12)},
		"circles 0.125 in":               {Kind: CircleRule, Min: geom.MM(3.175), Max: geom.MM(3.175)},
		"circles 3.2mm on layer DRILL 1": {Kind: CircleRule, Min: geom.MM(3.2), Max: geom.MM(3.2), Layer: "DRILL 1"},
		"shapes 20 x 10 mm":              {Kind: ShapeRule, W: geom.MM(20), W2: geom.MM(20), H: geom.MM(10), H2: geom.MM(10)},
		"shapes 1 × 2 inch on layer A":   {Kind: ShapeRule, W: geom.MM(25.4), W2: geom.MM(25.4), H: geom.MM(50.8), H2: geom.MM(50.8), Layer: "A"},
		"rest":                           {Kind: RestRule},
		"circles 3.2 mm in corners":      {Kind: CircleRule, Min: geom.MM(3.2), Max: geom.MM(3.2), Places: role.InCorners},
		"circles in the corners":         {Kind: CircleRule, Places: role.InCorners},
		"shapes 1 .. 8 x 2 .. 6 mm near the edge in color red on layer A": {Kind: ShapeRule, W: geom.MM(1), W2: geom.MM(8), H: geom.MM(2), H2: geom.MM(6),
			Places: role.NearEdge, Colour: 1, Layer: "A"},
		"letters in block TITLE":                      {Kind: LetterRule, Block: "TITLE"},
		"circles near 120, -4.5 mm":                   {Kind: CircleRule, Near: dxf.XY{X: 120, Y: -4.5}, AtNear: true},
		"circles inside shapes 20 x 13 mm":            {Kind: CircleRule, In: Within{geom.MM(20), geom.MM(13)}},
		"shapes round others in colour #00FF80":       {Kind: ShapeRule, Places: role.RoundOthers, Colour: dxf.TrueColour | 0xff80},
		`circles on layer "near the edge" in corners`: {Kind: CircleRule, Layer: "near the edge", Places: role.InCorners},
		"circles 3 mm on layer in corners":            {Kind: CircleRule, Min: geom.MM(3), Max: geom.MM(3), Layer: "in corners"},
		"rest on layer INTERIOR_PROFILES ":            {Kind: RestRule, Layer: "INTERIOR_PROFILES"},
	} {
		got, err := ParseRule(panel.RoleOpening, s)
		require.NoError(t, err, s)
		want.Role = panel.RoleOpening
		require.Equal(t, want, got, s)
		again, err := ParseRule(panel.RoleOpening, got.String())
		require.NoError(t, err)
		require.Equal(t, got, again)
	}
	for _, s := range []string{"", "holes 3 mm", "layer", "circles big", "circles -3", "circles 4 .. 3", "shapes 20", "rest 3", "circles 3 on layer", "largest", "texts", "circles 1e9", "circles in colour mauve", "circles near home", "shapes inside house", "lines in corners", "circles in corners twice", "circles in block"} {
		_, err := ParseRule(panel.RoleOpening, s)
		require.Error(t, err, s)
	}
}

// TestRules: the block that the issue shows, on a drawing of one layer but for the cutouts.
func TestRules(t *testing.T) {
	d := drawn(t, `
		0 rect 0 0 120 80
		0 circle 6 6 3.2
		0 circle 114 74 3.2
		0 circle 60 40 3.2
		0 circle 30 60 3.0
		0 circle 60 60 3.03
		CUTOUTS rect 20 20 40 40
		CUTOUTS circle 80 30 3.0
		0 text 50 65 4 DOME`)
	ps, l := Panels(t.Context(), d, Options{Rules: rules(t, "led", "circles 3.0 mm", "mount", "circles 3.2 mm", "opening", "layer CUTOUTS", "outline", "largest", "lettering", "texts")})
	paneltest.Subjects(t, l)
	require.Empty(t, codes(l))
	require.Len(t, ps, 1)
	require.Len(t, ps[0].LEDs, 2)
	require.Len(t, ps[0].Mounts, 3, "the one amid the panel too: the project says so")
	require.Len(t, ps[0].Openings, 2, "a layer's circle of an LED's size is an opening where the layer says so")
	require.Len(t, ps[0].Lettering, 1)

	// Both: shape on a layer. What the rule leaves there has no role, and that is told.
	_, l = Panels(t.Context(), d, Options{Rules: rules(t, "outline", "largest", "led", "circles 3 mm on layer CUTOUTS", "lettering", "texts")})
	paneltest.Subjects(t, l)
	require.Equal(t, []string{"warning panel-no-role", "note panel-guess", "note panel-guess", "warning panel-question", "note panel-guess"}, codes(l))
	require.NotContains(t, l[0].Text, "2 circles of 3.015 mm", "which is asked")
	require.Contains(t, l[3].Text, "2 circles of 3.015 mm")
	require.Contains(t, l[0].Text, "3 circles of 3.2 mm")
	require.Contains(t, l[0].Text, "1 other closed line")
	rep, l := Survey(t.Context(), d, Options{Rules: rules(t, "outline", "largest", "led", "circles 3 mm", "opening", "rest", "lettering", "texts")})
	require.Empty(t, codes(l))
	require.True(t, rep.Ruled)
	require.False(t, rep.Guessed)
	require.Len(t, rep.Panels[0].LEDs, 3)
	require.Len(t, rep.Panels[0].Openings, 4)
	require.Len(t, rep.Loops, 8)
	for _, x := range rep.Loops {
		require.NotEmpty(t, x.Role)
	}
}

// TestRulesTold: whatever is unclear in rules is told, never decided in silence.
func TestRulesTold(t *testing.T) {
	d := drawn(t, `
		0 rect 0 0 120 80
		0 circle 30 60 3.0
		0 circle 60 60 3.1
		0 rect 20 20 40 40
		0 line 5 5 15 5
		0 text 50 65 4 DOME`)
	for _, c := range []struct {
		rules []string
		want  []string
	}{
		{[]string{"outline", "largest", "led", "circles 3 .. 3.2 mm", "mount", "circles 3.1 mm", "opening", "shapes", "ignore", "lines", "lettering", "texts"},
			[]string{"warning panel-rule-clash", "warning panel-rule-empty"}},
		{[]string{"outline", "largest", "led", "circles", "mount", "circles 9 mm", "opening", "shapes", "ignore", "lines", "lettering", "texts"},
			[]string{"warning panel-rule-empty"}},
		{[]string{"led", "circles", "opening", "shapes 20 x 20 mm", "ignore", "lines", "lettering", "texts"},
			[]string{"warning panel-outline-guessed"}},
		{[]string{"outline", "largest", "led", "circles", "opening", "shapes"},
			[]string{"note panel-guess", "warning dxf-open-line"}},
		{[]string{"outline", "shapes 50 x 50 mm", "led", "circles", "ignore", "lines", "lettering", "texts"},
			[]string{"error panel-no-outline", "warning panel-rule-empty"}},
		{[]string{"outline", "layer EDGE", "led", "circles"},
			[]string{"error panel-layer-missing", "note panel-guess", "warning dxf-open-line"}},
		{[]string{"outline", "largest", "led", "circles", "ignore", "rest", "lettering", "lines", "lettering", "texts"}, nil},
	} {
		_, l := Panels(t.Context(), d, Options{Rules: rules(t, c.rules...)})
		paneltest.Subjects(t, l)
		require.Equal(t, c.want, codes(l), "%v: %v", c.rules, l)
		for _, f := range l {
			require.NotEmpty(t, f.Advice, f.Code)
		}
	}
}

// TestRulesOnRoleLayers: on a layer that has a role, rules take what they name and the role keeps the rest.
func TestRulesOnRoleLayers(t *testing.T) {
	d := drawn(t, `
		OUTLINE rect 0 0 120 80
		LED circle 30 60 3.0
		LED circle 60 60 3.0
		LED circle 6 6 3.4`)
	ps, l := Panels(t.Context(), d, Options{Rules: rules(t, "mount", "circles 3.4 mm on layer led")})
	paneltest.Subjects(t, l)
	require.Empty(t, codes(l))
	require.Len(t, ps[0].LEDs, 2)
	require.Len(t, ps[0].Mounts, 1)
}

// TestDoubleEdges: an outline and holes drawn with both edges of a pen count once, and that is told.
func TestDoubleEdges(t *testing.T) {
	d := drawn(t, `
		0 rect 0 0 120 80
		0 rect 0.15 0.15 119.85 79.85
		0 circle 30 60 3.0
		0 circle 30 60 3.3
		0 circle 60 60 3.0
		0 circle 60 60 3.3
		0 circle 90 40 12
		0 circle 90 40 12.3`)
	ps, l := Panels(t.Context(), d, Options{})
	paneltest.Subjects(t, l)
	require.Len(t, ps, 1)
	require.Len(t, ps[0].LEDs, 2)
	require.Equal(t, geom.MM(3), ps[0].LEDs[0].D)
	require.Len(t, ps[0].Openings, 1)
	require.Contains(t, codes(l), "warning panel-double-outline")
	require.Contains(t, codes(l), "note panel-concentric")
	ps, l = Panels(t.Context(), d, Options{Rules: rules(t, "outline", "largest", "led", "circles 3 mm", "opening", "circles 12 mm")})
	paneltest.Subjects(t, l)
	require.Equal(t, []string{"note panel-concentric", "warning panel-double-outline"}, codes(l))
	require.Len(t, ps[0].LEDs, 2)
	require.Len(t, ps[0].Openings, 1)
}

// TestDrawingFrame: a frame with a title block that is larger than the panel is not the panel.
func TestDrawingFrame(t *testing.T) {
	sheet := `
		0 rect -100 -60 310 227
		0 rect 200 -60 310 -30
		0 rect 0 0 120 80
		0 circle 30 60 3.0
		0 circle 60 60 3.0
		0 text 205 -50 5 Dome shutter`
	ps, l := Panels(t.Context(), drawn(t, sheet), Options{})
	require.Len(t, ps, 1)
	require.Contains(t, codes(l), "warning panel-frame")
	require.InDelta(t, 120, ps[0].Outline.Box().W().MM(), 1e-9)
	require.Len(t, ps[0].LEDs, 2)
	// A panel with a closed line round its holes and nothing beside it is a panel, though of A4.
	ps, l = Panels(t.Context(), drawn(t, `
		0 rect 0 0 297 210
		0 rect 20 20 200 150
		0 circle 30 60 3.0`), Options{})
	require.NotContains(t, codes(l), "warning panel-frame")
	require.InDelta(t, 297, ps[0].Outline.Box().W().MM(), 1e-9)
	rep, _ := Survey(t.Context(), drawn(t, "0 rect 0 0 297 210\n0 rect 20 20 200 150\n0 circle 30 60 3.0"), Options{})
	require.Contains(t, rep.Proposal[0].Unsure, "frame")
}

// TestHoleShapes: a hole is known by its shape whatever it is drawn with, and has the diameter of the true circle.
func TestHoleShapes(t *testing.T) {
	const x, y, r = 40.0, 30.0, 1.5
	at := func(a, k float64) dxf.XY { return dxf.XY{X: x + k*r*math.Cos(a), Y: y + k*r*math.Sin(a)} }
	ring := func(n int, bulge, k float64) dxf.Path {
		p := dxf.Path{Closed: true}
		for i := range n {
			p.Vertices = append(p.Vertices, dxf.Vertex{XY: at(2*math.Pi*float64(i)/float64(n)+0.1, k), Bulge: bulge})
		}
		return p
	}
	open := func(p dxf.Path) []dxf.Path { // the same as loose edges
		var out []dxf.Path
		for _, e := range p.Edges() {
			out = append(out, dxf.Path{Vertices: []dxf.Vertex{{XY: e.From, Bulge: e.Bulge}, {XY: e.To}}})
		}
		return out
	}
	for name, paths := range map[string][]dxf.Path{
		"two bulges":       {ring(2, 1, 1)},
		"clockwise":        {ring(2, 1, 1).Reversed()},
		"three arcs":       open(ring(3, math.Tan(math.Pi/6), 1)),
		"30 chords":        {ring(30, 0, 1)},
		"60 chords":        {ring(60, 0, 1)},
		"60 loose chords":  open(ring(60, 0, 1)),
		"closed by vertex": {{Vertices: append(ring(48, 0, 1).Vertices, dxf.Vertex{XY: at(0.1, 1)})}},
		"double ring":      {ring(2, 1, 1), ring(2, 1, 1.08)},
		"twice":            {ring(2, 1, 1), ring(4, math.Tan(math.Pi/8), 1)},
		"tiny gap":         open(ring(4, math.Tan(math.Pi/8)*1.0005, 1)),
	} {
		d := drawn(t, "OUTLINE rect 0 0 120 80")
		for _, p := range paths {
			d.Entities = append(d.Entities, dxf.Entity{Type: "LWPOLYLINE", Layer: "LED", Path: p})
		}
		ps, l := Panels(t.Context(), d, Options{})
		paneltest.Subjects(t, l)
		require.False(t, l.HasErrors(), "%s: %v", name, l)
		require.Len(t, ps[0].LEDs, 1, name)
		h := ps[0].LEDs[0]
		require.InDelta(t, 3, h.D.MM(), 0.002, name)
		require.InDelta(t, x, h.At.X.MM(), 0.001, name)
		require.InDelta(t, y, h.At.Y.MM(), 0.001, name)
	}
}

// TestIslands: what is drawn within an opening is told.
func TestIslands(t *testing.T) {
	ps, l := Panels(t.Context(), drawn(t, `
		OUTLINE rect 0 0 120 80
		LED circle 10 10 3
		OPENING rect 20 20 60 60
		OPENING circle 40 40 8`), Options{})
	require.Equal(t, []string{"warning panel-island"}, codes(l))
	require.Len(t, ps[0].Openings, 1)
}

// TestFills: filled areas are lettering on that layer, even and odd, and nothing anywhere else.
func TestFills(t *testing.T) {
	d := drawn(t, `
		OUTLINE rect 0 0 120 80
		LED circle 10 10 3
		LETTERING rect 20 20 40 30
		LETTERING rect 22 22 38 28
		LETTERING rect 24 24 36 26
		OUTLINE rect 50 20 60 30`)
	for i := 2; i < len(d.Entities); i++ {
		d.Entities[i].Fill, d.Entities[i].Type = true, "HATCH"
	}
	ps, l := Panels(t.Context(), d, Options{})
	paneltest.Subjects(t, l)
	require.Equal(t, []string{"note panel-fill"}, codes(l))
	require.Empty(t, ps[0].Openings)
	require.Len(t, ps[0].Symbols, 2)
	area := 0.0
	for _, s := range ps[0].Symbols {
		area += s.Shape.Area()
		for _, h := range s.Holes {
			area -= h.Area()
		}
	}
	require.InDelta(t, 200-96+24, area, 1e-9)
}

// TestAnswersSpareOthers: whichever answer to a question is pasted into the project, what is not in question stays what it was: the
// screws in the corners, of the size of the row that may be lamps.
func TestAnswersSpareOthers(t *testing.T) {
	src := "0 rect 0 0 160 90\n0 text 20 30 4 VENT\n"
	for _, x := range []string{"5", "155"} {
		src += "0 circle " + x + " 5 3.2\n0 circle " + x + " 85 3.2\n"
	}
	for i := range 6 {
		src += fmt.Sprintf("0 circle %d 40 3.2\n", 30+20*i)
	}
	_, l := Panels(t.Context(), drawn(t, src), Options{})
	asked := 0
	for _, f := range l {
		if f.Question == nil {
			continue
		}
		asked++
		for _, c := range f.Question.Choices {
			said, ok := rulesIn(c.Says.Value.(diag.Pairs))
			require.True(t, ok)
			ps, _ := Panels(t.Context(), drawn(t, src), Options{Rules: said})
			want := map[string][2]int{"led": {6, 4}, "mount": {0, 10}}[c.Role]
			require.Equal(t, want, [2]int{len(ps[0].LEDs), len(ps[0].Mounts)}, c.YAML())
		}
	}
	require.Equal(t, 1, asked)
}
