package shape_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/shape"
	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/paneltest"
)

func yielding(p panel.Panel, firm ...string) (board.Board, diag.List) {
	r := board.UsualRules()
	return shape.Derive(p, led.Wiring{}, r, board.FloorsOf(r, func(l string) bool { return slices.Contains(firm, l) }), board.UsualLaminate())
}

// A lamp of 3 mm beside a body wants 0.9 mm for its pads along it, 0.5 mm to the board's edge and 1 mm from there: 2.4 mm. Its
// flange takes 1.9 mm.
func TestGivesWay(t *testing.T) {
	desk := func(change func(*panel.Panel)) panel.Panel {
		p := panel.Panel{Name: "vents", Outline: rect(0, 0, 100, 60), Bodies: []geom.Contour{rect(40, 15, 60, 45)},
			LEDs:   []panel.Hole{{At: geom.PtMM(15, 30), D: geom.MM(3)}, {At: geom.PtMM(85, 30), D: geom.MM(3)}},
			Mounts: []panel.Hole{{At: geom.PtMM(8, 8), D: geom.MM(3.2)}, {At: geom.PtMM(92, 52), D: geom.MM(3.2)}}}
		change(&p)
		return p
	}
	led0 := func(x, y float64) panel.Panel { return desk(func(p *panel.Panel) { p.LEDs[0].At = geom.PtMM(x, y) }) }
	for _, c := range []struct {
		what  string
		panel panel.Panel
		firm  string
		want  string // codes
		text  string // of the first
	}{
		{"room enough", led0(37.59, 30), "", "", ""},
		{"0.02 mm too near a body", led0(37.62, 30), "", "warning shape-gave-way", "the board comes as near as 0.86 mm to a body, as an LED stands there: 1 mm is usual"},
		{"nearer", led0(37.95, 30), "", "warning shape-gave-way", "as near as 0.58 mm to a body"},
		{"a limit that is told is kept", led0(37.62, 30), "board_to_body copper_to_edge", "error shape-led-edge", "an LED is too near a body for its pads: 0.02 mm are missing"},
		{"that limit alone", led0(37.62, 30), "board_to_body", "warning shape-gave-way", "pads of an LED come as near as 0.48 mm to the board's edge: 0.5 mm is usual"},
		// Its pads' holes, with rings of 0.45 mm, keep 0.8 mm from the board's edge, which does not give way.
		{"that limit as far as the pads' holes let it", led0(37.74, 30), "board_to_body", "warning shape-gave-way", "pads of an LED come as near as 0.36 mm to the board's edge"},
		{"its pads' holes too near the board's edge", led0(37.77, 30), "board_to_body", "error shape-led-edge", "an LED is too near a body for its pads: 0.17 mm are missing"},
		{"its flange would meet the body", led0(38.2, 30), "", "error shape-led-edge", "an LED is too near a body for its pads"},
		{"0.1 mm too near the panel's edge", led0(15, 2.3), "", "warning shape-gave-way", "as near as 0.86 mm to the panel's outline"},
		{"its flange would stick out of the panel", led0(15, 1.8), "", "error shape-led-edge", "too near the panel's outline"},
		{"margin told", led0(15, 2.3), "margin copper_to_edge", "error shape-led-edge", ""},
		// 1.6 + 2 + 1.9 = 5.5 from a screw's middle, 1.6 + 1.3 + 1.9 = 4.8 without a washer.
		{"a washer over an LED", led0(13, 8), "", "warning shape-gave-way", "1.5 mm are kept free round this mount hole, room for a screw's head without a washer"},
		{"a screw's head over it", led0(12.2, 8), "", "warning shape-gave-way", "0.7 mm are kept free round this mount hole, no room for a screw's head"},
		{"in the screw's hole", led0(11, 8), "", "error shape-led-mount", ""},
		{"screw room told", led0(13, 8), "screw_room", "error shape-led-mount", ""},
	} {
		t.Run(c.what, func(t *testing.T) {
			b, l := yielding(c.panel, strings.Fields(c.firm)...)
			require.Equal(t, c.want, codes(l), "%v", l)
			paneltest.Subjects(t, l)
			if len(l) > 0 {
				require.Contains(t, l[0].Text, c.text)
				at := c.panel.LEDs[0].At
				if strings.Contains(l[0].Text, "this mount hole") {
					at = c.panel.Mounts[0].At
					require.Equal(t, c.panel.LEDs[0].At.X.MM(), l[0].Related[0].Place.At.X, "and for which LED")
				}
				require.Equal(t, at, geom.PtMM(l[0].Place.At.X, l[0].Place.At.Y), "the place is told")
			}
			if l.HasErrors() {
				require.Contains(t, l[0].Advice, "by ", "%v", l)
				require.Empty(t, b.Less)
				return
			}
			require.Equal(t, board.UsualRules(), b.Rules, "all else keeps the limits")
			// Only beside the LED does the board come nearer, and never nearer than the floor.
			body, far, near := c.panel.Bodies[0].Ring(geom.FlattenTolerance), 1e9, 1e9
			for _, r := range b.Material().Rings() {
				for _, q := range r {
					if d := body.DistTo(q); q.X > geom.MM(50) {
						far = min(far, d)
					} else {
						near = min(near, d)
					}
				}
			}
			require.InDelta(t, 1e6, far, 2e4)
			require.GreaterOrEqual(t, near, 0.3e6-1e4)
		})
	}
}

// Copper that comes nearer to the edge is told, also where the LED would not be on the board otherwise: here the way past a body is
// narrower than a board may be, until margin and copper both give way.
func TestCopperThatGaveWayIsTold(t *testing.T) {
	p := panel.Panel{Name: "vents", Outline: rect(0, 0, 100, 60), Bodies: []geom.Contour{rect(47, 4.3, 53, 40)},
		LEDs:   []panel.Hole{{At: geom.PtMM(50, 1.93), D: geom.MM(3)}, {At: geom.PtMM(85, 30), D: geom.MM(3)}},
		Mounts: []panel.Hole{{At: geom.PtMM(92, 52), D: geom.MM(3.2)}}}
	_, l := yielding(p, "board_to_body", "margin", "copper_to_edge")
	require.True(t, slices.ContainsFunc(l, func(f diag.Finding) bool { return f.Code == "shape-led-outside" }), "%v", l)
	b, l := yielding(p, "board_to_body")
	require.False(t, l.HasErrors(), "%v", l)
	require.Len(t, b.Less, 1)
	require.Equal(t, p.LEDs[0].At, b.Less[0].At)
	require.GreaterOrEqual(t, b.Less[0].Left, geom.MM(0.3))
	i := slices.IndexFunc(l, func(f diag.Finding) bool {
		return strings.HasPrefix(f.Text, "pads of an LED come as near as 0.")
	})
	require.GreaterOrEqual(t, i, 0, "%v", l)
	require.Equal(t, p.LEDs[0].At, geom.PtMM(l[i].Place.At.X, l[i].Place.At.Y))
}

// A move that is advised is one that helps: with it, the board takes the LED.
func TestMovesHelp(t *testing.T) {
	p := panel.Panel{Name: "vents", Outline: rect(0, 0, 100, 60), Bodies: []geom.Contour{rect(40, 15, 60, 45)},
		LEDs: []panel.Hole{{At: geom.PtMM(38.2, 30), D: geom.MM(3)}, {At: geom.PtMM(85, 30), D: geom.MM(3)}}}
	_, l := shape.Derive(p, led.Wiring{}, board.UsualRules(), board.FloorsOf(board.UsualRules(), nil), board.UsualLaminate())
	i := slices.IndexFunc(l, func(f diag.Finding) bool { return f.Code == "shape-led-edge" })
	require.Equal(t, "move it by 0.60 mm to the left", l[i].Advice)
	p.LEDs[0].At = geom.PtMM(37.6, 30)
	_, l = shape.Derive(p, led.Wiring{}, board.UsualRules(), board.FloorsOf(board.UsualRules(), nil), board.UsualLaminate())
	require.False(t, l.HasErrors(), "%v", l)
}

// Courtyards of LEDs give way down to where the flanges of 3.8 mm touch, which is told with what is left; never where nothing may.
func TestCourtyardsGiveWay(t *testing.T) {
	r := board.UsualRules()
	derive := func(x float64, firm func(string) bool) diag.List {
		p := panel.Panel{Name: "vents", Outline: rect(0, 0, 100, 60), LEDs: []panel.Hole{lamp(20, 50), lamp(80, 50), lamp(x, 50)}, Mounts: []panel.Hole{screw(6, 6)}}
		_, l := shape.Derive(p, led.Wiring{}, r, board.FloorsOf(r, firm), board.UsualLaminate())
		return l
	}
	none := func(string) bool { return false }
	l := derive(24.1, none)
	require.Equal(t, "warning shape-gave-way", codes(l), "%v", l)
	require.Contains(t, l[0].Text, "two LEDs stand 0.30 mm from flange to flange: 0.40 mm is usual")
	require.Equal(t, 24.1, l[0].Place.At.X)
	require.Equal(t, "warning shape-gave-way", codes(derive(23.81, none)))
	require.Equal(t, "error shape-led-led", codes(derive(23.79, none)), "the flanges touch")
	require.Equal(t, "error shape-led-led", codes(derive(24.1, nil)))
	require.Empty(t, derive(24.21, none))
}

// Limits give way at the place that needs it alone, and what two of them leave an LED adds up: here one between a body and a screw,
// each too near by itself, beside a screw with room enough.
func TestLessInOnePlace(t *testing.T) {
	p := panel.Panel{Name: "vents", Outline: rect(0, 0, 100, 60), Bodies: []geom.Contour{rect(40, 15, 60, 45)},
		LEDs:   []panel.Hole{{At: geom.PtMM(37.8, 30), D: geom.MM(3)}, {At: geom.PtMM(85, 30), D: geom.MM(3)}},
		Mounts: []panel.Hole{{At: geom.PtMM(32.6, 30), D: geom.MM(3.2)}, {At: geom.PtMM(92, 52), D: geom.MM(3.2)}}}
	b, l := yielding(p)
	require.Equal(t, "warning shape-gave-way, warning shape-gave-way", codes(l), "%v", l)
	// 37.8 - 32.6 is 5.2 mm, of which the hole takes 1.6 and the flange 1.9.
	require.Equal(t, []board.Less{{At: p.Mounts[0].At, Limit: board.ScrewRoom, Left: geom.MM(1.7)}}, b.Less)
	require.Equal(t, geom.MM(1.7), b.ScrewClear(b.Holes[0]))
	require.Equal(t, geom.MM(2), b.ScrewClear(b.Holes[1]))
	require.Equal(t, board.UsualRules(), b.Rules)

	for _, firm := range []string{"screw_room", "board_to_body copper_to_edge"} {
		_, l = yielding(p, strings.Fields(firm)...)
		require.Contains(t, codes(l), "error", firm)
	}

	// So near that it stands off the board and under the screw's head at once.
	p.LEDs[0].At, p.Mounts[0].At = geom.PtMM(38.05, 30), geom.PtMM(33.5, 30)
	b, l = yielding(p)
	require.False(t, l.HasErrors(), "%v", l)
	require.Len(t, b.Less, 1)
}
