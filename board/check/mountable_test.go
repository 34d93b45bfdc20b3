package check_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/check"
	"lampblack/board/footprint"
	"lampblack/panel/geom"
	"lampblack/panel/paneltest"
)

func TestMountable(t *testing.T) {
	part := func(ref, name string, kind board.Kind, on geom.Side) board.Part {
		f, ok := footprint.Lookup(name)
		require.True(t, ok)
		return f.Place(ref, kind, geom.PtMM(10, 10), 0, on, 0)
	}
	led, flat := part("D1", "radial-3mm", board.LED, geom.Top), part("D2", "plcc2", board.LED, geom.Top)
	chip, wire := part("R1", "r-1206", board.Resistor, geom.Bottom), part("R2", "axial-7.62", board.Resistor, geom.Bottom)
	block, wires := part("J1", "terminal-3.5", board.Connector, geom.Bottom), part("J2", "wire-pads", board.Connector, geom.Bottom)
	up := part("R3", "r-1206", board.Resistor, geom.Top)
	mm := geom.MM
	for _, c := range []struct {
		what  string
		part  board.Part
		space check.Space
		want  string
	}{
		{"nothing known", block, check.Space{}, ""},
		{"block in a deep box", block, check.Space{Behind: mm(8.8)}, ""},
		{"block in a shallow box", block, check.Space{Behind: mm(8.7)}, "check-too-tall"},
		{"chip in a shallow box", chip, check.Space{Behind: mm(1)}, ""},
		{"wires in a shallow box", wires, check.Space{Behind: mm(3.9)}, "check-too-tall"},
		{"leads of an LED in a flat box", led, check.Space{Behind: mm(1.4)}, "check-too-tall"},
		{"leads of an LED", led, check.Space{Behind: mm(1.5), Sheet: mm(0.5)}, ""},
		{"chip LED has no leads", flat, check.Space{Behind: mm(0.1)}, ""},
		{"chip LED under the sheet", flat, check.Space{Sheet: mm(1.8)}, "check-led-under-sheet"},
		{"chip LED with room", flat, check.Space{Sheet: mm(1.9)}, ""},
		{"pins of a block under the sheet", block, check.Space{Sheet: mm(1.9)}, "check-joint-under-sheet"},
		{"pins of a block with room", block, check.Space{Sheet: mm(2)}, ""},
		{"wire ends under the sheet", wires, check.Space{Sheet: mm(1.4)}, "check-joint-under-sheet"},
		{"resistor's ends under the sheet", wire, check.Space{Sheet: mm(1.4)}, "check-joint-under-sheet"},
		{"resistor's ends with room", wire, check.Space{Sheet: mm(1.5)}, ""},
		{"resistor on top", up, check.Space{}, "check-part-on-top"},
		{"LED below", part("D3", "plcc2", board.LED, geom.Bottom), check.Space{}, "check-led-below"},
	} {
		t.Run(c.what, func(t *testing.T) {
			found := check.Mountable(board.Board{Parts: []board.Part{c.part}}, c.space)
			if c.want == "" {
				require.Empty(t, found)
				return
			}
			require.Len(t, found, 1)
			require.Equal(t, c.want, found[0].Code)
			require.NotEmpty(t, found[0].Advice)
			paneltest.Subjects(t, found)
			require.NotEmpty(t, found[0].Subject.Part)
			if c.space != (check.Space{}) {
				require.NotEmpty(t, found[0].Subject.Keys, "the room is a key of the project")
			}
		})
	}
}
