package design

import (
	"math"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/led/solve"
	"lampblack/panel/diag"
)

// estimate sets the voltage across every string as if each already had the current it wants.
func (d *design) estimate(c led.Circuit) (led.Circuit, diag.List) {
	want := make([][]part.Amp, len(d.boards))
	least := part.Volt(0)
	for b := range d.boards {
		conductors := c.Boards[b].Conductors()
		want[b] = make([]part.Amp, len(conductors))
		for i := range d.boards[b].strings {
			s := &d.boards[b].strings[i]
			for g, x := range conductors {
				if s.group < 0 && x.Name == "" || s.group >= 0 && x.Name == d.req.Groups[s.group].Name {
					s.conductor = g
				}
			}
			want[b][s.conductor] += s.target
			least = max(least, solve.Lights(len(s.holes), s.diode, s.target))
		}
	}
	volts, c, l := solve.Under(c, want, least)
	if l.HasErrors() {
		return c, l
	}
	d.source.Volts = c.Source.Volts
	for b := range d.boards {
		for i := range d.boards[b].strings {
			s := &d.boards[b].strings[i]
			s.volts = float64(volts[b][s.conductor])
		}
	}
	return c, nil
}

// alike is what strings have in common that shall light alike.
type alike struct {
	kind   string
	target part.Amp
}

// resistors chooses the resistor of every string.
func (d *design) resistors() diag.List {
	var l diag.List
	var groups []alike
	members := map[alike][][2]int{}
	for b := range d.boards {
		for s := range d.boards[b].strings {
			str := &d.boards[b].strings[s]
			if d.ideal(*str, str.target) < 1 {
				continue // told below
			}
			k := alike{str.kind.Name, str.target}
			if _, ok := members[k]; !ok {
				groups = append(groups, k)
			}
			members[k] = append(members[k], [2]int{b, s})
		}
	}
	for _, k := range groups {
		d.level(members[k])
	}
	for b := range d.boards {
		l = append(l, d.drowned(b)...)
	}
	return l
}

// ideal returns the resistance that gives the string current i at its voltage; below 1 when there is no room.
func (d *design) ideal(s stringPlan, i part.Amp) float64 {
	return (s.volts - float64(float64(len(s.holes))*float64(d.source.Cornered(s.kind, s.diode, 0).Volts(i)))) / float64(i)
}

// level chooses the resistors of strings that shall light alike.
func (d *design) level(members [][2]int) {
	at := func(m [2]int) (*boardPlan, *stringPlan) { return &d.boards[m[0]], &d.boards[m[0]].strings[m[1]] }
	// The string that sets the current: of the longest the one with the least voltage.
	lead := members[0]
	for _, m := range members[1:] {
		_, s := at(m)
		_, ls := at(lead)
		if len(s.holes) > len(ls.holes) || len(s.holes) == len(ls.holes) && s.volts < ls.volts {
			lead = m
		}
	}
	b, s := at(lead)
	s.ohms = b.Series.Up(part.Ohm(d.ideal(*s, s.target)))
	d.protect(b, s)
	i, _ := s.load(d.source, 0, 0, 0).At(s.volts)
	for _, m := range members {
		if m == lead {
			continue
		}
		b, s := at(m)
		want := part.Ohm(max(d.ideal(*s, part.Amp(i)), 1))
		best := math.Inf(1)
		for _, r := range [2]part.Ohm{b.Series.Up(want), b.Series.Down(want)} {
			try := *s
			try.ohms = r
			c, _ := try.load(d.source, 0, 0, 0).At(s.volts)
			if off := math.Abs(math.Log(c / i)); off < best-1e-12 {
				best, s.ohms = off, r
			}
		}
		d.protect(b, s)
	}
}

// protect raises the resistor until the string survives the worst corner: greatest supply without any drop, least
// resistance, least forward voltage.
func (d *design) protect(b *boardPlan, s *stringPlan) {
	for range 500 {
		if i, _ := s.load(d.source, b.Tolerance, -1, -1).At(float64(d.req.Supply.Max)); i <= float64(s.kind.IMax) {
			return
		}
		s.ohms = b.Series.Next(s.ohms)
	}
}

// drowned tells and removes the strings of board b for which the feed leaves no voltage.
func (d *design) drowned(b int) diag.List {
	var l diag.List
	board := &d.boards[b]
	for _, s := range board.strings {
		if s.ohms > 0 {
			continue
		}
		gets := part.Volt(math.Max(s.volts, 0))
		if inside := d.source.Nominal - d.source.Volts; 2*inside > d.source.Nominal-gets {
			l.Add(diag.Error, "led-supply-drop", "the supply loses %v inside itself, so that panel %s gets %v, too little for %d %s in series", inside, board.Panel,
				gets, len(s.holes), s.kind.Name).About("supply.resistance").Of(board.Panel).
				Fix("use a supply that holds its voltage, take other loads off it, or put fewer LEDs in series")
		} else {
			l.Add(diag.Error, "led-feed-drop", "the feed loses so much that panel %s gets %v, too little for %d %s in series", board.Panel,
				gets, len(s.holes), s.kind.Name).About(diag.PanelKey(board.Panel, "wire"), "feed.wire").Of(board.Panel).
				Fix("use thicker or shorter wires than %s, several chains, or fewer LEDs in series", d.req.Wire.Text)
		}
		board.strings, board.unlit = nil, true
		board.needs(d.source.Nominal - part.Volt(s.volts) + roomFor(len(s.holes), s.kind, s.diode, s.target))
		break
	}
	return l
}

// packages chooses the package of every resistor: of those that a board's strings of one kind may have, the smallest that carries
// their greatest power, found at the highest supply with nothing lost on the way to the board.
func (d *design) packages() {
	for b := range d.boards {
		board := &d.boards[b]
		heat := map[string]part.Watt{}
		for _, s := range board.strings {
			i, _ := s.load(d.source, board.Tolerance, -1, -1).At(float64(d.req.Supply.Max))
			heat[s.kind.Name] = max(heat[s.kind.Name], part.Ohm(float64(s.ohms)*(1-board.Tolerance)).Heat(part.Amp(i)))
		}
		bodies := board.Bodies()
		for i := range board.strings {
			s := &board.strings[i]
			best := bodies[0]
			for _, body := range bodies {
				if _, fits := best.RatingFor(heat[s.kind.Name], d.req.ResistorUse()); fits {
					break
				}
				if body.Most() > best.Most() {
					best = body
				}
			}
			s.body = best.Package
		}
	}
}
