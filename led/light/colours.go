package light

import (
	"lampblack/panel/diag"
	"lampblack/panel/work"
)

// Colour is the light of the LEDs of one colour, where a panel has several, on the lettering that is theirs.
//
// A word or symbol is a colour's if the colour gives it more light than each other one does, or a quarter at least of what it
// gives its brightest and no mere trace: so two colours that stand side by side have each their own words, and two that change over by night have
// the same.
type Colour struct {
	Name string // of the colour, or of a kind that tells none
	Set  string // of LEDs that it is the colour of: then the figures are of all that a set lights
	Figures
	Lettering int // words and symbols that are its
	Leads     int // of them, those to which no other colour gives more

	lead float64 // light of all colours on what it leads, mean
}

// ownShare is the part of what a colour gives its brightest word from which on another word is meant to be lit by it too:
// below a third a word is told as dark (UsualLimits), and a bright one may stand out by as much again.
const ownShare = 0.25

// trace is the part of the light of the colour that leads at a word below which another one lights it by chance: an indicator's LED
// elsewhere on the panel gives some ten-thousandth, red ones for the night a hundredth and more.
const trace = 0.002

// piece is a word, or a symbol, in the light of each colour.
type piece struct {
	of   []sums // by colour
	all  sums
	to   *Lit
	pane bool // it is a window
	lead int  // the colour that gives it most
}

// coloured fills the figures of each colour, and tells each word and drawn symbol which colour leads there; nothing with one
// colour, or without lettering. It returns the words and symbols in the order of the spots.
func (f *Field) coloured(watch *work.Watch, spots []spot) []piece {
	if len(f.Layers) < 2 || len(spots) == 1 && spots[0].whole {
		return nil
	}
	var units []piece
	word, text := 0, 0
	for _, t := range spots {
		u := piece{of: make([]sums, len(f.Layers))}
		whole := make([]sums, len(f.Layers))
		for i, c := range t.chars {
			for _, q := range c.points {
				watch.Step()
				total := 0.0
				for k := range f.Layers {
					e := f.Layers[k].At(q)
					u.of[k].add(q, e, c.area)
					total += e
				}
				u.all.add(q, total, c.area)
			}
			if i+1 < len(t.chars) && t.chars[i+1].word == c.word {
				continue
			}
			if u.to, u.pane = &f.Texts[text], t.window; t.written {
				u.to = &f.Words[word]
				word++
			}
			units = append(units, u)
			for k := range whole {
				whole[k].join(u.of[k])
			}
			u = piece{of: make([]sums, len(f.Layers))}
		}
		f.Texts[text].lead = brightest(whole)
		text++
	}
	f.Colours = make([]Colour, len(f.Layers))
	leads, panes := make([]sums, len(f.Layers)), make([]sums, len(f.Layers))
	for i := range units {
		u := &units[i]
		u.lead = brightest(u.of)
		if u.to.lead = u.lead; u.pane {
			panes[u.lead].join(u.all)
		} else {
			leads[u.lead].join(u.all)
		}
	}
	for k := range f.Colours {
		c := &f.Colours[k]
		var own, pane sums // windows count where it lights nothing else
		for i, is := range ownOf(units, k) {
			switch {
			case is && units[i].pane:
				pane.join(units[i].of[k])
				c.Lettering++
			case is:
				own.join(units[i].of[k])
				c.Lettering++
			}
			if units[i].lead == k {
				c.Leads++
			}
		}
		if !own.any {
			own = pane
		}
		if !leads[k].any {
			leads[k] = panes[k]
		}
		c.Name, c.Figures, c.lead = f.Layers[k].Name, own.figures(), leads[k].figures().Mean
	}
	return units
}

// ownOf says which words and symbols are a colour's.
func ownOf(units []piece, colour int) []bool {
	best := 0.0
	for _, u := range units {
		best = max(best, u.of[colour].figures().Mean)
	}
	own := make([]bool, len(units))
	for i, u := range units {
		m := u.of[colour].figures().Mean
		own[i] = u.lead == colour || m >= ownShare*best && m > trace*u.of[u.lead].figures().Mean
	}
	return own
}

// ownSpots returns what of the spots is one of the words and symbols that are own.
func ownSpots(spots []spot, own []bool) []spot {
	var out []spot
	n := 0
	for _, t := range spots {
		mine := t
		mine.chars = nil
		for i, c := range t.chars {
			if own[n] {
				mine.chars = append(mine.chars, c)
			}
			if i+1 == len(t.chars) || t.chars[i+1].word != c.word {
				n++
			}
		}
		if len(mine.chars) > 0 {
			out = append(out, mine)
		}
	}
	return out
}

// brightest returns which of the figures have the greatest mean, of equals the first.
func brightest(of []sums) int {
	k := 0
	for i, s := range of {
		if s.figures().Mean > of[k].figures().Mean {
			k = i
		}
	}
	return k
}

// join adds the figures of another area.
func (s *sums) join(o sums) {
	if !o.any {
		return
	}
	if !s.any {
		name := s.name
		*s = o
		s.name = name
		return
	}
	s.light, s.square, s.area, s.box = s.light+o.light, s.square+o.square, s.area+o.area, s.box.Union(o.box)
	if o.min < s.min {
		s.min, s.dark = o.min, o.dark
	}
	if o.max > s.max {
		s.max, s.bright = o.max, o.bright
	}
}

// mean is what a word's light is compared with: that of all lettering, or with several colours of the lettering that its own
// leads, since white LEDs outshine red ones and are not meant to shine alike.
func (f Field) mean(l Lit) float64 {
	if len(f.Colours) == 0 {
		return f.Mean
	}
	return f.Colours[l.lead].lead
}

// judgeColours tells colours whose lettering is much darker than that of another one, and those that light none.
func judgeColours(f Field, lim Limits, led []string) diag.List {
	var l diag.List
	most := 0
	for k, c := range f.Colours {
		if c.lead > f.Colours[most].lead {
			most = k
		}
	}
	for _, c := range f.Colours {
		switch lead := f.Colours[most].lead; {
		case c.Lettering == 0 && lim.Dark > 0:
			l.Add(diag.Note, "light-colour-unused", "the %s LEDs light no lettering", c.Name).About(led...).Fix("nothing to do if that is meant")
		case c.Leads > 0 && lim.Dark > 0 && c.lead < lim.Dark*lead:
			l.Add(diag.Note, "light-colours-apart", "the lettering that the %s LEDs light is darker than that of the %s ones: it gets %s of their light", c.Name, f.Colours[most].Name, share(c.lead/lead)).
				About(led...).Fix("choose kinds nearer in intensity, or dim the %s ones as a group of their own", f.Colours[most].Name)
		}
	}
	return l
}
