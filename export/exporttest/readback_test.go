package exporttest_test

import (
	"encoding/json"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/check"
	"lampblack/export"
	"lampblack/export/excellon"
	"lampblack/export/exporttest"
	"lampblack/export/gerber"
	"lampblack/export/netlist"
	"lampblack/export/readback"
	"lampblack/panel/geom"
)

// What was written is what the independent reader reads: the same objects in the same order, the same holes, every test
// point, and not one finding.
func TestReadback(t *testing.T) {
	desk, grid := exporttest.Desk(), exporttest.Grid(60)
	a := export.Lower(desk)
	a.Layers = append(a.Layers, export.Components(desk)...)
	for _, a := range []export.Artwork{a, export.Lower(grid)} {
		var files []readback.File
		for i, l := range a.Layers {
			src := gerber.Layer(a, i, gerber.Meta{})
			got, found := readback.Gerber(nil, src, export.FileName(a.Name, l.Function))
			require.Empty(t, found)
			require.Equal(t, l.Function, got.Function)
			require.Equal(t, l.Negative, got.Negative)
			require.Len(t, got.Objects, len(l.Objects), "%v", l.Function)
			files = append(files, readback.File{Name: export.FileName(a.Name, l.Function), Data: src})
		}
		for i, d := range a.Drills {
			src := excellon.Drill(a, i, excellon.Meta{})
			got, found := readback.Drill(src, export.DrillFileName(a.Name, d.Plated))
			require.Empty(t, found)
			require.Equal(t, d.Tools, got.Tools)
			require.ElementsMatch(t, d.Hits, got.Hits)
			files = append(files, readback.File{Name: export.DrillFileName(a.Name, d.Plated), Data: src})
		}
		src, found := netlist.IPC(a, netlist.Meta{Project: "Ridge desk"})
		require.Empty(t, found)
		files = append(files, readback.File{Name: export.NetlistFileName(a.Name), Data: src},
			readback.File{Name: export.JobFileName(a.Name), Data: gerber.Job(a, gerber.Meta{})})
		pack, found := readback.Open(t.Context(), files)
		require.False(t, found.HasErrors(), "%v", found)
		require.Empty(t, readback.Compare(a, pack.Artwork))
	}
}

// Areas of silkscreen are raised as they were: a frame with a mark in its hole, and their sides. An area that covers a pad wholly
// is found from what was written, which its border alone would not tell.
func TestInkIsRaised(t *testing.T) {
	desk := exporttest.Desk()
	sizes := func(b board.Board) (out [2][]float64) {
		for _, k := range b.Ink {
			out[k.On] = append(out[k.On], k.Fill.Area())
		}
		slices.Sort(out[0])
		return out
	}
	raised := func(b board.Board) board.Board {
		var p readback.Pack
		a := export.Lower(b)
		for i := range a.Layers {
			got, found := readback.Gerber(nil, gerber.Layer(a, i, gerber.Meta{}), export.FileName(a.Name, a.Layers[i].Function))
			require.Empty(t, found)
			p.Artwork.Layers = append(p.Artwork.Layers, got)
		}
		p.Artwork.Drills = a.Drills
		out, l := readback.Raise(t.Context(), p, b.Rules)
		require.False(t, l.HasErrors(), "%v", l)
		return out
	}
	got := raised(desk)
	require.Equal(t, [2][]float64{{1, 16}, {12.5}}, sizes(got))
	require.Len(t, got.Legend, 2+3, "strokes stay strokes: the board's and those of three LEDs")
	covered := desk
	at := desk.Parts[0].Pads[0].At
	covered.Ink = []board.Ink{{On: geom.Bottom, Fill: geom.Polygon{Outer: geom.Rect(geom.BoxOf(at).Grown(geom.MM(4))).Ring(1)}}}
	found, _ := check.Sound(t.Context(), raised(covered))
	codes := map[string]int{}
	for _, f := range found {
		codes[f.Code]++
	}
	require.Positive(t, codes["check-legend-on-pad"], "%v", found)
}

// The job file calls each file what the file calls itself, letter for letter: .FileFunction and .FilePolarity are defined once
// (The Gerber Layer Format Specification 2021.02, section 5.6). Of dates it has none unless one is given, and then the
// layers' own.
func TestJobNamesFilesAsTheyDo(t *testing.T) {
	desk := exporttest.Desk()
	a := export.Lower(desk)
	a.Layers = append(a.Layers, export.Components(desk)...)
	a.Layers = append(a.Layers, export.Layer{Function: export.Vcut})
	for _, day := range []time.Time{{}, time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)} {
		var job struct {
			Header          map[string]any
			FilesAttributes []struct{ Path, FileFunction, FilePolarity string }
		}
		src := gerber.Job(a, gerber.Meta{Date: day})
		require.NoError(t, json.Unmarshal(src, &job))
		files := map[string]string{}
		for i, l := range a.Layers {
			files[export.FileName(a.Name, l.Function)] = string(gerber.Layer(a, i, gerber.Meta{Date: day}))
		}
		for i, d := range a.Drills {
			files[export.DrillFileName(a.Name, d.Plated)] = string(excellon.Drill(a, i, excellon.Meta{Date: day}))
		}
		require.Len(t, job.FilesAttributes, len(files))
		for _, f := range job.FilesAttributes {
			of := func(name string) string {
				m := regexp.MustCompile(`TF\.` + name + `,([^*\n]*)`).FindStringSubmatch(files[f.Path])
				require.NotNil(t, m, "%s says nothing of its %s", f.Path, name)
				return m[1]
			}
			require.Equal(t, of("FileFunction"), f.FileFunction, f.Path)
			require.Equal(t, of("FilePolarity"), f.FilePolarity, f.Path)
			if day.IsZero() {
				require.NotContains(t, files[f.Path], "CreationDate")
			} else {
				require.Equal(t, of("CreationDate"), job.Header["CreationDate"])
			}
		}
		if day.IsZero() {
			require.NotContains(t, string(src), "Date")
		}
	}
}

// A net name beyond the 14 columns comes back whole.
func TestReadbackLongNets(t *testing.T) {
	long := "S12.3-under-the-dome-switch"
	b := exporttest.Desk()
	b.Nets[4].Name = long
	src, found := netlist.IPC(export.Lower(b), netlist.Meta{})
	require.Empty(t, found)
	got, found := readback.IPC(src, "dome-netlist.ipc")
	require.Empty(t, found)
	n := 0
	for _, p := range got.Points {
		require.False(t, strings.HasPrefix(p.Net, "NNAME"), p.Net)
		if p.Net == long {
			n++
		}
	}
	require.Equal(t, 2, n)
}
