package fill

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/geom"
)

// fenced is a plate on whose bottom a signal fences in two 0 V pads.
func fenced(pads ...board.Pad) board.Board {
	b := withPads(plate(), append(pads, pad(led.Supply, 4, 4), pad(led.Supply, 36, 4))...)
	b.Tracks = []board.Track{{Net: 3, On: geom.Bottom, Width: geom.MM(0.4), Path: geom.Polyline{
		geom.PtMM(10, 8), geom.PtMM(30, 8), geom.PtMM(30, 22), geom.PtMM(10, 22), geom.PtMM(10, 8),
	}}}
	return b
}

func areasOf(b board.Board, net led.NetID, on geom.Side) []geom.Polygon {
	var out []geom.Polygon
	for _, a := range b.Areas {
		if a.Net == net && a.On == on {
			out = append(out, a.Fill)
		}
	}
	return out
}

// Within the fence, where the supply cannot be, is 0 V, and vias join it to the 0 V area over it.
func TestPocketIsFilledAndStitched(t *testing.T) {
	b, fig, _ := Fill(context.Background(), fenced(pad(led.Return, 15, 15), pad(led.Return, 25, 15)), Usual())
	require.Len(t, areasOf(b, led.Return, geom.Top), 1)
	require.Len(t, areasOf(b, led.Supply, geom.Bottom), 1)
	pocket := areasOf(b, led.Return, geom.Bottom)
	require.Len(t, pocket, 1)
	require.Equal(t, 1, fig.Pockets)
	require.Equal(t, geom.Inside, pocket[0].Locate(geom.PtMM(20, 15)))
	require.Equal(t, geom.Outside, pocket[0].Locate(geom.PtMM(5, 15)))
	// 20 by 14 mm less the fence, at 10 mm from each other: at least 2.
	require.GreaterOrEqual(t, fig.Stitches, 2)
	require.Len(t, b.Vias, fig.Stitches)
	r := b.Rules
	for i, v := range b.Vias {
		require.Equal(t, led.Return, v.Net)
		for _, on := range geom.BothSides() {
			for _, a := range areasOf(b, led.Return, on) {
				require.Equal(t, geom.Inside, a.Locate(v.At))
				require.GreaterOrEqual(t, geom.Region{a}.DistTo(v.At), float64(v.D/2), "its copper lies in the area")
			}
		}
		for _, o := range b.Vias[:i] {
			require.GreaterOrEqual(t, v.At.Dist(o.At), 10e6)
		}
		for _, p := range b.Parts[0].Pads {
			require.GreaterOrEqual(t, v.At.Dist(p.At), float64((v.Drill+p.Drill)/2+r.BetweenHoles))
		}
	}
	// The pocket keeps clear of the supply's area.
	near := 1e18
	for _, s := range pocket[0].Outer.Segments() {
		for _, u := range areasOf(b, led.Supply, geom.Bottom)[0].Rings() {
			for _, e := range u.Segments() {
				near = min(near, s.Dist(e))
			}
		}
	}
	require.GreaterOrEqual(t, near, float64(r.Clearance))
}

// Without anything of 0 V in the fence the pocket stays bare; and one contact with no room for a via is an antenna.
func TestPocketNeedsContacts(t *testing.T) {
	b, fig, _ := Fill(context.Background(), fenced(pad(led.Return, 4, 26), pad(led.Return, 36, 26)), Usual())
	require.Empty(t, areasOf(b, led.Return, geom.Bottom))
	require.Zero(t, fig.Pockets+fig.Stitches)

	opt := Usual()
	opt.Stitch = 0
	b, fig, _ = Fill(context.Background(), fenced(pad(led.Return, 15, 15)), opt)
	require.Empty(t, areasOf(b, led.Return, geom.Bottom))
	require.Equal(t, 1, fig.Antennas)
}

// A small piece that hangs on one pad carries nothing; two pads in it make it worth having, and so does size.
func TestAntennas(t *testing.T) {
	wall := func(x float64) board.Track {
		return board.Track{Net: 3, Width: geom.MM(0.4), Path: geom.Polyline{geom.PtMM(x, 0), geom.PtMM(x, 30)}}
	}
	b := withPads(plate(), pad(led.Return, 38, 15), pad(led.Return, 8, 8))
	b.Tracks = []board.Track{wall(36)} // 36.4 to 39.5 by 29 mm: 90 mm²; with the next at 29 mm less
	opt := top()
	opt.LeastSingle = 50
	_, fig, _ := Fill(context.Background(), b, opt)
	require.Zero(t, fig.Antennas)
	opt.LeastSingle = 120
	out, fig, _ := Fill(context.Background(), b, opt)
	require.Equal(t, 1, fig.Antennas)
	require.Len(t, out.Areas, 1)
	b.Parts[0].Pads = append(b.Parts[0].Pads, pad(led.Return, 38, 25))
	_, fig, _ = Fill(context.Background(), b, opt)
	require.Zero(t, fig.Antennas)
}
