package gerber_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"lampblack/export"
	"lampblack/export/exporttest"
	"lampblack/export/gerber"
)

// meta is what the tests write with.
func meta() gerber.Meta {
	return gerber.Meta{Project: "Ridge, desk 100 %", Version: "1.0", Date: time.Date(2026, 11, 25, 20, 0, 0, 0, time.FixedZone("", 3600))}
}

// full is a board's artwork with its component layers.
func full(a export.Artwork, components []export.Layer) export.Artwork {
	a.Layers = append(slices.Clone(a.Layers), components...)
	return a
}

func TestRulesByHand(t *testing.T) {
	desk, grid := exporttest.Desk(), exporttest.Grid(60)
	for _, a := range []export.Artwork{
		full(export.Lower(desk), export.Components(desk)),
		full(export.Lower(grid), export.Components(grid)),
	} {
		for i, l := range a.Layers {
			require.True(t, strings.HasSuffix(export.FileName(a.Name, l.Function), ".gbr"), "rule 26")
			require.Empty(t, exporttest.Breaks(gerber.Layer(a, i, meta())), "%s %v", a.Name, l.Function)
		}
	}
}

// Each rule must be able to fail: a broken file is found out, by the rule's number.
func TestCheckerFindsBreaks(t *testing.T) {
	desk := exporttest.Desk()
	a := export.Lower(desk)
	file := func(f export.Function) string {
		for i, l := range a.Layers {
			if l.Function == f {
				return string(gerber.Layer(a, i, meta()))
			}
		}
		t.Fatal(f)
		return ""
	}
	copper, edge := file(export.CopperTop), file(export.Profile)
	for _, c := range []struct {
		rule          int
		src, old, new string
	}{
		{2, copper, "%ADD10", "%ADD99"},
		{3, copper, "G01*\n", "G0 1*\n"},
		{4, copper, "D03*", "D3*"},
		{5, copper, "%MOMM*%", ""},
		{5, copper, "%MOMM*%", "%MOIN*%"},
		{6, copper, "%FSLAX46Y46*%", "%FSTAX46Y46*%"},
		{7, copper, "X13730000Y", "X2147483648Y"},
		{8, edge, "%MOMM*%\n%FSLAX46Y46*%\n", ""},
		{9, copper, "%ADD10", "%ADD09"},
		{10, copper, "G01*\n", "G01*\nX0Y0D02*\n%ADD50C,1*%\n"},
		{11, copper, "%ADD10C,1.2*%", "%ADD10R,1.2X1.2*%"},
		{11, copper, "R,1.7X1.7", "R,1.7X0.0"},
		{12, edge, "G01*\n", ""},
		{13, edge, "I0J20000000", "J20000000"},
		{13, edge, "I0J20000000", ""},
		{14, edge, "G75*\n", ""},
		{15, edge, "I0J20000000", "I0J20002000"},
		{16, copper, "G36*", "G36*\nD10*"},
		{17, copper, "X10000000Y3000000D01*", "X10000000Y3000001D01*"},
		{18, copper, "X36000000Y10000000D01*", "X10500000Y2000000D01*"},
		{21, copper, "%LPD*%\nG01*", "%LPC*%\nG01*"},
		{22, copper, "X36000000Y10000000D01*", "X36000000Y10000000D01*\nX36000000Y10000500D01*"},
		{23, copper, "G36*", "G36*\n%TO.N,V+*%"},
		{24, copper, "%TA.AperFunction,ViaPad*%\n", ""},
		{25, copper, "M02*", "M02*\nG01*"},
		{25, copper, "M02*", ""},
		{27, file(export.CopperBottom), "%TO.N,S1.1*%", `%TO.N,S\1*%`},
		{28, copper, "%TO.N,", "%TO.1N,"},
		{29, copper, "G75*", "G75*\nG04 #@! TF.Part,Single*"},
		{0, copper, "%TF.Part,Single*%", ""},
		{0, copper, "X15500000", "X15500001"},
	} {
		broken := strings.Replace(c.src, c.old, c.new, 1)
		require.NotEqual(t, c.src, broken, "the test's %q is not in the file", c.old)
		found := strings.Join(exporttest.Breaks([]byte(broken)), "\n")
		require.Contains(t, found, fmt.Sprintf("rule %d: ", c.rule), "%q for %q", c.new, c.old)
	}
}
