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
