package check

import (
	"fmt"
	"strconv"
	"strings"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/diag"
)

type pin struct{ ref, pin string }

// wanted is a component as the wiring has it.
type wanted struct {
	ref  string
	kind board.Kind
	pins []wantedPin
}

type wantedPin struct {
	pin, function string // function may be empty: then any will do
	net           led.NetID
}

func kindName(k board.Kind) string {
	return map[board.Kind]string{board.LED: "LED", board.Resistor: "resistor", board.Connector: "connector"}[k]
}

// components lists every component of w. Of a resistor either pin may be the first.
func components(w led.Wiring) []wanted {
	var out []wanted
	for _, d := range w.LEDs {
		out = append(out, wanted{d.Ref, board.LED, []wantedPin{{"1", "K", d.Cathode}, {"2", "A", d.Anode}}})
	}
	for _, r := range w.Resistors {
		out = append(out, wanted{r.Ref, board.Resistor, []wantedPin{{"1", "", r.From}, {"2", "", r.To}}})
	}
	for _, c := range w.Connectors {
		k := wanted{ref: c.Ref, kind: board.Connector}
		for i, n := range c.Pins {
			sign := "+"
			if n == led.Return {
				sign = "-"
			}
			k.pins = append(k.pins, wantedPin{strconv.Itoa(i + 1), sign, n})
		}
		out = append(out, k)
	}
	return out
}

// pinNets tells the net of every pin of the wiring that must be on one net and no other. A resistor's ends may change
// places, so that its pads' own names stand until auditNetlist has compared them.
func pinNets(w led.Wiring) map[pin]string {
	out := map[pin]string{}
	for _, c := range components(w) {
		if c.kind == board.Resistor {
			continue
		}
		for _, p := range c.pins {
			if int(p.net) > 0 && int(p.net) < len(w.Nets) {
				out[pin{c.ref, p.pin}] = w.Nets[p.net].Name
			}
		}
	}
	return out
}

// pointNets tells the net of each test point that the circuit has, by its reference.
func pointNets(w led.Wiring) map[string]string {
	out := map[string]string{}
	for _, p := range w.Probes() {
		if int(p.Net) > 0 && int(p.Net) < len(w.Nets) {
			out[p.Ref] = w.Nets[p.Net].Name
		}
	}
	return out
}

// auditSpots compares test points with the circuit: each once, on the net that its name tells. That copper joins it to that net, and
// to no other, is found with all other pads.
func (m *model) auditSpots() diag.List {
	var l diag.List
	points := pointNets(m.w)
	seen := map[string]bool{}
	for _, s := range m.b.Spots {
		if s.Use != board.TestPoint {
			continue
		}
		found, want := m.b.Nets[s.Net].Name, points[s.Ref]
		switch {
		case seen[s.Ref]:
			l.Add(diag.Error, "check-test-point", "two test points are called %s", s.Ref).At(s.At.X.MM(), s.At.Y.MM()).Fix("take one of them off the board")
		case want == "":
			l.Add(diag.Error, "check-test-point", "the circuit has no point %s", s.Ref).At(s.At.X.MM(), s.At.Y.MM()).Fix("take it off the board")
		case found != want:
			l.Add(diag.Error, "check-test-point", "%s is on net %q, it must be on %q", s.Ref, found, want).OfNet(found).At(s.At.X.MM(), s.At.Y.MM()).
				Fix("put it on its net, or name it by that net")
		}
		seen[s.Ref] = true
	}
	return l
}

// auditNetlist compares the board's parts with the circuit's components: each there once, none besides, every pin on
// its net and of its function.
func (m *model) auditNetlist() diag.List {
	var l diag.List
	parts := map[string]int{}
	for i, p := range m.b.Parts {
		if _, twice := parts[p.Ref]; twice {
			l.Add(diag.Error, "check-duplicate-part", "two parts are called %s", p.Ref).
				OfPart(p.Ref).At(p.At.X.MM(), p.At.Y.MM()).Fix("give one of them a name of its own")
			continue
		}
		parts[p.Ref] = i
	}
	known := map[string]bool{}
	for _, c := range components(m.w) {
		known[c.ref] = true
		i, ok := parts[c.ref]
		if !ok {
			l.Add(diag.Error, "check-missing-part", "%s %s of the circuit is not on the board", kindName(c.kind), c.ref).
				OfPart(c.ref).Fix("place it")
			continue
		}
		m.auditPart(&l, m.b.Parts[i], c)
	}
	for _, p := range m.b.Parts {
		if !known[p.Ref] {
			l.Add(diag.Error, "check-surplus-part", "%s %s is on the board but not in the circuit", kindName(p.Kind), p.Ref).
				OfPart(p.Ref).At(p.At.X.MM(), p.At.Y.MM()).Fix("take it off the board")
		}
	}
	return l
}

func (m *model) auditPart(l *diag.List, p board.Part, c wanted) {
	if p.Kind != c.kind {
		l.Add(diag.Error, "check-wrong-part", "%s is a %s on the board and a %s in the circuit", p.Ref, kindName(p.Kind), kindName(c.kind)).
			OfPart(p.Ref).
			At(p.At.X.MM(), p.At.Y.MM()).Fix("place the right part")
	}
	found := make([]string, len(c.pins)) // net of each wanted pin
	for k, want := range c.pins {
		for _, pad := range p.Pads {
			if pad.Pin != want.pin {
				continue
			}
			found[k] = m.b.Nets[pad.Net].Name
			if want.function != "" && pad.Function != want.function {
				l.Add(diag.Error, "check-pin-function", "pin %s of %s is marked %q, it must be %q", pad.Pin, p.Ref, pad.Function, want.function).
					OfPart(p.Ref).
					At(pad.At.X.MM(), pad.At.Y.MM()).Fix("turn the part round, or correct the mark")
			}
			if name := m.wiringNet(want.net); c.kind != board.Resistor && found[k] != name {
				l.Add(diag.Error, "check-pin-net", "pin %s of %s is on net %q, it must be on %q", pad.Pin, p.Ref, found[k], name).
					OfPart(p.Ref).
					At(pad.At.X.MM(), pad.At.Y.MM()).Fix("put the pin on its net")
			}
		}
		if found[k] == "" && !hasPin(p, want.pin) {
			l.Add(diag.Error, "check-missing-pin", "%s has no pad for pin %s", p.Ref, want.pin).
				OfPart(p.Ref).
				At(p.At.X.MM(), p.At.Y.MM()).Fix("choose a footprint with that pin")
		}
	}
	if c.kind == board.Resistor && !m.sameEnds(found, c) {
		l.Add(diag.Error, "check-pin-net", "%s joins nets %s, it must join %q and %q", p.Ref, quoted(found), m.wiringNet(c.pins[0].net),
			m.wiringNet(c.pins[1].net)).
			OfPart(p.Ref).At(p.At.X.MM(), p.At.Y.MM()).Fix("put its pins on their nets")
	}
	auditKey(l, p)
}

func (m *model) sameEnds(found []string, c wanted) bool {
	a, b := m.wiringNet(c.pins[0].net), m.wiringNet(c.pins[1].net)
	return found[0] == a && found[1] == b || found[0] == b && found[1] == a
}

func quoted(s []string) string {
	q := make([]string, len(s))
	for i := range s {
		q[i] = strconv.Quote(s[i])
	}
	return strings.Join(q, " and ")
}

func (m *model) wiringNet(n led.NetID) string {
	if n <= 0 || int(n) >= len(m.w.Nets) {
		return fmt.Sprintf("(unknown net %d)", n)
	}
	return m.w.Nets[n].Name
}

func hasPin(p board.Part, name string) bool {
	for _, pad := range p.Pads {
		if pad.Pin == name {
			return true
		}
	}
	return false
}

// auditKey checks the mark a builder solders by: of the drilled pads the square ones are the cathodes, all of them and no
// other. Lands of surface parts are rectangles whatever they carry; ink marks the cathode there.
func auditKey(l *diag.List, p board.Part) {
	for _, d := range p.Pads {
		if !d.Through {
			continue
		}
		cathode, square := d.Function == "K", d.Shape == board.Square
		switch {
		case cathode && !square:
			l.Add(diag.Error, "check-polarity-mark", "the cathode's pad of %s is not square: nothing in the copper tells how the LED sits", p.Ref).
				OfPart(p.Ref).
				At(d.At.X.MM(), d.At.Y.MM()).Fix("make the cathode's pad the square one")
		case square && d.Function == "A":
			l.Add(diag.Error, "check-polarity-mark", "%s has its square pad on the anode: whoever solders by it puts the LED in the wrong way round", p.Ref).
				OfPart(p.Ref).
				At(d.At.X.MM(), d.At.Y.MM()).Fix("make the cathode's pad the square one")
		case square && !cathode:
			l.Add(diag.Error, "check-polarity-mark", "pad %s of %s is square, which means a cathode", d.Pin, p.Ref).
				OfPart(p.Ref).
				At(d.At.X.MM(), d.At.Y.MM()).Fix("make it round or oblong")
		}
	}
}

// auditStrings follows every string through the copper: from a supply pin of the IN connector through the resistor and
// each LED, anode to cathode, to a 0 V pin.
func (m *model) auditStrings() diag.List {
	var l diag.List
	pads := map[[2]string][]int{} // ref and function, or pin
	for i, n := range m.nodes {
		if n.kind != aPad || n.part < 0 {
			continue
		}
		p := m.padOf(n)
		ref := m.b.Parts[n.part].Ref
		key := p.Pin
		if p.Function == "A" || p.Function == "K" {
			key = p.Function
		}
		pads[[2]string{ref, key}] = append(pads[[2]string{ref, key}], i)
	}
	joined := func(as, bs []int) bool {
		for _, a := range as {
			for _, b := range bs {
				if m.firm.Least(a) == m.firm.Least(b) {
					return true
				}
			}
		}
		return false
	}
	var plus, minus []int
	for _, c := range m.w.Connectors {
		for k, n := range c.Pins {
			at := pads[[2]string{c.Ref, strconv.Itoa(k + 1)}]
			switch n {
			case led.NoNet:
			case led.Return:
				minus = append(minus, at...)
			default:
				plus = append(plus, at...)
			}
		}
	}
	if len(m.w.Strings) > 0 && (len(plus) == 0 || len(minus) == 0) {
		l.Add(diag.Error, "check-no-feed", "no connector brings the supply and 0 V to the board").Of(m.b.Name).Fix("place a connector for the feed")
		return l
	}
	for s, str := range m.w.Strings {
		if str.Resistor < 0 || str.Resistor >= len(m.w.Resistors) {
			continue
		}
		r := m.w.Resistors[str.Resistor].Ref
		in, out := pads[[2]string{r, "1"}], pads[[2]string{r, "2"}]
		if !joined(plus, in) {
			in, out = out, in
		}
		if !joined(plus, in) {
			l.Add(diag.Error, "check-string-broken", "string %d: no copper leads from the supply to %s", s+1, r).
				OfString(stringName(s)).OfPart(r).Fix("join them")
			continue
		}
		prev, from := out, r
		for _, d := range str.LEDs {
			ref := m.w.LEDs[d].Ref
			a, k := pads[[2]string{ref, "A"}], pads[[2]string{ref, "K"}]
			if !joined(prev, a) {
				f := l.Add(diag.Error, "check-string-broken", "string %d: no copper leads from %s to the anode of %s", s+1, from, ref).
					OfString(stringName(s)).OfPart(ref)
				if joined(prev, k) {
					f.Code, f.Text = "check-led-reversed", fmt.Sprintf("string %d: %s leads to the cathode of %s: the LED is the wrong way round", s+1, from, ref)
				}
				f.Fix("turn %s round or join its anode", ref)
				if len(a) > 0 {
					f.At(m.nodes[a[0]].at.X.MM(), m.nodes[a[0]].at.Y.MM())
				}
			}
			prev, from = k, ref
		}
		if !joined(prev, minus) {
			l.Add(diag.Error, "check-string-broken", "string %d: no copper leads from %s to 0 V", s+1, from).
				OfString(stringName(s)).OfPart(from).Fix("join them")
		}
	}
	return l
}

// stringName names a string as lists do.
func stringName(s int) string { return fmt.Sprintf("S%d", s+1) }
