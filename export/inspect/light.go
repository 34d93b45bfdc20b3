package inspect

import (
	"slices"
	"strings"

	"lampblack/board"
	"lampblack/led"
)

// light follows the current from the supply pins of connectors through resistors and LEDs to their 0 V pins, by the nets
// that pads carry (that copper makes these nets was judged before). An LED that current reaches from no supply, or that
// leads it nowhere, or whose two pins are joined, stays dark; one between supply and 0 V without a resistor burns.
//
// Method: the nets are nodes of a directed graph, resistors edges both ways, LEDs edges from anode to cathode. Reached from
// the supply and reaching 0 V are two breadth-first searches (E. F. Moore, "The shortest path through a maze", 1959).
func (p *inspector) light() {
	if !p.raised {
		return
	}
	type edge struct{ from, to led.NetID }
	var edges, lamps []edge
	var names []board.Part
	var plus, minus []led.NetID
	for _, q := range p.board.Parts {
		pin := map[string]led.NetID{}
		for _, d := range q.Pads {
			pin[d.Function] = d.Net
		}
		switch {
		case q.Kind == board.LED:
			lamps = append(lamps, edge{pin["A"], pin["K"]})
			names = append(names, q)
		case q.Kind == board.Connector:
			for _, d := range q.Pads {
				switch {
				case d.Net == led.NoNet:
				case d.Function == "+":
					plus = append(plus, d.Net)
				case d.Function == "-":
					minus = append(minus, d.Net)
				}
			}
		case len(q.Pads) == 2:
			edges = append(edges, edge{q.Pads[0].Net, q.Pads[1].Net}, edge{q.Pads[1].Net, q.Pads[0].Net})
		}
	}
	if len(lamps) == 0 || len(plus) == 0 || len(minus) == 0 {
		if p.own {
			p.fail("inspect-no-feed", "no connector brings the supply and 0 V to the LEDs").Fix("write the pack anew")
		}
		return
	}
	if p.own {
		for _, q := range p.board.Parts {
			for _, d := range q.Pads {
				if name := p.board.Nets[d.Net].Name; q.Kind == board.Connector && d.Net != led.NoNet && d.Function == "-" && !(name == "0V" || strings.HasSuffix(name, ".0V")) {
					p.fail("inspect-poles", "pin %s of %s is called - and is on net %s", d.Pin, q.Ref, name).OfPart(q.Ref).At(d.At.X.MM(), d.At.Y.MM()).
						Together("%d pins called - are on another net than 0V").Fix("supply and 0 V were exchanged: write the pack anew")
				}
			}
		}
	}
	reach := func(start, stop []led.NetID, edges []edge, back bool) []bool {
		next := map[led.NetID][]led.NetID{}
		for _, e := range edges {
			if back {
				e.from, e.to = e.to, e.from
			}
			next[e.from] = append(next[e.from], e.to)
		}
		seen := make([]bool, len(p.board.Nets))
		queue := append([]led.NetID(nil), start...)
		for k := 0; k < len(queue); k++ {
			if n := queue[k]; n != led.NoNet && !seen[n] {
				seen[n] = true
				if !slices.Contains(stop, n) { // beyond the other pole is another string's current
					queue = append(queue, next[n]...)
				}
			}
		}
		return seen
	}
	all := append(append([]edge(nil), edges...), lamps...)
	fed, drained := reach(plus, minus, all, false), reach(minus, plus, all, true)
	bare, sunk := reach(plus, minus, lamps, false), reach(minus, plus, lamps, true)
	for i, e := range lamps {
		where := func(code, format string) {
			p.fail(code, format, names[i].Ref).OfPart(names[i].Ref).At(names[i].At.X.MM(), names[i].At.Y.MM()).
				Fix("compare its nets with the circuit: the LED is turned round or joined to the wrong net")
		}
		switch {
		case e.from == e.to && e.from != led.NoNet:
			where("inspect-led-shorted", "both pins of %s are on one net: it stays dark")
		case !fed[e.from] || !drained[e.to] || slices.Contains(minus, e.from) || slices.Contains(plus, e.to):
			where("inspect-led-dark", "no current can flow through %s from the supply to 0 V: it stays dark")
		case bare[e.from] && sunk[e.to]:
			where("inspect-led-unlimited", "%s lies between supply and 0 V without a resistor: it would burn")
		}
	}
	p.did("that current reaches every LED")
}
