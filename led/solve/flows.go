package solve

import (
	"lampblack/led"
	"lampblack/led/part"
)

// flow is the current of a feed or a board by supply conductor.
type flow []float64

func (f flow) plus(g flow) flow {
	out := make(flow, max(len(f), len(g)))
	copy(out, f)
	for i, x := range g {
		out[i] += x
	}
	return out
}

func (f flow) sum() float64 {
	s := 0.0
	for _, x := range f {
		s += x
	}
	return s
}

// greater returns the greater of two flows conductor by conductor.
func (f flow) greater(g flow) flow {
	out := f.plus(nil)
	for i := range out {
		if i < len(g) {
			out[i] = max(out[i], g[i])
		}
	}
	return out
}

// currents returns what conductors carry, usually and at worst.
func currents(typical, worst flow) []led.Current {
	out := make([]led.Current, max(len(typical), len(worst)))
	for i, x := range typical {
		out[i].Typical = part.Amp(x)
	}
	for i, x := range worst {
		out[i].Worst = part.Amp(x)
	}
	return out
}

// flows sets the current of every feed, and the greatest that each board's conductors must carry.
func (k *Console) flows(nominal, most Point) {
	typical, worst := make([]flow, len(k.Boards)), make([]flow, len(k.Boards))
	for b, taps := range k.taps {
		for _, t := range taps {
			typical[b] = append(typical[b], k.drawn(nominal, t))
			worst[b] = append(worst[b], k.drawn(most, t))
		}
		k.Boards[b].Drawn = currents(typical[b], worst[b])
	}
	k.losses(nominal)
	// What each board passes on to chains that start from it comes on top of its own; a chain stands behind the one that has
	// the board it starts from.
	for i := len(k.Chains) - 1; i >= 0; i-- {
		c := &k.Chains[i]
		var low, high flow
		for j := len(c.Links) - 1; j >= 0; j-- {
			b := k.at[c.Links[j].Panel]
			low, high = low.plus(typical[b]), high.plus(worst[b])
			c.Links[j].Volts = part.Volt(k.Across(nominal, k.least(nominal, b)))
			c.Links[j].Segment = part.Amp(low.sum())
			c.Links[j].SegmentWorst = part.Amp(high.sum())
			c.Links[j].Carried = currents(low, high)
			k.carry(b, high, high.sum())
		}
		if c.BothEnds && len(c.Links) > 0 {
			k.ring(i, nominal, worst)
		}
		if b, ok := k.at[c.From]; ok && c.From != "" {
			typical[b], worst[b] = typical[b].plus(low), worst[b].plus(high)
		}
	}
}

// least returns the tap of a board with the least voltage across it, of those that strings hang on if any do.
func (k *Console) least(p Point, b int) int {
	best := -1
	for _, t := range k.taps[b] {
		if k.lit[t] && (best < 0 || k.Across(p, t) < k.Across(p, best)) {
			best = t
		}
	}
	if best < 0 {
		return k.taps[b][0]
	}
	return best
}

// carry notes the greatest current of each of the board's supply conductors, and of its 0 V.
func (k *Console) carry(b int, f flow, total float64) {
	w := &k.Boards[b]
	w.Through = part.Amp(total)
	if len(w.Nets) <= int(led.Return) {
		return
	}
	w.Nets[led.Return].Amps = w.Through
	for g, c := range w.Conductors() {
		if int(c.Net) < len(w.Nets) && g < len(f) {
			w.Nets[c.Net].Amps = part.Amp(f[g])
		}
	}
}

// ring sets the currents of a chain that is fed at both ends. Its worst is that one end has come loose, which nobody sees as
// the lamps still burn: the other end must carry everything.
func (k *Console) ring(i int, nominal Point, worst []flow) {
	c := &k.Chains[i]
	// One segment with a resistance tells its current by its voltage, Kirchhoff's law those of the others.
	n := len(c.Links)
	c.BackAmps = 0 // without any resistance all comes the short way, as good as any other
	back := make(flow, len(k.backs[i].plus))
	for j, l := range append(k.links[i][:n:n], k.backs[i]) {
		if k.net.conductors[l.minus].ohms < leastOhms {
			continue
		}
		amps := 0.0
		for g, p := range l.plus {
			one := k.through(nominal, p)
			amps += one
			if j < n {
				one = float64(c.Links[j].Carried[g].Typical) - one
			}
			back[g] = one
		}
		c.BackAmps = part.Amp(amps)
		if j < n {
			c.BackAmps = c.Links[j].Segment - part.Amp(amps)
		}
		break
	}
	behind := make([]flow, n+1) // what the board and all behind it draw
	for j := n - 1; j >= 0; j-- {
		behind[j] = behind[j+1].plus(worst[k.at[c.Links[j].Panel]])
	}
	var before flow
	for j := range c.Links {
		c.Links[j].Segment -= c.BackAmps
		after := behind[j]
		c.Links[j].SegmentWorst = part.Amp(max(before.sum(), after.sum()))
		here := currents(nil, after.greater(before))
		for g := range here {
			here[g].Typical = c.Links[j].Carried[g].Typical - part.Amp(back[g])
		}
		c.Links[j].Carried = here
		b := k.at[c.Links[j].Panel]
		before = before.plus(worst[b])
		k.carry(b, before.greater(after), max(before.sum(), after.sum()))
	}
	c.BackWorst = part.Amp(before.sum())
	c.BackCarried = currents(back, before)
}

// amperes sets the greatest current of the nets within the strings.
func amperes(c *led.Circuit, b int) {
	w := &c.Boards[b]
	for _, s := range w.Strings {
		w.Nets[w.Resistors[s.Resistor].To].Amps = s.Max
		for _, i := range s.LEDs {
			if n := w.LEDs[i].Cathode; n != led.Return {
				w.Nets[n].Amps = s.Max
			}
		}
	}
}
