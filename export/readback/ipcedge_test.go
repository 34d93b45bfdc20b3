package readback_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export"
	"lampblack/export/exporttest"
	"lampblack/export/netlist"
	"lampblack/export/readback"
	"lampblack/panel/geom"
)

func edgeFile(records ...string) []byte {
	return []byte("P  UNITS CUST 1\n" + strings.Join(records, "\n") + "\n999\n")
}

// Columns as references.md section 8 tells them: the line's middle is the edge, a blank goes on, an asterisk ends, either
// of X and Y may stay away.
func TestOutlineRecords(t *testing.T) {
	got, found := readback.IPC(edgeFile(
		"389BOARD_EDGE        X+000000Y+000000 X+010000 Y+005000",
		"089                  X+000000 Y+000000*",
		"389BOARD_EDGE     X0100 X+002000Y+002000 X+003000Y+003000*", "089                  X+004000Y-004000 X+005000*"), "a.ipc")
	require.Empty(t, found)
	mm := geom.PtMM
	require.Equal(t, []geom.Polyline{{mm(0, 0), mm(10, 0), mm(10, 5), mm(0, 5), mm(0, 0)}, {mm(2, 2), mm(3, 3)}, {mm(4, -4), mm(5, -4)}}, got.Edges)
	for _, bad := range []string{"389OUTER_EDGE        X+000000Y+000000*", "389BOARD_EDGE        Z+000000*", "389BOARD_EDGE        X+0000001234Y+0*", "089   X+000000Y+000000*"} {
		_, found := readback.IPC(edgeFile(bad), "a.ipc")
		require.Len(t, found, 1, bad)
		require.Equal(t, 2, found[0].Place.Line)
	}
}

// The writer's outline is read back, and one of another board is found out.
func TestOutlineAgainstProfile(t *testing.T) {
	a, files := written(t, exporttest.Desk())
	src, l := netlist.IPC(a, netlist.Meta{})
	require.Empty(t, l)
	got, found := readback.IPC(src, "a.ipc")
	require.Empty(t, found)
	require.Len(t, got.Edges, 3)
	_, found = readback.Open(t.Context(), files)
	require.Empty(t, codes(found))
	other := a
	other.Layers = nil
	for _, w := range a.Layers {
		if w.Function == export.Profile {
			w.Objects = append([]export.Object{}, w.Objects...)
			for i := range w.Objects {
				w.Objects[i].From.X += geom.Millimetre
				w.Objects[i].To.X += geom.Millimetre
			}
		}
		other.Layers = append(other.Layers, w)
	}
	src, l = netlist.IPC(other, netlist.Meta{})
	require.Empty(t, l)
	for i := range files {
		if strings.Contains(string(files[i].Data), "IPC-D-356A") {
			files[i].Data = src
		}
	}
	_, found = readback.Open(t.Context(), files)
	require.Contains(t, fmt.Sprint(codes(found)), "readback-netlist-edge")
}
