package solve

import (
	"math"
	"slices"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/diag"
)

// corner is one set of extremes: -1 low, 0 nominal, 1 high. drop is the forward voltage: over its spread and the range
// of temperature together.
type corner struct {
	volts     int
	tolerance int
	drop      int
}

// emfOf returns the supply's voltage without load in the corner.
func emfOf(s led.Source, c corner) float64 {
	return float64([3]part.Volt{s.Min, s.Nominal, s.Max}[c.volts+1])
}

// Console is a circuit as the solver takes it. Several goroutines may share one if each finds points with a Solver of its own.
type Console struct {
	*led.Circuit
	Classes []Class // its strings, those alike together

	net    network
	solver *solver
	taps   [][]int // of each board and supply conductor: index into net.taps
	links  [][]leads
	backs  []leads
	pins   [][]pins // of each board, by supply conductor
	guards []guard
	lit    []bool         // taps with strings
	at     map[string]int // board of each panel
}

// leads are the conductors of one feed: indices into net.conductors.
type leads struct {
	plus  []int // by group
	minus int
}

// Class is strings of one tap that are all alike: of as many LEDs of one kind, with resistors of one value.
type Class struct {
	Tap, LEDs int // the tap they hang on: one supply conductor of one board
	Kind      part.LED
	Diode     part.Diode
	Ohms      part.Ohm
	Tol       float64
	Members   []Member
}

// Member names a string.
type Member struct {
	Board int
	ID    led.StringID
}

// pins are the nodes of a board's connectors: IN and OUT, of one supply conductor and of 0 V.
type pins struct{ p, n [2]node }

// Ready builds the network of a circuit, supply, feeds and boards, and sorts its strings. The circuit must stay as it is.
func Ready(c led.Circuit) *Console {
	k := build(&c)
	k.sort()
	return k
}

// build builds the network of the circuit.
func build(c *led.Circuit) *Console {
	k := &Console{Circuit: c, at: map[string]int{}}
	k.net.nodes = int(terminal) + 1
	k.net.join(emf, terminal, float64(c.Source.Ohms))
	k.net.others = c.Source.Others
	k.pins = make([][]pins, len(c.Boards))
	for b, w := range c.Boards {
		if _, ok := k.at[w.Panel]; !ok {
			k.at[w.Panel] = b
		}
		k.pins[b] = k.mount(w)
	}
	for _, chain := range c.Chains {
		k.wire(chain, k.pins)
	}
	k.solver = k.net.compile()
	return k
}

// guard is the nodes behind a chain's switch and behind its fuses: the one of its first feed and that of the feed from behind.
// Without such they are the supply's terminal.
type guard struct{ switched, fused, behind node }

// guard adds what lies between the supply and a chain.
func (k *Console) guard(c led.Chain) guard {
	after := func(from node, ohms part.Ohm) node {
		if ohms <= 0 {
			return from
		}
		n := k.net.add()
		k.net.join(from, n, float64(ohms))
		return n
	}
	var g guard
	g.switched = after(terminal, c.Guard.SwitchOhms)
	g.fused = after(g.switched, c.Guard.FuseOhms)
	g.behind = g.fused
	if c.BothEnds {
		g.behind = after(g.switched, c.Guard.FuseOhms)
	}
	return g
}

// mount adds the nodes of a board.
func (k *Console) mount(w led.Wiring) (out []pins) {
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
func (k *Console) wire(chain led.Chain, boards [][]pins) {
	// at is where a feed starts: the supply, or the OUT connector of a board.
	type start struct {
		plus  func(group int) node
		minus node
	}
	out := func(b int) start {
		return start{func(g int) node { return boards[b][min(g, len(boards[b])-1)].p[1] }, boards[b][0].n[1]}
	}
	g := k.guard(chain)
	at := start{func(int) node { return g.fused }, ground}
	home := start{func(int) node { return g.behind }, ground}
	if b, ok := k.at[chain.From]; ok && chain.From != "" {
		at, home = out(b), out(b)
	}
	last := -1
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
	k.links, k.backs, k.guards = append(k.links, links), append(k.backs, back), append(k.guards, g)
}

// sort puts the strings into classes.
func (k *Console) sort() {
	type key struct {
		tap, leds, kind int
		ohms            part.Ohm
		tol             float64
	}
	var kinds []part.LED
	var diodes []part.Diode
	kindOf := func(x part.LED) int {
		for i, q := range kinds {
			if q.Name == x.Name && q.VfMin == x.VfMin && q.VfMax == x.VfMax && q.Tempco == x.Tempco && slices.Equal(q.Curve, x.Curve) {
				return i
			}
		}
		d, _ := part.Fit(x)
		kinds, diodes = append(kinds, x), append(diodes, d)
		return len(kinds) - 1
	}
	found := map[key]int{}
	k.lit = make([]bool, len(k.net.taps))
	for b, w := range k.Boards {
		for s, str := range w.Strings {
			r := w.Resistors[str.Resistor]
			i := kindOf(w.LEDs[str.LEDs[0]].Kind)
			id := key{k.taps[b][w.FedBy(led.StringID(s))], len(str.LEDs), i, r.Ohms, r.Tol}
			k.lit[id.tap] = true
			c, ok := found[id]
			if !ok {
				c = len(k.Classes)
				found[id] = c
				k.Classes = append(k.Classes, Class{id.tap, id.leds, kinds[i], diodes[i], r.Ohms, r.Tol, nil})
			}
			k.Classes[c].Members = append(k.Classes[c].Members, Member{b, led.StringID(s)})
		}
	}
}

// branch returns the given number of strings of the class in a corner.
func branch(s led.Source, c Class, at corner, times int) Branch {
	return String{
		LEDs: c.LEDs, Diode: s.Cornered(c.Kind, c.Diode, at.drop),
		Ohms: float64(c.Ohms) * (1 + float64(c.Tol*float64(at.tolerance))),
	}.Branch(times)
}

// loads returns the strings of each tap in a corner.
func (k *Console) loads(at corner) [][]Branch {
	out := make([][]Branch, len(k.net.taps))
	for _, c := range k.Classes {
		out[c.Tap] = append(out[c.Tap], branch(k.Source, c, at, len(c.Members)))
	}
	return out
}

// Point is an operating point.
type Point struct {
	e     float64
	v     []float64 // of each node
	loads [][]Branch
}

// find returns the operating point of a corner.
func (k *Console) find(at corner) (Point, error) {
	p := Point{e: emfOf(k.Source, at), loads: k.loads(at)}
	var err error
	p.v, err = k.solver.solve(p.e, p.loads, nil)
	return p, err
}

// Across returns the voltage across a tap.
func (k *Console) Across(p Point, tap int) float64 {
	t := k.net.taps[tap]
	return p.v[t.p] - p.v[t.n]
}

// drawn returns the current of a tap's strings.
func (k *Console) drawn(p Point, tap int) float64 {
	i, _ := draws(p.loads[tap], k.Across(p, tap))
	return i
}

// Drawn returns the current of all strings.
func (k *Console) Drawn(p Point) part.Amp {
	sum := 0.0
	for t := range k.net.taps {
		sum += k.drawn(p, t)
	}
	return part.Amp(sum)
}

// through returns the current in a conductor, from its first node to its second.
func (k *Console) through(p Point, conductor int) float64 {
	c := k.net.conductors[conductor]
	return (p.v[c.a] - p.v[c.b]) / math.Max(c.ohms, leastOhms)
}

// Others returns what the other loads draw.
func (k *Console) Others(p Point) part.Amp {
	sum := part.Amp(0)
	for _, l := range k.Source.Others {
		sum += l.At(part.Volt(p.v[terminal]))
	}
	return sum
}

// Taps returns how many taps there are: supply conductors of boards.
func (k *Console) Taps() int { return len(k.net.taps) }

// Solver returns a solver of the console's own, for one goroutine.
func (k *Console) Solver() Solver { return Solver{k, k.net.compile()} }

// Solver finds operating points of a console; several goroutines may not share one.
type Solver struct {
	console *Console
	solver  *solver
}

// Find returns the operating point at supply voltage e, in V without load, with the given strings on each tap; near, if not nil,
// is a point nearby.
func (s Solver) Find(e float64, loads [][]Branch, near *Point) (Point, error) {
	var start []float64
	if near != nil {
		start = near.v
	}
	v, err := s.solver.solve(e, loads, start)
	return Point{e, v, loads}, err
}

// Nominal returns the operating point of parts as they should be.
func (k *Console) Nominal() (Point, error) { return k.find(corner{}) }

// Under returns the voltage across each supply conductor of each board when they draw the given currents, by board and then in
// the order of Wiring.Conductors; without an operating point the circuit with what it needs so that the boards get least volts, and
// the finding that says so.
func Under(c led.Circuit, draw [][]part.Amp, least part.Volt) ([][]part.Volt, led.Circuit, diag.List) {
	k := build(&c)
	loads := make([][]Branch, len(k.net.taps))
	sum := 0.0
	for b, taps := range k.taps {
		for g, t := range taps {
			sum += float64(draw[b][g])
			if i := draw[b][g]; i > 0 {
				loads[t] = []Branch{{times: 1, draw: float64(i)}}
			}
		}
	}
	p, err := Solver{k, k.solver}.Find(float64(c.Source.Nominal), loads, nil)
	if err != nil {
		c, l := unsolved(c, err, part.Amp(sum), least)
		return nil, c, l
	}
	out := make([][]part.Volt, len(k.taps))
	for b, taps := range k.taps {
		for _, t := range taps {
			out[b] = append(out[b], part.Volt(k.Across(p, t)))
		}
	}
	c.Source.Volts = part.Volt(p.v[terminal])
	return out, c, nil
}
