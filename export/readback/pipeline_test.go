package readback_test

import (
	"context"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/check"
	"lampblack/export"
	"lampblack/export/excellon"
	"lampblack/export/exporttest"
	"lampblack/export/gerber"
	"lampblack/export/netlist"
	"lampblack/export/readback"
	"lampblack/led"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// written returns the files that the writers make of a board, component layers included.
func written(t testing.TB, b board.Board) (export.Artwork, []readback.File) {
	t.Helper()
	a := export.Lower(b)
	full := a
	full.Layers = append(append([]export.Layer{}, a.Layers...), export.Components(b)...)
	var files []readback.File
	// Names that say nothing: the reader must go by the content.
	add := func(data []byte) {
		files = append(files, readback.File{Name: string(rune('a' + len(files))), Data: data})
	}
	for i := range full.Layers {
		add(gerber.Layer(full, i, gerber.Meta{Project: "observatory", Version: "test"}))
	}
	for i := range a.Drills {
		add(excellon.Drill(a, i, excellon.Meta{Project: "observatory", Version: "test"}))
	}
	ipc, found := netlist.IPC(a, netlist.Meta{Project: "observatory"})
	require.False(t, found.HasErrors())
	add(ipc)
	add(gerber.Job(a, gerber.Meta{Project: "observatory"}))
	return full, files
}

func show(t testing.TB, l diag.List) {
	for _, f := range l {
		t.Logf("%s %s %s:%d %v: %s", f.Severity, f.Code, f.Place.File, f.Place.Line, f.Place.At, f.Text)
	}
}

// TestWhatWasWritten: the pack of a real board is read without a finding, is the same artwork, and raises to a board that
// passes the same audit.
func TestWhatWasWritten(t *testing.T) {
	b := exporttest.Desk()
	want, files := written(t, b)
	p, found := readback.Open(t.Context(), files)
	show(t, found)
	require.Empty(t, found)
	diff := readback.Compare(want, p.Artwork)
	show(t, diff)
	require.Empty(t, diff)
	raised, found := readback.Raise(t.Context(), p, b.Rules)
	show(t, found)
	require.Empty(t, found)
	require.Equal(t, len(b.Vias), len(raised.Vias))
	require.Equal(t, len(b.Areas), len(raised.Areas))
	require.Equal(t, len(b.Parts), len(raised.Parts))
	w := exporttest.Wiring()
	before, after := check.Audit(context.Background(), b, w), check.Audit(context.Background(), raised, w)
	show(t, before)
	t.Log("raised")
	show(t, after)
	require.Equal(t, codes(before), codes(after))
}

// Bare pads are read back as what they are, with their openings, and a netlist names the test points and no fiducial.
func TestSpotsAreReadBack(t *testing.T) {
	b := exporttest.Desk()
	b.Spots = []board.Spot{
		{Ref: "TP+", Net: led.Supply, At: geom.PtMM(20, 28), On: geom.Bottom, D: geom.MM(1.5), Mask: geom.MM(0.05)},
		{Use: board.Fiducial, At: geom.PtMM(70, 35), On: geom.Top, D: geom.MM(1), Mask: geom.MM(0.5)},
	}
	b.Vias = b.Vias[1:] // one of them was there
	want, files := written(t, b)
	p, found := readback.Open(t.Context(), files)
	require.Empty(t, found)
	require.Empty(t, readback.Compare(want, p.Artwork))
	raised, found := readback.Raise(t.Context(), p, b.Rules)
	require.Empty(t, found)
	got := raised.Spots
	slices.SortFunc(got, func(a, b board.Spot) int { return int(a.Use) - int(b.Use) })
	require.Equal(t, b.Spots, got)
	require.Len(t, raised.Parts, len(b.Parts), "no part stands on them")
	var points []readback.Point
	for _, q := range p.Netlist.Points {
		if q.At == b.Spots[0].At || q.At == b.Spots[1].At {
			points = append(points, q)
		}
	}
	require.Len(t, points, 1)
	require.Equal(t, "TP+", points[0].Ref)
	require.Equal(t, "V+", points[0].Net)
}

// A file that calls something a test point or a fiducial that cannot be one is read for what it is, and never loses copper.
func TestFalseSpots(t *testing.T) {
	for name, harm := range map[string]func(l *export.Layer, o *export.Object){
		"a square one":            func(l *export.Layer, o *export.Object) { l.Apertures[o.Aperture].Shape = export.Rectangle },
		"one without a name":      func(_ *export.Layer, o *export.Object) { o.Ref, o.Pin = "", "" },
		"one that is a conductor": func(l *export.Layer, o *export.Object) { l.Apertures[o.Aperture].Function = "Conductor" },
	} {
		b := exporttest.Desk()
		b.Spots = []board.Spot{{Ref: "TP+", Net: led.Supply, At: geom.PtMM(24, 28), On: geom.Bottom, D: geom.MM(1.5), Mask: geom.MM(0.05)}}
		a := export.Lower(b)
		for i := range a.Layers {
			l := &a.Layers[i]
			if l.Function != export.CopperBottom {
				continue
			}
			for k := range l.Objects {
				if o := &l.Objects[k]; o.Op == export.Flash && l.Apertures[o.Aperture].Function == "TestPad" {
					harm(l, o)
				}
			}
		}
		raised, _ := readback.Raise(t.Context(), readback.Pack{Artwork: a}, b.Rules)
		require.Empty(t, raised.Spots, name)
		require.Equal(t, 1, len(raised.Areas)-len(b.Areas)+len(raised.Parts)-len(b.Parts), "%s: its copper is still there", name)
	}
}

// BenchmarkReadBack reads, compares and raises the pack of a board of 500 LEDs.
func BenchmarkReadBack(b *testing.B) {
	bd := exporttest.Grid(500)
	want, files := written(b, bd)
	size := 0
	for _, f := range files {
		size += len(f.Data)
	}
	b.SetBytes(int64(size))
	for b.Loop() {
		p, found := readback.Open(b.Context(), files)
		found = append(found, readback.Compare(want, p.Artwork)...)
		_, more := readback.Raise(b.Context(), p, bd.Rules)
		if len(found)+len(more) > 0 {
			b.Fatal(found, more)
		}
	}
}
