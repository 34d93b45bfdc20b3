package led

import (
	"errors"
	"math"
	"slices"

	"lampblack/led/part"
	"lampblack/panel/diag"
)

// Settle computes the operating point and the corners of a circuit whose parts are chosen, rates its resistors and judges
// all. Design ends with it; call it again when more is known of a circuit, such as the resistance of its boards' own copper
// (Wiring.Across). The circuit returned is new; what the request says of strings and resistors is not chosen again.
func Settle(c Circuit, req Request) (Circuit, diag.List) {
	c = c.copied()
	var l diag.List
	if err := c.settle(); err != nil {
		return c, diag.List{noPoint(err)}
	}
	for b := range c.Boards {
		l = append(l, c.rate(b, req)...)
	}
	c.ofAsked(req)
	return c, append(l, judge(c, req)...)
}

// noPoint is the finding of a console that has no operating point.
func noPoint(err error) diag.Finding {
	var l diag.List
	f := l.Add(diag.Error, "led-no-operating-point", "the currents of the console could not be computed: %v", err)
	if errors.Is(err, errCollapse{}) {
		f.Fix("the supply is too weak for its loads: less resistance inside it, less power for other loads, or a higher voltage")
	} else {
		f.Fix("look for an impossible value in the project: wire, lengths, currents")
	}
	return l[0]
}

// copied returns the circuit with all that settle changes being its own.
func (c Circuit) copied() Circuit {
	c.Boards = slices.Clone(c.Boards)
	for i := range c.Boards {
		w := &c.Boards[i]
		w.Nets, w.Strings, w.Resistors = slices.Clone(w.Nets), slices.Clone(w.Strings), slices.Clone(w.Resistors)
	}
	c.Chains = slices.Clone(c.Chains)
	for i := range c.Chains {
		c.Chains[i].Links = slices.Clone(c.Chains[i].Links)
	}
	return c
}

// settle sets all that depends on the operating point.
//
// The network is monotone: more supply, less resistance or less forward voltage anywhere raises the supply's current, and
// more current anywhere lowers the voltage of every board. So each extreme is that of one corner: the greatest load that
// of the highest supply and the hungriest parts; the greatest current of a string that of the hungriest string at the
// highest supply while all other strings draw least; its least current the opposite.
func (c *Circuit) settle() error {
	k := c.console()
	k.sort()
	nominal, err := k.find(corner{0, 0, 0})
	if err != nil {
		return err
	}
	most, err := k.find(corner{1, -1, -1})
	if err != nil {
		return err
	}
	for i, x := range k.classes {
		now, _ := c.Source.branch(x, corner{}, 1).at(k.across(nominal, x.tap))
		k.each(i, func(s *String) { s.Nominal = part.Amp(now) })
	}
	if _, err := k.extremes(corner{1, 1, 1}, corner{1, -1, -1}, func(s *String, i part.Amp) { s.Max = i }); err != nil {
		return err
	}
	low, err := k.extremes(corner{-1, -1, -1}, corner{-1, 1, 1}, func(s *String, i part.Amp) { s.Min = i })
	if err != nil {
		return err
	}
	k.flows(nominal, most)
	src := &c.Source
	src.Volts, src.Other = part.Volt(nominal.v[terminal]), k.others(nominal)
	src.Worst = k.drawnByAll(most)
	// A load of fixed power asks for most at the lowest voltage, everything else at the highest; what all ask for together is
	// convex in the voltage, so that one of the two ends has the most.
	src.Demand = max(src.Worst+k.others(most), k.drawnByAll(low)+k.others(low))
	src.Verdict = verdict(*src)
	src.Typical = 0
	for b, w := range c.Boards {
		for s := range w.Strings {
			src.Typical += part.Amp(float64(w.Strings[s].Nominal) * w.Conductors()[w.FedBy(StringID(s))].Duty)
		}
		c.amperes(b)
	}
	c.relativeLight()
	return k.onBattery()
}

// each calls f for all strings of a class.
func (k *console) each(class int, f func(s *String)) {
	for _, m := range k.classes[class].members {
		f(&k.Boards[m.board].Strings[m.id])
	}
}

// poor is the change of a board's voltage above which the network's answer to it is computed anew. Below it, what the
// curvature of all other strings adds is less than a millionth of a current.
const poor = 2e-3 // V

// extremes sets, for every string, its current when it alone is in the corner own, and all else in base, whose operating
// point it returns.
//
// A single string that leaves the corner moves its board's voltage along the network's resistance as seen from the tap
// (Thévenin), which is exact to second order; where that is more than two millivolts, the whole network is solved again.
func (k *console) extremes(base, own corner, set func(*String, part.Amp)) (point, error) {
	at, err := k.find(base)
	if err != nil {
		return at, err
	}
	if !k.solver.refactor() {
		return at, errCollapse{}
	}
	ohms := k.solver.ports()
	for i, x := range k.classes {
		v0 := k.across(at, x.tap)
		usual, _ := k.Source.branch(x, base, 1).at(v0)
		alone := k.Source.branch(x, own, 1)
		v := v0
		for range 50 {
			amps, g := alone.at(v)
			step := (v - v0 + float64(ohms[x.tap]*(amps-usual))) / (1 + float64(ohms[x.tap]*g))
			v -= step
			if math.Abs(step) < 1e-13 {
				break
			}
		}
		if math.Abs(v-v0) > poor {
			if v, err = k.alone(at, base, i, alone); err != nil {
				return at, err
			}
		}
		amps, _ := alone.at(v)
		k.each(i, func(s *String) { set(s, part.Amp(amps)) })
	}
	return at, nil
}

// alone returns the voltage across the tap of a class, near the operating point of base, when one of its strings is another.
func (k *console) alone(at point, base corner, class int, other branch) (float64, error) {
	tap := k.classes[class].tap
	loads := slices.Clone(at.loads)
	loads[tap] = []branch{other}
	for j, y := range k.classes {
		n := len(y.members)
		if j == class {
			n--
		}
		if y.tap == tap && n > 0 {
			loads[tap] = append(loads[tap], k.Source.branch(y, base, n))
		}
	}
	v, err := k.solver.solve(at.e, loads, at.v)
	if err != nil {
		return 0, err
	}
	return k.across(point{v: v}, tap), nil
}

// relativeLight sets each link's mean LED current relative to the greatest of the console.
func (c *Circuit) relativeLight() {
	brightest := 0.0
	light := map[string]float64{}
	for _, w := range c.Boards {
		light[w.Panel] = w.meanCurrent(true)
		brightest = max(brightest, light[w.Panel])
	}
	for i := range c.Chains {
		for j := range c.Chains[i].Links {
			if k := &c.Chains[i].Links[j]; brightest > 0 {
				k.RelativeLight = light[k.Panel] / brightest
			}
		}
	}
}

// ofAsked sets how much of the current that was asked for each link's LEDs get.
func (c *Circuit) ofAsked(req Request) {
	share := map[string]float64{}
	for _, w := range c.Boards {
		share[w.Panel] = w.ofAsked(req)
	}
	for i := range c.Chains {
		for j := range c.Chains[i].Links {
			c.Chains[i].Links[j].OfAsked = share[c.Chains[i].Links[j].Panel]
		}
	}
}

// ofAsked returns the mean nominal current of the board's LEDs relative to what was asked for; 0 without any.
func (w Wiring) ofAsked(req Request) float64 {
	if asked := float64(req.For(w.Panel).Current); asked > 0 {
		return w.meanCurrent(false) / asked
	}
	return 0
}

// meanCurrent returns the mean nominal current of the board's LEDs, 0 without any; with duty as seen when dimmed.
func (w Wiring) meanCurrent(duty bool) float64 {
	sum, n := 0.0, 0
	for i, s := range w.Strings {
		share := 1.0
		if duty {
			share = w.Conductors()[w.FedBy(StringID(i))].Duty
		}
		sum += float64(share * float64(s.Nominal) * float64(len(s.LEDs)))
		n += len(s.LEDs)
	}
	if n == 0 {
		return 0
	}
	return sum / float64(n)
}

// okShare is the part of a supply's rating up to which a load is called good (common practice).
const okShare = 0.80

// verdict judges the supply by the worst load, not the typical one: it must not brown out in any corner.
func verdict(s Source) Verdict {
	switch {
	case float64(s.Demand) > float64(s.Rated):
		return Over
	case float64(s.Demand) > okShare*float64(s.Rated):
		return Tight
	}
	return OK
}
