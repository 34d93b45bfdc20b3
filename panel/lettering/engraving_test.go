package lettering

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// All of a panel's lettering is as each is by itself, in the panel's order; it is made once, and not for someone who is gone.
func TestEngraved(t *testing.T) {
	line := func(x float64) panel.Symbol {
		return panel.Symbol{Shape: geom.Straight(geom.PtMM(x, 0), geom.PtMM(x+10, 0))}
	}
	p := panel.Panel{
		Lettering: []panel.Text{{Text: "DOME", Height: geom.MM(4)}, {Text: "OPEN", At: geom.PtMM(0, 9), Height: geom.MM(3)}},
		Symbols:   []panel.Symbol{line(0), {}, line(20)},
	}
	e := Engraved(nil, p, nil, Stroke)
	require.Equal(t, []geom.Region{Outline(p.Lettering[0]), Outline(p.Lettering[1])}, e.Texts)
	require.Len(t, e.Symbols, 3)
	require.Empty(t, e.Symbols[1])
	// A line 10 mm long and 0.3 mm wide with round ends: 3.07 mm².
	require.InDelta(t, 3.07, e.Symbols[2].Area(), 0.01)
	require.Equal(t, geom.PtMM(25, 0), e.Symbols[2].Box().Centre())

	require.Same(t, e, e.Or(nil, p))
	require.Equal(t, e, (*Engraving)(nil).Or(nil, p))

	ctx, stop := context.WithCancel(t.Context())
	require.False(t, work.Until(ctx, func(w *work.Watch) {
		stop()
		Engraved(w, p, nil, Stroke)
		t.Error("went on")
	}))
}
