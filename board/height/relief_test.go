package height_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board/fasten"
	"lampblack/board/height"
	"lampblack/panel"
	"lampblack/panel/control"
	"lampblack/panel/geom"
	"lampblack/panel/paneltest"
	"lampblack/panel/seat"
)

// Behind chip LEDs the board lies on the LED sheet: that is cut for the pins of a block, in one slot over both, since 0.3 mm of sheet
// between holes of 3.2 would break; not for chip resistors.
func TestReliefs(t *testing.T) {
	in := built(put(t, "D1", "led-0805", 50, 30), put(t, "J1", "terminal-3.5", 20, 10), put(t, "R1", "r-1206", 70, 30))
	got, l := in.Reliefs()
	require.Equal(t, []string{"note height-relief"}, codes(l))
	paneltest.Subjects(t, l)
	require.Len(t, got, 1)
	require.Equal(t, "J1", got[0].Of)
	require.True(t, got[0].LED)
	require.False(t, got[0].Plate)
	b := got[0].Shape.Box()
	// Pins 3.5 apart, pads of 2.2 and 3.0 at the oblong one, 0.5 round each.
	require.InDelta(t, 3.5+4.0/2+3.2/2, b.W().MM(), 0.01)
	require.InDelta(t, 4, b.H().MM(), 0.01)
	for _, pad := range in.Boards[0].Parts[1].Pads {
		require.Equal(t, geom.Inside, got[0].Shape.Ring(geom.FlattenTolerance).Locate(pad.At))
	}

	in.Stack.Told = mm(2) // as far as the pins stand out
	got, l = in.Reliefs()
	require.Empty(t, got)
	require.Empty(t, l)
	in.Stack.Told = mm(1.99)
	got, _ = in.Reliefs()
	require.Len(t, got, 1)
}

// Wires that are threaded through the board lie 2.5 mm high on the LED side, from the hole to the pad.
func TestReliefOfWires(t *testing.T) {
	in := built(put(t, "D1", "led-0805", 50, 30), put(t, "J1", "wire-pads", 20, 10))
	in.Stack.Told = mm(2.4)
	got, l := in.Reliefs()
	require.Equal(t, []string{"note height-relief"}, codes(l))
	require.Len(t, got, 1, "one for both wires, 3 mm apart")
	require.Equal(t, geom.Inside, got[0].Shape.Ring(geom.FlattenTolerance).Locate(geom.PtMM(20-1.5, 10-2.9)), "the hole that the wire goes through")
	in.Stack.Told = mm(2.5)
	got, _ = in.Reliefs()
	require.Empty(t, got)
}

// A plate in front of the board is cut, and the LED sheet only for what reaches through it.
func TestReliefOfPlate(t *testing.T) {
	for _, c := range []struct {
		plate, told float64
		led         bool
	}{{1.5, 2.5, false}, {0.5, 1.5, true}} {
		in := built(put(t, "D1", "led-0805", 50, 30), put(t, "J1", "terminal-3.5", 20, 10))
		in.Stack.Plate, in.Stack.Told = mm(c.plate), mm(c.told) // 1 mm is free before the plate, and the pins are 2 long
		got, _ := in.Reliefs()
		require.Len(t, got, 1)
		require.True(t, got[0].Plate)
		require.Equal(t, c.led, got[0].LED && c.plate < 1, "%v", c)
	}
}

// Where a hole would do harm the sheet stays whole, and it is told why and what to do.
func TestSheetsThatStayWhole(t *testing.T) {
	for what, harm := range map[string]func(*height.In){
		"an LED's hole is there, which holds the LED": func(in *height.In) {
			in.Panel.LEDs = append(in.Panel.LEDs, panel.Hole{At: geom.PtMM(20, 14), D: mm(3)}) // the slot reaches to 11.6, the hole begins at 12.5
		},
		"a screw's spacer stands there": func(in *height.In) {
			in.Mounts = []fasten.Mount{{At: geom.PtMM(20, 5.3), D: mm(3.2), Thread: "M3", Screw: mm(30)}} // a spacer of 5.5 reaches to 8.05, and the slot begins at 8.4
		},
		"too little of the sheet would be left beside an opening": func(in *height.In) {
			in.Panel.Openings = []panel.Opening{{Contour: rect(10, 12.9, 30, 20)}}
		},
		"too little of the sheet would be left to its edge": func(in *height.In) { in.Panel.Outline = rect(0, 7.5, 100, 60) },
		"a toggle-m12 is clamped there": func(in *height.In) {
			k, ok := control.Find("toggle-m12")
			require.True(t, ok)
			in.Panel.Openings = []panel.Opening{{Contour: geom.Circle(geom.PtMM(20, 20), mm(12.2))}}
			s := seat.Stack{Face: mm(3), Diffuser: mm(3), Gap: mm(8), LED: mm(3)}
			in.Panel = seat.In(in.Panel, []seat.Told{{Set: true, Kind: k, Clamps: panel.ClampsLEDSheet}}, seat.Wish{Stack: s})
		},
	} {
		in := built(put(t, "D1", "led-0805", 50, 30), put(t, "J1", "terminal-3.5", 20, 10))
		harm(&in)
		got, l := in.Reliefs()
		require.Empty(t, got, what)
		require.Equal(t, []string{"warning height-under-sheet"}, codes(l), what)
		require.Contains(t, l[0].Text, what)
		require.Contains(t, l[0].Advice, "2 mm behind the LED sheet")
		paneltest.Subjects(t, l)
	}
}
