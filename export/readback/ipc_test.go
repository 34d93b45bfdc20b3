package readback_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/readback"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// ipc is the example of references.md section 8.
const ipc = `P  JOB   DEMO1
P  CODE  00
P  UNITS CUST 1
P  VER   IPC-D-356A
P  IMAGE PRIMARY
317LED1_A           D1    -1    D0900PA00X+005000Y+008000X1800Y0000R000 S0
317GND              D1    -2    D0900PA00X+007540Y+008000X1800Y1800R000 S0
327VLED             R1    -1          A01X+012000Y+008000X0900Y0950R000 S2
317GND              VIA        MD0300PA00X+009000Y+003000X0600Y0000R000 S3
367N/C                          D3200UA00X+002500Y+002500X3200Y0000R000 S0
999
`

// TestIPC: the VIA record leaves column 27 blank, where the table wants a dash only between part and pin.
func TestIPC(t *testing.T) {
	n, found := readback.IPC([]byte(ipc), "desk.ipc")
	require.Empty(t, found)
	require.Equal(t, [2]string{"UNITS", "CUST 1"}, n.Header[2])
	mm := geom.MM
	require.Equal(t, []readback.Point{
		{Line: 6, Op: 317, Net: "LED1_A", Ref: "D1", Pin: "1", Hole: mm(0.9), Plated: true, At: geom.PtMM(5, 8), W: mm(1.8)},
		{Line: 7, Op: 317, Net: "GND", Ref: "D1", Pin: "2", Hole: mm(0.9), Plated: true, At: geom.PtMM(7.54, 8), W: mm(1.8), H: mm(1.8)},
		{Line: 8, Op: 327, Net: "VLED", Ref: "R1", Pin: "1", Access: 1, At: geom.PtMM(12, 8), W: mm(0.9), H: mm(0.95), Mask: 2},
		{Line: 9, Op: 317, Net: "GND", Ref: "VIA", Mid: true, Hole: mm(0.3), Plated: true, At: geom.PtMM(9, 3), W: mm(0.6), Mask: 3},
		{Line: 10, Op: 367, Net: "N/C", Hole: mm(3.2), At: geom.PtMM(2.5, 2.5), W: mm(3.2)},
	}, n.Points)
}

func TestIPCNames(t *testing.T) {
	src := strings.Replace(ipc, "317GND              D1", "P  NNAME00001 supply-of-the-observatory-desk\n317NNAME00001       D1", 1)
	n, found := readback.IPC([]byte(src), "x")
	require.Empty(t, found)
	require.Equal(t, "supply-of-the-observatory-desk", n.Points[1].Net)
	src = strings.Replace(ipc, "CUST 1", "CUST 0", 1)
	n, _ = readback.IPC([]byte(src), "x")
	require.Equal(t, geom.PtMM(12.7, 20.32), n.Points[0].At, "0.0001 inch")
}

func TestIPCFaults(t *testing.T) {
	for name, c := range map[string]struct {
		old, new, code string
		line           int
	}{
		"no end":             {"999\n", "", "readback-no-end", 11},
		"no unit":            {"P  UNITS CUST 1\n", "", "readback-no-unit", 5},
		"blank net":          {"LED1_A", "      ", "readback-bad-column", 6},
		"net in column 5":    {"317LED1_A ", "317 LED1_A", "readback-bad-column", 6},
		"no dash":            {"D1    -1", "D1     1", "readback-bad-column", 6},
		"hole of a surface":  {"327VLED             R1    -1          A01", "327VLED             R1    -1    D0900PA01", "readback-bad-column", 8},
		"no hole":            {"D1    -1    D0900P", "D1    -1          ", "readback-bad-column", 6},
		"side 7":             {"PA00X+009000", "PA07X+009000", "readback-bad-column", 9},
		"short coordinate":   {"X+009000", "X+ 09000", "readback-bad-column", 9},
		"shifted by one":     {"A01X+012000", " A01X+012000", "readback-bad-column", 8},
		"unknown code":       {"367N/C", "555N/C", "readback-unknown-record", 10},
		"too long":           {"R000 S3", "R000 S3" + strings.Repeat(" ", 10) + "x", "readback-long-record", 9},
		"letters beyond":     {"VLED", "VLÉD", "readback-not-ascii", 8},
		"after the end":      {"999\n", "999\nP  JOB   X\n", "readback-after-end", 12},
		"mask 9":             {"R000 S3", "R000 S9", "readback-bad-column", 9},
		"plating unknown":    {"D3200U", "D3200X", "readback-bad-column", 10},
		"names in P columns": {"P  CODE", "P CODE", "readback-bad-column", 2},
	} {
		t.Run(name, func(t *testing.T) {
			require.Contains(t, ipc, c.old)
			_, found := readback.IPC([]byte(strings.Replace(ipc, c.old, c.new, 1)), "broken.ipc")
			hit := false
			for _, f := range found {
				hit = hit || f.Code == c.code && f.Place.Line == c.line && f.Severity == diag.Error
				require.NotEmpty(t, f.Advice)
			}
			require.True(t, hit, "want %s in line %d, got %+v", c.code, c.line, found)
		})
	}
}

func FuzzIPC(f *testing.F) {
	f.Add([]byte(ipc))
	f.Fuzz(func(t *testing.T, src []byte) {
		_, found := readback.IPC(src, "fuzz.ipc")
		_, again := readback.IPC(src, "fuzz.ipc")
		require.Equal(t, found, again)
	})
}
