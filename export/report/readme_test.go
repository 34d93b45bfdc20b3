package report_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/export"
	"lampblack/export/exporttest"
	"lampblack/export/report"
	"lampblack/led/part"
	"lampblack/panel/geom"
)

func pack() report.Pack {
	return report.Pack{Board: exporttest.Desk(), Console: "Ridge observatory desk", Version: "1.0", FuseAmps: 1, LEDs: 3, Strings: 1, Draws: 0.008, DrawsMost: 0.01,
		Supply: part.Window{Min: 11.1, Nominal: 12, Max: 12.6}, Rated: 2, All: 1.1}
}

// What a board house and a builder must find.
func TestReadMe(t *testing.T) {
	a := export.Lower(exporttest.Desk())
	s := string(report.ReadMe(a, pack()))
	plain := strings.Join(strings.Fields(s), " ")
	for _, want := range []string{"Lighting board dome", "79.00 x 40.00 mm", "FR-4, 1.6 mm thick", "35 um", "Soldermask WHITE",
		"white reflects light", "at least 0.4 mm wide", "15, the smallest 0.4 mm finished", "3 in 1 string with its own resistor",
		"8 mA, at most 10 mA", "12 V (11.1 to 12.6 V) DC, rated 2 A; asked for at most 1.100 A, by the whole console and what else it feeds",
		"1 A, close to the supply", "placement.csv", "IEC 61188-7, level A: at 0 degrees a part's pin 1, which is an LED's cathode, lies on the left"} {
		require.Contains(t, plain, want)
	}
	// As board houses name copper: a weight where there is one.
	for um, want := range map[geom.Nm]string{17500: "17.5 um (0.5 oz/sq ft) finished", 35000: "35 um (1 oz/sq ft) finished", 105000: "105 um (3 oz/sq ft)", 50000: "50 um finished"} {
		a := a
		a.Laminate = board.Laminate{Thickness: geom.MM(0.8), Copper: um}
		plain := strings.Join(strings.Fields(string(report.ReadMe(a, pack()))), " ")
		require.Contains(t, plain, want)
		require.Contains(t, plain, "FR-4, 0.8 mm thick")
	}
	// A stencil is spoken of where there is paste: the desk's resistor stands on the bottom's surface.
	stencil := pack()
	stencil.Stencil = geom.MM(0.12)
	require.Contains(t, strings.Join(strings.Fields(string(report.ReadMe(a, stencil))), " "), "Stencil 0.12 mm thick, bottom")
	bare := exporttest.Desk()
	bare.Parts = nil
	require.NotContains(t, string(report.ReadMe(export.Lower(bare), stencil)), "Stencil")
	for _, l := range a.Layers {
		require.Contains(t, s, export.FileName("dome", l.Function)+"  ")
	}
	for _, name := range []string{"dome-drill-plated.drl", "dome-drill-unplated.drl", "dome-job.gbrjob", "dome-netlist.ipc"} {
		require.Contains(t, s, name)
	}
	for _, c := range report.Cautions() {
		require.Contains(t, plain, c)
	}
	require.NotContains(t, s, "Date")
}

// Whatever the names: printable ASCII, 78 columns, no blanks at line ends.
func FuzzReadMe(f *testing.F) {
	f.Add("dome", "Ridge", "parts.csv\tparts")
	f.Add("Süd-天文台", strings.Repeat("desk ", 40), strings.Repeat("x", 200))
	f.Add("a\nb\x00", "", "\t")
	b := export.Lower(exporttest.Desk())
	f.Fuzz(func(t *testing.T, name, console, extra string) {
		a, p := b, pack()
		a.Name, p.Console, p.Extra = name, console, []string{extra}
		for _, line := range strings.Split(string(report.ReadMe(a, p)), "\n") {
			require.LessOrEqual(t, len(line), 78)
			require.Equal(t, strings.TrimRight(line, " "), line)
			for _, r := range line {
				require.True(t, r >= ' ' && r <= '~', "%q", line)
			}
		}
	})
}

// The five cautions that every pack owes its builder.
func TestCautions(t *testing.T) {
	all := strings.ToLower(strings.Join(report.Cautions(), "\n"))
	for _, want := range []string{"fuse", "current-limited", "batteries and mains", "local code", "fumes", "burns", "pvc", "stare"} {
		require.Contains(t, all, want)
	}
	for _, c := range report.Cautions() {
		require.Less(t, len(c), 100)
	}
}
