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
	for _, c := range []struct {
		what string
		part board.Part
		want string
	}{
		{"LED", part("D1", "radial-3mm", board.LED, geom.Top), ""},
		{"resistor", part("R1", "r-1206", board.Resistor, geom.Bottom), ""},
		{"connector", part("J1", "terminal-3.5", board.Connector, geom.Bottom), ""},
		{"resistor on top", part("R3", "r-1206", board.Resistor, geom.Top), "check-part-on-top"},
		{"LED below", part("D3", "plcc2", board.LED, geom.Bottom), "check-led-below"},
	} {
		t.Run(c.what, func(t *testing.T) {
			found := check.Mountable(board.Board{Parts: []board.Part{c.part}})
			if c.want == "" {
				require.Empty(t, found)
				return
			}
			require.Len(t, found, 1)
			require.Equal(t, c.want, found[0].Code)
			require.NotEmpty(t, found[0].Advice)
			paneltest.Subjects(t, found)
			require.NotEmpty(t, found[0].Subject.Part)
		})
	}
}
