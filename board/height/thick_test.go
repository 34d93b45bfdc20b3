package height_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board/height"
	"lampblack/panel"
	"lampblack/panel/control"
	"lampblack/panel/geom"
	"lampblack/panel/material"
	"lampblack/panel/paneltest"
	"lampblack/panel/seat"
)

// cast are three sheets of 3 mm, each within 0.7 (ISO 7823-1 as the project's list of published check values has it, section 22).
func cast() material.Sheets {
	one := material.Bought(material.Cast, mm(3))
	return material.Sheets{Face: one, Diffuser: one, LED: one}
}

// Behind cast sheets the board's back lies at 18.6 ± √(3 · 0.7² + 0.1² + 0.16²) = ± 1.227 mm: a connector of 8.8 fits a case of 27.4 as the
// sheets are called, and surely from 28.63 on. In between that hangs on the sheets: 0.9 to spare let them be 9.9 together. What is
// measured is no longer in doubt, and what does not fit as called is no matter of their range.
func TestSheetsThatComeOutThick(t *testing.T) {
	thick := cast()
	some := thick
	some.Face.Measured, some.Face.Range, some.LED.Measured, some.LED.Range = true, material.Measured(mm(3)), true, material.Measured(mm(3))
	none := some
	none.Diffuser.Measured, none.Diffuser.Range = true, material.Measured(mm(3))
	for _, c := range []struct {
		what   string
		depth  float64
		thick  material.Sheets
		want   []string
		advice string
	}{
		{"ample", 28.7, thick, []string{}, ""},
		{"too shallow where they come out thick", 28.3, thick, []string{"warning height-thick"}, "measure the face, diffuser and LED sheet: it fits while they are together no thicker than 9.9 mm, sold as 9 mm"},
		{"just deep enough as called", 27.4, thick, []string{"warning height-thick"}, "no thicker than 9 mm"},
		{"too shallow as called", 27.3, thick, []string{"warning height-tall"}, ""},
		{"far too shallow", 26, thick, []string{"error height-too-tall"}, ""},
		{"two are measured", 27.8, some, []string{"warning height-thick"}, "measure the diffuser: it fits while it is no thicker than 3.4 mm, sold as 3 mm; write what you measure, stack: {measured: {diffuser: ...}}"},
		{"two are measured, and there is room", 28.3, some, []string{}, ""},
		{"all are measured", 27.41, none, []string{}, ""},
	} {
		in := built(put(t, "J1", "terminal-3.5", 20, 10))
		in.Stack.Thick = c.thick
		l := in.Behind(height.Told{Depth: mm(c.depth)})
		require.Equal(t, c.want, codes(l), c.what)
		if c.advice != "" {
			require.Contains(t, l[0].Advice, c.advice, c.what)
			paneltest.Subjects(t, l)
		}
	}
	in := built(put(t, "J1", "terminal-3.5", 20, 10))
	in.Stack.Thick = thick
	require.Empty(t, in.Behind(height.Told{Behind: mm(8.8)}), "room behind the board is told as it is, whatever lies before")
}

// A control that clamps the face from behind reaches as far as the face is thick: a case as deep as it reaches with one of 3 mm is too
// shallow for one of 3.7, and nothing before it but the face counts. What clips on behind its own flange stays where it is.
func TestControlsInThickSheets(t *testing.T) {
	for name, want := range map[string]int{"toggle-m12": 1, "push-16mm": 0} {
		k, ok := control.Find(name)
		require.True(t, ok)
		in := built()
		in.Stack.Thick = cast()
		in.Panel.Openings = []panel.Opening{{Contour: geom.Circle(geom.PtMM(40, 30), max(k.Hole.W, k.Hole.H))}}
		in.Panel = seat.In(in.Panel, []seat.Told{{Set: true, Kind: k, Clamps: panel.ClampsFace}}, seat.Wish{Stack: seat.Stack{Face: mm(3), Diffuser: mm(3), Gap: mm(8), LED: mm(3)}})
		require.Len(t, in.Panel.Controls, 1)
		far := geom.Nm(0)
		for _, q := range seat.Pieces(in.Panel, in.Panel.Controls[0]) {
			far = max(far, q.To)
		}
		l := in.Judge(height.Told{Depth: far + mm(0.6)})
		require.Len(t, l, want, "%s: %v", name, codes(l))
		require.Empty(t, in.Judge(height.Told{Depth: far + mm(0.8)}), name)
		if want > 0 {
			require.Equal(t, "height-thick", l[0].Code)
			require.Contains(t, l[0].Advice, "measure the face: it fits while it is no thicker than 3.6 mm")
			paneltest.Subjects(t, l)
		}
	}
}

// A spacer sheet of 3 mm may come out 2.3: a chip LED of 2.5 under a hole that does not take it in is told, pins of 2.6 get their hole
// though they fit as the sheet is called. Turned spacers are as long as they are called.
func TestSpacerSheetThatComesOutThin(t *testing.T) {
	chip := put(t, "D1", "led-0805", 50, 30)
	chip.Height = mm(2.5)
	in := built(chip, put(t, "J1", "terminal-3.5", 20, 10))
	in.Panel.LEDs[0].D = mm(2)
	in.Kinds = height.Kinds{{Name: "terminal-3.5", Pins: mm(4.2)}}
	in.Stack.Told = mm(3)
	reliefs, _ := in.Reliefs()
	require.Empty(t, reliefs)
	require.Empty(t, in.Judge(height.Told{}))
	in.Stack.Drilled = true
	reliefs, l := in.Reliefs()
	require.NotEmpty(t, reliefs)
	require.Equal(t, []string{"note height-relief"}, codes(l))
	l = in.Judge(height.Told{})
	require.Equal(t, []string{"warning height-thin"}, codes(l))
	require.Contains(t, l[0].Advice, "measure the spacer sheet: 2.5 mm or more is wanted")
	paneltest.Subjects(t, l)
}
