package light

import (
	"context"
	"math"
	"slices"
	"sync"

	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// Rig is a panel and its stack, set up for LEDs that are moved: a hand drags one, and the light follows.
//
// What does not depend on where LEDs are is computed once. Light adds up: a Rig keeps the sum of what arrives on the diffuser from all
// LEDs that it was last asked of, takes out what those sent that are gone, and adds what new ones send. What follows, the diffuser and
// what goes to and fro behind it, is linear in that sum and computed in full. Nothing is approximated: the light is that of Evaluate but
// for rounding (tested to a millionth). The sums are whole numbers, so that what was added is taken out again exactly, and the light of
// LEDs does not depend on which ones were asked of before.
//
// A Rig is safe for several goroutines; one waits for the other.
type Rig struct {
	panel  panel.Panel
	stack  Stack
	spots  []spot
	optics optics
	grid   Grid
	ground ground
	empty  bool // a panel without an area, or without anything to be lit

	mu    sync.Mutex
	beams []beam
	comes arrivals  // of beams
	bare  []float64 // of each beam: how bright its LED looks by itself (Field.Spot)
	sums  []sent
}

// sent is what the lamps of one colour send, by plane.
type sent struct {
	rgb    [3]uint8
	lamps  []lamp
	planes [][]int64
}

// parts is how many parts of a lux are told apart in a sum, and most what one LED adds to a cell at most: a thousand of them stay
// within an int64.
const (
	parts = 1 << 24
	most  = 1 << 52
)

// NewRig sets up a panel, whose own LEDs do not matter. When ctx is done it returns nil.
func NewRig(ctx context.Context, p panel.Panel, e *lettering.Engraving, s Stack) (r *Rig) {
	work.Until(ctx, func(w *work.Watch) {
		p.LEDs = nil
		one := &Rig{panel: p, stack: s, spots: spotsOf(w, p, e), optics: newOptics(w, s)}
		var ok bool
		one.grid, one.ground, ok = groundOf(w, p, s, one.optics)
		one.empty = !ok || len(one.spots) == 0
		r = one
	})
	return r
}

// Field is Evaluate of the panel with these LEDs, and BySet where there are sets. When ctx is done it returns at once, and what it
// returns means nothing; the Rig is as good as before.
func (r *Rig) Field(ctx context.Context, leds []panel.Hole, w led.Wiring, sets []Set) (f Field) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.empty {
		return f
	}
	work.Until(ctx, func(watch *work.Watch) {
		p := r.panel
		p.LEDs = leds
		all, beams, assumed := lamps(p, w, r.stack)
		f.Finish, f.Assumed = r.stack.Finish, assumed
		of := r.known(watch, beams)
		for i := range all {
			all[i].beam = of[all[i].beam]
			f.Spot = max(f.Spot, r.bare[all[i].beam])
		}
		colours := coloursOf(all)
		r.sums = slices.DeleteFunc(r.sums, func(s sent) bool {
			return !slices.ContainsFunc(colours, func(c tinted) bool { return c.rgb == s.rgb })
		})
		for _, c := range colours {
			k := slices.IndexFunc(r.sums, func(s sent) bool { return s.rgb == c.rgb })
			if k < 0 {
				k, r.sums = len(r.sums), append(r.sums, sent{rgb: c.rgb})
			}
			r.move(watch, &r.sums[k], c.lamps)
			lit := r.optics.view(watch, r.arrived(&r.sums[k]), r.stack, c.lamps, r.beams, r.ground).total()
			r.ground.cutFrom(lit)
			f.Layers = append(f.Layers, Layer{c.rgb, c.name, lit})
		}
		f.Ground = float64(unit(r.stack.Paint) * f.Total().Max())
		f.measure(watch, r.spots)
		f.coloured(watch, r.spots)
		if len(sets) > 0 {
			f.bySet(watch, r.spots, unit(r.stack.Paint), sets)
		}
	})
	return f
}

// known returns which of the rig's beams these are, new ones among them.
func (r *Rig) known(watch *work.Watch, beams []beam) []int {
	of := make([]int, len(beams))
	before := len(r.beams)
	all := slices.Clone(r.beams)
	for i, b := range beams {
		k := slices.IndexFunc(all, b.same)
		if k < 0 {
			k, all = len(all), append(all, b)
		}
		of[i] = k
	}
	if len(all) > before {
		comes, bare := r.optics.arrivals(all), slices.Clone(r.bare)
		for i := before; i < len(all); i++ {
			bare = append(bare, r.optics.spotOf(watch, r.stack, comes, i))
		}
		r.beams, r.comes, r.bare = all, comes, bare
	}
	return of
}

// move makes the sums of one colour those of the lamps. Where nobody waits any more, sums are left as those of the lamps they tell.
func (r *Rig) move(watch *work.Watch, s *sent, now []lamp) {
	if s.planes == nil {
		for range r.comes.planes() {
			s.planes = append(s.planes, make([]int64, len(r.grid.V)))
		}
	}
	left := slices.Clone(now) // those that are not in the sums yet
	for i := 0; i < len(s.lamps); {
		if k := slices.Index(left, s.lamps[i]); k >= 0 {
			left = slices.Delete(left, k, k+1)
			i++
			continue
		}
		r.add(watch, s, s.lamps[i], -1)
		s.lamps = slices.Delete(s.lamps, i, i+1)
	}
	for _, l := range left {
		r.add(watch, s, l, 1)
		s.lamps = append(s.lamps, l)
	}
}

// add adds a lamp's light to the sums, or takes it out: all of it, or unwinds before any.
func (r *Rig) add(watch *work.Watch, s *sent, l lamp, sign int64) {
	var light []Grid
	for _, plane := range r.comes.planes() {
		light = append(light, shine(watch, r.grid, []lamp{l}, plane, r.ground.walls))
	}
	for k, g := range light {
		sum := s.planes[k]
		for i, v := range g.V {
			sum[i] += sign * int64(math.Round(min(v*parts, most)))
		}
	}
}

// arrived returns the sums as light.
func (r *Rig) arrived(s *sent) arrived {
	in := arrived{Grid: r.grid}
	for _, sum := range s.planes {
		g := r.grid.blank()
		for i, n := range sum {
			g.V[i] = float64(n) / parts
		}
		in.light = append(in.light, g)
	}
	return in
}

// Dimmest returns the word, symbol or window that gets the least of the light that it is held against (Judge), and how much of it; ok is
// false where there is none.
func (f Field) Dimmest() (l Lit, share float64, ok bool) {
	for _, t := range slices.Concat(f.Words, symbols(f)) {
		if mean := f.mean(t); mean > 0 && (!ok || t.Mean/mean < share) {
			l, share, ok = t, t.Mean/mean, true
		}
	}
	return l, share, ok
}

// Said names a word, a text or a symbol in a sentence.
func (t Lit) Said() string { return t.said() }
