package boardtest_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/boardtest"
	"lampblack/board/place"
	"lampblack/board/shape"
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// tightPanel returns a climate desk's panel where little was thought of the board: words of LEDs in rows, some aslant, bodies and
// screws beside them from where they meet to where all have room, now and then two kinds, and a body across the panel, so that it
// takes two boards. All in mm; flanges are 3.8 mm of lamps of 3 mm and 5.9 mm of those of 5 mm.
func tightPanel(seed uint64) panel.Panel {
	r := rand.New(rand.NewPCG(seed, 0x717e))
	between := func(lo, hi float64) float64 { return math.Round((lo+r.Float64()*(hi-lo))*100) / 100 }
	w, h := between(110, 200), between(56, 90)
	p := panel.Panel{Name: fmt.Sprintf("tight-%d", seed), Outline: geom.Rect(geom.BoxOf(geom.PtMM(0, 0), geom.PtMM(w, h)))}
	type thing struct{ x, y, r float64 } // what is there: no other comes nearer than its circle
	var there []thing
	free := func(x, y, r float64, but int) bool {
		for i, t := range there {
			if i != but && math.Hypot(x-t.x, y-t.y) < r+t.r {
				return false
			}
		}
		return true
	}
	split := 0.0
	if seed%5 == 0 {
		split = w / 2
		p.Bodies = append(p.Bodies, geom.Rect(geom.BoxOf(geom.PtMM(split-4, -1), geom.PtMM(split+4, h+1))))
	}
	screw := func(x, y float64) {
		p.Mounts = append(p.Mounts, panel.Hole{At: geom.PtMM(x, y), D: geom.MM(3.2)})
		there = append(there, thing{x, y, 3.6})
	}
	for _, at := range [][2]float64{{5, 5}, {w - 5, h - 5}} {
		screw(at[0], at[1])
	}
	// Words.
	second := seed%4 == 1
	for tries := 0; len(p.LEDs) < 10+int(seed%5)*6 && tries < 200; tries++ {
		pitch, angle := between(6.2, 10), 0.0
		if r.IntN(3) == 0 {
			angle = between(-0.8, 0.8)
		}
		kind, d, flange := "", 3.0, 1.9
		if second && r.IntN(2) == 0 {
			kind, d, flange = "amber-5mm", 5, 2.95
			pitch += 2
		}
		x, y := between(12, w-12), between(11, h-11)
		for k := 3 + r.IntN(5); k > 0; k-- {
			if x < 11 || x > w-11 || y < 10 || y > h-10 || math.Abs(x-split) < 10 || !free(x, y, flange+1.2, -1) {
				break
			}
			p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(x, y), D: geom.MM(d), Kind: kind})
			there = append(there, thing{x, y, flange})
			x, y = x+pitch*math.Cos(angle), y+pitch*math.Sin(angle)
		}
	}
	// Bodies and screws beside every fourth LED or so.
	for i, l := range p.LEDs {
		if r.IntN(4) > 0 {
			continue
		}
		x, y, flange := l.At.X.MM(), l.At.Y.MM(), 1.9
		if l.D > geom.MM(4) {
			flange = 2.95
		}
		k := slices.IndexFunc(there, func(t thing) bool { return t.x == x && t.y == y })
		turn := between(0, 2*math.Pi)
		c, s := math.Cos(turn), math.Sin(turn)
		if i%2 == 0 { // a screw: 0.1 to 3 mm from its hole to the flange
			d := 1.6 + flange + between(0.1, 3)
			if a, b := x+d*c, y+d*s; a > 5 && a < w-5 && b > 5 && b < h-5 && math.Abs(a-split) > 9 && free(a, b, 4.5, k) {
				screw(a, b)
			}
			continue
		}
		half := between(3, 5)
		gap := between(-0.1, 2)
		if r.IntN(2) == 0 {
			d := half + flange + gap
			if a, b := x+d*c, y+d*s; a > half+7 && a < w-half-7 && b > half+7 && b < h-half-7 && math.Abs(a-split) > half+11 && free(a, b, half+4, k) {
				p.Bodies = append(p.Bodies, geom.Circle(geom.PtMM(a, b), geom.MM(2*half)))
				there = append(there, thing{a, b, half + 4})
			}
			continue
		}
		d := half + flange + gap
		a, b := x, y
		switch r.IntN(4) {
		case 0:
			a += d
		case 1:
			a -= d
		case 2:
			b += d
		default:
			b -= d
		}
		if far := half * math.Sqrt2; a > far+7 && a < w-far-7 && b > far+7 && b < h-far-7 && math.Abs(a-split) > far+11 && free(a, b, far+4, k) {
			p.Bodies = append(p.Bodies, geom.Rect(geom.BoxOf(geom.PtMM(a-half, b-half), geom.PtMM(a+half, b+half))))
			there = append(there, thing{a, b, far + 4})
		}
	}
	return p
}

// collides says whether an LED of the panel can stand nowhere where it is, by means of this test alone: its flange meets a body, the
// outline or another flange, a screw's hole has less than 0.25 mm of board round it for it, or its two pads of 1.8 mm, 2.54 mm apart, are
// nearer than 0.6 mm to a body or the outline (a board that comes within 0.3 mm, copper within 0.3 mm of its edge) at each of eight
// turns, of which each lies opposite another.
func collides(p panel.Panel, i int) string {
	l := p.LEDs[i]
	radius := func(h panel.Hole) float64 {
		if h.D > geom.MM(4) {
			return 2.95e6
		}
		return 1.9e6
	}
	const hair = 0.03e6
	rings := []geom.Ring{p.Outline.Ring(geom.Micrometre)}
	for _, b := range p.Bodies {
		rings = append(rings, b.Ring(geom.Micrometre))
	}
	for _, r := range rings {
		if r.DistTo(l.At) < radius(l)+hair {
			return "flange on a body or beyond the outline"
		}
	}
	for _, b := range rings[1:] {
		if b.Locate(l.At) != geom.Outside {
			return "in a body"
		}
	}
	for _, m := range p.Mounts {
		if l.At.Dist(m.At) < radius(l)+float64(m.D/2)+0.25e6+hair {
			return "over a screw"
		}
	}
	for k, o := range p.LEDs {
		if k != i && l.At.Dist(o.At) < radius(l)+radius(o)+hair {
			return "on another LED"
		}
	}
	for turn := range 8 {
		a := float64(turn) * math.Pi / 4
		clear := true
		for k, side := range [2]float64{-1.27e6, 1.27e6} {
			x, y := float64(l.At.X)+side*math.Cos(a), float64(l.At.Y)+side*math.Sin(a)
			var pad []geom.Pt // its edge; the cathode's is square
			for n := range 64 {
				t := float64(n) * 2 * math.Pi / 64
				px, py := math.Cos(t), math.Sin(t)
				if k == 0 {
					m := max(math.Abs(px), math.Abs(py))
					px, py = px/m, py/m
				}
				px, py = px*0.9e6, py*0.9e6
				pad = append(pad, geom.Pt{X: geom.Nm(x + px*math.Cos(a) - py*math.Sin(a)), Y: geom.Nm(y + px*math.Sin(a) + py*math.Cos(a))})
			}
			for _, r := range rings {
				for _, q := range pad {
					clear = clear && r.DistTo(q) >= 0.6e6+hair
				}
			}
		}
		if clear {
			return ""
		}
	}
	return "pads on the edge"
}

// Panels where bodies and screws stand close to LEDs are refused only where an LED collides with something, by a measure of this test;
// the others are proven, their LEDs clear of bodies, and their tracks within 1.25 times the spanning tree in the median.
func TestTightPanels(t *testing.T) {
	usual := []uint64{}
	last := uint64(20)
	if !testing.Short() {
		last = 40
	}
	for s := uint64(1); s <= last; s++ {
		usual = append(usual, s)
	}
	var signal []float64
	done, refused, gave := 0, 0, 0
	for _, seed := range seeds(t, usual) {
		whole := tightPanel(seed)
		parts, l := shape.Parts(whole, board.UsualRules())
		require.False(t, l.HasErrors(), "%v", l)
		for _, q := range parts {
			q := q.Panel
			t.Run(q.Name, func(t *testing.T) {
				c := boardtest.Case{Seed: seed, Panel: q, Request: led.Usual()}
				kind, ok := part.Find("red-3mm")
				require.True(t, ok)
				c.Request.Defaults.Kind = kind
				o := make1(c, place.Options{}, board.FloorsOf(board.UsualRules(), func(string) bool { return false }))
				for _, f := range o.told {
					if f.Code == "shape-gave-way" {
						gave++
						require.NotNil(t, f.Place.At)
					}
				}
				if o.stage == "" {
					done++
					require.False(t, o.found.HasErrors(), "%v", o.found)
					signal = append(signal, o.routed.SignalRatio)
					for i := range q.LEDs {
						why := collides(q, i)
						require.NotContains(t, []string{"flange on a body or beyond the outline", "in a body"}, closer(q, i, why), "%v", q.LEDs[i].At)
					}
					return
				}
				refused++
				for _, f := range o.refusal {
					if f.Severity != diag.Error {
						continue
					}
					t.Logf("%s %s %s: %s (%s)", o.stage, f.Code, place2(f), f.Text, f.Advice)
					require.NotNil(t, f.Place.At, "%v", f)
					i := slices.IndexFunc(q.LEDs, func(h panel.Hole) bool { return h.At.X.MM() == f.Place.At.X && h.At.Y.MM() == f.Place.At.Y })
					require.GreaterOrEqual(t, i, 0, "refused for something that is no LED: %s", f.Text)
					require.NotEmpty(t, collides(q, i), "refused where nothing collides: %s", f.Text)
					require.Regexp(t, `by \d+\.\d\d mm (to the (left|right)|up|down)`, f.Advice, "the move is told")
				}
			})
		}
	}
	t.Logf("%d boards proven, %d refused, %d limits gave way, signal tracks %.3f of the spanning tree in the median", done, refused, gave, quantile(signal, 0.5))
	require.Greater(t, done, 2*refused)
	require.Positive(t, gave)
	require.LessOrEqual(t, quantile(signal, 0.5), 1.25)
}

// closer returns why an LED collides where that is by more than a hair: of a board that was made.
func closer(p panel.Panel, i int, why string) string {
	if why == "" {
		return ""
	}
	q := p
	q.LEDs = slices.Clone(p.LEDs)
	for _, v := range []geom.Vec{{X: geom.MM(0.05)}, {X: -geom.MM(0.05)}, {Y: geom.MM(0.05)}, {Y: -geom.MM(0.05)}} {
		q.LEDs[i].At = p.LEDs[i].At.Add(v)
		if collides(q, i) == "" {
			return ""
		}
	}
	return why
}
