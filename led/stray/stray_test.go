package stray_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/stray"
	"lampblack/panel"
	"lampblack/panel/control"
	"lampblack/panel/geom"
	"lampblack/panel/seat"
)

func mm(v float64) geom.Nm { return geom.MM(v) }

// stack is three sheets of 3 mm and 8 mm of air: face 0 to 3, diffuser to 6, LED sheet 14 to 17, the tips flush at 14.
func stack() stray.Stack {
	return stray.Stack{Stack: seat.Stack{Face: mm(3), Diffuser: mm(3), Gap: mm(8), LED: mm(3)}}
}

func rect(x0, y0, x1, y1 float64) geom.Contour {
	return geom.Rect(geom.BoxOf(geom.PtMM(x0, y0), geom.PtMM(x1, y1)))
}

func opening(c geom.Contour) panel.Opening { return panel.Opening{Contour: c} }

func leds(at ...[2]float64) []panel.Hole {
	var out []panel.Hole
	for _, q := range at {
		out = append(out, panel.Hole{At: geom.PtMM(q[0], q[1]), D: mm(3)})
	}
	return out
}

// fixed are eyes at one place before the middle of the panel.
func fixed(x, y, away float64) stray.Eyes {
	two := func(v float64) [2]geom.Nm { return [2]geom.Nm{mm(v), mm(v)} }
	return stray.Eyes{Across: two(x), Up: two(y), Away: two(away)}
}

// An eye 420 mm straight before the edge of a hole of 10 mm, that looks to the other side: through (45, 40) of the back of the
// diffuser (6 deep) it sees at 14 deep the point 8/426 of the way beyond. By similar triangles from an eye at x = 55 the hole reaches
// to 45 - 10·8/426 = 44.81 there; an LED whose disc ends at 44.9 shows 0.09 of its 3 mm, one that ends at 44.7 nothing.
func TestSimilarTriangles(t *testing.T) {
	p := panel.Panel{Outline: rect(0, 0, 100, 80), Openings: []panel.Opening{opening(rect(45, 30, 55, 50))}}
	for _, c := range []struct {
		x    float64
		seen bool
	}{{44.9 - 1.5, true}, {44.7 - 1.5, false}} {
		p.LEDs = leds([2]float64{c.x, 40})
		got := stray.Seen(nil, p, stack(), fixed(5, 0, 420), nil)
		require.Equal(t, c.seen, len(got) == 1, "LED at %g: %v", c.x, got)
		if c.seen {
			// A segment 0.088 mm high of a circle of 3 mm: r²(φ - sin φ)/2 of π r².
			require.InDelta(t, 0.0082, got[0].Share, 0.0006)
		}
	}
}

// An LED in the middle of an opening is seen from all places, and no way of moving it is told; one at its side is told by how much.
func TestOpen(t *testing.T) {
	p := panel.Panel{Outline: rect(0, 0, 100, 80), Openings: []panel.Opening{opening(geom.Circle(geom.PtMM(50, 40), mm(12)))}, LEDs: leds([2]float64{50, 40}, [2]float64{57, 40})}
	got := stray.Seen(nil, p, stack(), stray.UsualEyes(), nil)
	require.Len(t, got, 2)
	require.Equal(t, stray.Opening, got[0].Gap.Kind)
	require.InDelta(t, 0.6, got[0].From, 0.1) // from far at the side the face hides it
	require.InDelta(t, 1, got[0].Share, 0.001)
	require.Less(t, got[1].From, 0.9)
	require.Positive(t, got[1].Move)

	p.LEDs[1].At.X += got[1].Move
	require.Len(t, stray.Seen(nil, p, stack(), stray.UsualEyes(), nil), 1, "moved as told it is hidden")
	p.LEDs[1].At.X -= 1100 * geom.Micrometre
	require.Len(t, stray.Seen(nil, p, stack(), stray.UsualEyes(), nil), 2, "a little less is not enough")
}

// The same opening with a toggle switch in it, whose nut and washer close it, shows nothing; nor does one behind a body that begins
// behind the diffuser.
func TestFilled(t *testing.T) {
	p := panel.Panel{Outline: rect(0, 0, 100, 80), Openings: []panel.Opening{opening(geom.Circle(geom.PtMM(50, 40), mm(12.2)))}, LEDs: leds([2]float64{59, 40})}
	k, ok := control.Find("toggle-m12")
	require.True(t, ok)
	require.Len(t, stray.Seen(nil, p, stack(), stray.UsualEyes(), nil), 1)
	sat := seat.In(p, []seat.Told{{Set: true, Kind: k}}, seat.Wish{Stack: stack().Stack})
	require.Empty(t, stray.Seen(nil, sat, stack(), stray.UsualEyes(), nil))

	p.Bodies, p.BodyDepth = []geom.Contour{rect(42, 30, 57.4, 50)}, panel.BehindDiffuser
	require.Empty(t, stray.Seen(nil, p, stack(), stray.UsualEyes(), nil))
}

// An LED at the very edge is seen past it by an eye beyond; a mount without a screw and a slot are gaps too.
func TestOtherGaps(t *testing.T) {
	p := panel.Panel{
		Outline:  rect(0, 0, 100, 80),
		Mounts:   []panel.Hole{{At: geom.PtMM(10, 10), D: mm(3.2)}, {At: geom.PtMM(90, 10), D: mm(3.2)}},
		Openings: []panel.Opening{{Contour: rect(40, 60, 60, 66), Mount: true}},
		LEDs:     leds([2]float64{98.2, 40}, [2]float64{10, 12.5}, [2]float64{90, 12.5}, [2]float64{50, 63}),
	}
	var got []string
	for _, s := range stray.Seen(nil, p, stack(), stray.UsualEyes(), []int{1}) {
		got = append(got, s.Gap.Kind.String())
		require.Equal(t, map[string]int{"slot": 3, "mount": 2, "rim": 0}[s.Gap.Kind.String()], s.LED)
		if s.Gap.Kind == stray.Rim {
			require.Equal(t, geom.PtMM(100, 40), s.Gap.At)
		}
	}
	require.Equal(t, []string{"slot", "mount", "rim"}, got)

	p.LEDs = leds([2]float64{90, 40})
	require.Empty(t, stray.Seen(nil, p, stack(), stray.UsualEyes(), nil))
}

// A tip sunk in an opaque sheet is seen through its own hole alone: straight from the front, not from the side.
func TestSunk(t *testing.T) {
	p := panel.Panel{Outline: rect(0, 0, 100, 80), Openings: []panel.Opening{opening(geom.Circle(geom.PtMM(50, 40), mm(60)))}, LEDs: leds([2]float64{50, 40})}
	s := stack()
	s.Tips = mm(2)
	side := fixed(300, 0, 300) // 45°: across 2 mm of depth by nearly 2 mm
	clear := stray.Seen(nil, p, s, side, nil)
	s.Opaque = true
	dark := stray.Seen(nil, p, s, side, nil)
	require.Len(t, clear, 1)
	require.Len(t, dark, 1)
	// Two discs of 3 mm, 2·300/314 = 1.911 apart, share 2r² acos(d/2r) - d/2 √(4r²-d²) = 1.751 mm² of 7.069; the nearer one comes out 0.6 % larger.
	require.InDelta(t, 0.25, dark[0].Share, 0.005)
	require.Greater(t, clear[0].Share, 0.99)
	require.Greater(t, stray.Seen(nil, p, s, fixed(0, 0, 300), nil)[0].Share, 0.98)
}
