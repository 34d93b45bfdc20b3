package light

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Options say how LEDs are to be placed anew.
type Options struct {
	Stack   Stack
	Kind    part.LED
	Current part.Amp // in each LED
	Hole    geom.Nm  // diameter of the new holes

	// Room is where the middle of an LED may be: the caller knows the board. Spacing is the least distance between two.
	Room    geom.Region
	Spacing geom.Nm

	Count int     // this many LEDs in all; 0: as few as reach Even
	Even  float64 // wanted minimum to mean over the lettering
	Most  int     // with Even: no more than these; 0: 200
	Keep  bool    // the panel's present LEDs stay where they are and count
	Seed  uint64

	// Step, if not nil, is told how many of the steps are done.
	Step func(done, total int)
}

// Plan is where LEDs should be.
type Plan struct {
	LEDs   []panel.Hole
	Grid   []panel.Hole // a plain grid of as many, for comparison; with Keep, the present ones and a grid of the others
	Before Figures      // of the panel as drawn, all LEDs at Current
	After  Figures
	Plain  Figures // of the grid
	Seed   uint64
}

// mostLEDs bounds what one panel is given.
const mostLEDs = 1000

// Place finds positions for the LEDs of a panel so that its lettering is lit evenly: the darkest place of the lettering is to
// be as near to its mean, weighted by area, as can be.
//
// Method. A greedy start takes one position after the other that adds most to Σ area·log(1+L/τ), a monotone submodular
// function, for which greed is within 1-1/e of the best (G. L. Nemhauser, L. A. Wolsey and M. L. Fisher, "An analysis of
// approximations for maximizing submodular set functions—I", Mathematical Programming 14, 1978, 265-294,
// doi:10.1007/BF01588971). Coordinate exchange then moves one LED at a time to the best of all positions, round and round
// (R. K. Meyer and C. J. Nachtsheim, "The coordinate-exchange algorithm for constructing exact optimal experimental
// designs", Technometrics 37(1), 1995, 60-69, doi:10.1080/00401706.1995.10485889), and pattern search with shrinking steps
// off the grid ends it (R. Hooke and T. A. Jeeves, "Direct search solution of numerical and statistical problems", JACM
// 8(2), 1961, 212-229, doi:10.1145/321062.321069). We differ: what is raised is the power mean of the luminance with
// exponent -4, then -12, then -32, over its arithmetic mean, which tends to minimum over mean and never stands still; a mean
// below half of what the drawn LEDs, a grid or the greedy start give is charged with its square, as LEDs far from all lettering
// light it evenly but hardly; and the search starts again from a plain grid and from the LEDs as drawn. Of all ends and starts that one is
// taken whose field, computed in full, is best, so that the result is never worse than the grid or the drawing.
//
// The search takes an LED's light as its radial profile through the whole stack, cut off by walls; Seed orders the moves.
//
// When ctx is done it returns at once, and what it returns means nothing.
func Place(ctx context.Context, p panel.Panel, o Options) (plan Plan, l diag.List) {
	work.Until(ctx, func(w *work.Watch) { plan, l = placed(w, p, o) })
	return plan, l.WithPanel(p.Name)
}

func placed(w *work.Watch, p panel.Panel, o Options) (Plan, diag.List) {
	plan := Plan{Seed: o.Seed}
	var l diag.List
	fixed := []panel.Hole(nil)
	if o.Keep {
		fixed = slices.Clone(p.LEDs)
	}
	if o.Most <= 0 {
		o.Most = 200
	}
	o.Most = min(o.Most, mostLEDs)
	switch {
	case o.Count > mostLEDs:
		l.Add(diag.Error, "light-too-many", "%d LEDs are more than one panel can be given", o.Count).Fix("ask for at most %d", mostLEDs)
	case o.Count > 0 && o.Count < len(fixed):
		l.Add(diag.Error, "light-keep-count", "%d LEDs are wanted, but the panel has %d that are to stay", o.Count, len(fixed)).
			Fix("ask for at least %d, or let them be moved", len(fixed))
	case o.Count <= 0 && !(o.Even > 0 && o.Even < 1):
		l.Add(diag.Error, "light-no-aim", "neither a number of LEDs nor an evenness between 0 and 1 is told").
			Fix("tell one: 40 LEDs, or an evenness of 0.7")
	case len(o.Kind.Curve) == 0 || !(o.Current > 0):
		l.Add(diag.Error, "light-no-kind", "the LEDs' kind or current is not known").Fix("name an LED kind and its current")
	}
	if l.HasErrors() {
		return plan, l
	}
	s := newSearch(w, p, o, fixed)
	if len(s.points) == 0 {
		l.Add(diag.Error, "light-no-lettering", "the panel has neither lettering nor an outline to be lit").
			Fix("draw the texts and symbols on the lettering layer")
		return plan, l
	}
	if len(s.sites) == 0 {
		l.Add(diag.Error, "light-no-room", "there is no room for an LED near the lettering").
			Fix("move bodies and openings apart, or make the board larger")
		return plan, l
	}
	var best []geom.Pt
	if o.Count > 0 {
		best = s.place(o.Count, true)
		if len(best)+len(fixed) < o.Count {
			l.Add(diag.Error, "light-crowded", "only %d LEDs find room at least %v apart; %d are wanted", len(best)+len(fixed), o.Spacing, o.Count).
				Fix("ask for fewer, or make room")
			return plan, l
		}
	} else {
		var ok bool
		if best, ok = s.fewest(); !ok {
			l.Add(diag.Error, "light-not-even", "an evenness of %.2f is not reached with %d LEDs; the best is %.2f", o.Even, len(best)+len(fixed), s.even(best)).
				Fix("ask for less, put the diffuser farther from the LEDs, or choose a denser grade")
		}
	}
	plan.LEDs = append(slices.Clone(fixed), s.holes(best)...)
	plan.Grid = append(slices.Clone(fixed), s.holes(s.plainGrid(len(best)))...)
	plan.Before = s.figures(p.LEDs)
	plan.After = s.figures(plan.LEDs)
	plan.Plain = s.figures(plan.Grid)
	return plan, l
}

// search is a placement in the making. Places of LEDs are points; L is in cd/m² for all LEDs alike.
type search struct {
	watch  *work.Watch
	p      panel.Panel
	o      Options
	fixed  []panel.Hole
	spots  []spot
	points []geom.Pt // of the lettering
	weight []float64 // their areas, summing to 1
	base   []float64 // light of the fixed LEDs at them
	sites  []geom.Pt // where an LED may be
	light  [][]float64
	ws     []wall
	optics optics
	direct radial
	around radial
	rng    *rand.Rand
	floor  float64 // of the mean; see bright
	done   int
	total  int
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

// power returns x to the power -4, -12 or -32 for rank 0, 1, 2.
func power(x float64, rank int) float64 {
	x2 := float64(x * x)
	x4 := float64(x2 * x2)
	switch rank {
	case 0:
		return 1 / x4
	case 1:
		return 1 / float64(float64(x4*x4)*x4)
	}
	x8 := float64(x4 * x4)
	x16 := float64(x8 * x8)
	return 1 / float64(x16*x16)
}

// merit returns the logarithm of the power mean of light + add over its mean; add may be nil.
func (s *search) merit(light, add []float64, rank int) float64 {
	n := [...]float64{4, 12, 32}[rank]
	mean := 0.0
	for i, w := range s.weight {
		v := light[i]
		if add != nil {
			v += add[i]
		}
		mean += float64(w * v)
	}
	if mean <= 0 {
		return math.Inf(-1)
	}
	// Light is lost faster than evenness may be won: below the floor it costs its square.
	dim := 2 * math.Log(max(s.floor/mean, 1))
	scale, sum := 1/mean, 0.0
	for i, w := range s.weight {
		v := light[i]
		if add != nil {
			v += add[i]
		}
		sum += float64(w * power(max(float64(v*scale), 1e-6), rank))
	}
	return settled(-math.Log(sum)/n - dim)
}

// holes returns holes at the places.
func (s *search) holes(at []geom.Pt) []panel.Hole {
	out := make([]panel.Hole, len(at))
	for i, q := range at {
		out[i] = panel.Hole{At: q, D: s.o.Hole}
	}
	slices.SortFunc(out, func(a, b panel.Hole) int {
		// Rows from the top, as one reads.
		return cmp.Or(cmp.Compare(b.At.Y, a.At.Y), cmp.Compare(a.At.X, b.At.X))
	})
	return out
}

// figures returns those of the panel with these LEDs, computed in full.
func (s *search) figures(holes []panel.Hole) Figures {
	p := s.p
	p.LEDs = holes
	w := led.Wiring{Panel: p.Name, Strings: []led.String{{Nominal: s.o.Current}}}
	for i := range holes {
		w.LEDs = append(w.LEDs, led.LED{Hole: i, Kind: s.o.Kind})
	}
	f := Field{}
	all, beams, _ := lamps(p, w, s.o.Stack)
	f.Layers = luminance(s.watch, p, s.o.Stack, s.optics, all, s.optics.arrivals(beams), 0)
	f.measure(s.watch, s.spots)
	return f.Figures
}

// Illumination returns the figures of the panel with LEDs at these places, computed in full.
func Illumination(ctx context.Context, p panel.Panel, at []geom.Pt, o Options) (f Figures) {
	work.Until(ctx, func(w *work.Watch) {
		s := &search{watch: w, p: p, o: o, spots: spotsOf(w, p, nil), optics: newOptics(w, o.Stack)}
		f = s.figures(s.holes(at))
	})
	return f
}

// even returns the minimum to mean with the fixed LEDs and these, computed in full, and less where they light the lettering
// dimly.
func (s *search) even(at []geom.Pt) float64 {
	f := s.figures(append(slices.Clone(s.fixed), s.holes(at)...))
	dim := 1.0
	if f.Mean < s.floor {
		dim = f.Mean / s.floor
	}
	return f.MinToMean * dim * dim
}

// bright is the least mean that counts as light, as a share of what the drawn LEDs or a grid give, or the greedy start if
// that is less bright.
const bright = 0.5

// setFloor sets the least mean for n LEDs.
func (s *search) setFloor(greedy, grid []geom.Pt, n int) {
	usual := s.mean(s.layoutOf(grid))
	if k := len(s.p.LEDs); k > 0 && !s.o.Keep {
		var at []geom.Pt
		for _, h := range s.p.LEDs {
			at = append(at, h.At)
		}
		usual = max(usual, s.mean(s.layoutOf(at))*float64(n)/float64(k))
	}
	s.floor = bright * min(usual, s.mean(s.layoutOf(greedy)))
}

// mean returns the mean light of a placement.
func (s *search) mean(l layout) float64 {
	sum := 0.0
	for i, w := range s.weight {
		sum += float64(w * l.light[i])
	}
	return sum
}

func (s *search) step() {
	s.done++
	if s.o.Step != nil {
		s.o.Step(min(s.done, s.total), s.total)
	}
}
