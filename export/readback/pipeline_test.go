package readback_test

import (
	"context"
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
	"lampblack/panel/diag"
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
