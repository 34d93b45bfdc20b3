package light

import (
	"cmp"
	"context"
	"slices"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// Options say how LEDs are to be placed anew.
type Options struct {
	Stack   Stack
	Kind    part.LED
	Current part.Amp // in each LED
	Hole    geom.Nm  // diameter of the new holes

	Engraving *lettering.Engraving // of the panel; nil: its lettering in the plain face

	// Room is where the middle of an LED may be: the caller knows the board. Spacing is the least distance between two.
	Room    geom.Region
	Spacing geom.Nm

	Count int     // this many LEDs in all; 0: as few as reach Even
	Even  float64 // wanted minimum to mean over the lettering, whose brightest place then gets no more than twice the mean
	Most  int     // with Even: no more than these; 0: 200
	Keep  bool    // the panel's present LEDs stay where they are and count
	Seed  uint64  // orders the moves of Count LEDs

	// Step, if not nil, is told how many of the steps are done.
	Step func(done, total int)

	name   string  // of the kind, for new holes
	own    []bool  // words and symbols that count, as coloured has them; nil: all
	others []other // LEDs of other kinds
}

// Plan is where LEDs should be.
type Plan struct {
	LEDs   []panel.Hole
	Grid   []panel.Hole // a plain grid of as many, for comparison; with Keep, the present ones and a grid of the others
	Before Figures      // of the panel as drawn, all LEDs at Current
	After  Figures
	Plain  Figures // of the grid
	Seed   uint64
	Least  int // with Even: a lower bound of the LEDs that reach it (bound.go); else 0

	drawn   int  // LEDs before
	lenient bool // the evenness is reached by dim light alone

	Colours []Recoloured // with LEDs of several kinds; Before, After and Plain are those of all of them then
}

// mostLEDs bounds what one panel is given.
const mostLEDs = 1000

// Place finds positions for the LEDs of a panel so that its lettering is lit evenly: the darkest place of the lettering is to
// be as near to its mean, weighted by area, as can be, and the brightest not far above it (merit.go says what is better).
//
// Method. A greedy start takes one position after the other that adds most to Σ area·log(1+L/τ), a monotone submodular
// function, for which greed is within 1-1/e of the best (G. L. Nemhauser, L. A. Wolsey and M. L. Fisher, "An analysis of
// approximations for maximizing submodular set functions—I", Mathematical Programming 14, 1978, 265-294,
// doi:10.1007/BF01588971); others are rounded from a relaxed problem, in even steps along the words, on a plain grid, and the
// LEDs as drawn. From each, coordinate exchange moves one LED at a time to the best of all positions, round and round
// (R. K. Meyer and C. J. Nachtsheim, "The coordinate-exchange algorithm for constructing exact optimal experimental
// designs", Technometrics 37(1), 1995, 60-69, doi:10.1080/00401706.1995.10485889), and then all LEDs climb at once (climb.go).
// From the best end one LED after the other is taken from where it is least missed to where it helps most, and all climb again.
// Of the ends and starts that one is taken whose field, computed in full, is best.
//
// The fewest LEDs for an evenness are looked for from a relaxed problem on, which also bounds them from below (fewest.go,
// bound.go).
//
// The search takes an LED's light as its radial profile through the whole stack, cut off by walls; Seed orders the moves of a number of LEDs, and none of the search for the fewest.
//
// When ctx is done it returns at once, and what it returns means nothing.
func Place(ctx context.Context, p panel.Panel, o Options) (plan Plan, l diag.List) {
	work.Until(ctx, func(w *work.Watch) { plan, l = placed(w, p, o) })
	return plan, l.WithPanel(p.Name)
}

func placed(w *work.Watch, p panel.Panel, o Options) (Plan, diag.List) {
	plan := Plan{Seed: o.Seed, drawn: len(p.LEDs)}
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
		best = s.place(o.Count)
		if len(best)+len(fixed) < o.Count {
			l.Add(diag.Error, "light-crowded", "only %d LEDs find room at least %v apart; %d are wanted", len(best)+len(fixed), o.Spacing, o.Count).
				Fix("ask for fewer, or make room")
			return plan, l
		}
	} else {
		var ok bool
		best, plan.Least, ok = s.fewest()
		plan.lenient = s.lenient
		if got := s.full(best).MinToMean; !ok && got < o.Even { // a bright spot that stays is no reason to refuse
			l.Add(diag.Error, "light-not-even", "an evenness of %.2f is not reached with %d LEDs; the best is %.2f", o.Even, len(best)+len(fixed), got).
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

// holes returns holes at the places.
func (s *search) holes(at []geom.Pt) []panel.Hole {
	out := make([]panel.Hole, len(at))
	for i, q := range at {
		out[i] = panel.Hole{At: q, D: s.o.Hole, Kind: s.o.name}
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
	p.LEDs = slices.Clone(holes)
	w := led.Wiring{Panel: p.Name, Strings: []led.String{{Nominal: s.o.Current}}}
	for i := range holes {
		w.LEDs = append(w.LEDs, led.LED{Hole: i, Kind: s.o.Kind})
	}
	for _, q := range s.o.others {
		if q.lights {
			w.LEDs = append(w.LEDs, led.LED{Hole: len(p.LEDs), String: led.StringID(len(w.Strings)), Kind: q.Kind})
			w.Strings = append(w.Strings, led.String{Nominal: q.Current})
			p.LEDs = append(p.LEDs, q.hole)
		}
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
		s := &search{watch: w, p: p, o: o, spots: toLight(spotsOf(w, p, o.Engraving)), optics: newOptics(w, o.Stack)}
		f = s.figures(s.holes(at))
	})
	return f
}
