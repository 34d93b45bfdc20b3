package read

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/paneltest"
)

const plate = `
	OUTLINE rect 0 0 120 70
	OPENING circle 60 35 7.2
	LED circle 75 35 3
	LED circle 20 50 3
	LETTERING text 14 50 4 FOCUS
`

func windowed(t *testing.T, more string, opt Options) (panel.Panel, diag.List) {
	t.Helper()
	ps, l := Panels(t.Context(), drawn(t, plate+more), opt)
	paneltest.Subjects(t, l)
	require.Len(t, ps, 1)
	return ps[0], l
}

// area is that of each window, mm².
func area(p panel.Panel) []float64 {
	var out []float64
	for _, i := range p.Windows() {
		out = append(out, p.Symbols[i].Area().Area())
	}
	return out
}

func disc(d float64) float64 { return math.Pi / 4 * d * d }

// A ring is two lines, or one line round an opening, which is no part of it; nothing of it is cut.
func TestWindows(t *testing.T) {
	for _, c := range []struct {
		draw string
		want []float64
		leds []bool
	}{
		{"WINDOW circle 60 35 34\nWINDOW circle 60 35 28", []float64{disc(34) - disc(28)}, []bool{true, false}},
		{"WINDOW circle 60 35 26", []float64{disc(26) - disc(7.2)}, []bool{true, false}},
		{"window rect 10 20 20 25", []float64{50}, []bool{false, false}},
		{"WINDOW circle 60 35 34\nWINDOW circle 60 35 28\nWINDOW circle 60 35 20", []float64{disc(34) - disc(28), disc(20) - disc(7.2)}, []bool{true, false}},
		{"WINDOW circle 20 50 5", []float64{disc(5)}, []bool{false, true}},
	} {
		p, l := windowed(t, c.draw, Options{})
		require.Empty(t, codes(l), c.draw)
		require.Len(t, p.Openings, 1, c.draw)
		require.InDeltaSlice(t, c.want, area(p), 0.5, c.draw)
		require.Equal(t, c.leds, []bool{p.LEDs[0].Window, p.LEDs[1].Window}, c.draw)
	}
	p, _ := windowed(t, "", Options{})
	require.False(t, p.LEDs[0].Window || p.LEDs[1].Window)
}

// To many a window is an opening. A large one with nothing in it and no LED behind is a question, whatever the layer is called, until
// the project answers; smaller ones, rings and lit ones are none.
func TestLargeWindowsAreAsked(t *testing.T) {
	const display = "WINDOW rect 10 5 40 19"
	p, l := windowed(t, display, Options{})
	require.Equal(t, []string{"warning panel-question"}, codes(l))
	require.Len(t, p.Windows(), 1)
	for i := range l {
		if q := l[i].Question; q != nil {
			require.Equal(t, "window", q.Assumed)
			require.Equal(t, []string{"roles: {window: shapes 30 x 14 mm on layer WINDOW}", "roles: {opening: shapes 30 x 14 mm on layer WINDOW}"}, []string{q.Choices[0].YAML(), q.Choices[1].YAML()})
		}
	}
	for _, c := range []struct {
		rule     string
		windows  int
		openings int
	}{{"window: shapes 30 x 14 mm on layer WINDOW; lettering: layer LETTERING", 1, 1}, {"opening: shapes 30 x 14 mm on layer WINDOW; lettering: layer LETTERING", 0, 2}} {
		p, l := windowed(t, display, Options{Rules: rulesOf(t, c.rule)})
		require.Empty(t, codes(l), c.rule)
		require.Equal(t, [2]int{c.windows, c.openings}, [2]int{len(p.Windows()), len(p.Openings)}, c.rule)
	}
	_, l = windowed(t, strings.ReplaceAll(display, "WINDOW", "LIT"), Options{Layers: map[panel.Role]string{panel.RoleWindow: "LIT"}})
	require.Empty(t, codes(l), "the project names the layer")
	_, l = windowed(t, display+"\nLED circle 25 12 3", Options{})
	require.Empty(t, codes(l))
	_, l = windowed(t, "WINDOW rect 10 5 40 18", Options{})
	require.Empty(t, codes(l), "13 mm are too narrow for a display")
}

// Only words that say so make windows of what lies on other layers; a layer that is named for windows alone is one of openings, as
// ever, and what is asked anyway may be a window too.
func TestWindowsByEvidence(t *testing.T) {
	free := func(layer string) string {
		return "0 rect 0 0 120 70\n0 circle 6 6 3.2\n0 circle 114 6 3.2\n0 circle 6 64 3.2\n0 circle 114 64 3.2\n0 circle 60 35 7.2\n" + layer + " circle 30 35 12\n" + layer + " rect 80 30 95 36"
	}
	for layer, want := range map[string][2]int{"BACKLIT": {2, 1}, "Leuchtring": {2, 1}, "0": {0, 3}, "display-windows": {0, 3}, "FENSTER": {0, 3}} {
		ps, _ := Panels(t.Context(), drawn(t, free(layer)), Options{})
		require.Equal(t, want, [2]int{len(ps[0].Windows()), len(ps[0].Openings)}, layer)
	}
	asked := 0
	_, l := Panels(t.Context(), drawn(t, "0 rect 0 0 120 70\nODD rect 40 20 80 50\n0 circle 52 35 3.2\n0 circle 68 35 3.2"), Options{})
	for _, f := range l {
		if f.Question == nil || len(f.Question.Choices) < 3 {
			continue
		}
		asked++
		require.Equal(t, "window", f.Question.Choices[2].Role)
		require.Contains(t, f.Advice, "if light is to come through without a hole")
	}
	require.Equal(t, 1, asked, "%v", l)
}

// A filling on the layer is a window as its edge is; texts there are told as anywhere, and open lines are an error.
func TestWhatIsNoWindow(t *testing.T) {
	d := drawn(t, plate+"WINDOW line 10 10 30 10")
	_, l := Panels(t.Context(), d, Options{})
	require.Equal(t, []string{"error dxf-open-shape"}, codes(l))
	d = drawn(t, plate+"WINDOW rect 10 10 20 14")
	d.Entities[len(d.Entities)-1].Fill = true
	d.Entities[len(d.Entities)-1].Type = "HATCH"
	ps, l := Panels(t.Context(), d, Options{})
	require.Empty(t, codes(l))
	require.Len(t, ps[0].Windows(), 1)
	_, l = windowed(t, "WINDOW rect 110 30 130 36", Options{})
	require.Contains(t, codes(l), "warning panel-window-edge")
}

// A rule takes filled areas as windows: what is filled, with what lies unfilled within; lines beside it stay what they are.
func TestFillsAreWindows(t *testing.T) {
	for _, rules := range []string{"window: fills", "window: fills on layer MARKS"} {
		d := drawn(t, plate+"MARKS circle 60 35 34\nMARKS circle 60 35 28\nMARKS rect 10 20 20 25\nMARKS rect 90 20 100 25")
		n := len(d.Entities)
		for k := range 3 {
			d.Entities[n-4+k].Fill = true
		}
		ps, l := Panels(t.Context(), d, Options{Rules: rulesOf(t, rules)})
		require.NoError(t, l.Err())
		require.Len(t, ps, 1)
		require.InDeltaSlice(t, []float64{disc(34) - disc(28), 50}, area(ps[0]), 0.5, "%s: %v", rules, l)
		require.Len(t, ps[0].Openings, 1)
		require.NotContains(t, codes(l), "note panel-fill", rules)
		require.True(t, ps[0].LEDs[0].Window, "it stands next to the ring")
	}
}
