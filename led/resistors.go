package led

import (
	"fmt"
	"math"
	"strings"

	"lampblack/led/part"
	"lampblack/panel/diag"
)

// estimate sets every board's voltage as if each string already had the current it wants.
func (d *design) estimate() {
	for _, chain := range d.order {
		below := make([]float64, len(chain)+1) // current through each segment
		for i := len(chain) - 1; i >= 0; i-- {
			below[i] = below[i+1]
			for _, s := range d.boards[chain[i]].strings {
				below[i] += float64(s.target)
			}
		}
		v := float64(d.req.Supply.Nominal)
		for i, b := range chain {
			v -= float64(2 * float64(d.req.feedTo(d.boards[b].Settings).Ohms) * below[i])
			d.boards[b].volts = v
		}
	}
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
			if ideal(*str, d.boards[b].volts, str.target) < 1 {
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

// ideal returns the resistance that gives the string current i at voltage v; below 1 when there is no room.
func ideal(s stringPlan, v float64, i part.Amp) float64 {
	return (v - float64(float64(len(s.holes))*float64(s.diode.Volts(i)))) / float64(i)
}

// level chooses the resistors of strings that shall light alike.
func (d *design) level(members [][2]int) {
	at := func(m [2]int) (*boardPlan, *stringPlan) { return &d.boards[m[0]], &d.boards[m[0]].strings[m[1]] }
	// The string that sets the current: of the longest the one with the least voltage.
	lead := members[0]
	for _, m := range members[1:] {
		b, s := at(m)
		lb, ls := at(lead)
		if len(s.holes) > len(ls.holes) || len(s.holes) == len(ls.holes) && b.volts < lb.volts {
			lead = m
		}
	}
	b, s := at(lead)
	s.ohms = b.Series.Up(part.Ohm(ideal(*s, b.volts, s.target)))
	d.protect(b, s)
	i, _ := s.load(0, 0, 0).at(b.volts)
	for _, m := range members {
		if m == lead {
			continue
		}
		b, s := at(m)
		want := part.Ohm(max(ideal(*s, b.volts, part.Amp(i)), 1))
		best := math.Inf(1)
		for _, r := range [2]part.Ohm{b.Series.Up(want), b.Series.Down(want)} {
			try := *s
			try.ohms = r
			c, _ := try.load(0, 0, 0).at(b.volts)
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
		if i, _ := s.load(b.Tolerance, -1, -1).at(float64(d.req.Supply.Max)); i <= float64(s.kind.IMax) {
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
			part.Volt(math.Max(board.volts, 0)), len(s.holes), s.kind.Name).Of(board.Panel).
			Fix("use thicker or shorter wires than %s, several chains, or fewer LEDs in series", d.req.Wire.Text)
		board.strings = nil
		break
	}
	return l
}

// rate chooses every resistor's rating, after the corners are known, and tells where the package is too small.
func (d *design) rate(b int) diag.List {
	var l diag.List
	board := &d.boards[b]
	body, ok := part.FindBody(board.ResistorPackage)
	if !ok {
		return nil // told by Settings.check
	}
	if board.ResistorRated > 0 {
		body.Rated = []part.Watt{board.ResistorRated}
	}
	var hot []int
	var worst part.Watt
	for i := range board.strings {
		s := &board.strings[i]
		s.worst = part.Ohm(float64(s.ohms) * (1 - board.Tolerance)).Heat(s.max)
		var fits bool
		if s.rated, fits = body.RatingFor(s.worst, d.req.Derating); !fits {
			hot = append(hot, i+1)
			worst = max(worst, s.worst)
		}
	}
	if len(hot) == 0 {
		return nil
	}
	rated := board.strings[hot[0]-1].rated
	sev, code := diag.Warning, "led-resistor-warm"
	if worst > rated {
		sev, code = diag.Error, "led-resistor-overload"
	}
	l.Add(sev, code, "%s at worst in the resistor of %s; a %s of %s should carry %s for good", worst, listed("string", "strings", hot),
		board.ResistorPackage, rated, part.Watt(float64(rated)*d.req.Derating)).Of(board.Panel).Fix("%s", d.cooler(*board, worst))
	return l
}

// cooler says what helps against a hot resistor.
func (d *design) cooler(b boardPlan, w part.Watt) string {
	var ways []string
	for _, body := range part.Bodies() {
		if r, ok := body.RatingFor(w, d.req.Derating); ok && body.Package != b.ResistorPackage {
			ways = append(ways, fmt.Sprintf("%s resistors of %s", body.Package, r))
			break
		}
	}
	ways = append(ways, "less current", "a lower supply voltage")
	if b.StringLength > 0 {
		ways = append(ways, "longer strings")
	}
	return "use " + strings.Join(ways, ", or ")
}

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
