package dxf

import (
	"bytes"
	"os"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"lampblack/panel/diag"
)

// TestHostile: files that were made to break a reader are read in little time and memory, and what is wrong is told.
func TestHostile(t *testing.T) {
	block := func(s string) string { return "0 SECTION,2 BLOCKS," + s + ",0 ENDSEC" }
	spline := func(s string) []byte { return file("AC1015", "", "0 SPLINE,8 LED,"+s) }
	many := func(s string, n int) string { return strings.Repeat(s, n) }
	for _, c := range []struct {
		name string
		src  []byte
		code string // of a finding that must be there; empty: the file is odd, and sound
	}{
		{"odd number of lines", append(file("AC1015", "", "0 LINE,10 0,20 0,11 1,21 0"), "  0\n"...), ""},
		{"odd number of lines inside", []byte("  0\nSECTION\n  2\nENTITIES\n  0\nLINE\n 10\n  0\nENDSEC\n  0\nEOF\n"), "dxf-cut-off"},
		{"not a number", file("AC1015", "", "0 CIRCLE,10 nan,20 0,40 1"), "dxf-bad-value"},
		{"infinite", file("AC1015", "", "0 CIRCLE,10 inf,20 0,40 1"), "dxf-bad-value"},
		{"1e308", file("AC1015", "", "0 LINE,10 1e308,20 0,11 -1e308,21 0"), "dxf-bad-value"},
		{"1e308 as bulge", file("AC1015", "", "0 LWPOLYLINE,10 0,20 0,42 1e308,10 1,20 1"), "dxf-bad-value"},
		{"negative radius", file("AC1015", "", "0 CIRCLE,10 0,20 0,40 -1"), "dxf-bad-value"},
		{"negative arc", file("AC1015", "", "0 ARC,10 0,20 0,40 -1,50 0,51 90"), "dxf-bad-value"},
		{"arc of a million turns", file("AC1015", "", "0 ARC,10 0,20 0,40 1,50 -1e9,51 1e9"), ""},
		{"block in itself", file("AC1015", block("0 BLOCK,2 A,0 INSERT,2 A,10 0,20 0,0 ENDBLK"), "0 INSERT,2 A,10 0,20 0"), "dxf-bad-value"},
		{"blocks in each other", file("AC1015", block("0 BLOCK,2 A,0 INSERT,2 B,10 0,20 0,0 ENDBLK,0 BLOCK,2 B,0 INSERT,2 A,10 0,20 0,0 ENDBLK"), "0 INSERT,2 A,10 0,20 0"), "dxf-bad-value"},
		{"array of 10^10", file("AC1015", block("0 BLOCK,2 A,0 POINT,10 0,20 0,0 ENDBLK"), "0 INSERT,2 A,10 0,20 0,70 100000,71 100000,44 1,45 1"), "dxf-bad-value"},
		{"array of -5", file("AC1015", block("0 BLOCK,2 A,0 CIRCLE,10 0,20 0,40 1,0 ENDBLK"), "0 INSERT,2 A,10 0,20 0,70 -5,71 -32768,44 1,45 1"), ""},
		{"arrays in arrays", file("AC1015", block("0 BLOCK,2 A,0 INSERT,2 B,10 0,20 0,70 30000,44 1,0 ENDBLK,0 BLOCK,2 B,0 CIRCLE,10 0,20 0,40 1,0 ENDBLK"), "0 INSERT,2 A,10 0,20 0,70 30000,44 1"), "dxf-too-much"},
		{"scale 1e12 in scale 1e12", file("AC1015", block("0 BLOCK,2 A,0 INSERT,2 B,10 0,20 0,41 1e12,42 1e12,0 ENDBLK,0 BLOCK,2 B,0 CIRCLE,10 0,20 0,40 1,0 ENDBLK"), "0 INSERT,2 A,10 0,20 0,41 1e12,42 1e12"), "dxf-bad-value"},
		{"LWPOLYLINE of 2e9", file("AC1015", "", "0 LWPOLYLINE,90 2000000000,10 0,20 0,10 1,20 1"), ""},
		{"POLYLINE without end", []byte("0\nSECTION\n2\nENTITIES\n0\nPOLYLINE\n66\n1\n" + many("0\nVERTEX\n10\n1\n20\n1\n", 1000)), "dxf-no-end"},
		{"HATCH of 2e9", file("AC1015", "", "0 HATCH,10 0,20 0,91 2000000000,92 7,72 1,73 1,93 2000000000,10 0,20 0,42 1,10 1,20 0,42 1"), ""},
		{"HATCH of nothing", file("AC1015", "", "0 HATCH,91 1,92 1,93 2000000000,72 9,72 4,94 99", "0 LINE,10 0,20 0,11 1,21 0"), "dxf-skipped"},
		{"HATCH of endless ellipses", file("AC1015", "", "0 HATCH,91 1,92 1,93 99"+many(",72 3,10 0,20 0,11 1e9,21 0,40 1e-9,50 -1e12,51 1e12,73 1", 99), "0 LINE,10 0,20 0,11 1,21 0"), ""},
		{"knots that fall", spline("71 3,40 0,40 0,40 0,40 0,40 -1,40 1,40 1,40 1,10 0,20 0,10 1,20 1,10 2,20 0,10 3,20 3"), "dxf-bad-value"},
		{"knots all equal", spline("71 3" + many(",40 5", 8) + ",10 0,20 0,10 1,20 1,10 2,20 0,10 3,20 3"), "dxf-bad-value"},
		{"too few knots", spline("71 3,40 0,40 1,10 0,20 0,10 1,20 1,10 2,20 0,10 3,20 3"), "dxf-bad-value"},
		{"knots that are none", spline("71 3" + many(",40 nan", 8) + ",10 0,20 0,10 1,20 1,10 2,20 0,10 3,20 3"), "dxf-bad-value"},
		{"degree 1e9", spline("71 1000000000,72 2000000000,73 2000000000" + many(",40 0", 8) + ",10 0,20 0,10 1,20 1"), "dxf-bad-value"},
		{"weights of zero", spline("70 4,71 1,40 0,40 0,40 1,40 1,41 0,41 0,10 0,20 0,10 1,20 1"), "dxf-bad-value"},
		{"spline through one point", spline("71 3" + many(",11 4,21 4", 50)), ""},
		{"ellipse with a ratio of 1e-300", file("AC1015", "", "0 ELLIPSE,10 0,20 0,11 1e9,21 0,40 1e-300,41 0,42 6.3"), ""},
		{"ellipse with a ratio of 1e300", file("AC1015", "", "0 ELLIPSE,10 0,20 0,11 1,21 0,40 1e300,41 0,42 6.3"), "dxf-bad-value"},
		{"ellipse of 1e300 turns", file("AC1015", "", "0 ELLIPSE,10 0,20 0,11 1,21 0,40 0.5,41 -1e300,42 1e300"), "dxf-bad-value"},
		{"a normal of zero", file("AC1015", "", "0 CIRCLE,10 0,20 0,40 1,210 0,220 0,230 0"), "dxf-no-direction"},
		{"weights of zero in a spline without", spline("70 8,71 1,40 0,40 0,40 1,40 1,41 0,41 0,10 0,20 0,10 1,20 1"), "dxf-no-weights"},
		{"a text of 10 MB", file("AC1015", "", "0 TEXT,10 0,20 0,40 3,1 "+many("DOME", 2_500_000)), ""},
		{"a layer of 1 MB", file("AC1015", "", "0 CIRCLE,10 0,20 0,40 3,8 "+many("LED", 350_000)), ""},
		{"MTEXT of nested braces", file("AC1015", "", "0 MTEXT,10 0,20 0,40 3,1 "+many("{", 200_000)), ""},
		{"a unit that is none", bytes.Replace(file("AC1015", "", "0 LINE,10 0,20 0,11 100,21 0"), []byte("70\n4\n"), []byte("70\n-7\n"), 1), ""},
		{"no line ends", []byte(strings.ReplaceAll(string(file("AC1015", "", "0 LINE,10 0,20 0,11 1,21 0")), "\n", " ")), "dxf-not-dxf"},
		{"nothing but line ends", []byte(many("\n", 100_000)), "dxf-empty"},
		{"nothing but noughts", make([]byte, 100_000), "dxf-empty"},
		{"one endless line", []byte(many("0", 5_000_000)), "dxf-not-dxf"},
		{"sections without end", []byte(many("0\nSECTION\n2\nENTITIES\n", 50_000)), "dxf-no-end"},
		{"a binary head alone", []byte(sentinel), "dxf-not-dxf"},
		{"a code of 10 digits", []byte("0\nSECTION\n2\nENTITIES\n9999999999\nx\n0\nEOF\n"), "dxf-cut-off"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			start := time.Now()
			d, l := Read(t.Context(), c.src, "x.dxf")
			took := time.Since(start)
			runtime.ReadMemStats(&after)
			require.Less(t, took, 60*time.Second) // the worst takes one second of a free core
			// Half a gigabyte is what the limits on entities and points allow in all.
			require.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(1<<30))
			found := false
			for _, f := range l {
				found = found || f.Code == c.code
				require.NotEmpty(t, f.Text)
				if f.Severity != diag.Note {
					require.NotEmpty(t, f.Advice, f.Code)
				}
			}
			if c.code == "" {
				require.False(t, l.HasErrors() && len(d.Entities) == 0 && len(d.Skipped) == 0, "%v", l)
			} else {
				require.True(t, found, "want %s, found %v", c.code, l)
			}
		})
	}
}

// TestTruncatedBinary: cut at any byte, binary drawings of both generations are read without a crash and never without
// a word.
func TestTruncatedBinary(t *testing.T) {
	for _, name := range []string{"binary-r12", "binary-r2000"} {
		src, err := os.ReadFile("../read/testdata/focus/" + name + ".dxf")
		require.NoError(t, err)
		step := 1
		if testing.Short() {
			step = 37
		}
		for n := 0; n < len(src)-6; n += step { // behind it stands the end mark
			if n > 2000 && n < len(src)-2000 && n%7 != 0 {
				continue
			}
			_, l := Read(t.Context(), src[:n], "x.dxf")
			require.NotEmpty(t, l, "%s cut at %d", name, n)
		}
	}
}
