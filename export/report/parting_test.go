package report_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export"
	"lampblack/export/exporttest"
	"lampblack/export/report"
	"lampblack/panel/geom"
)

// What a person needs to part the boards: where each hangs and on what, what to wear, what not to bend, how far to sand.
func TestPartingIsTold(t *testing.T) {
	a := export.Lower(exporttest.Desk())
	a.Array = true
	p := report.Pack{Console: "Ridge observatory desk", Array: "2 x dome", Parting: "routed slots", Bare: geom.MM(0.5), Hung: []report.Hung{
		{Board: "dome", Box: geom.BoxOf(geom.PtMM(9, 9), geom.PtMM(88, 49)), Tabs: []report.Tab{{At: geom.PtMM(40.04, 9)}, {At: geom.PtMM(88, 29), Other: 2}}},
		{Board: "dome", Box: geom.BoxOf(geom.PtMM(90, 9), geom.PtMM(130, 88)), Turn: 90, Tabs: []report.Tab{{At: geom.PtMM(90, 29), Other: 1}}},
	}}
	plain := strings.Join(strings.Fields(string(report.ReadMe(a, p))), " ")
	for _, want := range []string{
		"Tabs 2, along 3 rows of 5 unplated holes of 0.5 mm",
		"Board 1 dome, X 9.0 to 88.0, Y 9.0 to 49.0; 2 tabs, at X,Y: 40.0,9.0 to the frame; 88.0,29.0 to board 2",
		"Board 2 dome, X 90.0 to 130.0, Y 9.0 to 88.0, turned by 90 degrees; 1 tab, at X,Y: 90.0,29.0 to board 1",
		"Wear goggles", "bend the frame, not the board", "Do not bend LEDs", "Sand the stubs flush with the edge, on a flat block, no farther: copper may begin 0.5 mm inside",
		"The dust is glass fibre", "dust mask",
	} {
		require.Contains(t, plain, want)
	}
	for i := range p.Hung {
		p.Hung[i].Tabs = nil
	}
	p.Scored = []geom.Segment{{A: geom.PtMM(7, 0), B: geom.PtMM(7, 60)}, {A: geom.PtMM(0, 7.5), B: geom.PtMM(90, 7.5)}, {A: geom.PtMM(86, 0), B: geom.PtMM(86, 60)}}
	plain = strings.Join(strings.Fields(string(report.ReadMe(a, p))), " ")
	for _, want := range []string{"Scored 3 lines", "Score lines at X 7.00, 86.00; at Y 7.50", "Break off the frame first", "Sand the rough edges", "Wear goggles", "Do not bend LEDs"} {
		require.Contains(t, plain, want)
	}
	require.NotContains(t, plain, "tab by tab")
}
