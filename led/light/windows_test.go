package light

import (
	"context"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/geom"
)

// glazed is a panel of three words and their LEDs with a window of 20 x 10 mm beside the first, over which no LED stands.
func glazed() (panel.Panel, panel.Symbol) {
	p, _ := mixed(1, 1)
	s := panel.Symbol{Closed: true, Filled: true, Window: true, Shape: geom.Rect(geom.BoxOf(geom.PtMM(85, 15), geom.PtMM(105, 25)))}
	p.Symbols = []panel.Symbol{s}
	return p, s
}

// A window's light is told by itself, the same that a filled shape of the lettering would have, and moves neither the words' figures
// nor what these are compared with.
func TestWindowsAreMeasuredApart(t *testing.T) {
	ctx, s := context.Background(), UsualStack()
	p, w := mixed(1, 1)
	for i := range w.LEDs {
		w.LEDs[i].Kind = w.LEDs[0].Kind
	}
	plain := Evaluate(ctx, p, nil, w, s)
	require.Empty(t, plain.Windows())
	q, _ := glazed()
	f := Evaluate(ctx, q, nil, w, s)
	require.Equal(t, plain.Figures, f.Figures)
	require.Len(t, f.Windows(), 1)
	one := f.Windows()[0]
	require.Equal(t, "the window of 20 x 10 mm", one.Text)
	require.InDelta(t, 200, one.AreaMM2, 1)
	q.Symbols[0].Window = false
	filled := Evaluate(ctx, q, nil, w, s)
	require.Empty(t, filled.Windows())
	require.NotEqual(t, plain.Mean, filled.Mean)
	require.Equal(t, filled.Texts[3].Figures, one.Figures)

	q, _ = glazed()
	l := Judge(nil, q, nil, f, s, UsualLimits())
	require.Equal(t, 1, codes(l)["light-dark-word"])
	for i := range l {
		if l[i].Code == "light-dark-word" {
			require.Contains(t, l[i].Text, "the window of 20 x 10 mm is too dark")
		}
	}
	// LEDs behind its middle leave its ends dim.
	at := w
	at.LEDs = slices.Clone(w.LEDs)
	for _, x := range []float64{93.5, 96.5} {
		q.LEDs = append(q.LEDs, panel.Hole{At: geom.PtMM(x, 20), D: geom.MM(3)})
		at.LEDs = append(at.LEDs, w.LEDs[0])
		at.LEDs[len(at.LEDs)-1].Hole = len(q.LEDs) - 1
	}
	c := codes(Judge(nil, q, nil, Evaluate(ctx, q, nil, at, s), s, UsualLimits()))
	require.Equal(t, 1, c["light-uneven-window"])
	// Where nothing is written the windows are all that there is to be lit.
	q.Lettering = nil
	f = Evaluate(ctx, q, nil, at, s)
	require.Equal(t, f.Windows()[0].Figures, f.Figures)
}

// LEDs are placed for windows as for words: one is put where the window alone asks for it.
func TestWindowsGetLEDs(t *testing.T) {
	p, s := glazed()
	p.LEDs = nil
	_, w := mixed(1, 1)
	plan, l := Place(context.Background(), p, Options{Stack: UsualStack(), Kind: w.LEDs[0].Kind, Current: 0.008, Hole: geom.MM(3), Count: 7, Room: geom.NewRegion(p.Outline.Ring(geom.FlattenTolerance)), Spacing: geom.MM(4)})
	require.False(t, l.HasErrors())
	near := 0
	for _, h := range plan.LEDs {
		if s.Shape.Box().Grown(geom.MM(6)).Contains(h.At) {
			near++
		}
	}
	require.NotZero(t, near, "%v", plan.LEDs)
}

// What an opening takes of a window, or what lies beyond the edge, is not lit: half of one over an opening is told as the half alone, one
// within an opening is told nothing of, and light and area of the others stay theirs.
func TestWindowsAreLitWhereSeen(t *testing.T) {
	ctx, s := context.Background(), UsualStack()
	_, w := mixed(1, 1)
	q, whole := glazed() // 85 to 105, 15 to 25
	gone := whole
	gone.Shape = geom.Rect(geom.BoxOf(geom.PtMM(96, 16), geom.PtMM(104, 24)))
	half := whole
	half.Shape = geom.Rect(geom.BoxOf(geom.PtMM(85, 15), geom.PtMM(95, 25)))
	q.Openings = []panel.Opening{{Contour: geom.Rect(geom.BoxOf(geom.PtMM(95, 10), geom.PtMM(110, 30)))}}
	q.Symbols = []panel.Symbol{half}
	want := Evaluate(ctx, q, nil, w, s).Windows()[0]
	q.Symbols = []panel.Symbol{gone, whole}
	got := Evaluate(ctx, q, nil, w, s).Windows()
	require.Len(t, got, 1)
	require.Equal(t, 1, got[0].Symbol)
	require.InDelta(t, 100, got[0].AreaMM2, 0.5)
	require.InDelta(t, want.Mean, got[0].Mean, 0.001*want.Mean)
	require.InDelta(t, want.Min, got[0].Min, 0.001*want.Mean)
	q.Openings = nil
	box := q.Outline.Box()
	q.Symbols[1].Shape = geom.Rect(geom.BoxOf(geom.Pt{X: box.Max.X - geom.MM(5), Y: geom.MM(15)}, geom.Pt{X: box.Max.X + geom.MM(15), Y: geom.MM(25)}))
	require.InDelta(t, 50, Evaluate(ctx, q, nil, w, s).Windows()[1].AreaMM2, 0.5, "beyond the edge")
}
