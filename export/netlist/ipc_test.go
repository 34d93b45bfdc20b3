package netlist_test

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export"
	"lampblack/export/exporttest"
	"lampblack/export/netlist"
	"lampblack/panel/geom"
)

// The artwork of the example in references.md section 8.
func example() export.Artwork {
	ap := func(s export.ApertureShape, w, h float64) export.Aperture {
		return export.Aperture{Shape: s, W: geom.MM(w), H: geom.MM(h)}
	}
	pad := func(a int, x, y float64, net, ref, pin string) export.Object {
		return export.Object{Op: export.Flash, Aperture: a, To: geom.PtMM(x, y), Net: net, HasNet: true, Ref: ref, Pin: pin}
	}
	aps := []export.Aperture{ap(export.Circle, 1.8, 1.8), ap(export.Rectangle, 1.8, 1.8), ap(export.Rectangle, 0.9, 0.95), ap(export.Circle, 0.6, 0.6)}
	through := []export.Object{pad(0, 5, 8, "LED1_A", "D1", "1"), pad(1, 7.54, 8, "GND", "D1", "2"), pad(3, 9, 3, "GND", "", "")}
	open := []export.Object{pad(0, 5, 8, "", "", ""), pad(0, 7.54, 8, "", "", "")}
	return export.Artwork{
		Name: "DEMO1",
		Layers: []export.Layer{
			{Function: export.CopperTop, Apertures: aps, Objects: append(through[:2:2], pad(2, 12, 8, "VLED", "R1", "1"), through[2])},
			{Function: export.CopperBottom, Apertures: aps, Objects: through},
			{Function: export.SoldermaskTop, Apertures: aps, Objects: append(open[:2:2], pad(2, 12, 8, "", "", ""))},
			{Function: export.SoldermaskBottom, Apertures: aps, Objects: open},
		},
		Drills: []export.Drill{
			{Plated: true, Tools: []export.Tool{{D: geom.MM(0.9)}, {D: geom.MM(0.3)}},
				Hits: []export.Hit{{Tool: 0, At: geom.PtMM(5, 8)}, {Tool: 0, At: geom.PtMM(7.54, 8)}, {Tool: 1, At: geom.PtMM(9, 3)}}},
			{Tools: []export.Tool{{D: geom.MM(3.2)}}, Hits: []export.Hit{{At: geom.PtMM(2.5, 2.5)}}},
		},
	}
}

// Columns as the description of IPC-D-356A gives them (references.md section 8, which prints these records); ours lists
// the points net by net.
func TestExample(t *testing.T) {
	got, l := netlist.IPC(example(), netlist.Meta{})
	require.Empty(t, l)
	want := []string{
		"P  JOB   DEMO1",
		"P  CODE  00",
		"P  UNITS CUST 1",
		"P  VER   IPC-D-356A",
		"P  IMAGE PRIMARY",
		"317LED1_A           D1    -1    D0900PA00X+005000Y+008000X1800Y0000R000 S0",
		"317GND              D1    -2    D0900PA00X+007540Y+008000X1800Y1800R000 S0",
		"317GND              VIA        MD0300PA00X+009000Y+003000X0600Y0000R000 S3",
		"327VLED             R1    -1          A01X+012000Y+008000X0900Y0950R000 S2",
		"367N/C                          D3200UA00X+002500Y+002500X3200Y0000R000 S0",
		"999",
	}
	lines := strings.Split(string(got), "\n")
	var trimmed []string
	for _, s := range lines[:len(lines)-1] {
		require.Len(t, s, 80, "%q", s)
		if s = strings.TrimRight(s, " "); s[0] != 'C' && !strings.HasPrefix(s, "P  NUM") && !strings.HasPrefix(s, "P  REV") {
			trimmed = append(trimmed, s)
		}
	}
	require.Equal(t, want, trimmed)
	require.Empty(t, lines[len(lines)-1])
}

// Every record of a real board keeps its columns, and each pad, via and hole is there once.
func TestColumns(t *testing.T) {
	record := regexp.MustCompile(`^(317|327|367)[!-~]{1,14} *$`)
	rest := regexp.MustCompile(`^ {3}([!-~]{1,6} *-[!-~]{1,4} *|VIA {8}| {11})[M ](D\d{4}[PU]| {6})A0[012]X[+-]\d{6}Y[+-]\d{6}X\d{4}Y\d{4}R000 S[0123] {6}$`)
	b := exporttest.Grid(100)
	src, l := netlist.IPC(export.Lower(b), netlist.Meta{Project: "Ridge Sternwarte Süd"})
	require.Empty(t, l)
	codes := map[string]int{}
	for _, s := range strings.Split(strings.TrimSuffix(string(src), "\n"), "\n") {
		require.Len(t, s, 80)
		codes[s[:3]]++
		if s[0] == '3' && s[:3] != "389" {
			require.Regexp(t, record, s[:17])
			require.Regexp(t, rest, s[17:])
		}
	}
	require.Equal(t, map[string]int{"317": 200 + len(b.Vias), "327": 100, "367": 4, "389": 1, "089": 1, "C  ": 2, "P  ": 8, "999": 1}, codes)
}

// The edge: outline and cut-outs as closed lines, three places a record, the last of each line starred, within the
// tolerance of the curves, from column 22 to 72.
func TestEdge(t *testing.T) {
	b := exporttest.Desk()
	src, l := netlist.IPC(export.Lower(b), netlist.Meta{})
	require.Empty(t, l)
	place := regexp.MustCompile(`X([+-]\d{6})Y([+-]\d{6})([ *])`)
	var lines [][]geom.Pt
	var at []geom.Pt
	records := 0
	for _, s := range strings.Split(string(src), "\n") {
		if !strings.HasPrefix(s, "389") && !strings.HasPrefix(s, "089") {
			continue
		}
		records++
		if len(at) == 0 {
			require.True(t, strings.HasPrefix(s, "389BOARD_EDGE        "), "%q", s)
		} else {
			require.True(t, strings.HasPrefix(s, "089                  "), "%q", s)
		}
		body := strings.TrimRight(s[21:], " ") + " "
		require.Empty(t, strings.TrimSpace(place.ReplaceAllString(body, "")), "%q", s)
		for _, m := range place.FindAllStringSubmatch(body, -1) {
			x, err := strconv.Atoi(m[1])
			require.NoError(t, err)
			y, err := strconv.Atoi(m[2])
			require.NoError(t, err)
			at = append(at, geom.Pt{X: geom.Nm(x) * geom.Micrometre, Y: geom.Nm(y) * geom.Micrometre})
			if m[3] == "*" {
				lines, at = append(lines, at), nil
			}
		}
	}
	require.Empty(t, at, "the last line is not ended")
	require.Len(t, lines, 1+len(b.Cutouts))
	for i, c := range append([]geom.Contour{b.Outline}, b.Cutouts...) {
		ring := geom.Ring(lines[i][:len(lines[i])-1])
		require.Equal(t, lines[i][0], lines[i][len(ring)], "closed")
		want := c.Ring(geom.FlattenTolerance)
		for _, p := range ring {
			require.Less(t, want.DistTo(p), 3e3)
		}
		for _, p := range want {
			require.Less(t, ring.DistTo(p), 22e3)
		}
	}
	require.Greater(t, records, 4)
}

// A long or odd net name gets an alias: NNAME records, alias to column 13, full name from column 15.
func TestAlias(t *testing.T) {
	a := example()
	long := "S12.3-under-the-dome-switch"
	for i := range a.Layers {
		for j := range a.Layers[i].Objects {
			if o := &a.Layers[i].Objects[j]; o.Net == "GND" {
				o.Net = long
			}
		}
	}
	src, l := netlist.IPC(a, netlist.Meta{})
	require.Empty(t, l)
	require.Contains(t, string(src), "\nP  NNAME00001 "+long+" ")
	require.Contains(t, string(src), "\n317NNAME00001       D1    -2    ")
	require.NotContains(t, string(src), "GND")
}

func TestLimits(t *testing.T) {
	for _, c := range []struct {
		code   string
		change func(a *export.Artwork)
	}{
		{"netlist-too-far", func(a *export.Artwork) { a.Layers[0].Objects[2].To.X = geom.MM(1000) }},
		{"netlist-too-large", func(a *export.Artwork) { a.Drills[1].Tools[0].D = geom.MM(12) }},
		{"netlist-name", func(a *export.Artwork) { a.Layers[0].Objects[2].Ref = "LAMP100" }},
		{"netlist-name", func(a *export.Artwork) { a.Layers[0].Objects[2].Pin = "a b" }},
		{"netlist-net-name", func(a *export.Artwork) { a.Layers[0].Objects[2].Net = strings.Repeat("x", 60) }},
	} {
		a := example()
		c.change(&a)
		src, l := netlist.IPC(a, netlist.Meta{})
		require.Nil(t, src)
		require.Len(t, l, 1, c.code)
		require.Equal(t, c.code, l[0].Code)
		require.NotEmpty(t, l[0].Advice)
	}
	a := example()
	a.Layers[0].Objects[2].To = geom.PtMM(-999.999, 999.9994)
	src, l := netlist.IPC(a, netlist.Meta{})
	require.Empty(t, l)
	require.Contains(t, string(src), "X-999999Y+999999")
}

func TestIPCIsTheSameEachTime(t *testing.T) {
	a := export.Lower(exporttest.Grid(50))
	first, _ := netlist.IPC(a, netlist.Meta{})
	for range 5 {
		again, _ := netlist.IPC(a, netlist.Meta{})
		require.Equal(t, string(first), string(again))
	}
}

func BenchmarkIPC(b *testing.B) {
	a := export.Lower(exporttest.Grid(500))
	for b.Loop() {
		netlist.IPC(a, netlist.Meta{})
	}
}
