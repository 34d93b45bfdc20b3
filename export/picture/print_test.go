package picture_test

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/boardtest"
	"lampblack/export/exporttest"
	"lampblack/export/picture"
	"lampblack/panel/geom"
)

// contents returns the unpacked content of each page of a PDF, and checks its frame: ISO 32000-1, 7.5: the table of
// places must point at the objects.
func contents(t *testing.T, src []byte) []string {
	t.Helper()
	require.True(t, bytes.HasPrefix(src, []byte("%PDF-1.")))
	at := bytes.LastIndex(src, []byte("startxref\n"))
	var table int
	_, err := fmt.Sscanf(string(src[at:]), "startxref\n%d\n%%%%EOF", &table)
	require.NoError(t, err)
	lines := strings.Split(string(src[table:at]), "\n")
	require.Equal(t, "xref", lines[0])
	var n int
	_, err = fmt.Sscanf(lines[1], "0 %d", &n)
	require.NoError(t, err)
	for i := 1; i < n; i++ {
		require.Len(t, lines[2+i], 19, "with its line end 20 bytes")
		place, err := strconv.Atoi(lines[2+i][:10])
		require.NoError(t, err)
		require.True(t, bytes.HasPrefix(src[place:], fmt.Appendf(nil, "%d 0 obj\n", i)))
	}
	var out []string
	for _, m := range regexp.MustCompile(`/Filter /FlateDecode /Length (\d+)>>\nstream\n`).FindAllSubmatchIndex(src, -1) {
		n, err := strconv.Atoi(string(src[m[2]:m[3]]))
		require.NoError(t, err)
		require.True(t, bytes.HasPrefix(src[m[1]+n:], []byte("\nendstream")))
		z, err := zlib.NewReader(bytes.NewReader(src[m[1] : m[1]+n]))
		require.NoError(t, err)
		text, err := io.ReadAll(z)
		require.NoError(t, err)
		out = append(out, string(text))
	}
	return out
}

// A print is at true size: a point is 1/72 inch, an inch 25.4 mm; the page is A4; the bar is 50 mm; the board's edge is as
// wide as the board.
func TestPrintsAreAtTrueSize(t *testing.T) {
	b := exporttest.Desk()
	src := picture.AssemblyPDF(t.Context(), b, picture.Print{Version: "1.0"})
	pages := contents(t, src)
	require.Len(t, pages, 2)
	a4 := "/MediaBox [0 0 595.28 841.89]" // a hundredth of a point is 4 µm; pages of the usual size have it from all
	require.Positive(t, strings.Count(string(src), a4))
	require.Equal(t, strings.Count(string(src), "/MediaBox"), strings.Count(string(src), a4))
	require.Contains(t, string(src), "/PrintScaling /None")
	for _, p := range pages {
		require.True(t, strings.Contains(p, "q\n2.83465 0 0 -2.83465 0 841.88976 cm\n"), "one user unit is a millimetre")
		require.Equal(t, strings.Count(p, "q\n"), strings.Count(p, "Q\n"))
		var bar []string
		for _, m := range regexp.MustCompile(`(\d+) 282 m\n(\d+) 282 l`).FindAllStringSubmatch(p, -1) {
			bar = append(bar, m[1]+"-"+m[2])
		}
		require.Equal(t, []string{"10-20", "20-30", "30-40", "40-50", "50-60"}, bar)
	}
	// The outline's extent, from the first path that is drawn in the board's group.
	xs := regexp.MustCompile(`(-?[\d.]+) (-?[\d.]+) [mlc]\n`)
	lo, hi := math.Inf(1), math.Inf(-1)
	outline := regexp.MustCompile(`(?s)RG\n0.35 w\n.*?B\*`).FindString(pages[0])
	for _, m := range xs.FindAllStringSubmatch(outline, -1) {
		v, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		lo, hi = min(lo, v), max(hi, v)
	}
	require.InDelta(t, b.Outline.Box().W().MM(), hi-lo, 1e-3)
}

// The same input gives the same bytes; a date is there only when it is given; parentheses and letters of any script do not
// break the title.
func TestPrintDatesAndTitles(t *testing.T) {
	b := exporttest.Desk()
	first := picture.AssemblyPDF(t.Context(), b, picture.Print{})
	require.Equal(t, first, picture.AssemblyPDF(t.Context(), b, picture.Print{}))
	require.NotContains(t, string(first), "Date")
	require.NotContains(t, string(first), "/ID")
	dated := picture.AssemblyPDF(t.Context(), b, picture.Print{Date: time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)})
	require.Contains(t, string(dated), "/CreationDate (D:20261125000000)")
	b.Name = `dome (left\`
	require.Contains(t, string(picture.AssemblyPDF(t.Context(), b, picture.Print{})), `/Title (dome \(left\\: assembly)`)
	require.Contains(t, string(picture.AssemblyPDF(t.Context(), b, picture.Print{Revision: "C"})), `/Title (dome \(left\\: assembly, revision C)`)
	b.Name = "Kuppel ä𝛼"
	require.Contains(t, string(picture.AssemblyPDF(t.Context(), b, picture.Print{})), "/Title (\xfe\xff\x00K\x00u", "UTF-16: ISO 32000-1, 7.9.2.2")
	require.Contains(t, string(picture.AssemblyPDF(t.Context(), b, picture.Print{})), "\x00\xe4\xd8\x35\xde\xfc\x00:")
}

// Every panel gives a page, whatever its size: A4, A3, or made to measure.
func TestPanelPDF(t *testing.T) {
	for seed := range uint64(4) {
		p := boardtest.Panel(seed, 10)
		require.Len(t, contents(t, picture.PanelPDF(t.Context(), p, nil, []board.Board{exporttest.Desk()}, picture.Print{})), 1)
	}
	p := boardtest.Panel(1, 10)
	p.Outline = geom.Rect(geom.Box{Max: geom.PtMM(600, 300)})
	src := picture.PanelPDF(t.Context(), p, nil, []board.Board{exporttest.Desk()}, picture.Print{})
	require.Contains(t, string(src), "/MediaBox [0 0 1757.48 ")
}

func BenchmarkAssemblyPDF(b *testing.B) {
	grid := exporttest.Grid(60)
	for b.Loop() {
		picture.AssemblyPDF(b.Context(), grid, picture.Print{})
	}
}
