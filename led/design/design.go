// Package design makes the circuit of a console from its panels and what the project asks for.
//
// In go panels, with LED holes in their own frames, and a led.Request; out come a solved led.Circuit and findings about what
// cannot be: settings, chains, kinds of LEDs, strings without room for a resistor. It brings the verbs beside it together:
// led/group shares LEDs out to strings, led/solve finds the currents.
package design

import (
	"context"
	"math"
	"slices"

	"lampblack/led"
	"lampblack/led/group"
	"lampblack/led/part"
	"lampblack/led/solve"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Circuit groups the LEDs of each panel into strings, chooses their resistors, and has the whole console solved. Its Boards
// are one Wiring a panel, in the panels' order; that of a panel with an error is empty but for its name. Positions in findings
// are in the panel's frame, mm. What there is to say of the currents is led/judge's.
//
// Of all ways to share a kind's LEDs on a panel out evenly (13 LEDs at most 4 in series: 4, 3, 3, 3) it takes the one of fewest
// strings, and so fewest parts, whose current stays within MaxChange of its nominal over the supply window, the spread of
// forward voltage, the range of temperature and the resistors' tolerance, and below the LED's maximum, and whose resistors stay
// as cool as Derating asks in a package that they may have; see longest for what gives way where none passes. The longest strings of a kind take the next resistor value above the
// calculated one; all other strings of that kind on the console then take the value that comes nearest to the current
// of those, at their own board's voltage, so that all light alike.
//
// Once ctx is done what it returns means nothing.
func Circuit(ctx context.Context, panels []panel.Panel, req led.Request) (c led.Circuit, l diag.List) {
	work.Until(ctx, func(w *work.Watch) { c, l = circuit(w, panels, req) })
	return c, l
}

func circuit(w *work.Watch, panels []panel.Panel, req led.Request) (led.Circuit, diag.List) {
	c := led.Circuit{Source: source(req), Boards: make([]led.Wiring, len(panels))}
	for i, p := range panels {
		c.Boards[i].Panel = p.Name
	}
	findings := validate(req)
	if findings.HasErrors() {
		return c, findings
	}
	runs, more := chains(panels, req)
	findings = append(findings, more...)
	d := &design{req: req, source: c.Source}
	for _, p := range panels {
		b, l := plan(w, p, req)
		findings = append(findings, l...)
		d.boards = append(d.boards, b)
	}
	w.Look()
	c.Chains = links(runs, req)
	for i, groups := range d.conductors(c.Chains) {
		c.Boards[i].Groups, c.Boards[i].Across = groups, d.boards[i].ThroughOhms
	}
	findings = append(findings, d.empty()...)
	// The fuses are chosen once, by the currents without them; then their own resistance counts.
	for _, last := range [2]bool{false, true} {
		if c, more = d.estimate(c); more.HasErrors() {
			return c, append(findings, more...)
		}
		findings = append(findings, d.resistors()...)
		d.packages()
		for i, p := range panels {
			c.Boards[i] = d.boards[i].wiring(p, req, c.Boards[i].Groups)
			c.Boards[i].Unlit = d.boards[i].unlit
		}
		for _, b := range d.boards {
			c.Source.Need.Volts = max(c.Source.Need.Volts, b.need)
		}
		w.Look()
		if c, more = solve.Settle(c, req); more.HasErrors() {
			return c, append(findings, more...)
		}
		if !last {
			guard(c.Chains, req)
		}
	}
	return c, findings
}

// source returns the supply as the circuit has it, before anything is drawn from it.
func source(r led.Request) led.Source {
	return led.Source{
		Min: r.Supply.Min, Nominal: r.Supply.Nominal, Max: r.Supply.Max, Ohms: r.SupplyOhms, Battery: r.Battery,
		Ambient: r.Ambient, Rated: r.Rated, Others: slices.Clone(r.Others),
	}
}

// design is a console in the making.
type design struct {
	req    led.Request
	source led.Source
	boards []boardPlan
}

// boardPlan is the strings of one panel in the making.
type boardPlan struct {
	led.Settings
	strings []stringPlan
	unlit   bool      // there are LEDs, and no strings for them
	need    part.Volt // of the supply at least, where that is why
}

// needs notes that the board's LEDs would want the supply to have v.
func (b *boardPlan) needs(v part.Volt) {
	b.need = max(b.need, part.Volt(math.Ceil(float64(v*10)-1e-9)/10))
}

// roomFor is the voltage that n LEDs in series want at the current i, with enough for a resistor to rule it.
func roomFor(n int, k part.LED, d part.Diode, i part.Amp) part.Volt {
	return part.Volt(math.Ceil(float64(float64(n)*float64(d.Volts(i))*headroom) + 0.5))
}

// stringPlan is a string in the making.
type stringPlan struct {
	holes     []int // of the panel, anode end first
	kind      part.LED
	diode     part.Diode
	group     int // of Request.Groups; -1: none
	conductor int // of the board's
	target    part.Amp
	volts     float64 // across it and its resistor, estimated
	ohms      part.Ohm
	body      string // of its resistor: names a footprint
}

// load returns the string for the solver: tolerance and drop are -1, 0 or 1, and a low value of either draws more current.
func (s stringPlan) load(src led.Source, tol float64, tolerance, drop int) solve.String {
	return solve.String{
		LEDs:  len(s.holes),
		Diode: src.Cornered(s.kind, s.diode, drop),
		Ohms:  float64(s.ohms) * (1 + float64(tol*float64(tolerance))),
	}
}

// plan groups the panel's LEDs into strings.
func plan(w *work.Watch, p panel.Panel, r led.Request) (boardPlan, diag.List) {
	s := r.For(p.Name)
	b := boardPlan{Settings: s}
	l := check(s)
	if len(p.LEDs) == 0 {
		l.Add(diag.Error, "led-none", "panel %s has no LED", p.Name).Of(p.Name).InsteadOf("panel-no-leds").
			Fix("draw a circle for each LED on the LED layer, or take the panel out of the project")
	}
	if len(p.LEDs) > maxLEDs {
		l.Add(diag.Error, "led-too-many", "panel %s has %d LEDs, more than the %d that are planned for", p.Name, len(p.LEDs), maxLEDs).Of(p.Name).
			Fix("split the panel, or look whether the LED layer holds something else")
	}
	if b.unlit = l.HasErrors() && len(p.LEDs) > 0; l.HasErrors() {
		return b, l
	}
	kinds, of, more := kindsOf(p, s, r)
	l = append(l, more...)
	if l.HasErrors() {
		b.unlit = true
		return b, l
	}
	blocks := group.Blocks(p)
	words := wordsOf(p)
	several := len(kinds) > 1
	for i, k := range kinds {
		diode, off := part.Fit(k)
		const noDiode = 0.1 // of the forward voltage: data sheets' curves are drawn more exactly
		if off > noDiode*k.Curve[0].V {
			l.Add(diag.Warning, "led-curve", "the voltages told of %s at its currents do not belong to one LED: the nearest that an LED could have is up to %v away, so its current is a guess", k.Name, off).
				About("leds", diag.PanelKey(p.Name, "led"), "defaults.led").Of(p.Name).
				Fix("check the voltages and currents of the kind against its data sheet")
		}
		s := s.Of(k.Name)
		parts := parted(p, k.Name, func(h int) bool { return of[h] == i }, r)
		several = several || len(parts) > 1
		for _, part := range parts {
			pts := make([]geom.Pt, len(part.holes))
			for n, h := range part.holes {
				pts[n] = p.LEDs[h].At
			}
			length, more := longest(r, k, diode, s, len(pts))
			l = append(l, more...)
			if more.HasErrors() {
				if n := max(s.StringLength, 1); s.Current <= k.IMax {
					b.needs(roomFor(n, k, diode, s.Current))
				}
				break
			}
			lit := make([]int, len(pts))
			for n, h := range part.holes {
				lit[n] = words[h]
			}
			for _, path := range group.Apart(w, group.Strings(w, pts, length, blocks), pts, lit, blocks) {
				str := stringPlan{kind: k, diode: diode, target: s.Current, group: part.group}
				for _, q := range path {
					str.holes = append(str.holes, part.holes[q])
				}
				b.strings = append(b.strings, str)
			}
		}
	}
	if l.HasErrors() {
		b.strings, b.unlit = nil, true
	}
	if several {
		b.sort(p)
	}
	return b, l
}

// share is those of a panel's LEDs of a kind that are dimmed together.
type share struct {
	group int // of Request.Groups; -1: none
	holes []int
}

// parted shares LEDs of a kind out to the groups that they belong to, by the first of each.
func parted(p panel.Panel, kind string, is func(h int) bool, r led.Request) []share {
	var out []share
	for h := range p.LEDs {
		if !is(h) {
			continue
		}
		g := groupOf(p.Name, kind, p.LEDs[h].Window, r)
		k := slices.IndexFunc(out, func(s share) bool { return s.group == g })
		if k < 0 {
			k, out = len(out), append(out, share{group: g})
		}
		out[k].holes = append(out[k].holes, h)
	}
	return out
}

// sort puts strings of several kinds in reading order together.
func (b *boardPlan) sort(p panel.Panel) {
	paths := make([][]int, len(b.strings))
	of := map[int]stringPlan{}
	for i, s := range b.strings {
		paths[i] = s.holes
		of[s.holes[0]] = s
	}
	pts := make([]geom.Pt, len(p.LEDs))
	for i, h := range p.LEDs {
		pts[i] = h.At
	}
	for i, path := range group.ReadingOrder(paths, pts) {
		b.strings[i] = of[path[0]]
	}
}

// kindsOf returns the kinds of LED on the panel in the order of their first hole, and which of them each hole has.
func kindsOf(p panel.Panel, s led.Settings, r led.Request) (kinds []part.LED, of []int, l diag.List) {
	of = make([]int, len(p.LEDs))
	told := map[string]bool{}
	for h, hole := range p.LEDs {
		k, ok := kindFor(hole, s, r)
		if !ok {
			if !told[hole.Kind] {
				told[hole.Kind] = true
				l.Add(diag.Error, "led-unknown-kind", "no kind of LED is called %q", hole.Kind).
					About("leds").Of(p.Name).At(hole.At.X.MM(), hole.At.Y.MM()).
					Fix("%s", kindAdvice(hole.Kind, r))
			}
			continue
		}
		i := slices.IndexFunc(kinds, func(o part.LED) bool { return o.Name == k.Name })
		if i < 0 {
			k = k.Completed()
			if err := k.Check(); err != nil {
				l.Add(diag.Error, "led-kind", "%v", err).
					About("leds", diag.PanelKey(p.Name, "led"), "defaults.led").Of(p.Name).Fix("correct the kind after its data sheet")
			}
			kinds = append(kinds, k)
			i = len(kinds) - 1
		}
		of[h] = i
	}
	return kinds, of, l
}

func kindAdvice(name string, r led.Request) string {
	var names []string
	for _, k := range r.Kinds {
		names = append(names, k.Name)
	}
	for _, k := range part.Kinds() {
		names = append(names, k.Name)
	}
	if n, ok := diag.Nearest(name, names); ok {
		return "did you mean " + n + "? Kinds of your own can be described in the project file"
	}
	return "use a kind of the catalogue, for example red-3mm, or describe your own in the project file"
}
