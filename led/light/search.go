package light

import (
	"math"
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
	apiece  float64 // of the mean, at least, for each LED that is placed; see ask
	hard    float64 // the mean, at least, at a higher price
	spread  float64 // of the light, at most; 0: any
	dark    float64 // the logarithm of the darkest place over the mean, at least
	dimness float64
	rivals  []Figures // of as many LEDs, than which none should be worse
	lenient bool      // no brightness is asked for: even light is dim on this panel, however many LEDs there are
	border  border    // of the room, a little inside it
	reach   float64   // nm, where an LED's light has fallen to half
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
	mostSites = 2500
	siteStep  = geom.Millimetre
	many      = 60 // LEDs at most that show what is usual where their number is not told, and how far apart they stand at least
	sparse    = 10e6
	farLED    = 30 * geom.Millimetre // an LED farther than this from all lettering is of no use
)

func newSearch(w *work.Watch, p panel.Panel, o Options, fixed []panel.Hole) *search {
	s := &search{watch: w, p: p, o: o, fixed: fixed, spots: toLight(spotsOf(w, p, o.Engraving)), ws: walls(p), optics: newOptics(w, o.Stack)}
	if o.own != nil {
		s.spots = ownSpots(s.spots, o.own)
	}
	if s.points, s.weight = pointsOf(w, s.spots); len(s.points) == 0 {
		return s
	}
	s.direct, s.around = s.profiles()
	s.findSites()
	s.border = border(o.Room.Shrunk(2 * geom.Micrometre).Rings())
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
	s.shineOthers()
	s.given = dot(s.weight, s.base)
	for k, v := range s.direct {
		if v+s.around[k] < (s.direct[0]+s.around[0])/2 {
			s.reach = float64(k) / 4 * 1e6
			break
		}
	}
	s.reach = max(s.reach, 1e6)
	s.dimness, s.dark = dimness, math.Inf(-1)
	s.ask(o.Count)
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
	for _, h := range s.o.others {
		if q.Dist(h.hole.At) < float64(h.apart) {
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

// reach returns the distance from which on it is nothing, mm.
func (r radial) reach() float64 { return float64(len(r)) / 4 }

// slope returns how fast it grows, per mm.
func (r radial) slope(mm float64) float64 {
	i := int(mm * 4)
	if i+1 >= len(r) {
		return 0
	}
	return (r[i+1] - r[i]) * 4
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
	direct = table(v.straight.plus(v.scattered))
	for len(direct) > 1 && direct[len(direct)-1] < direct[0]/20_000 {
		direct = direct[:len(direct)-1] // a hundred such make no difference
	}
	return direct, table(v.around)
}

// from returns the light of an LED at q at all points.
func (s *search) from(q geom.Pt) []float64 {
	out := make([]float64, len(s.points))
	s.shine(q, out, nil)
	return out
}

// shine sets out to the light of an LED at q at all points, and slope, if it is not nil, to how fast that grows with the distance,
// over the distance: per mm².
func (s *search) shine(q geom.Pt, out, slope []float64) {
	x, y := q.X.MM(), q.Y.MM()
	see := sight(s.ws, x, y, s.direct.reach())
	for i, p := range s.points {
		dx, dy := p.X.MM()-x, p.Y.MM()-y
		r := math.Sqrt(float64(dx*dx) + float64(dy*dy))
		v, d := s.around.at(r), s.direct.at(r)
		lit := d > 0 && see.lights(dx, dy)
		if lit {
			v += d
		}
		out[i] = v
		if slope != nil {
			slope[i] = 0
			if r > 0.01 {
				slope[i] = s.around.slope(r) / r
				if lit {
					slope[i] += s.direct.slope(r) / r
				}
			}
		}
	}
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

func (s *search) step(by int) {
	s.done += by
	if s.o.Step != nil {
		s.o.Step(min(s.done, s.total), s.total)
	}
}
