package light

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/geom"
)

// Of a ground that glows evenly at 50 cd/m² behind paint that passes 2 %, 1 cd/m² comes through; lettering of 8 cd/m² is 8 times as bright,
// less than the 10 that are asked for, and paint of 1.6 % would do.
func TestPaint(t *testing.T) {
	s := UsualStack()
	s.Paint = 0.02
	f := Field{Figures: Figures{Mean: 8}, Ground: 0.02 * 50}
	require.InDelta(t, 8, f.Contrast(), 1e-12)
	l := Judge(nil, panel.Panel{Name: "dome"}, nil, f, s, Limits{Ground: 10})
	require.Len(t, l, 1)
	require.Equal(t, "light-paint-thin", l[0].Code)
	require.Equal(t, "the paint glows: the lettering is on average only 8 times as bright as the brightest place of the paint, which lets 2 % of the light through", l[0].Text)
	require.Contains(t, l[0].Advice, "at most 1.6 %")
	require.Empty(t, Judge(nil, panel.Panel{Name: "dome"}, nil, f, s, Limits{Ground: 8}))

	f.Ground = 0
	require.Zero(t, f.Contrast())
}

// The ground of a panel that is lit is the paint's share of the brightest place of the light behind it.
func TestGround(t *testing.T) {
	s := UsualStack()
	require.Equal(t, 0.001, s.Paint)
	p, w := desk(panel.Text{Text: "RIDGE", At: geom.PtMM(30, 30), Height: geom.MM(5)}, geom.PtMM(35, 33), geom.PtMM(45, 33))
	f := Evaluate(context.Background(), p, nil, w, s)
	require.Positive(t, f.Ground)
	require.InEpsilon(t, f.Total().Max()/1000, f.Ground, 1e-9)
	require.InEpsilon(t, f.Mean/f.Ground, f.Contrast(), 1e-9)
}
