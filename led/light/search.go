package light

import (
	"math"
	"math/rand/v2"
	"slices"

	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// search is a placement in the making. Places of LEDs are points; L is in cd/m² for all LEDs alike.
type search struct {
	watch   *work.Watch
	p       panel.Panel
	o       Options
	fixed   []panel.Hole
	spots   []spot
	points  []geom.Pt // of the lettering
	weight  []float64 // their areas, summing to 1
	base    []float64 // light of the fixed LEDs at them
	given   float64   // and its mean
	sites   []geom.Pt // where an LED may be
	light   [][]float64
	ws      []wall
	optics  optics
	direct  radial
	around  radial
	rng     *rand.Rand
	apiece  float64 // of the mean, at least, for each LED that is placed; see bright
	lenient bool    // no brightness is asked for: even light is dim on this panel, however many LEDs there are
	reach   float64 // nm, where an LED's light has fallen to half
	done    int
	total   int
}

// bands shares work out among all cores, for as long as somebody waits for it.
func (s *search) bands(n int, f func(from, to int)) {
	s.watch.Look()
	work.Bands(n, f)
}

// Bounds of the search's size: places of lettering looked at, and places for LEDs.
const (
	mostPoints = 700
	mostSites  = 2500
	siteStep   = geom.Millimetre
	many       = 60 // LEDs at most that show what is usual where their number is not told, and how far apart they stand at least
	sparse     = 10e6
	farLED     = 30 * geom.Millimetre // an LED farther than this from all lettering is of no use
)

func newSearch(w *work.Watch, p panel.Panel, o Options, fixed []panel.Hole) *search {
	s := &search{watch: w, p: p, o: o, fixed: fixed, spots: spotsOf(w, p, nil), ws: walls(p), optics: newOptics(w, o.Stack), rng: rand.New(rand.NewPCG(o.Seed, 0x6c616d70))}
	all := 0
	for _, t := range s.spots {
		for _, c := range t.chars {
			all += len(c.points)
		}
	}
	if all == 0 {
		return s
	}
	every := max(1, (all+mostPoints-1)/mostPoints)
	for _, t := range s.spots {
		for _, c := range t.chars {
			n := max(1, len(c.points)/every)
			if every > 1 {
				n = min(max(n, 8), len(c.points)) // the smallest letters count too
			}
			for k := range n {
				s.points = append(s.points, c.points[k*len(c.points)/n])
				s.weight = append(s.weight, c.area*float64(len(c.points))/float64(n))
			}
		}
	}
	sum := 0.0
	for _, w := range s.weight {
		sum += w
	}
	for i := range s.weight {
		s.weight[i] /= sum
	}
	s.direct, s.around = s.profiles()
	s.findSites()
	s.light = make([][]float64, len(s.sites))
	s.bands(len(s.sites), func(from, to int) {
		for i := from; i < to; i++ {
			s.light[i] = s.from(s.sites[i])
		}
	})
	s.base = make([]float64, len(s.points))
	for _, h := range fixed {
		for i, v := range s.from(h.At) {
			s.base[i] += v
		}
	}
	s.given = dot(s.weight, s.base)
	for k, v := range s.direct {
		if v+s.around[k] < (s.direct[0]+s.around[0])/2 {
			s.reach = float64(k) / 4 * 1e6
			break
		}
	}
	s.reach = max(s.reach, 1e6)
	switch n := o.Count; {
	case len(fixed) > 0: // more LEDs make it no darker, and fill up what lacks
	case n > 0:
		s.apiece = bright * s.usual(n)
	default:
		s.apiece = enough * s.usual(min(max(int(s.length()/sparse), 1), many))
	}
	return s
}

// findSites takes a grid of the room near the lettering, clear of the fixed LEDs.
func (s *search) findSites() {
	near := make(map[geom.Pt]bool) // squares of farLED that hold lettering
	cell := func(p geom.Pt) geom.Pt {
		f := func(v geom.Nm) geom.Nm { return geom.Nm(math.Floor(float64(v) / float64(farLED))) }
		return geom.Pt{X: f(p.X), Y: f(p.Y)}
	}
	for _, q := range s.points {
		near[cell(q)] = true
	}
	useful := func(q geom.Pt) bool {
		c := cell(q)
		for dx := geom.Nm(-1); dx <= 1; dx++ {
			for dy := geom.Nm(-1); dy <= 1; dy++ {
				if near[geom.Pt{X: c.X + dx, Y: c.Y + dy}] {
					return true
				}
			}
		}
		return false
	}
	for step := siteStep; ; step = step * 5 / 4 {
		pts, _ := samples(s.o.Room, step)
		s.sites = nil
		for _, q := range pts {
			if s.o.Room.Locate(q) == geom.Inside && useful(q) && s.clear(q, nil, -1) {
				s.sites = append(s.sites, q)
			}
		}
		if len(s.sites) <= mostSites {
			return
		}
	}
}

// clear reports whether an LED at q keeps its distance from the fixed ones and the others but number own.
func (s *search) clear(q geom.Pt, others []geom.Pt, own int) bool {
	for _, h := range s.fixed {
		if q.Dist(h.At) < float64(s.o.Spacing) {
			return false
		}
	}
	for i, o := range others {
		if i != own && q.Dist(o) < float64(s.o.Spacing) {
			return false
		}
	}
	return true
}

// radial is a function of the distance, tabled every quarter of a millimetre.
type radial []float64

func (r radial) at(mm float64) float64 {
	x := mm * 4
	i := int(x)
	if i+1 >= len(r) {
		return 0
	}
	f := x - float64(i)
	return float64(r[i]*(1-f)) + float64(r[i+1]*f)
}

// profiles returns what one LED gives at a distance, directly and after bounces, in an endless panel.
func (s *search) profiles() (direct, around radial) {
	const half = 60 // mm
	p := panel.Panel{LEDs: []panel.Hole{{At: geom.PtMM(half, half), D: s.o.Hole}}}
	w := led.Wiring{LEDs: []led.LED{{Kind: s.o.Kind}}, Strings: []led.String{{LEDs: []int{0}, Nominal: s.o.Current}}}
	all, beams, _ := lamps(p, w, s.o.Stack)
	g := newGrid(geom.Box{Max: geom.PtMM(2*half, 2*half)}, gridStep, 0)
	table := func(g Grid) radial {
		r := make(radial, half*4)
		for i := range r {
			r[i] = g.At(geom.PtMM(half+float64(float64(i)/4), half))
		}
		return r
	}
	v := s.optics.seen(s.watch, g, s.o.Stack, all, s.optics.arrivals(beams), ground{})
	return table(v.straight.plus(v.scattered)), table(v.around)
}

// from returns the light of an LED at q at all points.
func (s *search) from(q geom.Pt) []float64 {
	out := make([]float64, len(s.points))
	x, y := q.X.MM(), q.Y.MM()
	see := sight(s.ws, x, y, farLED.MM()*1.5)
	for i, p := range s.points {
		dx, dy := p.X.MM()-x, p.Y.MM()-y
		r := math.Sqrt(float64(dx*dx) + float64(dy*dy))
		out[i] = s.around.at(r)
		if see.lights(dx, dy) {
			out[i] += s.direct.at(r)
		}
	}
	return out
}

// layout is LEDs and the light they give.
type layout struct {
	at    []geom.Pt
	own   [][]float64 // light of each
	light []float64   // of all, and the fixed ones
}

func (s *search) layoutOf(at []geom.Pt) layout {
	l := layout{at: slices.Clone(at), light: slices.Clone(s.base)}
	for _, q := range at {
		v := s.from(q)
		l.own = append(l.own, v)
		for i := range v {
			l.light[i] += v[i]
		}
	}
	return l
}

func (s *search) step() {
	s.done++
	if s.o.Step != nil {
		s.o.Step(min(s.done, s.total), s.total)
	}
}
