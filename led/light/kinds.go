package light

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Lamp is the LEDs of one kind to be placed.
type Lamp struct {
	Name    string // of the kind, as the panel's LEDs have it; empty: of those whose kind nobody tells
	Kind    part.LED
	Hole    geom.Nm     // diameter of new holes
	Room    geom.Region // as in Options
	Spacing geom.Nm     // from one of them to the next, at least; to one of another kind the mean of both kinds'
}

// Recoloured is the light of one colour of several, before and after, on the lettering that is its as drawn.
type Recoloured struct {
	Name          string
	Drawn, LEDs   int // how many there were and are
	GridLEDs      int
	Before, After Figures
	Plain         Figures
}

// other is an LED of another kind than those that are placed.
type other struct {
	hole    panel.Hole
	Kind    part.LED
	Current part.Amp
	apart   geom.Nm // how far those that are placed stay from it
	lights  bool    // it is of the same colour
}

// shineOthers adds the light of the other LEDs to that of the fixed ones.
func (s *search) shineOthers() {
	var last other
	var direct, around radial
	for _, q := range s.o.others {
		if !q.lights {
			continue
		}
		t := *s
		t.o.Kind, t.o.Current, t.o.Hole = q.Kind, q.Current, q.hole.D
		if last.Kind.Name != q.Kind.Name || last.hole.D != q.hole.D {
			direct, around = t.profiles()
		}
		t.direct, t.around, last = direct, around, q
		for k, v := range t.from(q.hole.At) {
			s.base[k] += v
		}
	}
}

// PlaceKinds is Place for a panel with LEDs of several kinds: each LED keeps its kind, and each colour is placed for the lettering
// that it lights as drawn (see Colour), as if the others were dark. Kind, Hole, Room and Spacing are those of the lamps, which
// name all kinds that the panel's LEDs have.
//
// With Count each kind has its part of them, as many in a hundred as are drawn and one at least; else each has as few as reach Even.
//
// Colours are placed one after the other, each clear of those before it: what is even in one does not depend on another, but for the
// room that this takes. Where one comes out worse than drawn, it is tried first. Of kinds of one colour each is placed in the light of
// the others, twice over. A colour that lights nothing stays where it is.
//
// Least is told where each kind has a colour of its own: the sum of the bounds.
func PlaceKinds(ctx context.Context, p panel.Panel, o Options, lamps []Lamp) (plan Plan, l diag.List) {
	work.Until(ctx, func(w *work.Watch) {
		if len(lamps) == 1 {
			plan, l = placed(w, p, lamps[0].in(o))
			return
		}
		m := newAssortment(w, p, o, lamps)
		plan, l = m.placed()
	})
	return plan, l.WithPanel(p.Name)
}

// in returns options for LEDs of this kind alone.
func (k Lamp) in(o Options) Options {
	o.name, o.Kind, o.Hole, o.Room, o.Spacing = k.Name, k.Kind, k.Hole, k.Room, k.Spacing
	return o
}

// assortment is a placement of several kinds in the making.
type assortment struct {
	w     *work.Watch
	p     panel.Panel
	o     Options
	lamps []Lamp
	drawn [][]panel.Hole // by lamp
	tints []tint
}

// tint is a colour and the kinds that have it.
type tint struct {
	name  string
	lamps []int
	own   []bool // words and symbols; nil: all
	stays bool
}

func newAssortment(w *work.Watch, p panel.Panel, o Options, kinds []Lamp) *assortment {
	m := &assortment{w: w, p: p, o: o, lamps: kinds, drawn: make([][]panel.Hole, len(kinds))}
	is := led.Wiring{Panel: p.Name, Strings: []led.String{{Nominal: o.Current}}}
	for i, h := range p.LEDs {
		k := slices.IndexFunc(kinds, func(l Lamp) bool { return strings.EqualFold(l.Name, h.Kind) })
		if k < 0 {
			panic("light: an LED is of none of the kinds")
		}
		m.drawn[k] = append(m.drawn[k], h)
		is.LEDs = append(is.LEDs, led.LED{Hole: i, Kind: kinds[k].Kind})
	}
	f, spots, optics := Field{}, spotsOf(w, p, o.Engraving), newOptics(w, o.Stack)
	all, beams, _ := lamps(p, is, o.Stack)
	f.Layers = luminance(w, p, o.Stack, optics, all, optics.arrivals(beams), 0)
	f.measure(w, spots)
	units := f.coloured(w, spots)
	var rgb [][3]uint8
	for k, l := range kinds {
		c := slices.Index(rgb, l.Kind.RGB)
		if c < 0 {
			c = len(rgb)
			t := tint{name: colourOf(l.Kind)}
			if n := slices.IndexFunc(f.Layers, func(x Layer) bool { return x.RGB == l.Kind.RGB }); units != nil && n >= 0 {
				t.own = ownOf(units, n)
				t.stays = !slices.Contains(t.own, true)
			}
			rgb, m.tints = append(rgb, l.Kind.RGB), append(m.tints, t)
		}
		m.tints[c].lamps = append(m.tints[c].lamps, k)
	}
	return m
}

// placed places all kinds.
func (m *assortment) placed() (plan Plan, l diag.List) {
	count, l := m.counts()
	if l.HasErrors() {
		return Plan{Seed: m.o.Seed}, l
	}
	order := make([]int, len(m.tints))
	for c := range order {
		order[c] = c
	}
	first, found := m.inOrder(order, count)
	// Whoever came off worse has the choice of room.
	worse := func(r round, l diag.List, c int) bool {
		t := r.plan.Colours
		return c < len(t) && t[c].Drawn == t[c].LEDs && t[c].Before.beats(t[c].After) > 1e-3 || c == r.failed && l.HasErrors()
	}
	again := slices.Clone(order)
	slices.SortStableFunc(again, func(a, b int) int {
		switch wa, wb := worse(first, found, a), worse(first, found, b); {
		case wa && !wb:
			return -1
		case wb && !wa:
			return 1
		}
		return 0
	})
	if !slices.Equal(order, again) {
		if second, more := m.inOrder(again, count); !more.HasErrors() && (found.HasErrors() || second.lost() < first.lost()) {
			first, found = second, more
		}
	}
	return first.plan, append(l, found...)
}

// round is all kinds placed, the colours in some order.
type round struct {
	plan   Plan
	failed int // the colour that was placed last, for which an error tells why it has no places
}

// lost is by how much colours of as many LEDs came out worse than drawn.
func (r round) lost() float64 {
	sum := 0.0
	for _, c := range r.plan.Colours {
		if c.Drawn == c.LEDs {
			sum += c.Before.beats(c.After)
		}
	}
	return settled(sum)
}

// counts returns how many LEDs of each kind there are to be; nil where they are to be as few as reach an evenness.
func (m *assortment) counts() ([]int, diag.List) {
	var l diag.List
	if m.o.Count <= 0 {
		return nil, l
	}
	out, moves, left, all := make([]int, len(m.lamps)), []int{}, m.o.Count, 0
	for _, t := range m.tints {
		for _, k := range t.lamps {
			if n := len(m.drawn[k]); t.stays {
				out[k] = n
				left -= n
			} else {
				moves = append(moves, k)
				all += n
			}
		}
	}
	slices.Sort(moves)
	least := func(k int) int {
		if m.o.Keep {
			return len(m.drawn[k])
		}
		return 1
	}
	need := m.o.Count - left
	for _, k := range moves {
		need += least(k)
	}
	if m.o.Count < need {
		why := fmt.Sprintf("one at least of each of %d kinds", len(m.lamps))
		if m.o.Keep {
			why = "all that are to stay"
		}
		l.Add(diag.Error, "light-too-few", "%d LEDs are wanted, and %d are needed: %s", m.o.Count, need, why).Fix("ask for at least %d", need)
		return nil, l
	}
	// By largest remainders, what is too little for one taken from the most.
	for _, k := range moves {
		out[k] = max(left*len(m.drawn[k])/all, least(k))
	}
	for {
		sum := 0
		for _, k := range moves {
			sum += out[k]
		}
		if sum == left {
			return out, l
		}
		best, most := -1, 0
		for _, k := range moves {
			short := left*len(m.drawn[k]) - out[k]*all
			if sum > left {
				if short = -short; out[k] <= least(k) {
					continue
				}
			}
			if best < 0 || short > most {
				best, most = k, short
			}
		}
		if sum < left {
			out[best]++
		} else {
			out[best]--
		}
	}
}

// inOrder places the colours one after the other.
func (m *assortment) inOrder(order, count []int) (r round, l diag.List) {
	now, grid, stand := slices.Clone(m.drawn), slices.Clone(m.drawn), make([]bool, len(m.lamps))
	for _, t := range m.tints {
		for _, k := range t.lamps {
			stand[k] = t.stays || m.o.Keep
		}
	}
	least, bounded := 0, m.o.Count <= 0
	done, steps := 0, 0
	for _, c := range order {
		steps += m.passes(m.tints[c]) * len(m.tints[c].lamps)
	}
	for _, c := range order {
		t := m.tints[c]
		r.failed = c
		if t.stays {
			for _, k := range t.lamps {
				least += len(m.drawn[k])
			}
			l.Add(diag.Note, "light-colour-stays", "the %s LEDs light no lettering as drawn, and stay where they are", t.name).
				Fix("nothing to do if that is meant; what they are for is told by where they are drawn, near their words")
			continue
		}
		for pass := range m.passes(t) {
			for _, k := range t.lamps {
				q, o := m.p, m.lamps[k].in(m.o)
				q.LEDs, o.own, o.others = now[k], t.own, m.others(k, t, now, stand)
				if count != nil {
					o.Count = count[k]
				}
				if step := m.o.Step; step != nil {
					o.Step = func(d, n int) { step(100*done+100*d/max(n, 1), 100*steps) }
				}
				plan, found := placed(m.w, q, o)
				for i := range found {
					found[i].Text = "of the " + t.name + " LEDs: " + found[i].Text
				}
				if l = append(l, found...); found.HasErrors() {
					return r, l
				}
				done++
				if pass > 0 && m.o.Count <= 0 && len(plan.LEDs) >= len(now[k]) {
					continue // no fewer in the light of the others as they are now
				}
				now[k], grid[k], stand[k] = plan.LEDs, plan.Grid, true
				if bounded && len(t.lamps) == 1 {
					o.others = nil // elsewhere they may be anywhere
					least += m.bound(q, o, plan)
				}
			}
		}
		if len(t.lamps) > 1 {
			bounded = false
		}
	}
	r.plan = m.plan(now, grid)
	if bounded {
		r.plan.Least = least
	}
	return r, l
}

// passes is how often each kind of a colour is placed.
func (m *assortment) passes(t tint) int {
	switch {
	case t.stays:
		return 0
	case len(t.lamps) > 1 && !m.o.Keep:
		return 2
	}
	return 1
}

// others are the LEDs that are not of kind k: those that have their places are kept clear of.
func (m *assortment) others(k int, t tint, now [][]panel.Hole, stand []bool) []other {
	var out []other
	for j, l := range m.lamps {
		if j == k {
			continue
		}
		for _, h := range now[j] {
			q := other{hole: h, Kind: l.Kind, Current: m.o.Current, lights: slices.Contains(t.lamps, j)}
			if stand[j] {
				q.apart = (l.Spacing + m.lamps[k].Spacing + 1) / 2
			}
			if q.lights || q.apart > 0 {
				out = append(out, q)
			}
		}
	}
	return out
}

// bound returns a lower bound of the LEDs of a kind that reach the evenness, as those of the plan do.
func (m *assortment) bound(p panel.Panel, o Options, plan Plan) int {
	var fixed []panel.Hole
	if o.Keep {
		fixed = p.LEDs
	}
	s := newSearch(m.w, p, o, fixed)
	s.lenient = plan.lenient
	n := len(plan.LEDs)
	return min(s.raised(s.bound(o.Even), n), n)
}

// plan is what the places come to.
func (m *assortment) plan(now, grid [][]panel.Hole) Plan {
	plan := Plan{Seed: m.o.Seed}
	var every []int
	for k := range m.lamps {
		every = append(every, k)
		plan.LEDs, plan.Grid = append(plan.LEDs, now[k]...), append(plan.Grid, grid[k]...)
	}
	for _, t := range m.tints {
		c := Recoloured{Name: t.name, Before: m.figures(t, m.drawn), After: m.figures(t, now), Plain: m.figures(t, grid)}
		for _, k := range t.lamps {
			c.Drawn, c.LEDs, c.GridLEDs = c.Drawn+len(m.drawn[k]), c.LEDs+len(now[k]), c.GridLEDs+len(grid[k])
		}
		plan.Colours = append(plan.Colours, c)
	}
	all := tint{lamps: every}
	plan.Before, plan.After, plan.Plain = m.figures(all, m.drawn), m.figures(all, now), m.figures(all, grid)
	return plan
}

// figures returns those of the kinds of a colour on its own lettering, computed in full.
func (m *assortment) figures(t tint, by [][]panel.Hole) Figures {
	k := t.lamps[0]
	s := &search{watch: m.w, p: m.p, o: m.lamps[k].in(m.o), spots: toLight(spotsOf(m.w, m.p, m.o.Engraving)), optics: newOptics(m.w, m.o.Stack)}
	if t.own != nil {
		s.spots = ownSpots(s.spots, t.own)
	}
	for _, j := range t.lamps[1:] {
		for _, h := range by[j] {
			s.o.others = append(s.o.others, other{hole: h, Kind: m.lamps[j].Kind, Current: m.o.Current, lights: true})
		}
	}
	return s.figures(by[k])
}
