package light

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
)

// Of one colour the gauge tells what the field does, at the currents given.
func TestGaugeOfOneColour(t *testing.T) {
	p, w := mixed(0.2, 0.2)
	for i := range w.LEDs {
		w.LEDs[i].Kind.RGB = [3]uint8{255, 0, 0}
	}
	s := UsualStack()
	g := Gauge(context.Background(), p, nil, w, s, nil)
	require.Len(t, g, 1)
	require.InEpsilon(t, Evaluate(context.Background(), p, nil, w, s).Mean, g[0].Mean, 1e-9)
	require.False(t, g[0].Assumed)
	for i := range w.Strings {
		w.Strings[i].Nominal /= 4
	}
	require.InEpsilon(t, g[0].Mean/4, Gauge(context.Background(), p, nil, w, s, nil)[0].Mean, 1e-6, "light goes with the current")
	w.LEDs[0].Kind.Candela = 0
	require.True(t, Gauge(context.Background(), p, nil, w, s, nil)[0].Assumed)
}

// A word belongs to the colour that stands behind it, however much brighter the other colour's LEDs are: white ones a hundred times as
// bright would take the red word too, 40 mm away, if nobody brought them to one level.
func TestGaugeGivesWordsToTheNearer(t *testing.T) {
	s := UsualStack()
	own := func(white float64) (red, bright Gauged) {
		p, w := mixed(0.2, white)
		for i := range p.LEDs { // the white ones of the middle word nearer to the red word
			if p.LEDs[i].At.X.MM() > 100 && p.LEDs[i].At.X.MM() < 200 {
				p.LEDs[i].At.X -= geom.MM(90)
			}
		}
		p.Lettering[1].At.X -= geom.MM(90)
		g := Gauge(context.Background(), p, nil, w, s, nil)
		require.Len(t, g, 2)
		return g[0], g[1]
	}
	red, white := own(0.2)
	again, brighter := own(20)
	require.Equal(t, 1, red.Lettering)
	require.Equal(t, 2, white.Lettering)
	require.Equal(t, 1, again.Lettering)
	require.Equal(t, 2, brighter.Lettering)
	require.InEpsilon(t, red.Mean, again.Mean, 1e-6)
	require.InEpsilon(t, 100*white.Mean, brighter.Mean, 1e-6)
}
