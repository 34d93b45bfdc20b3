package pack_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/export"
	"lampblack/export/compare"
	"lampblack/export/compare/pack"
	"lampblack/export/excellon"
	"lampblack/export/exporttest"
	"lampblack/export/gerber"
	"lampblack/export/netlist"
	"lampblack/export/readback"
	"lampblack/panel/geom"
)

// written is a board's pack, written and read.
func written(t *testing.T, b board.Board, keep func(name string) bool) readback.Pack {
	t.Helper()
	a := export.Lower(b)
	a.Layers = append(a.Layers, export.Components(b)...)
	var files []readback.File
	add := func(name string, data []byte) {
		if keep == nil || keep(name) {
			files = append(files, readback.File{Name: name, Data: data})
		}
	}
	for i, l := range a.Layers {
		add(export.FileName(a.Name, l.Function), gerber.Layer(a, i, gerber.Meta{}))
	}
	for i, d := range a.Drills {
		add(export.DrillFileName(a.Name, d.Plated), excellon.Drill(a, i, excellon.Meta{}))
	}
	ipc, l := netlist.IPC(a, netlist.Meta{})
	require.Empty(t, l)
	add(export.NetlistFileName(a.Name), ipc)
	add(export.JobFileName(a.Name), gerber.Job(a, gerber.Meta{}))
	p, l := readback.Open(t.Context(), files)
	if keep == nil {
		require.False(t, l.HasErrors(), "%v", l)
	}
	return p
}

func codesOf(d compare.Difference) string {
	var out []string
	for _, c := range d.Changes {
		if !slices.Contains(out, c.Code) {
			out = append(out, c.Code)
		}
	}
	return strings.Join(out, " ")
}

func textOf(d compare.Difference) string {
	var out []string
	for _, c := range d.Changes {
		out = append(out, c.Text)
	}
	return strings.Join(out, "\n")
}

// Each change made by hand is named, with what follows from it on other layers and nothing else; so is whether an old board can stand for
// a new one.
func TestNamesTheChange(t *testing.T) {
	mm := geom.PtMM
	was := written(t, exporttest.Desk(), nil)
	for _, c := range []struct {
		name, codes, text string
		do                func(*board.Board)
		fits              bool
	}{
		{"nothing", "", "", func(*board.Board) {}, true},
		{"drawn in another order", "", "", func(b *board.Board) { slices.Reverse(b.Tracks[:2]); slices.Reverse(b.Vias) }, true},
		{"edge", "board-size", "less at (", func(b *board.Board) { b.Cutouts[1] = geom.Rect(geom.Box{Min: mm(40, 4), Max: mm(49, 9)}).Reversed() }, false},
		{"thicker copper", "laminate", "35 µm of copper, it is 1.6 mm with 70 µm", func(b *board.Board) { b.Laminate.Copper *= 2 }, false},
		{"thinner board", "laminate", "it is 1 mm", func(b *board.Board) { b.Laminate.Thickness = geom.MM(1) }, false},
		{"value", "part", "R1 was", func(b *board.Board) { b.Parts[3].Value = "820" }, false},
		{"LED moved", "part-moved copper", "D2 from (27, 22) to (29, 22), by 2 mm", func(b *board.Board) { shift(&b.Parts[1], geom.MM(2), 0) }, false},
		{"LED gone", "part-gone copper print", "1 part gone: D3", func(b *board.Board) { b.Parts = slices.Delete(b.Parts, 2, 3) }, false},
		{"other references", "references", "2 parts have", func(b *board.Board) { b.Parts[0].Ref, b.Parts[1].Ref = "D2", "D1" }, true},
		{"mount moved", "hole", "hole of 3.2 mm at (6, 6) moved by 1.5 mm", func(b *board.Board) { b.Holes[0].At = mm(7.5, 6) }, false},
		{"mount wider", "hole", "is a hole of 4.3 mm", func(b *board.Board) { b.Holes[0].D = geom.MM(4.3) }, false},
		{"mount gone", "hole-gone", "hole of 3.2 mm at (6, 6)", func(b *board.Board) { b.Holes = b.Holes[1:] }, false},
		{"strain relief", "hole-added", "hole of 1.5 mm at (34, 37.5)", func(b *board.Board) {
			b.Holes = append(b.Holes, board.Hole{At: mm(34, 37.5), D: geom.MM(1.5), What: board.StrainRelief})
		}, false},
		{"wider track", "copper", "copper on the bottom changed: ", func(b *board.Board) { b.Tracks[0].Width *= 2 }, true},
		{"via", "copper vias", "vias: 2, now 3; 0 went and 1 came", func(b *board.Board) {
			b.Vias = append(b.Vias, board.Via{Net: 1, At: mm(38, 28), Drill: geom.MM(0.4), D: geom.MM(0.9)})
		}, true},
		{"print", "print", "silkscreen on the top changed: ", func(b *board.Board) {
			b.Legend = append(b.Legend, board.Stroke{On: geom.Top, Width: geom.MM(0.2), Path: geom.Polyline{mm(30, 36), mm(32, 36)}})
		}, true},
		{"pins", "nets", "no longer so", func(b *board.Board) { p := b.Parts[4].Pads; p[0].Net, p[1].Net = p[1].Net, p[0].Net }, false},
		{"net's name", "net-names", "1 net has another name", func(b *board.Board) { b.Nets[4].Name = "S9" }, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := exporttest.Desk()
			c.do(&b)
			d := pack.Boards(t.Context(), "dome", was, written(t, b, nil))
			require.Equal(t, c.codes, codesOf(d), textOf(d))
			require.Contains(t, textOf(d), c.text)
			require.Empty(t, d.Unknown)
			require.Equal(t, c.codes == "", d.Same)
			require.Equal(t, c.fits, d.Boards[0].Fits, d.Boards[0].Why)
		})
	}
}

// shift moves a part with all that is its own.
func shift(p *board.Part, x, y geom.Nm) {
	by := geom.Vec{X: x, Y: y}
	p.At = p.At.Add(by)
	p.Body, p.Courtyard = p.Body.Moved(by), p.Courtyard.Moved(by)
	p.Pads = slices.Clone(p.Pads)
	for i := range p.Pads {
		p.Pads[i].At = p.Pads[i].At.Add(by)
	}
}

// The same board at another place of its files, or with its layers told by less, is the same board; what cannot be told is said so.
func TestSameBoard(t *testing.T) {
	was := written(t, exporttest.Desk(), nil)
	d := pack.Boards(t.Context(), "dome", was, written(t, exporttest.Desk(), func(n string) bool { return !strings.Contains(n, "component") }))
	require.True(t, d.Same, d)
	d = pack.Boards(t.Context(), "dome", was, written(t, exporttest.Desk(), func(n string) bool { return !strings.HasSuffix(n, "gbrjob") }))
	require.Empty(t, d.Changes)
	require.Len(t, d.Unknown, 1, "its laminate is not told")
	d = pack.Boards(t.Context(), "dome", was, written(t, exporttest.Desk(), func(n string) bool { return !strings.Contains(n, "soldermask-top") }))
	require.Equal(t, "layer-gone", codesOf(d))
	d = pack.Boards(t.Context(), "dome", was, elsewhere(was, geom.Vec{X: geom.MM(100), Y: -geom.MM(20)}))
	require.True(t, d.Same, d)
}

// elsewhere is a pack whose files lie elsewhere.
func elsewhere(p readback.Pack, by geom.Vec) readback.Pack {
	p.Artwork.Layers, p.Artwork.Drills, p.Netlist.Points = slices.Clone(p.Artwork.Layers), slices.Clone(p.Artwork.Drills), slices.Clone(p.Netlist.Points)
	for i := range p.Artwork.Layers {
		objects := slices.Clone(p.Artwork.Layers[i].Objects)
		for j, o := range objects {
			objects[j].From, objects[j].To, objects[j].Contour = o.From.Add(by), o.To.Add(by), o.Contour.Moved(by)
		}
		p.Artwork.Layers[i].Objects = objects
	}
	for i := range p.Artwork.Drills {
		hits := slices.Clone(p.Artwork.Drills[i].Hits)
		for j, h := range hits {
			hits[j].At = h.At.Add(by)
		}
		p.Artwork.Drills[i].Hits = hits
	}
	for i, q := range p.Netlist.Points {
		p.Netlist.Points[i].At = q.At.Add(by)
	}
	p.Artwork.Size = geom.Box{Min: p.Artwork.Size.Min.Add(by), Max: p.Artwork.Size.Max.Add(by)}
	return p
}
