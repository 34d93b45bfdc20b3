package readback_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export"
	"lampblack/export/readback"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// xnc is the example of references.md section 7: 3 hits, 1 slot 0.9 mm wide with a centre line of 2.0 mm.
const xnc = `M48
; #@! TF.FileFunction,Plated,1,2,PTH
; #@! TF.FilePolarity,Positive
METRIC
; #@! TA.AperFunction,ComponentDrill
T01C0.900
; #@! TA.AperFunction,ViaDrill
T02C0.300
%
G05
T01
X5.000Y8.000
X7.540Y8.000
T02
X9.000Y3.000
T01
G00X12.000Y2.000
M15
G01X14.000Y2.000
M16
G05
M30
`

func TestXNC(t *testing.T) {
	d, found := readback.Drill([]byte(xnc), "desk.drl")
	require.Empty(t, found)
	require.True(t, d.Plated)
	require.Equal(t, []export.Tool{{D: geom.MM(0.9), Function: "ComponentDrill"}, {D: geom.MM(0.3), Function: "ViaDrill"}}, d.Tools)
	require.Equal(t, []export.Hit{{Tool: 0, At: geom.PtMM(5, 8)}, {Tool: 0, At: geom.PtMM(7.54, 8)}, {Tool: 1, At: geom.PtMM(9, 3)}}, d.Hits)
	require.Equal(t, []export.Slot{{Tool: 0, Path: geom.Polyline{geom.PtMM(12, 2), geom.PtMM(14, 2)}}}, d.Slots)
}

// TestExcellonFamily: zero suppression, inches, repeats and G85 slots of the wider family (IPC-NC-349, from memory), told
// as warnings.
func TestExcellonFamily(t *testing.T) {
	hits := func(src string) []geom.Pt {
		d, found := readback.Drill([]byte(src), "old.drl")
		require.False(t, found.HasErrors(), "%+v", found)
		require.NotEmpty(t, found)
		var out []geom.Pt
		for _, h := range d.Hits {
			out = append(out, h.At)
		}
		return out
	}
	want := []geom.Pt{geom.PtMM(5, 8), geom.PtMM(105, 8)}
	require.Equal(t, want, hits("M48\nMETRIC,TZ\nT1C0.9\n%\nT1\nX5000Y8000\nX105000\nM30\n"))
	require.Equal(t, want, hits("M48\nMETRIC,LZ\nT1C0.9\n%\nT1\nX005Y008\nX105\nM30\n"))
	require.Equal(t, []geom.Pt{geom.PtMM(25.4, 2.54)}, hits("M48\nINCH,TZ\nT1C0.035\n%\nT1\nX10000Y1000\nM30\n"))
	require.Equal(t, []geom.Pt{geom.PtMM(1, 1), geom.PtMM(3, 1), geom.PtMM(5, 1)}, hits("M48\nFMAT,2\nMETRIC\nT1C0.9F200S65\n%\nT1\nX1.Y1.\nR2X2.\nM30\n"))
	d, _ := readback.Drill([]byte("M48\nMETRIC\nT1C0.9\n%\nT1\nX1.Y1.G85X3.Y1.\nM30\n"), "old.drl")
	require.Len(t, d.Slots, 1)
}

// TestRoutedArc: a half circle of radius 2 is π·2 long.
func TestRoutedArc(t *testing.T) {
	d, found := readback.Drill([]byte("M48\n; #@! TF.FileFunction,NonPlated,1,2,NPTH\nMETRIC\nT01C1\n%\nT01\nG00X0Y0\nM15\nG03X4Y0A2\nM16\nM30\n"), "x")
	require.Empty(t, found)
	require.False(t, d.Plated)
	require.InDelta(t, 3.14159265*2e6, d.Slots[0].Path.Len(), 10000)
	require.Less(t, d.Slots[0].Path.Box().Min.Y, geom.MM(-1.99), "counter-clockwise from left to right runs below")
}

func TestDrillFaults(t *testing.T) {
	const h = "M48\n; #@! TF.FileFunction,Plated,1,2,PTH\nMETRIC\nT01C0.9\n%\n"
	for name, c := range map[string]struct {
		src, code string
		line      int
	}{
		"no header":         {"METRIC\nM30\n", "readback-no-header", 1},
		"no end":            {h + "T01\nX1Y1\n", "readback-no-end", 8},
		"no unit":           {"M48\nT01C0.9\n%\nM30\n", "readback-no-unit", 2},
		"undefined tool":    {h + "T02\nM30\n", "readback-no-tool", 6},
		"no tool":           {h + "X1Y1\nM30\n", "readback-no-tool", 6},
		"tool twice":        {"M48\nMETRIC\nT01C1\nT01C2\n%\nM30\n", "readback-tool-twice", 4},
		"tool without size": {"M48\nMETRIC\nT01\n%\nM30\n", "readback-bad-tool", 3},
		"offset":            {h + "T01\nG93X1Y1\nM30\n", "readback-unknown-command", 7},
		"incremental":       {h + "G91\nM30\n", "readback-unknown-command", 6},
		"beyond a metre":    {h + "T01\nX5000Y1\nM30\n", "readback-bad-number", 7},
		"slot without M15":  {h + "T01\nG00X1Y1\nG01X2Y1\nM30\n", "readback-bad-slot", 8},
		"open slot":         {h + "T01\nG00X1Y1\nM15\nG01X2Y1\nM30\n", "readback-open-slot", 11},
		"after the end":     {h + "M30\nX1Y1\n", "readback-after-end", 7},
		"impossible arc":    {h + "T01\nG00X0Y0\nM15\nG02X10Y0A1\nM16\nM30\n", "readback-bad-arc", 9},
	} {
		t.Run(name, func(t *testing.T) {
			_, found := readback.Drill([]byte(c.src), "broken.drl")
			hit := false
			for _, f := range found {
				hit = hit || f.Code == c.code && f.Place.Line == c.line && f.Severity == diag.Error
				require.NotEmpty(t, f.Advice)
			}
			require.True(t, hit, "want %s in line %d, got %+v", c.code, c.line, found)
		})
	}
}

func FuzzDrill(f *testing.F) {
	f.Add([]byte(xnc))
	f.Add([]byte("M48\nINCH,LZ\nT1C0.035F1S2\n%\nT1\nX01Y02G85X03Y04\nR5X1\nG00X1Y1\nM15\nG02X2Y2A3\nG03X1Y1I1J0\nM17\nM30\n"))
	f.Fuzz(func(t *testing.T, src []byte) {
		d, found := readback.Drill(src, "fuzz.drl")
		for _, h := range d.Hits {
			if h.Tool < 0 || h.Tool >= len(d.Tools) {
				t.Fatal("hit without tool")
			}
		}
		for _, s := range d.Slots {
			if s.Tool < 0 || s.Tool >= len(d.Tools) || len(s.Path) == 0 {
				t.Fatal("slot without tool or path")
			}
		}
		_, again := readback.Drill(src, "fuzz.drl")
		require.Equal(t, found, again)
	})
}
