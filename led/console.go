package led

import (
	"math"
	"slices"

	"lampblack/led/part"
)

// vfCelsius is the temperature at which a kind's forward voltages hold (that of data sheets).
const vfCelsius = 25.0

// corner is one set of extremes: -1 low, 0 nominal, 1 high. drop is the forward voltage: over its spread and the range
// of temperature together.
type corner struct {
	volts     int
	tolerance int
	drop      int
}

// emf returns the supply's voltage without load in the corner.
func (s Source) emf(c corner) float64 {
	return float64([3]part.Volt{s.Min, s.Nominal, s.Max}[c.volts+1])
}

// Diode returns the model of a kind at the nominal temperature.
func (s Source) Diode(k part.LED) Diode {
	d, _ := Fit(k)
	return s.cornered(k, d, 0)
}

// cornered returns the diode at the low end (-1), the middle or the high end (1) of its forward voltage.
func (s Source) cornered(k part.LED, d Diode, drop int) Diode {
	by := func(celsius float64) part.Volt { return part.Volt(k.Tempco * (celsius - vfCelsius)) }
	switch drop {
	case -1:
		return d.Shifted(k.VfMin - k.Curve[0].V + min(by(s.Ambient.Min), by(s.Ambient.Max)))
	case 1:
		return d.Shifted(k.VfMax - k.Curve[0].V + max(by(s.Ambient.Min), by(s.Ambient.Max)))
	}
	if shift := by(s.Ambient.Nominal); shift != 0 {
		return d.Shifted(shift)
	}
	return d
}

// console is a circuit as the solver takes it.
type console struct {
	*Circuit
	net    network
	solver *solver
	taps   [][]int // of each board and supply conductor: index into net.taps
	links  [][]leads
	backs  []leads
	at     map[string]int // board of each panel

	classes []class
}

// leads are the conductors of one feed: indices into net.conductors.
type leads struct {
	plus  []int // by group
	minus int
}

// class is strings of one tap that are all alike: of as many LEDs of one kind, with resistors of one value.
type class struct {
	tap, leds int
	kind      part.LED
	diode     Diode
	ohms      part.Ohm
	tol       float64
	members   []member
}

// member names a string.
type member struct {
	board int
	id    StringID
}

// pins are the nodes of a board's connectors: IN and OUT, of one supply conductor and of 0 V.
type pins struct{ p, n [2]node }

// console builds the network of the circuit: supply, feeds, boards.
func (c *Circuit) console() *console {
	k := &console{Circuit: c, at: map[string]int{}}
	k.net.nodes = int(terminal) + 1
	k.net.join(emf, terminal, float64(c.Source.Ohms))
	k.net.others = c.Source.Others
	boards := make([][]pins, len(c.Boards))
	for b, w := range c.Boards {
		if _, ok := k.at[w.Panel]; !ok {
			k.at[w.Panel] = b
		}
		boards[b] = k.mount(w)
	}
	for _, chain := range c.Chains {
		k.wire(chain, boards)
	}
	k.solver = k.net.compile()
	return k
}

// mount adds the nodes of a board.
func (k *console) mount(w Wiring) (out []pins) {
	n := [3]node{k.net.add(), k.net.add(), k.net.add()}
	k.net.join(n[0], n[1], float64(w.Across.Minus)/2)
	k.net.join(n[1], n[2], float64(w.Across.Minus)/2)
	var taps []int
	for range w.Conductors() {
		p := [3]node{k.net.add(), k.net.add(), k.net.add()}
		k.net.join(p[0], p[1], float64(w.Across.Plus)/2)
		k.net.join(p[1], p[2], float64(w.Across.Plus)/2)
		taps = append(taps, len(k.net.taps))
		k.net.taps = append(k.net.taps, tap{p[1], n[1]})
		out = append(out, pins{[2]node{p[0], p[2]}, [2]node{n[0], n[2]}})
	}
	k.taps = append(k.taps, taps)
	return out
}

// wire adds the feeds of a chain.
func (k *console) wire(chain Chain, boards [][]pins) {
	// at is where a feed starts: the supply, or the OUT connector of a board.
	type start struct {
		plus  func(group int) node
		minus node
	}
	out := func(b int) start {
		return start{func(g int) node { return boards[b][min(g, len(boards[b])-1)].p[1] }, boards[b][0].n[1]}
	}
	at := start{func(int) node { return terminal }, ground}
	if b, ok := k.at[chain.From]; ok && chain.From != "" {
		at = out(b)
	}
	home, last := at, -1
	links := []leads{}
	for _, link := range chain.Links {
		b := k.at[link.Panel]
		var l leads
		for g, e := range boards[b] {
			l.plus = append(l.plus, k.net.join(at.plus(g), e.p[0], float64(link.Feed.Ohms)))
		}
		l.minus = k.net.join(at.minus, boards[b][0].n[0], float64(link.Feed.Ohms))
		links = append(links, l)
		at, last = out(b), b
	}
	var back leads
	if chain.BothEnds && last >= 0 {
		for g := range boards[last] {
			back.plus = append(back.plus, k.net.join(home.plus(g), at.plus(g), float64(chain.Back.Ohms)))
		}
		back.minus = k.net.join(home.minus, at.minus, float64(chain.Back.Ohms))
	}
	k.links, k.backs = append(k.links, links), append(k.backs, back)
}

// sort puts the strings into classes.
func (k *console) sort() {
	type key struct {
		tap, leds, kind int
		ohms            part.Ohm
		tol             float64
	}
	var kinds []part.LED
	var diodes []Diode
	kindOf := func(x part.LED) int {
		for i, q := range kinds {
			if q.Name == x.Name && q.VfMin == x.VfMin && q.VfMax == x.VfMax && q.Tempco == x.Tempco && slices.Equal(q.Curve, x.Curve) {
				return i
			}
		}
		d, _ := Fit(x)
		kinds, diodes = append(kinds, x), append(diodes, d)
		return len(kinds) - 1
	}
	found := map[key]int{}
	for b, w := range k.Boards {
		for s, str := range w.Strings {
			r := w.Resistors[str.Resistor]
			i := kindOf(w.LEDs[str.LEDs[0]].Kind)
			id := key{k.taps[b][w.FedBy(StringID(s))], len(str.LEDs), i, r.Ohms, r.Tol}
			c, ok := found[id]
			if !ok {
				c = len(k.classes)
				found[id] = c
				k.classes = append(k.classes, class{id.tap, id.leds, kinds[i], diodes[i], r.Ohms, r.Tol, nil})
			}
			k.classes[c].members = append(k.classes[c].members, member{b, StringID(s)})
		}
	}
}

// branch returns the given number of strings of the class in a corner.
func (s Source) branch(c class, at corner, times int) branch {
	return stringLoad{
		leds: c.leds, diode: s.cornered(c.kind, c.diode, at.drop),
		ohms: float64(c.ohms) * (1 + float64(c.tol*float64(at.tolerance))),
	}.branch(times)
}

// loads returns the strings of each tap in a corner.
func (k *console) loads(at corner) [][]branch {
	out := make([][]branch, len(k.net.taps))
	for _, c := range k.classes {
		out[c.tap] = append(out[c.tap], k.Source.branch(c, at, len(c.members)))
	}
	return out
}

// point is an operating point.
type point struct {
	e     float64
	v     []float64 // of each node
	loads [][]branch
}

// find returns the operating point of a corner.
func (k *console) find(at corner) (point, error) {
	p := point{e: k.Source.emf(at), loads: k.loads(at)}
	var err error
	p.v, err = k.solver.solve(p.e, p.loads, nil)
	return p, err
}

// across returns the voltage across a tap.
func (k *console) across(p point, tap int) float64 {
	t := k.net.taps[tap]
	return p.v[t.p] - p.v[t.n]
}

// drawn returns the current of a tap's strings.
func (k *console) drawn(p point, tap int) float64 {
	i, _ := draws(p.loads[tap], k.across(p, tap))
	return i
}

// drawnByAll returns the current of all strings.
func (k *console) drawnByAll(p point) part.Amp {
	sum := 0.0
	for t := range k.net.taps {
		sum += k.drawn(p, t)
	}
	return part.Amp(sum)
}

// through returns the current in a conductor, from its first node to its second.
func (k *console) through(p point, conductor int) float64 {
	c := k.net.conductors[conductor]
	return (p.v[c.a] - p.v[c.b]) / math.Max(c.ohms, leastOhms)
}

// others returns what the other loads draw.
func (k *console) others(p point) part.Amp {
	sum := part.Amp(0)
	for _, l := range k.Source.Others {
		sum += l.At(part.Volt(p.v[terminal]))
	}
	return sum
}
