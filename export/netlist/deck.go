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

// Deck returns the SPICE deck of the whole console at its nominal values: supply, feed conductors, boards and strings.
//
// The supply is Vsupply. The conductors of the feed to board dome are Rfeed_dome_out and Rfeed_dome_back, its resistor R3 is
// Rdome_R3 and its LED D7 Ddome_D7; every kind of LED is a .model of type D with the parameters of led.Fit, which hold
// at 27 °C, the temperature SPICE computes for by default. The deck ends with an operating point analysis. Other loads
// hang on the supply as Iother. Names are the panels' with everything but letters, digits and _ replaced by _, and a
// number added where two would then be one, because SPICE does not tell capitals from small letters.
//
// The title may be empty. Values are written with as many digits as bring the same number back.
func Deck(c led.Circuit, title string) []byte {
	d := deck{names: map[string]bool{}}
	d.line("* %s", oneLine(title, "console"))
	d.line("* voltages in V, currents in A, resistances in ohm; nominal values at 27 degrees Celsius")
	d.line("Vsupply supply 0 DC %s", num(float64(c.Source.Nominal)))
	if c.Source.Other > 0 {
		d.line("Iother supply 0 DC %s", num(float64(c.Source.Other)))
	}
	boards := map[string]led.Wiring{}
	for _, w := range c.Boards {
		if _, ok := boards[w.Panel]; !ok {
			boards[w.Panel] = w
		}
	}
	for _, chain := range c.Chains {
		out, back := "supply", "0"
		for _, link := range chain.Links {
			name := d.unique(clean(link.Panel))
			d.line("*")
			d.line("* board %s: feed %s, %s", oneLine(link.Panel, name), oneLine(link.Feed.Wire, "?"), link.Feed.Length)
			d.line("Rfeed_%s_out %s %s_p %s", name, out, name, num(conductor(link.Feed.Ohms)))
			d.line("Rfeed_%s_back %s_n %s %s", name, name, back, num(conductor(link.Feed.Ohms)))
			out, back = name+"_p", name+"_n"
			d.board(name, boards[link.Panel])
		}
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

// deck is a deck in the making.
type deck struct {
	bytes.Buffer
	names  map[string]bool // taken, in small letters
	models []model
}

// model is one kind of LED.
type model struct {
	kind  string
	diode led.Diode
	name  string
}

func (d *deck) line(format string, args ...any) { fmt.Fprintf(d, format+"\n", args...) }

// board writes the strings of one board.
func (d *deck) board(name string, w led.Wiring) {
	node := func(n led.NetID) string {
		switch n {
		case led.Supply:
			return name + "_p"
		case led.Return:
			return name + "_n"
		}
		return name + "_" + clean(w.Nets[n].Name)
	}
	for _, s := range w.Strings {
		r := w.Resistors[s.Resistor]
		d.line("R%s_%s %s %s %s", name, r.Ref, node(r.From), node(r.To), num(float64(r.Ohms)))
		for _, i := range s.LEDs {
			l := w.LEDs[i]
			d.line("D%s_%s %s %s %s", name, l.Ref, node(l.Anode), node(l.Cathode), d.model(l.Kind))
		}
	}
}

// model returns the name of the kind's model.
func (d *deck) model(k part.LED) string {
	diode, _ := led.Fit(k)
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
