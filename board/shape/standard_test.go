package shape

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/room"
)

// plates are panels full of switches: rows of openings of chance, with screws among them and a few LEDs.
func plates(seed uint64) deriver {
	rnd := rand.New(rand.NewPCG(seed, 13))
	p := panel.Panel{Name: "desk", Outline: geom.Rect(geom.Box{Max: geom.PtMM(130, 66)})}
	for y := 10.0; y < 60; y += 16 + 4*float64(seed%2) {
		for x := 10.0; x < 120; x += 14 + 3*float64(seed%2) + 4*rnd.Float64() {
			if rnd.IntN(4) > 0 {
				a, b := 3+3*rnd.Float64(), 3+3*rnd.Float64()
				p.Openings = append(p.Openings, panel.Opening{Contour: geom.Rect(geom.Box{Min: geom.PtMM(x-a, y-b), Max: geom.PtMM(x+a, y+b)})})
			} else if rnd.IntN(2) > 0 {
				p.Mounts = append(p.Mounts, panel.Hole{At: geom.PtMM(x, y), D: geom.MM(3.2)})
			} else {
				p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(x, y), D: geom.MM(3)})
			}
		}
	}
	p.Room = room.Of(p, nil)
	r, _ := board.Class("easy")
	return deriver{p: p, r: r, lamps: lampsOf(p, led.Wiring{})}
}

// A board is given up only where it would be worse; else it comes out as if nothing were asked of it.
func TestGivenUpIsWorse(t *testing.T) {
	gaveUp, met := 0, 0
	for seed := uint64(1); seed <= 4; seed++ {
		d := plates(seed)
		rooms, _ := d.yielded()
		bare := d.with(nil)
		need := d.standardOf(bare)
		rnd := rand.New(rand.NewPCG(seed, 14))
		for range 4 {
			var some []panel.Room
			for _, r := range rooms {
				if rnd.IntN(2) > 0 {
					some = append(some, r)
				}
			}
			full := d.with(some)
			out, ok := d.meeting(some, need)
			if !ok {
				gaveUp++
				require.True(t, full.worseThan(bare), "seed %d", seed)
				continue
			}
			met++
			require.Equal(t, full, out, "seed %d", seed)
		}
	}
	require.Positive(t, gaveUp)
	require.Positive(t, met)
}

// Where no corner of an opened region is said to hold a needle, trimming takes nothing.
func TestNoNeedleInBluntCorners(t *testing.T) {
	blunt, pointed := 0, 0
	for seed := uint64(1); seed <= 12; seed++ {
		d := plates(seed)
		g, o := trimming(freeArea(d.p, d.r, d.p.Room, nil), necks()[0]/2)
		for _, w := range needles() {
			if o.pointed(g, w/2) {
				pointed++
				continue
			}
			blunt++
			require.Equal(t, g, trimmed(g, w/2), "seed %d, %v", seed, w)
		}
	}
	require.Positive(t, blunt)
	require.Positive(t, pointed)
}
