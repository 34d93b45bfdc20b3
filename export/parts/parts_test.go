package parts_test

import (
	"encoding/csv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/exporttest"
	"lampblack/export/parts"
	"lampblack/export/table"
)

func desk() parts.Item { return parts.Item{Board: exporttest.Desk(), Wiring: exporttest.Wiring()} }

func rows(t *testing.T, list table.Table) [][]string {
	t.Helper()
	src := list.CSV()
	require.Equal(t, strings.Count(string(src), "\n"), strings.Count(string(src), "\r\n"), "RFC 4180, 2.1: lines end in CRLF")
	r, err := csv.NewReader(strings.NewReader(string(src))).ReadAll() // also finds lines of uneven length: RFC 4180, 2.4
	require.NoError(t, err)
	return r
}

func TestPartsOfABoard(t *testing.T) {
	require.Equal(t, [][]string{
		{"references", "quantity", "kind", "value", "rating", "package", "note"},
		{"D1-D3", "3", "LED", "red-3mm", "at most 30 mA", "radial-3mm", "red; 2 V typical at 20 mA; shorter lead (cathode, at the flat) in the square pad"},
		{"R1", "1", "resistor", `1k2 * 5 %, "thin" \ Ω`, "1/4 W, 5 %", "r-1206", ""},
		{"J1, J2", "2", "connector", "2 pins", "at least 0.6 A", "terminal-3.5", "for the feed wires"},
	}, rows(t, parts.Parts(desk())))
	// RFC 4180, 2.5 to 2.7: commas and quotes in quotes, quotes doubled.
	require.Contains(t, string(parts.Parts(desk()).CSV()), `R1,1,resistor,"1k2 * 5 %, ""thin"" \ Ω","1/4 W, 5 %",r-1206,`+"\r\n")
}

func TestPartsOfAConsole(t *testing.T) {
	second := desk()
	second.Board.Name, second.Quantity = "focus", 3
	got := rows(t, parts.Parts(desk(), second))
	require.Equal(t, []string{"dome: D1-D3; focus: D1-D3", "12", "LED"}, got[1][:3])
	require.Equal(t, []string{"dome: J1, J2; focus: J1, J2", "8", "connector"}, got[3][:3])
	require.Equal(t, string(parts.Parts(desk(), second).CSV()), string(parts.Parts(desk(), second).CSV()))
	// A terminal is a terminal: boards with other currents share its line, which tells the most of them.
	second.Wiring.Through = 1.21
	more := rows(t, parts.Parts(desk(), second))
	require.Len(t, more, len(got))
	require.Equal(t, []string{"dome: J1, J2; focus: J1, J2", "8", "connector", "2 pins", "at least 1.3 A"}, more[3][:5])
	require.Equal(t, more, rows(t, parts.Parts(desk(), second)))
}

func TestPlacement(t *testing.T) {
	got := rows(t, parts.Placement(exporttest.Desk()))
	require.Equal(t, []string{"reference", "x_mm", "y_mm", "rotation_deg", "side", "value", "package"}, got[0])
	require.Equal(t, []string{"D2", "27.000", "22.000", "90", "top", "red-3mm", "radial-3mm"}, got[2])
	require.Len(t, got, 7)
	big := rows(t, parts.Placement(exporttest.Grid(12)))
	require.Equal(t, "D10", big[10][0], "D2 comes before D10")
}
