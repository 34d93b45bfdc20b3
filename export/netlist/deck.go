package netlist

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"

	"lampblack/led"
	"lampblack/led/part"
)

// Deck returns the SPICE deck of the whole console at its nominal values, all groups full on: supply, feed conductors,
// boards and strings.
//
// The supply is Vsupply, its own resistance Rsupply; other loads hang on its terminal as Iother_N, Rother_N, or Bother_N
// for one that takes a fixed power. The conductors of the feed to board dome are Rfeed_dome_out and Rfeed_dome_back, where
// the board is fed from behind too Rfeed_dome_behind_out and _back; its resistor R3 is Rdome_R3 and its LED D7 Ddome_D7.
// Between the supply and the second chain are Rswitch_2 and Rfuse_2, and Rfuse_2_behind where it is fed at both ends.
// Where a board's own copper is known, Rcopper_dome_... stand for it. A group's conductor has the group's name after it. Every
// kind of LED is a .model of type D with the parameters of part.Fit, which hold at 27 °C, the temperature SPICE computes for
// by default; where the console is warmer or colder, its forward voltage is moved accordingly. The deck ends with an
// operating point analysis. Names are the panels' with everything but letters, digits and _ replaced by _, and a number
// added where two would then be one, because SPICE does not tell capitals from small letters.
//
// The title may be empty. Values are written with as many digits as bring the same number back.
func Deck(c led.Circuit, title string) []byte {
	d := deck{source: c.Source, names: map[string]bool{}, boards: map[string]mounted{}}
	d.line("* %s", oneLine(title, "console"))
	d.line("* voltages in V, currents in A, resistances in ohm; nominal values, the LEDs at %s degrees Celsius", num(c.Source.Ambient.Nominal))
	d.supply()
	for _, w := range c.Boards {
		if _, ok := d.boards[w.Panel]; !ok {
			d.boards[w.Panel] = mounted{wiring: w}
		}
	}
	for i, chain := range c.Chains {
		d.chain(i+1, chain)
	}
	d.line("*")
	for _, m := range d.models {
		d.line(".model %s D(IS=%s N=%s RS=%s)", m.name, num(float64(m.diode.IS)), num(m.diode.N), num(float64(m.diode.RS)))
	}
	d.line(".options reltol=1e-6 abstol=1e-12 vntol=1e-9 gmin=1e-15")
	d.line(".op")
	d.line(".end")
	return d.Bytes()
}

// supply writes the supply and what else it feeds.
func (d *deck) supply() {
	s := d.source
	at := "supply"
	if s.Ohms > 0 {
		at = "source"
		d.line("Rsupply source supply %s", num(conductor(s.Ohms)))
	}
	d.line("Vsupply %s 0 DC %s", at, num(float64(s.Nominal)))
	for i, l := range s.Others {
		d.line("* other load %d: %s", i+1, oneLine(l.Name, "without a name"))
		switch {
		case l.Watts > 0:
			// P/V down to the voltage below which the supply would break down, and from there to 0 V a resistor's straight
			// line: a simulator that starts from 0 V then finds one root alone, the one the supply comes to.
			knee := num(float64(s.Breakdown))
			if !(s.Breakdown > 0) {
				knee = num(float64(s.Nominal / 2))
			}
			d.line("Bother_%d supply 0 I=%s*min(V(supply),%s)/max(V(supply),%s)/%s", i+1, num(float64(l.Watts)), knee, knee, knee)
		case l.Ohms > 0:
			d.line("Rother_%d supply 0 %s", i+1, num(conductor(l.Ohms)))
		default:
			d.line("Iother_%d supply 0 DC %s", i+1, num(float64(l.Amps)))
		}
	}
}

// chain writes the feeds and boards of a chain.
func (d *deck) chain(number int, chain led.Chain) {
	start, home := d.guard(number, chain)
	if m, ok := d.boards[chain.From]; ok && chain.From != "" && m.name != "" {
		start, home = m.out, m.out
	}
	from, last := start, mounted{}
	for _, link := range chain.Links {
		m := d.boards[link.Panel]
		m.name = d.unique(clean(link.Panel))
		d.line("*")
		d.line("* board %s: feed %s, %s", oneLine(link.Panel, m.name), oneLine(link.Feed.Wire, "?"), link.Feed.Length)
		d.mount(&m)
		d.feed(m.name, m.wiring, from, m.in, link.Feed)
		d.strings(m)
		d.boards[link.Panel] = m
		from, last = m.out, m
	}
	if chain.BothEnds && last.name != "" {
		d.line("*")
		d.line("* board %s from behind: feed %s, %s", oneLine(last.wiring.Panel, last.name), oneLine(chain.Back.Wire, "?"), chain.Back.Length)
		d.feed(last.name+"_behind", last.wiring, home, last.out, chain.Back)
	}
}

// guard writes the switch and the fuses of a chain that starts at the supply, and returns where its feeds start.
func (d *deck) guard(number int, chain led.Chain) (first, behind nodes) {
	at := func(node string) nodes { return nodes{[]string{node}, "0"} }
	if chain.From != "" || chain.Guard == (led.Guard{}) {
		return at("supply"), at("supply")
	}
	d.line("*")
	d.line("* before chain %d", number)
	from := "supply"
	if chain.Guard.SwitchOhms > 0 {
		from = fmt.Sprintf("switched_%d", number)
		d.line("Rswitch_%d supply %s %s", number, from, num(conductor(chain.Guard.SwitchOhms)))
	}
	if chain.Guard.FuseOhms <= 0 {
		return at(from), at(from)
	}
	d.line("* fuse of %v", chain.Guard.Fuse)
	fuse := func(name string) nodes {
		d.line("Rfuse_%s %s fused_%s %s", name, from, name, num(conductor(chain.Guard.FuseOhms)))
		return at("fused_" + name)
	}
	first = fuse(strconv.Itoa(number))
	behind = first
	if chain.BothEnds {
		behind = fuse(strconv.Itoa(number) + "_behind")
	}
	return first, behind
}

// nodes are the nodes of a connector.
type nodes struct {
	plus  []string // by conductor
	minus string
}

func (n nodes) of(conductor int) string {
	return n.plus[min(conductor, len(n.plus)-1)]
}

// mounted is a board and its nodes.
type mounted struct {
	wiring       led.Wiring
	name         string
	in, mid, out nodes
}

// suffix tells a conductor from others of its board.
func suffix(g led.Group) string {
	if g.Name == "" {
		return ""
	}
	return "_" + clean(g.Name)
}

// mount names the nodes of a board and writes its copper.
func (d *deck) mount(m *mounted) {
	across := m.wiring.Across
	m.mid.minus = m.name + "_n"
	for _, g := range m.wiring.Conductors() {
		m.mid.plus = append(m.mid.plus, m.name+"_p"+suffix(g))
	}
	m.in, m.out = m.mid, m.mid
	if across.Minus > 0 {
		m.in.minus, m.out.minus = m.mid.minus+"_in", m.mid.minus+"_out"
		d.line("Rcopper_%s_in %s %s %s", m.mid.minus, m.in.minus, m.mid.minus, num(conductor(across.Minus/2)))
		d.line("Rcopper_%s_out %s %s %s", m.mid.minus, m.mid.minus, m.out.minus, num(conductor(across.Minus/2)))
	}
	if across.Plus > 0 {
		m.in.plus, m.out.plus = nil, nil
		for _, p := range m.mid.plus {
			m.in.plus, m.out.plus = append(m.in.plus, p+"_in"), append(m.out.plus, p+"_out")
			d.line("Rcopper_%s_in %s_in %s %s", p, p, p, num(conductor(across.Plus/2)))
			d.line("Rcopper_%s_out %s %s_out %s", p, p, p, num(conductor(across.Plus/2)))
		}
	}
}

// feed writes the conductors of a feed.
func (d *deck) feed(name string, w led.Wiring, from, to nodes, f led.Feed) {
	for i, g := range w.Conductors() {
		d.line("Rfeed_%s_out%s %s %s %s", name, suffix(g), from.of(i), to.of(i), num(conductor(f.Ohms)))
	}
	d.line("Rfeed_%s_back %s %s %s", name, to.minus, from.minus, num(conductor(f.Ohms)))
}

// deck is a deck in the making.
type deck struct {
	bytes.Buffer
	source led.Source
	boards map[string]mounted
	names  map[string]bool // taken, in small letters
	models []model
}

// model is one kind of LED.
type model struct {
	kind  string
	diode part.Diode
	name  string
}

func (d *deck) line(format string, args ...any) { fmt.Fprintf(d, format+"\n", args...) }

// strings writes the strings of one board.
func (d *deck) strings(m mounted) {
	w := m.wiring
	node := func(n led.NetID) string {
		if n == led.Return {
			return m.mid.minus
		}
		for i, g := range w.Conductors() {
			if g.Net == n {
				return m.mid.plus[i]
			}
		}
		return m.name + "_" + clean(w.Nets[n].Name)
	}
	for _, s := range w.Strings {
		r := w.Resistors[s.Resistor]
		d.line("R%s_%s %s %s %s", m.name, r.Ref, node(r.From), node(r.To), num(float64(r.Ohms)))
		for _, i := range s.LEDs {
			l := w.LEDs[i]
			d.line("D%s_%s %s %s %s", m.name, l.Ref, node(l.Anode), node(l.Cathode), d.model(l.Kind))
		}
	}
}

// model returns the name of the kind's model.
func (d *deck) model(k part.LED) string {
	diode := d.source.Diode(k)
	for _, m := range d.models {
		if m.kind == k.Name && m.diode == diode {
			return m.name
		}
	}
	m := model{k.Name, diode, d.unique("led_" + clean(k.Name))}
	d.models = append(d.models, m)
	return m.name
}

// unique returns the name, with a number if it is taken.
func (d *deck) unique(name string) string {
	for n := 1; ; n++ {
		try := name
		if n > 1 {
			try = name + "_" + strconv.Itoa(n)
		}
		if key := strings.ToLower(try); !d.names[key] {
			d.names[key] = true
			return try
		}
	}
}

// conductor is the resistance of a feed conductor as SPICE takes it: a resistor of nothing is an error there, and 1 µΩ
// changes nothing.
func conductor(r part.Ohm) float64 { return math.Max(float64(r), 1e-6) }

// clean replaces what SPICE does not take in a name.
func clean(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9':
			return r
		}
		return '_'
	}, s)
	if s == "" {
		return "_"
	}
	return s
}

// oneLine keeps a text of the user's from ending the comment it stands in.
func oneLine(s, empty string) string {
	s = strings.Join(strings.Fields(strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return ' '
		}
		return r
	}, s)), " ")
	if s == "" {
		return empty
	}
	return s
}

func num(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
