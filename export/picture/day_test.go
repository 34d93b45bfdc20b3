package picture

import (
	"bytes"
	"image/png"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/light"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// By daylight black paint is as dark as 5 % and unlit lettering as pale as it is told to be; LEDs add what the field has, of sets those
// of the first: 538 lx make white 171 cd/m².
func TestDay(t *testing.T) {
	p := panel.Panel{Outline: geom.Rect(geom.Box{Max: geom.PtMM(40, 20)}),
		Symbols: []panel.Symbol{{Closed: true, Filled: true, Shape: geom.Rect(geom.BoxOf(geom.PtMM(10, 5), geom.PtMM(30, 15)))}}}
	lit := func(rgb [3]uint8, level float64) light.Field {
		g := light.Grid{Origin: geom.PtMM(0, 0), Step: geom.MM(20), W: 3, H: 3, V: make([]float64, 9)}
		for i := range g.V {
			g.V[i] = level
		}
		f := light.Field{Layers: []light.Layer{{RGB: rgb, Grid: g}}}
		f.Mean = level
		return f
	}
	at := func(data []byte, x, y float64) (r, g float64) { // light, of the screen's white
		img, err := png.Decode(bytes.NewReader(data))
		require.NoError(t, err)
		require.Equal(t, (40+4)*GlowScale, img.Bounds().Dx())
		require.Equal(t, (20+4)*2*GlowScale, img.Bounds().Dy())
		a, b, _, _ := img.At(int((x+2)*GlowScale), int((22-y)*GlowScale)).RGBA()
		return linear(uint8(a >> 8)), linear(uint8(b >> 8))
	}
	data := Day(t.Context(), p, nil, lit([3]uint8{255, 0, 0}, 50), 0.4)
	require.Equal(t, data, Day(t.Context(), p, nil, lit([3]uint8{255, 0, 0}, 50), 0.4))
	paint, _ := at(data, 5, 10)
	require.InDelta(t, 0.05, paint, 0.005)
	r, g := at(data, 20, 10)
	require.InDelta(t, 0.4, r, 0.04)
	require.InDelta(t, 0.4, g, 0.04)
	r, g = at(data, 20, 10-24) // the lower picture
	require.InDelta(t, 0.4+50/(538/math.Pi), r, 0.04)
	require.InDelta(t, 0.4, g, 0.04, "red light adds nothing to green")

	both := lit([3]uint8{255, 0, 0}, 50)
	both.Sets = []light.Lone{{Set: "day", Field: lit([3]uint8{0, 255, 0}, 20)}, {Set: "night", Field: both}}
	r, g = at(Day(t.Context(), p, nil, both, 0.4), 20, 10-24)
	require.InDelta(t, 0.4, r, 0.04)
	require.InDelta(t, 0.4+20/(538/math.Pi), g, 0.04)
	// In the dark each set is shown by itself, the first above.
	dark := Glow(t.Context(), p, nil, both)
	r, g = at(dark, 20, 10)
	require.Greater(t, g, 3*r)
	r, g = at(dark, 20, 10-24)
	require.Greater(t, r, 3*g)
}
