package flow

import (
	"bytes"
	"context"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"lampblack/export/nest/prove"
	"lampblack/export/result"
	"lampblack/panel/geom"
)

// The sheets of all panels and copies come on stock, each once, as result.json says and the files show; a kind of sheet
// without stock does not. What the laser's files show is proven here once more, by the places of result.json and the panels' own files.
func TestSheetsOnStock(t *testing.T) {
	d := newBench()
	d.more = "copies: 3\nstock: {face: 200 x 130 mm, led_sheet: {size: 10 x 8 in, turns: none}, gap: 3 mm, edge: 4 mm}\n"
	p, set := d.open(t)
	out := must(Build(t.Context(), p, set))
	require.NoError(t, out.Findings.Err())
	require.Len(t, out.Result.Nests, 2)
	files := map[string][]byte{}
	for _, f := range out.Files {
		require.NotContains(t, files, f.Path)
		files[f.Path] = f.Data
	}
	for i, n := range out.Result.Nests {
		sheet := []string{"face", "led"}[i]
		require.Equal(t, []string{"face", "led_sheet"}[i], n.Sheet)
		require.Len(t, n.Pieces, 9)
		require.Empty(t, n.TooLarge)
		require.Equal(t, 3.0, n.Gap)
		seen := map[[2]any]bool{}
		area := 0.0
		for _, q := range n.Pieces {
			seen[[2]any{q.Panel, q.Copy}] = true
			if n.Sheet == "led_sheet" {
				require.Zero(t, q.Turn)
			}
			for _, b := range out.Built {
				if b.Panel.Name == q.Panel {
					area += float64(b.Panel.Outline.Box().W().MM()+0.2) * (b.Panel.Outline.Box().H().MM() + 0.2)
				}
			}
		}
		require.Len(t, seen, 9)
		stock := n.Width*n.Height*float64(n.Sheets) - n.CutOff[0]*n.CutOff[1]
		require.InDelta(t, 1-area/stock, n.Waste, 0.03) // LEDs and corners apart
		require.Len(t, n.Files, 2*n.Sheets)
		for k := range n.Sheets {
			var single [][]byte
			var pieces []prove.Piece
			for _, q := range n.Pieces {
				if q.On == k+1 {
					pieces = append(pieces, prove.Piece{Name: q.Panel, Sheet: len(single), Turn: q.Turn, At: geom.PtMM(q.X, q.Y)})
					single = append(single, files[q.Panel+"/sheet-"+sheet+".dxf"])
				}
			}
			require.NotEmpty(t, pieces)
			name := result.NestName(n.Sheet, k+1)
			require.Equal(t, sheet, name[:len(sheet)])
			require.Empty(t, prove.Nest(t.Context(), prove.Stock{W: geom.MM(n.Width), H: geom.MM(n.Height), Gap: geom.MM(n.Gap), Edge: geom.MM(n.Edge)},
				files["nest-"+name+".dxf"], single, pieces))
			require.NotEmpty(t, files["nest-"+name+".svg"])
		}
	}
	for _, q := range d.panels {
		for _, copied := range []string{" 1", " 2", " 3"} {
			require.Equal(t, 2, bytes.Count(files["nests.svg"], []byte(`"`+q.name+copied+`"`)), "a face and an LED sheet of each copy have a name")
		}
	}
	require.Contains(t, string(files["report.html"]), `id="nests"`)
	for path := range files {
		if strings.HasPrefix(path, "nest") {
			f, ok := result.FileAt(path)
			require.True(t, ok, path)
			require.Equal(t, result.OfStock, f.Of)
		}
	}
}

// A sheet that is larger than the stock is told with what would hold it, by the line that says the stock's size; the others are laid.
func TestTooLargeForStock(t *testing.T) {
	d := newBench()
	d.more = "stock: {face: 80 x 50 mm, diffuser: {size: 50 x 100 mm, turns: half}}\n"
	p, set := d.open(t)
	set.Pack = false
	out := must(Build(t.Context(), p, set))
	var all []string
	for _, f := range out.Findings {
		if f.Code == "nest-too-large" {
			require.NotZero(t, f.Place.Line)
			all = append(all, f.Panel+": "+f.Text+"; "+f.Advice)
		}
	}
	require.Len(t, all, 2+3, "%v", all) // 76 and 82 mm wide with 2 mm at each edge; all are too wide without a turn
	require.Contains(t, all, "focus: the face of focus is 76.20 x 40.20 mm as it is cut, and stock of 80 x 50 mm with 2 mm free at its edges cannot hold it; "+
		"take stock of at least 80.2 x 44.2 mm, or cut it from a sheet of its own, by out/focus/sheet-face.svg")
	require.Contains(t, strings.Join(all, "\n"), "let it be turned by quarters (turns: any), or take stock of at least 74.2 x 44.2 mm")
	require.Equal(t, []string{"focus", "mount"}, out.Result.Nests[0].TooLarge)
	require.Equal(t, 1, out.Result.Nests[0].Sheets)
	require.Zero(t, out.Result.Nests[1].Sheets)
	require.Nil(t, out.Result.Nests[1].CutOff)
	require.Empty(t, out.Result.Nests[0].Files, "nothing is written")
}

// A build that lays many sheets can be stopped at once, and tells that it is laying them.
func TestLayingStops(t *testing.T) {
	d := newBench()
	d.more = "copies: 200\nstock: {face: 600 x 400 mm}\n"
	p, set := d.open(t)
	set.Pack = false
	ctx, stop := context.WithCancel(t.Context())
	begun := time.Time{}
	set.Step = func(done, total int, what string) {
		if what == "laying 600 faces on stock" && ctx.Err() == nil {
			begun = time.Now()
			stop()
		}
	}
	_, err := Build(ctx, p, set)
	require.ErrorIs(t, err, context.Canceled)
	require.False(t, begun.IsZero())
	require.Less(t, time.Since(begun), 5*time.Second)
}
