package sheet

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/control"
	"lampblack/panel/geom"
	"lampblack/panel/seat"
)

// A plate of 100 x 60 has a hole of 4 for an LED of 3, whose rim is 3.8, the mount's, and for a potentiometer its 7.2, not the 8 as drawn, and its tab's.
// The LED sheet has room for a spanner there: 10 x 1.4 + 1 and half a millimetre all round.
func TestPlate(t *testing.T) {
	k, ok := control.Find("pot-7mm")
	require.True(t, ok)
	p := panel.Panel{Name: "vents", Outline: geom.Rect(geom.Box{Max: geom.PtMM(100, 60)}), LEDs: []panel.Hole{{At: geom.PtMM(20, 20), D: geom.MM(3)}},
		Mounts: []panel.Hole{{At: geom.PtMM(6, 6), D: geom.MM(3.2)}}, Openings: []panel.Opening{{Contour: geom.Circle(geom.PtMM(60, 30), geom.MM(8))}}}
	p = seat.In(p, []seat.Told{{Set: true, Kind: k}}, seat.Wish{Stack: seat.Stack{Face: geom.MM(3), Diffuser: geom.MM(3), Gap: geom.MM(8), LED: geom.MM(3), Plate: geom.MM(2)}})
	disc := func(d float64) float64 { return math.Pi / 4 * d * d }
	require.InDelta(t, 6000-disc(4)-disc(3.2)-disc(7.2)-disc(2.8), Plate(context.Background(), p, Options{}).Shape(context.Background()).Area(), 0.1)
	require.InDelta(t, 6000-disc(3)-disc(3.2)-disc(16), LED(context.Background(), p, Options{}).Shape(context.Background()).Area(), 0.1)
	require.Empty(t, CheckPlate("vents", Plate(context.Background(), p, Options{})))
}

// A body across the whole plate leaves it in two pieces.
func TestPlateFallsApart(t *testing.T) {
	p := panel.Panel{Name: "vents", Outline: geom.Rect(geom.Box{Max: geom.PtMM(100, 60)}), Bodies: []geom.Contour{geom.Rect(geom.BoxOf(geom.PtMM(40, -5), geom.PtMM(60, 65)))}}
	l := CheckPlate("vents", Plate(context.Background(), p, Options{}))
	require.Len(t, l, 1)
	require.Equal(t, "sheet-falls-apart", l[0].Code)
}
