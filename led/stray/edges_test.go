package stray_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/stray"
	"lampblack/panel"
	"lampblack/panel/control"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// falling is light that is 1 at x and falls by a fortieth each mm to both sides.
func falling(x float64) func(geom.Pt) float64 {
	return func(q geom.Pt) float64 { return max(0, 1-math.Abs(q.X.MM()-x)/40) }
}

// A panel of 100 x 80 mm, its diffuser 3 mm: by hand. Light that is 1 at x = 97 and falls by a fortieth a mm is 1 one thickness within
// the right edge; at x = 3 it is nothing. Lettering of 2 cd/m2 makes that a half.
func TestRimGlows(t *testing.T) {
	p := panel.Panel{Name: "dome", Outline: rect(0, 0, 100, 80)}
	e := stray.Glowing(nil, p, stack(), stray.UsualEyes(), falling(97), 2)
	require.InDelta(t, 0.5, e.Times, 1e-3)
	require.Equal(t, stray.Rim, e.Gap.Kind)
	require.Equal(t, mm(100), e.Gap.At.X)
	// An eye straight before the panel sees no edge; one 60 mm to the left of the middle the left edge alone, where it is dark.
	require.Zero(t, stray.Glowing(nil, p, stack(), fixed(0, 0, 400), falling(97), 2).Times)
	require.Zero(t, stray.Glowing(nil, p, stack(), fixed(-60, 0, 400), falling(97), 2).Times)
	require.InDelta(t, 0.5, stray.Glowing(nil, p, stack(), fixed(60, 0, 400), falling(97), 2).Times, 1e-3)
	// Light within 20 mm of the middle reaches no edge.
	spot := func(q geom.Pt) float64 {
		if q.Dist(geom.PtMM(50, 40)) < 20e6 {
			return 5
		}
		return 0
	}
	require.Zero(t, stray.Glowing(nil, p, stack(), stray.UsualEyes(), spot, 2).Times)
}

// In an opening eyes see the wall that is away from them, unless what sits there covers it: light in a ring round a hole of 30 mm.
func TestOpeningGlows(t *testing.T) {
	p := panel.Panel{Outline: rect(0, 0, 400, 400), Openings: []panel.Opening{opening(geom.Circle(geom.PtMM(200, 200), mm(30)))}}
	ring := func(q geom.Pt) float64 {
		if d := q.Dist(geom.PtMM(200, 200)) / 1e6; d > 10 && d < 25 {
			return 1
		}
		return 0
	}
	see := func(k control.Kind) stray.Edge {
		p.Controls = []panel.Control{{At: geom.PtMM(200, 200), Kind: k, Body: -1, To: mm(6)}}
		return stray.Glowing(nil, p, stack(), stray.UsualEyes(), ring, 1)
	}
	open := see(control.Kind{Name: "lamp", Held: control.Screws, Shaft: mm(5), ShaftLength: mm(10)})
	require.InDelta(t, 1, open.Times, 1e-9)
	require.Equal(t, stray.Seated, open.Gap.Kind)
	require.Zero(t, see(control.Kind{Name: "lamp", Held: control.NutBehind, Bush: mm(10), Thread: mm(8), Flange: mm(34), FlangeThick: mm(2)}).Times, "its flange lies over the hole")
	require.Zero(t, see(control.Kind{Name: "lamp", Held: control.NutBehind, Bush: mm(30), Thread: mm(8)}).Times, "its bush fills the hole")
	p.Controls = nil
	require.Zero(t, stray.Glowing(nil, p, stack(), stray.UsualEyes(), ring, 1).Times, "of what sits there nothing is known")
}

// The wall of a narrow hole is seen by no eye: 4.5 mm deep (the middle of the diffuser), a hole of 2 mm shows nothing beyond
// a slope of 2/4.5, and eyes are straight before it or farther aside than 0.45 of their distance.
func TestNarrowHole(t *testing.T) {
	p := panel.Panel{Outline: rect(0, 0, 400, 400), Openings: []panel.Opening{opening(geom.Circle(geom.PtMM(200, 200), mm(2)))},
		Controls: []panel.Control{{At: geom.PtMM(200, 200), Kind: control.Kind{Held: control.Screws}, Body: -1}}}
	one := func(geom.Pt) float64 { return 1 }
	require.Zero(t, stray.Glowing(nil, p, stack(), fixed(180, 0, 300), one, 1).Times)
	require.NotZero(t, stray.Glowing(nil, p, stack(), fixed(100, 0, 300), one, 1).Times, "a slope of a third")
}

func TestJudgeEdges(t *testing.T) {
	panels := []panel.Panel{{Name: "dome"}, {Name: "mount"}, {Name: "focus"}}
	rim := func(times float64) stray.Edge {
		return stray.Edge{Gap: stray.Gap{Kind: stray.Rim, At: geom.PtMM(100, 20)}, Times: times}
	}
	require.Empty(t, stray.JudgeEdges(panels, []stray.Edge{rim(0.24), {}, {}}))
	l := stray.JudgeEdges(panels, []stray.Edge{rim(0.3), rim(0.2), rim(1.24)})
	require.Len(t, l, 1)
	require.Equal(t, diag.Note, l[0].Severity)
	require.Equal(t, "stray-edge-glows", l[0].Code)
	require.Equal(t, "the cut edge of the diffuser of dome and focus glows where eyes see it, at most about 1.2 times as bright as the lettering: at the panel's rim, unless the console covers that, on focus", l[0].Text)
	require.Equal(t, "focus", l[0].Panel)
}

// What the model takes for granted, by photons apart from it: a slab of 3 mm that scatters to all sides (index 1.49, Fresnel at all
// surfaces), lit evenly from behind, cut at x = 0. What leaves the cut, per area and averaged over the thickness, is 0.66 to 1.42 times
// what leaves the front 2 to 4 mm inward, for slabs that pass 16 to 59 %: those that diffusers are made of.
func TestEdgeOfOpal(t *testing.T) {
	for _, c := range []struct{ free, albedo, least, most float64 }{ // mean free path, mm
		{0.25, 0.998, 0.14, 0.18}, {0.6, 0.997, 0.29, 0.33}, {3, 0.985, 0.57, 0.61},
	} {
		passes, near, edge := slab(c.free, c.albedo, 60_000)
		require.Greater(t, passes, c.least)
		require.Less(t, passes, c.most)
		require.Greater(t, edge/near, 0.60)
		require.Less(t, edge/near, 1.55)
	}
}

// slab returns what a slab passes far from its edge, near it, and what leaves its edge, of what falls on it.
func slab(free, albedo float64, photons int) (far, near, edge float64) {
	const n, thick, long = 1.49, 3.0, 30.0
	reflected := func(c float64) float64 {
		s2 := (1 - c*c) * n * n
		if s2 >= 1 {
			return 1
		}
		o := math.Sqrt(1 - s2)
		s, p := (n*c-o)/(n*c+o), (c-n*o)/(c+n*o)
		return (s*s + p*p) / 2
	}
	rng := rand.New(rand.NewPCG(1, 2))
	path := func() float64 { return -free * math.Log(1-rng.Float64()) }
	for range photons {
		x, z, w, left := -long*rng.Float64(), 0.0, 1.0, path()
		s := math.Sqrt(rng.Float64()) / n // evenly scattered light, refracted
		dx, dz := s*math.Cos(2*math.Pi*rng.Float64()), math.Sqrt(1-s*s)
		for w > 0.005 && x > -50 {
			toZ, toX := math.Inf(1), math.Inf(1)
			if dz > 0 {
				toZ = (thick - z) / dz
			} else if dz < 0 {
				toZ = -z / dz
			}
			if dx > 0 {
				toX = -x / dx
			}
			to := min(toZ, toX)
			if left <= to {
				x, z, w, left = x+left*dx, z+left*dz, w*albedo, path()
				dz = 2*rng.Float64() - 1
				dx = math.Sqrt(1-dz*dz) * math.Cos(2*math.Pi*rng.Float64())
				continue
			}
			x, z, left = x+to*dx, z+to*dz, left-to
			if toX < toZ {
				if rng.Float64() > reflected(dx) {
					edge += w
					break
				}
				x, dx = 0, -dx
				continue
			}
			if rng.Float64() > reflected(math.Abs(dz)) {
				if dz > 0 && x > -18 && x < -10 {
					far += w
				}
				if dz > 0 && x > -4 && x < -2 {
					near += w
				}
				break
			}
			if z > thick/2 {
				z = thick
			} else {
				z = 0
			}
			dz = -dz
		}
	}
	each := long / float64(photons)
	return far * each / 8, near * each / 2, edge * each / thick
}
