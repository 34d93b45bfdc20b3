// Package boardtest makes panels and wirings for the tests of the board stages: seeded, so that a failing case can be
// run again from its number. All are made up for these tests: desk panels of a home observatory.
package boardtest

import (
	"fmt"
	"math"
	"math/rand/v2"

	"lampblack/panel"
	"lampblack/panel/geom"
)

// field is a panel in the making. Everything in mm.
type field struct {
	stock
	r     *rand.Rand
	w, h  float64
	notch *rect
}

// stock is what stands on a panel already.
type stock struct {
	rects  []rect // openings and bodies, with what must stay free round them
	rounds []round
	lamps  []round
}

// clears reports whether the rectangle keeps d from openings, bodies and mounts.
func (s *stock) clears(q rect, d float64) bool {
	for _, o := range s.rects {
		if q.x0-d < o.x1 && o.x0-d < q.x1 && q.y0-d < o.y1 && o.y0-d < q.y1 {
			return false
		}
	}
	for _, m := range s.rounds {
		if q.dist(m.x, m.y) < m.r+d {
			return false
		}
	}
	return true
}

// lampFits reports whether a lamp's middle keeps edge from openings and bodies, mount from the rounds, and apart from other
// lamps.
func (s *stock) lampFits(x, y, edge, mount, apart float64) bool {
	for _, q := range s.rects {
		if q.dist(x, y) < edge {
			return false
		}
	}
	for _, m := range s.rounds {
		if math.Hypot(m.x-x, m.y-y) < m.r+mount {
			return false
		}
	}
	for _, l := range s.lamps {
		if math.Hypot(l.x-x, l.y-y) < apart {
			return false
		}
	}
	return true
}

type rect struct{ x0, y0, x1, y1 float64 }

type round struct{ x, y, r float64 }

// Panel returns the panel of that seed with n LEDs, or somewhat fewer when its room is used up. Panels measure from
// 40 x 30 to 400 x 300 mm; most have M3 mounts, a third of them a notch, some round corners, and openings with bodies
// behind them. LEDs stand in rows, as under words, and clear of edges, bodies and each other.
func Panel(seed uint64, n int) panel.Panel {
	f := &field{r: rand.New(rand.NewPCG(seed, 0x1a3b))}
	f.size(n)
	p := panel.Panel{Name: fmt.Sprintf("desk-%d", seed), Drawing: fmt.Sprintf("desk-%d.dxf", seed), Outline: f.outline()}
	f.mounts(&p)
	f.openings(&p, n)
	f.leds(&p, n)
	return p
}

// size draws the size so that each LED has 150 to 600 mm².
func (f *field) size(n int) {
	area := float64(n) * f.between(150, 600)
	aspect := f.between(1, 2.2)
	f.w = round1(clamp(math.Sqrt(area*aspect), 40, 400))
	f.h = round1(clamp(math.Max(area, 2400)/f.w, 30, 300))
}

func (f *field) outline() geom.Contour {
	switch f.r.IntN(3) {
	case 0: // round corners
		const r = 5.0
		q := math.Tan(math.Pi / 8)
		v := func(x, y, bulge float64) geom.Vertex { return geom.Vertex{Pt: geom.PtMM(x, y), Bulge: bulge} }
		return geom.Contour{
			v(r, 0, 0), v(f.w-r, 0, q), v(f.w, r, 0), v(f.w, f.h-r, q),
			v(f.w-r, f.h, 0), v(r, f.h, q), v(0, f.h-r, 0), v(0, r, q),
		}
	case 1: // a notch in the upper right corner
		nx, ny := round1(f.w*f.between(0.15, 0.4)), round1(f.h*f.between(0.15, 0.4))
		f.notch = &rect{f.w - nx, f.h - ny, f.w + 1, f.h + 1}
		return geom.Straight(geom.PtMM(0, 0), geom.PtMM(f.w, 0), geom.PtMM(f.w, f.h-ny),
			geom.PtMM(f.w-nx, f.h-ny), geom.PtMM(f.w-nx, f.h), geom.PtMM(0, f.h))
	}
	return geom.Rect(geom.BoxOf(geom.PtMM(0, 0), geom.PtMM(f.w, f.h)))
}

// mounts puts M3 holes near the corners, in the middle of long sides too.
func (f *field) mounts(p *panel.Panel) {
	const in = 6.0
	at := [][2]float64{{in, in}, {f.w - in, in}, {in, f.h - in}, {f.w - in, f.h - in}}
	if f.w < 60 || f.h < 45 {
		at = [][2]float64{{in, in}, {f.w - in, f.h - in}}
	}
	if f.w > 150 {
		at = append(at, [2]float64{round1(f.w / 2), in}, [2]float64{round1(f.w / 2), f.h - in})
	}
	for _, m := range at {
		if !f.inside(m[0], m[1], 5) {
			continue
		}
		p.Mounts = append(p.Mounts, panel.Hole{At: geom.PtMM(m[0], m[1]), D: geom.MM(3.2), Source: panel.Source{Handle: fmt.Sprintf("M%d", len(p.Mounts)+1)}})
		f.rounds = append(f.rounds, round{m[0], m[1], 1.6})
	}
}

// openings cuts up to a quarter of the panel for toggles (round) and displays, half of them with a body behind.
func (f *field) openings(p *panel.Panel, n int) {
	budget := f.w * f.h * f.between(0, 0.22)
	for i := 0; i < 6+n/25 && budget > 0; i++ {
		w, h := f.between(6, 14), 0.0
		isRound := f.r.IntN(2) == 0
		if isRound {
			h = w
		} else {
			w, h = f.between(8, max(9, f.w/4)), f.between(8, max(9, f.h/4))
		}
		w, h = round1(w), round1(h)
		x, y := round1(f.between(w/2+8, f.w-w/2-8)), round1(f.between(h/2+8, f.h-h/2-8))
		extra := 0.0
		if f.r.IntN(2) == 0 {
			extra = round1(f.between(1.5, 4))
		}
		free := rect{x - w/2 - extra, y - h/2 - extra, x + w/2 + extra, y + h/2 + extra}
		if !f.free(free, 7) || (free.x1-free.x0)*(free.y1-free.y0) > budget {
			continue
		}
		budget -= (free.x1 - free.x0) * (free.y1 - free.y0)
		c := geom.Rect(geom.BoxOf(geom.PtMM(x-w/2, y-h/2), geom.PtMM(x+w/2, y+h/2)))
		if isRound {
			c = geom.Circle(geom.PtMM(x, y), geom.MM(w))
		}
		p.Openings = append(p.Openings, panel.Opening{Contour: c, Source: panel.Source{Handle: fmt.Sprintf("A%d", i)}})
		if extra > 0 {
			p.Bodies = append(p.Bodies, geom.Rect(geom.BoxOf(geom.PtMM(free.x0, free.y0), geom.PtMM(free.x1, free.y1))))
		}
		f.rects = append(f.rects, free)
	}
}

// leds puts words of 2 to 9 LEDs in rows at 7 to 12 mm until n are placed or nothing fits any more.
func (f *field) leds(p *panel.Panel, n int) {
	for tries := 0; len(p.LEDs) < n && tries < 400+40*n; tries++ {
		pitch := round1(f.between(7, 12))
		x, y := round1(f.between(5, f.w-5)), round1(f.between(5, f.h-5))
		for k := 2 + f.r.IntN(8); k > 0 && len(p.LEDs) < n; k-- {
			if !f.inside(x, y, 4.5) || !f.lampFits(x, y, 4.5, 5, 6.5) {
				break
			}
			f.lamps = append(f.lamps, round{x, y, 0})
			p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(x, y), D: geom.MM(3), Source: panel.Source{Handle: fmt.Sprintf("L%d", len(f.lamps))}})
			x = round1(x + pitch)
		}
	}
}

// free reports whether the rectangle keeps d from all that is there already.
func (f *field) free(q rect, d float64) bool {
	if !f.clears(q, d) {
		return false
	}
	if o := f.notch; o != nil && q.x1+d > o.x0 && q.y1+d > o.y0 {
		return false
	}
	return q.x0 >= d && q.y0 >= d && q.x1 <= f.w-d && q.y1 <= f.h-d
}

// inside reports whether the point keeps d from the outline.
func (f *field) inside(x, y, d float64) bool {
	if f.notch != nil && f.notch.dist(x, y) < d {
		return false
	}
	return x >= d && y >= d && x <= f.w-d && y <= f.h-d
}

func (q rect) dist(x, y float64) float64 {
	return math.Hypot(math.Max(0, math.Max(q.x0-x, x-q.x1)), math.Max(0, math.Max(q.y0-y, y-q.y1)))
}

func (f *field) between(lo, hi float64) float64 { return lo + f.r.Float64()*(hi-lo) }

func clamp(v, lo, hi float64) float64 { return math.Max(lo, math.Min(hi, v)) }

// round1 rounds to a tenth of a millimetre, as people draw.
func round1(v float64) float64 { return math.Round(v*10) / 10 }
