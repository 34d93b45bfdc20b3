package solve

import (
	"errors"
	"math"
	"slices"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/diag"
)

// Settle returns the circuit with its operating point, its corners and its resistors' ratings; the parts chosen stay. Call it
// again when more is known, such as the resistance of the boards' own copper (Wiring.Across). A circuit without an operating
// point is returned as it was, not Solved, with the finding that says so.
func Settle(c led.Circuit, req led.Request) (led.Circuit, diag.List) {
	out := copied(c)
	if err := settle(&out); err != nil {
		c.Solved = false
		amps, least := asked(c, req)
		return unsolved(c, err, amps, least)
	}
	for i := range out.Boards {
		rate(&out.Boards[i], req)
	}
	level(out.Boards)
	ofAsked(&out, req)
	out.Solved = true
	return out, nil
}

// asked returns what all strings draw that get what was asked for, and the least voltage that all of them light at.
func asked(c led.Circuit, req led.Request) (part.Amp, part.Volt) {
	sum, least := 0.0, part.Volt(0)
	for _, w := range c.Boards {
		set := req.For(w.Panel)
		for _, s := range w.Strings {
			if len(s.LEDs) > 0 {
				kind := w.LEDs[s.LEDs[0]].Kind
				d, _ := part.Fit(kind)
				current := set.CurrentOf(kind.Name)
				sum += float64(current)
				least = max(least, Lights(len(s.LEDs), d, current))
			}
		}
	}
	return part.Amp(sum), least
}

// Lights returns the voltage at which n LEDs in series light about as asked: what they drop, and a tenth for their resistor.
func Lights(n int, d part.Diode, i part.Amp) part.Volt {
	return part.Volt(1.1 * float64(float64(n)*float64(d.Volts(i))))
}

// unsolved returns the circuit, whose boards would draw amps and want least volts, without a verdict: it has no operating point, which is told.
func unsolved(c led.Circuit, err error, amps part.Amp, least part.Volt) (led.Circuit, diag.List) {
	c.Source.Verdict, c.Source.Need = led.None, led.Need{}
	if errors.Is(err, errCollapse{}) {
		c.Source.Need = c.Source.Holds(amps, least)
	}
	return c, diag.List{noPoint(err, c.Source.Need)}
}

// noPoint is the finding of a console that has no operating point.
func noPoint(err error, need led.Need) diag.Finding {
	var l diag.List
	f := l.Add(diag.Error, "led-no-operating-point", "the currents of the console could not be computed: %v", err).About("supply.volts")
	if errors.Is(err, errCollapse{}) {
		f.Fix("%s", need.Sentence())
	} else {
		f.Fix("look for an impossible value in the project: wire, lengths, currents")
	}
	return l[0]
}

// copied returns the circuit with all that settle changes being its own.
func copied(c led.Circuit) led.Circuit {
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
func settle(c *led.Circuit) error {
	k := build(c)
	k.sort()
	nominal, err := k.find(corner{0, 0, 0})
	if err != nil {
		return err
	}
	most, err := k.find(corner{1, -1, -1})
	if err != nil {
		return err
	}
	for i, x := range k.Classes {
		now, _ := branch(c.Source, x, corner{}, 1).At(k.Across(nominal, x.Tap))
		// One fault at a time: the other parts are as they should be, the supply may be at its highest.
		short := 0.0
		if x.LEDs > 1 {
			short, _ = String{x.LEDs - 1, c.Source.Cornered(x.Kind, x.Diode, 0), float64(x.Ohms)}.At(float64(c.Source.Max))
		}
		k.each(i, func(s *led.String) { s.Nominal, s.Short = part.Amp(now), part.Amp(short) })
	}
	if _, err := k.extremes(corner{1, 1, 1}, corner{1, -1, -1}, func(s *led.String, i part.Amp) { s.Max = i }); err != nil {
		return err
	}
	low, err := k.extremes(corner{-1, -1, -1}, corner{-1, 1, 1}, func(s *led.String, i part.Amp) { s.Min = i })
	if err != nil {
		return err
	}
	k.flows(nominal, most)
	src := &c.Source
	src.Volts, src.Other = part.Volt(nominal.v[terminal]), k.Others(nominal)
	src.Worst, src.Peak = k.Drawn(most), k.Drawn(nominal)
	// A load of fixed power asks for most at the lowest voltage, everything else at the highest; what all ask for together is
	// convex in the voltage, so that one of the two ends has the most.
	src.Demand = max(src.Worst+k.Others(most), k.Drawn(low)+k.Others(low))
	src.Verdict, src.Need = led.VerdictOf(src.Demand, src.Rated), src.Need.Lit()
	for _, w := range c.Boards {
		if w.Unlit {
			src.Need.Unlit = append(src.Need.Unlit, w.Panel)
			src.Verdict = led.None
		}
	}
	if src.Breakdown, err = breakdown(c); err != nil {
		return err
	}
	src.Typical = 0
	for b, w := range c.Boards {
		for s := range w.Strings {
			src.Typical += part.Amp(float64(w.Strings[s].Nominal) * w.Conductors()[w.FedBy(led.StringID(s))].Duty)
		}
		amperes(c, b)
	}
	relativeLight(c)
	k.steps()
	return k.onBattery()
}

// each calls f for all strings of a class.
func (k *Console) each(class int, f func(s *led.String)) {
	for _, m := range k.Classes[class].Members {
		f(&k.Boards[m.Board].Strings[m.ID])
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
func (k *Console) extremes(base, own corner, set func(*led.String, part.Amp)) (Point, error) {
	at, err := k.find(base)
	if err != nil {
		return at, err
	}
	if !k.solver.refactor() {
		return at, errCollapse{}
	}
	ohms := k.solver.ports()
	for i, x := range k.Classes {
		v0 := k.Across(at, x.Tap)
		usual, _ := branch(k.Source, x, base, 1).At(v0)
		alone := branch(k.Source, x, own, 1)
		v := v0
		for range 50 {
			amps, g := alone.At(v)
			step := (v - v0 + float64(ohms[x.Tap]*(amps-usual))) / (1 + float64(ohms[x.Tap]*g))
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
		amps, _ := alone.At(v)
		k.each(i, func(s *led.String) { set(s, part.Amp(amps)) })
	}
	return at, nil
}

// alone returns the voltage across the tap of a class, near the operating point of base, when one of its strings is another.
func (k *Console) alone(at Point, base corner, class int, other Branch) (float64, error) {
	tap := k.Classes[class].Tap
	loads := slices.Clone(at.loads)
	loads[tap] = []Branch{other}
	for j, y := range k.Classes {
		n := len(y.Members)
		if j == class {
			n--
		}
		if y.Tap == tap && n > 0 {
			loads[tap] = append(loads[tap], branch(k.Source, y, base, n))
		}
	}
	v, err := k.solver.solve(at.e, loads, at.v)
	if err != nil {
		return 0, err
	}
	return k.Across(Point{v: v}, tap), nil
}

// relativeLight sets each link's mean LED current relative to the greatest of the console.
func relativeLight(c *led.Circuit) {
	brightest := 0.0
	light := map[string]float64{}
	for _, w := range c.Boards {
		light[w.Panel] = w.MeanCurrent(true)
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
func ofAsked(c *led.Circuit, req led.Request) {
	share := map[string]float64{}
	for _, w := range c.Boards {
		share[w.Panel] = w.OfAsked(req)
	}
	for i := range c.Chains {
		for j := range c.Chains[i].Links {
			c.Chains[i].Links[j].OfAsked = share[c.Chains[i].Links[j].Panel]
		}
	}
}

// rate chooses the rating of every resistor, after the corners are known.
func rate(w *led.Wiring, req led.Request) {
	set := req.For(w.Panel)
	for i := range w.Strings {
		s := &w.Strings[i]
		r := &w.Resistors[s.Resistor]
		s.Worst = part.Ohm(float64(r.Ohms) * (1 - r.Tol)).Heat(s.Max)
		if body, ok := set.Body(r.Package); ok {
			r.Rated, _ = body.RatingFor(s.Worst, req.ResistorUse())
		}
	}
}

// level gives resistors that are alike but for their rating the greatest of theirs, over all boards: neither the boards nor
// two bags of resistors of one value tell them apart.
func level(boards []led.Wiring) {
	type alike struct {
		pack string
		ohms part.Ohm
		tol  float64
	}
	most := map[alike]part.Watt{}
	of := func(r led.Resistor) alike { return alike{r.Package, r.Ohms, r.Tol} }
	for _, w := range boards {
		for _, r := range w.Resistors {
			most[of(r)] = max(most[of(r)], r.Rated)
		}
	}
	for _, w := range boards {
		for i := range w.Resistors {
			w.Resistors[i].Rated = most[of(w.Resistors[i])]
		}
	}
}
