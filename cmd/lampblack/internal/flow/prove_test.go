package flow

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/boardtest/made"
	"lampblack/board/check"
	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/export"
	"lampblack/export/bundle"
	"lampblack/export/readback"
	"lampblack/export/report"
	"lampblack/export/result"
	"lampblack/export/stencil"
	"lampblack/led"
	"lampblack/panel/diag"
)

// packed is a board's artwork and its pack, as the build's own stages make them.
func packed(t testing.TB, b board.Board) (lowerOut, filesOut) {
	low := lowering.do(t.Context(), lowerIn{memo.Kept[boardOut]{Value: boardOut{Board: b}}, "desk"})
	require.Empty(t, low.Findings)
	out := packing.do(t.Context(), packIn{memo.Kept[lowerOut]{Value: low}, memo.Kept[boardOut]{Value: boardOut{Board: b}}, packMeta{Console: "desk"}, report.Pack{}})
	require.Empty(t, out.Findings)
	return low, out
}

func judged(t *testing.T, low lowerOut, pack filesOut, b board.Board, w led.Wiring) diag.List {
	return readingBack.do(t.Context(), readBackIn{memo.Kept[filesOut]{Value: pack}, memo.Kept[lowerOut]{Value: low}, b.Rules, b.Less, w, stencil.Usual}).Findings
}

// What goes wrong between the writer and the disk is found in the bytes that were written: each of these is one word or one
// line of a file of a good pack.
func TestFaultsAfterWritingAreFound(t *testing.T) {
	b, w, l := made.Board(3, 8)
	require.NoError(t, l.Err())
	low, pack := packed(t, b)
	require.NoError(t, judged(t, low, pack, b, w).Err(), "a good pack is good")
	digit := regexp.MustCompile(`(?m)^X(\d+)`)
	for _, c := range []struct {
		file, what string
		harm       func(string) string
	}{
		{"-copper-top.gbr", "a place that is off by some", func(s string) string { return replaceAt(s, digit, "X9") }},
		{"-copper-bottom.gbr", "a line that is missing", func(s string) string { return dropLine(s, "D01*") }},
		{"-copper-bottom.gbr", "an anode that is called a cathode", func(s string) string { return strings.Replace(s, ",2,A*", ",2,K*", 1) }},
		{"-soldermask-bottom.gbr", "an opening that is missing", func(s string) string { return dropLine(s, "D03*") }},
		{"-silkscreen-top.gbr", "ink that is elsewhere", func(s string) string { return replaceAt(s, digit, "X9") }},
		{"-silkscreen-bottom.gbr", "a stroke of a letter that is missing", func(s string) string { return dropLine(s, "D01*") }},
		{"-component-top.gbr", "a part that lies otherwise", func(s string) string { return strings.Replace(s, ".CRot,", ".CRot,9", 1) }},
		{"-profile.gbr", "an edge that is missing", func(s string) string { return dropLine(s, "D01*") }},
		{"-drill-plated.drl", "a drill of another size", func(s string) string { return strings.Replace(s, "T01C", "T01C1", 1) }},
		{"-drill-plated.drl", "a hole that is missing", func(s string) string { return dropLine(s, "Y") }},
		{"-netlist.ipc", "a pin on another net", func(s string) string { return strings.Replace(s, "317V+", "3170V", 1) }},
	} {
		harmed := filesOut{}
		done := false
		for _, f := range pack.Files {
			if strings.HasSuffix(f.Path, c.file) {
				s := c.harm(string(f.Data))
				done = s != string(f.Data)
				f = bundle.File{Path: f.Path, Data: []byte(s)}
			}
			harmed.Files = append(harmed.Files, f)
		}
		require.True(t, done, "%s: %s", c.file, c.what)
		require.True(t, judged(t, low, harmed, b, w).HasErrors(), "%s: %s", c.file, c.what)
	}
}

// What a writer gets wrong, with files that are good in themselves, is found against the artwork: here the pack is that of
// another board, as little different as can be.
func TestFaultsOfWritersAreFound(t *testing.T) {
	sequel(t)
	b, w, l := made.Board(3, 8)
	require.NoError(t, l.Err())
	low, _ := packed(t, b)
	for what, harm := range map[string]func(b *board.Board){
		"a stroke less":       func(b *board.Board) { b.Legend = b.Legend[1:] },
		"a thinner stroke":    func(b *board.Board) { b.Legend[0].Width -= 10_000 },
		"a wider track":       func(b *board.Board) { b.Tracks[0].Width += 10_000 },
		"a larger hole":       func(b *board.Board) { b.Holes[0].D += 10_000 },
		"a larger opening":    func(b *board.Board) { b.Parts[0].Pads[0].Mask += 10_000 },
		"a part turned round": func(b *board.Board) { b.Parts[0].Turn = (b.Parts[0].Turn + 180) % 360 },
		"another value":       func(b *board.Board) { b.Parts[0].Value = "green-3mm" },
		"another side": func(b *board.Board) {
			for i := range b.Legend {
				b.Legend[i].On = 1 - b.Legend[i].On
			}
		},
	} {
		other := b
		other.Parts, other.Tracks = append([]board.Part{}, b.Parts...), append([]board.Track{}, b.Tracks...)
		other.Holes, other.Legend = append([]board.Hole{}, b.Holes...), append([]board.Stroke{}, b.Legend...)
		other.Parts[0].Pads = append([]board.Pad{}, b.Parts[0].Pads...)
		harm(&other)
		_, pack := packed(t, other)
		require.True(t, judged(t, low, pack, b, w).HasErrors(), what)
	}
}

func replaceAt(s string, at *regexp.Regexp, with string) string {
	i := at.FindStringIndex(s)
	return s[:i[0]] + with + s[i[0]+2:]
}

// dropLine leaves out the second line that has the word.
func dropLine(s, word string) string {
	n := 0
	var out strings.Builder
	for l := range strings.Lines(s) {
		if strings.Contains(l, word) {
			if n++; n == 2 {
				continue
			}
		}
		out.WriteString(l)
	}
	return out.String()
}

// The third proof: a board that is wrong although the pack is written as it is. Artwork and pack agree, so that only the audit
// of the board raised from the files can tell, in the words that say so.
func TestTheBoardReadBackIsJudged(t *testing.T) {
	good, w, l := made.Board(3, 8)
	require.NoError(t, l.Err())
	part := func(b *board.Board, kind board.Kind) *board.Part {
		for i := range b.Parts {
			if b.Parts[i].Kind == kind {
				b.Parts[i].Pads = append([]board.Pad{}, b.Parts[i].Pads...)
				return &b.Parts[i]
			}
		}
		return nil
	}
	for _, c := range []struct {
		code string
		harm func(b *board.Board)
	}{
		{"check-open", func(b *board.Board) { b.Tracks = nil }},
		{"check-pin-net", func(b *board.Board) {
			p := part(b, board.LED).Pads
			p[0].Net, p[1].Net = p[1].Net, p[0].Net
		}},
		{"check-pin-function", func(b *board.Board) {
			p := part(b, board.LED).Pads
			p[0].Function, p[1].Function = p[1].Function, p[0].Function
		}},
		{"check-pin-function", func(b *board.Board) {
			p := part(b, board.Connector).Pads
			p[0].Function, p[1].Function = p[1].Function, p[0].Function
		}},
		{"check-polarity-mark", func(b *board.Board) {
			p := part(b, board.LED).Pads
			p[0].Shape, p[1].Shape = p[1].Shape, p[0].Shape
		}},
		{"check-missing-part", func(b *board.Board) { b.Parts = b.Parts[1:] }},
	} {
		b := good
		b.Parts, b.Tracks = append([]board.Part{}, good.Parts...), append([]board.Track{}, good.Tracks...)
		c.harm(&b)
		low, pack := packed(t, b)
		var files []readback.File
		for _, f := range fabOf(pack.Files) {
			files = append(files, readback.File{Name: f.Path, Data: f.Data})
		}
		read, l := readback.Open(t.Context(), files)
		require.NoError(t, l.Err(), c.code)
		require.NoError(t, readback.Compare(low.Art, read.Artwork).Err(), "%s: written as it is", c.code)
		var codes []string
		for _, f := range judged(t, low, pack, b, w) {
			require.Equal(t, diag.Error, f.Severity)
			require.True(t, strings.HasPrefix(f.Text, "read back from the pack: "), f.Text)
			codes = append(codes, f.Code)
		}
		require.Contains(t, codes, c.code)
		require.True(t, check.Audit(t.Context(), b, w).HasErrors(), c.code)
	}
}

// A build hangs on the proof of what was read back: where that stage fails, the panel has no pack and is not called good.
func TestNoPackWithoutItsProof(t *testing.T) {
	p, set := starter(t, "/somewhere/a.dxf")
	e := NewEngine(UsualBound())
	asked := 0
	e.fault = func(stage, of string) {
		if stage == readingBack.name {
			asked++
			panic("a fault of ours")
		}
	}
	out := must(e.Build(t.Context(), p, set))
	require.Equal(t, len(out.Built), asked, "each panel's pack is read back")
	require.True(t, out.Findings.HasErrors())
	require.Zero(t, out.Packs)
	for _, f := range out.Files {
		require.NotContains(t, f.Path, result.PackFolder)
	}
}

// order.csv tells of each board to order one line: its size in mm, two layers, and one of it for a console.
func TestOrderedQuantities(t *testing.T) {
	p, set := starter(t, "/somewhere/a.dxf")
	out := must(Build(t.Context(), p, set))
	var rows [][]string
	for _, f := range out.Files {
		if f.Path == string(result.OrderCSV) {
			var err error
			rows, err = csv.NewReader(bytes.NewReader(f.Data)).ReadAll()
			require.NoError(t, err)
		}
	}
	require.Len(t, rows, 1+len(out.Built))
	require.Equal(t, []string{"board", "width_mm", "height_mm", "layers", "quantity"}, rows[0][:5])
	for i, b := range out.made() {
		box := b.Board.Outline.Box()
		require.Equal(t, []string{b.Name(), fmt.Sprintf("%.2f", box.W().MM()), fmt.Sprintf("%.2f", box.H().MM()), "2", "1"}, rows[1+i][:5])
	}
}

// An array has as many of each board as were asked for, counted on the copper as written: every LED of each of them.
func TestArraysHaveWhatWasAskedFor(t *testing.T) {
	out := built(t)
	order := out.Orders[len(out.Orders)-1]
	asked := map[string]int{"focus": 3, "weather": 1} // as example asks
	require.Equal(t, "small", order.Name)
	leds := 0
	got := map[string]int{}
	for _, b := range order.Boards {
		got[b.Panel]++
	}
	require.Equal(t, asked, got)
	for _, b := range out.Built {
		leds += asked[b.Panel.Name] * b.LEDs()
	}
	refs := map[string]bool{}
	lamp := regexp.MustCompile(`^\d+D\d+$`)
	for _, f := range out.Files {
		if strings.HasPrefix(f.Path, result.OrderFolder(order.Name)+"/"+result.PackFolder) && strings.HasSuffix(f.Path, export.FileName("", export.CopperTop)) {
			layer, l := readback.Gerber(nil, f.Data, f.Path)
			require.NoError(t, l.Err())
			for _, o := range layer.Objects {
				if lamp.MatchString(o.Ref) {
					refs[o.Ref] = true
				}
			}
		}
	}
	require.Len(t, refs, leds)
}
