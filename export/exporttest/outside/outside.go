// Package outside has fabrication files read by general-purpose parsers of others, in tests: an artwork is written, and what
// they see is compared with what was meant. testdata/gerbercheck tells which parsers, and how to install them.
package outside

import (
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export"
	"lampblack/export/excellon"
	"lampblack/export/gerber"
	"lampblack/panel/geom"
)

// seen is what testdata/gerbercheck/check.js prints of a file.
type seen struct {
	File                                  string
	Warnings                              []string
	Draws, Moves, Flashes, Regions, Tools int
	Box                                   [4]float64
	Units                                 string
}

// olderThan matches warnings that only say that the library is older than the standard: see testdata/gerbercheck/README.md.
var olderThan = regexp.MustCompile(`block "%T[FAOD].* was not recognized and was ignored$|zero suppression missing|notation not set`)

// parsed reads the files with the parsers of testdata/gerbercheck.
func parsed(t testing.TB, names []string) []seen {
	dir := filepath.Join(moduleRoot(t), "testdata", "gerbercheck")
	node, err := exec.LookPath("node")
	if err != nil {
		t.Skip("node is not installed: the outside check of the fabrication files is left out")
	}
	if _, err := os.Stat(filepath.Join(dir, "node_modules", "gerber-plotter")); err != nil {
		t.Skip("run 'npm ci' in testdata/gerbercheck for the outside check of the fabrication files")
	}
	cmd := exec.Command(node, append([]string{filepath.Join(dir, "check.js")}, names...)...)
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	require.NoError(t, err)
	var all []seen
	require.NoError(t, json.Unmarshal(out, &all))
	require.Len(t, all, len(names))
	return all
}

// expected counts what a reader must see in a layer; arcs of more than half a circle are written in two.
func expected(l export.Layer) seen {
	var s seen
	box := geom.EmptyBox()
	edges := func(list []geom.Arc) {
		for _, e := range list {
			s.Draws++
			if math.Abs(e.Bulge) > 1 {
				s.Draws++
			}
		}
	}
	for _, o := range l.Objects {
		switch o.Op {
		case export.Flash:
			s.Flashes++
			ap := l.Apertures[o.Aperture]
			if ap.Shape == export.Diamond {
				ap.H = ap.W
			}
			half := geom.Vec{X: ap.W / 2, Y: ap.H / 2}
			if ap.Slant { // each of its corners is half a side along either diagonal
				reach := geom.MM((ap.W + ap.H).MM() / math.Sqrt(8))
				half = geom.Vec{X: reach, Y: reach}
			}
			box = box.With(o.To.Add(half)).With(o.To.Add(half.Neg()))
		case export.Draw:
			e := geom.Arc{From: o.From, To: o.To, Bulge: o.Bulge}
			edges([]geom.Arc{e})
			box = box.Union(e.Box().Grown(l.Apertures[o.Aperture].W / 2))
		case export.Region:
			s.Regions++
			edges(o.Contour.Edges())
			box = box.Union(o.Contour.Box())
		}
	}
	s.Tools = len(l.Apertures)
	s.Box = [4]float64{box.Min.X.MM(), box.Min.Y.MM(), box.Max.X.MM(), box.Max.Y.MM()}
	return s
}

func expectedDrill(d export.Drill) seen {
	s := seen{Tools: len(d.Tools), Flashes: len(d.Hits)}
	box := geom.EmptyBox()
	for _, h := range d.Hits {
		box = box.Union(geom.BoxOf(h.At).Grown(d.Tools[h.Tool].D / 2))
	}
	for _, slot := range d.Slots {
		s.Draws += len(slot.Path) - 1
		box = box.Union(slot.Path.Box().Grown(d.Tools[slot.Tool].D / 2))
	}
	s.Box = [4]float64{box.Min.X.MM(), box.Min.Y.MM(), box.Max.X.MM(), box.Max.Y.MM()}
	return s
}

// moduleRoot is the folder of go.mod.
func moduleRoot(t testing.TB) string {
	dir, err := os.Getwd()
	require.NoError(t, err)
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		up := filepath.Dir(dir)
		require.NotEqual(t, up, dir, "no go.mod above the test")
		dir = up
	}
}

// Compare writes every layer and drill of the artworks and has them read by parsers of others: without a warning,
// and with the same extent and counts of draws, flashes, regions and tools. It skips the test, with the reason, where Node
// or the parsers are missing.
func Compare(t testing.TB, all ...export.Artwork) {
	t.Helper()
	dir := t.TempDir()
	var names []string
	var want []seen
	write := func(name string, data []byte, s seen) {
		name = filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(name, data, 0o644))
		names, want = append(names, name), append(want, s)
	}
	for _, a := range all {
		for i, l := range a.Layers {
			if len(l.Objects) > 0 {
				write(export.FileName(a.Name, l.Function), gerber.Layer(a, i, gerber.Meta{Project: "Ridge, 100 %"}), expected(l))
			}
		}
		for i, d := range a.Drills {
			write(export.DrillFileName(a.Name, d.Plated), excellon.Drill(a, i, excellon.Meta{}), expectedDrill(d))
		}
	}
	for i, got := range parsed(t, names) {
		for _, w := range got.Warnings {
			require.Regexp(t, olderThan, w, got.File)
		}
		require.Equal(t, "mm", got.Units)
		for k := range got.Box {
			require.InDelta(t, want[i].Box[k], got.Box[k], 2e-6, "%s: box", got.File)
		}
		want[i].File, want[i].Warnings, want[i].Moves, want[i].Units, want[i].Box = got.File, got.Warnings, got.Moves, got.Units, got.Box
		require.Equal(t, want[i], got)
	}
}
