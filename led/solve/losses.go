package solve

import (
	"lampblack/led"
	"lampblack/led/part"
)

// losses sets where the voltage to each board is lost at an operating point: differences of potential along the chain, which
// add up to what the board is short of, whichever way the currents flow.
func (k *Console) losses(p Point) {
	out := make([][]led.Loss, len(k.Boards)) // up to a board's OUT connector, by supply conductor
	drop := func(a, b node) part.Volt { return part.Volt(p.v[a] - p.v[b]) }
	for i := range k.Chains {
		c := &k.Chains[i]
		g := k.guards[i]
		start := []led.Loss{{Supply: part.Volt(p.e - p.v[terminal]), Switch: drop(terminal, g.switched), Fuse: drop(g.switched, g.fused)}}
		plus, minus := []node{g.fused}, ground
		if b, ok := k.at[c.From]; ok && c.From != "" {
			start, plus, minus = out[b], nil, k.pins[b][0].n[1]
			for _, pin := range k.pins[b] {
				plus = append(plus, pin.p[1])
			}
		}
		of := func(g int) led.Loss { return start[min(g, len(start)-1)] }
		for j := range c.Links {
			link := &c.Links[j]
			b := k.at[link.Panel]
			most := k.least(p, b)
			var next []led.Loss
			var ends []node
			for g, pin := range k.pins[b] {
				l := of(g)
				feed := drop(plus[min(g, len(plus)-1)], pin.p[0]) + drop(pin.n[0], minus)
				contacts := part.Volt(0)
				if link.Feed.Ohms > 0 {
					contacts = part.Volt(float64(feed) * float64(link.Feed.Contacts) / float64(link.Feed.Ohms))
				}
				l.Contacts += contacts
				l.Wires += feed - contacts
				t := k.net.taps[k.taps[b][g]]
				here := l
				here.Boards += drop(pin.p[0], t.p) + drop(t.n, pin.n[0])
				if k.taps[b][g] == most {
					link.Lost = here
				}
				l.Boards += drop(pin.p[0], pin.p[1]) + drop(pin.n[1], pin.n[0])
				next, ends = append(next, l), append(ends, pin.p[1])
			}
			start, plus, minus = next, ends, k.pins[b][0].n[1]
			out[b] = next
		}
	}
}
