package led

import (
	"fmt"
	"math"
	"strings"

	"lampblack/led/part"
	"lampblack/panel/diag"
)

// estimate sets the voltage across every string as if each already had the current it wants.
func (d *design) estimate(c *Circuit) error {
	k := c.console()
	loads := make([][]branch, len(k.net.taps))
	for b := range d.boards {
		want := make([]float64, len(k.taps[b]))
		for i := range d.boards[b].strings {
			s := &d.boards[b].strings[i]
			for g, x := range c.Boards[b].Conductors() {
				if s.group < 0 && x.Name == "" || s.group >= 0 && x.Name == d.req.Groups[s.group].Name {
					s.conductor = g
				}
			}
			want[s.conductor] += float64(s.target)
		}
		for g, i := range want {
			if i > 0 {
				loads[k.taps[b][g]] = []branch{{times: 1, draw: i}}
			}
		}
	}
	e := float64(c.Source.Nominal)
	v, err := k.solver.solve(e, loads, nil)
	if err != nil {
		return err
	}
	for b := range d.boards {
		for i := range d.boards[b].strings {
			s := &d.boards[b].strings[i]
			s.volts = k.across(point{v: v}, k.taps[b][s.conductor])
		}
	}
	return nil
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
	return (s.volts - float64(float64(len(s.holes))*float64(d.source.cornered(s.kind, s.diode, 0).Volts(i)))) / float64(i)
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
	i, _ := s.load(d.source, 0, 0, 0).at(s.volts)
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
			c, _ := try.load(d.source, 0, 0, 0).at(s.volts)
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
		if i, _ := s.load(d.source, b.Tolerance, -1, -1).at(float64(d.req.Supply.Max)); i <= float64(s.kind.IMax) {
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
		l.Add(diag.Error, "led-feed-drop", "the feed loses so much that panel %s gets %v, too little for %d %s in series", board.Panel,
			part.Volt(math.Max(s.volts, 0)), len(s.holes), s.kind.Name).Of(board.Panel).
			Fix("use thicker or shorter wires than %s, several chains, or fewer LEDs in series", d.req.Wire.Text)
		board.strings = nil
		break
	}
	return l
}

// rate chooses every resistor's rating, after the corners are known, and tells where the package is too small.
func (c *Circuit) rate(b int, req Request) diag.List {
	var l diag.List
	w := &c.Boards[b]
	set := req.For(w.Panel)
	var hot []int
	var worst, rated part.Watt
	for i := range w.Strings {
		s := &w.Strings[i]
		r := &w.Resistors[s.Resistor]
		body, ok := part.FindBody(r.Package)
		if !ok {
			return nil // told by Settings.check
		}
		if set.ResistorRated > 0 {
			body.Rated = []part.Watt{set.ResistorRated}
		}
		s.Worst = part.Ohm(float64(r.Ohms) * (1 - r.Tol)).Heat(s.Max)
		var fits bool
		if r.Rated, fits = body.RatingFor(s.Worst, req.Derating); !fits {
			hot = append(hot, i+1)
			worst, rated = max(worst, s.Worst), r.Rated
		}
	}
	if len(hot) == 0 {
		return nil
	}
	sev, code := diag.Warning, "led-resistor-warm"
	if worst > rated {
		sev, code = diag.Error, "led-resistor-overload"
	}
	l.Add(sev, code, "%s at worst in the resistor of %s; a %s of %s should carry %s for good", worst, listed("string", "strings", hot),
		set.ResistorPackage, rated, part.Watt(float64(rated)*req.Derating)).Of(w.Panel).Fix("%s", cooler(set, req, worst, rated))
	return l
}

// cooler says what helps against a hot resistor: a larger package, or the current at which this one stays cool enough.
func cooler(set Settings, req Request, w, rated part.Watt) string {
	var ways []string
	for _, body := range part.Bodies() {
		if r, ok := body.RatingFor(w, req.Derating); ok && body.Package != set.ResistorPackage {
			ways = append(ways, fmt.Sprintf("%s resistors of %s", body.Package, r))
			break
		}
	}
	// At a given supply the heat goes with the current, as the voltage across the resistor hardly changes.
	if i := roundedDown(float64(set.Current) * float64(rated) * req.Derating / float64(w)); i > 0 {
		ways = append(ways, fmt.Sprintf("at most %v in each LED", i))
	}
	ways = append(ways, "a lower supply voltage")
	if set.StringLength > 0 {
		ways = append(ways, "longer strings")
	}
	return "use " + strings.Join(ways, ", or ")
}

// roundedDown returns a current as one would ask for it: whole tenths of a milliampere, not above x.
func roundedDown(x float64) part.Amp { return part.Amp(math.Floor(float64(x*1e4)+1e-6) / 1e4) }

// listed writes "string 3" or "strings 1, 2 and 5"; beyond six it counts.
func listed(one, many string, n []int) string {
	if len(n) == 1 {
		return fmt.Sprintf("%s %d", one, n[0])
	}
	if len(n) > 6 {
		return fmt.Sprintf("%d %s", len(n), many)
	}
	var b strings.Builder
	b.WriteString(many)
	for i, x := range n {
		switch {
		case i == 0:
			b.WriteByte(' ')
		case i == len(n)-1:
			b.WriteString(" and ")
		default:
			b.WriteString(", ")
		}
		fmt.Fprint(&b, x)
	}
	return b.String()
}
