package exporttest_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export"
	"lampblack/export/bundle"
	"lampblack/export/excellon"
	"lampblack/export/exporttest"
	"lampblack/export/gerber"
	"lampblack/export/netlist"
	"lampblack/export/readback"
)

// The whole way of a pack for a board of 500 LEDs: lower, write, zip, read back and compare. Limit: 300 ms.
func BenchmarkPack(b *testing.B) {
	grid := exporttest.Grid(500)
	for b.Loop() {
		a := export.Lower(grid)
		a.Layers = append(a.Layers, export.Components(grid)...)
		var files []bundle.File
		for i, l := range a.Layers {
			files = append(files, bundle.File{Path: export.FileName(a.Name, l.Function), Data: gerber.Layer(a, i, gerber.Meta{})})
		}
		for i, d := range a.Drills {
			files = append(files, bundle.File{Path: export.DrillFileName(a.Name, d.Plated), Data: excellon.Drill(a, i, excellon.Meta{})})
		}
		src, found := netlist.IPC(a, netlist.Meta{})
		require.Empty(b, found)
		files = append(files, bundle.File{Path: export.NetlistFileName(a.Name), Data: src},
			bundle.File{Path: export.JobFileName(a.Name), Data: gerber.Job(a, gerber.Meta{})})
		bundle.Zip(nil, files)
		var back []readback.File
		for _, f := range files {
			back = append(back, readback.File{Name: f.Path, Data: f.Data})
		}
		pack, found := readback.Open(b.Context(), back)
		require.Empty(b, found)
		require.Empty(b, readback.Compare(a, pack.Artwork))
	}
}
