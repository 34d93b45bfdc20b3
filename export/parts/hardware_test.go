package parts_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board/fasten"
	"lampblack/export/parts"
	"lampblack/panel/geom"
)

// Two mounts with a board, one without, one that no screw fits, in three consoles: alike pieces are counted together, and every
// column is one of the parts list's.
func TestHardware(t *testing.T) {
	held := fasten.Mount{D: geom.MM(3.2), Board: "dome", Thread: "M3", Front: geom.MM(8), Rear: geom.MM(3), Screw: geom.MM(30)}
	bare := fasten.Mount{D: geom.MM(3.2), Thread: "M3", Front: geom.MM(8), Screw: geom.MM(25)}
	long := fasten.Mount{D: geom.MM(4.3), Thread: "M4", Screw: geom.MM(50), Rod: true}
	h := parts.Hardware([]fasten.Mount{held, held, bare, long, {D: geom.MM(20)}}, 3)
	require.Equal(t, [][]string{
		{"3", "screw", "M3 x 25 mm", "pan head, ISO 7045"},
		{"6", "screw", "M3 x 30 mm", "pan head, ISO 7045"},
		{"3", "screw", "M4 x 50 mm", "cap head, ISO 4762"},
		{"9", "washer", "M3", "ISO 7089"},
		{"3", "washer", "M4", "ISO 7089"},
		{"9", "nut", "M3", "ISO 4032"},
		{"3", "nut", "M4", "ISO 4032"},
		{"6", "spacer", "3 mm", "round, for M3"},
		{"9", "spacer", "8 mm", "round, for M3"},
	}, h.Rows)
	require.Len(t, parts.Parts().With(h).Rows, 9)
}
