// Package expect says what a meter shows while a console is put together: before there is power, with one board alone on a supply
// that limits its current, and as board after board is added to the feed.
//
// In goes a led.Circuit that was solved, out come figures, each as its usual value and the least and the most that the tolerances of
// supply, resistors and LEDs allow. Each comes from led/solve: a board on the bench is a circuit of its own, and so is a console with
// its first boards.
package expect

import (
	"fmt"
	"math"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/led/solve"
	"lampblack/panel/geom"
)

// Span is what a meter shows: usually, and at the least and the most with parts that are good.
type Span struct{ Least, Usual, Most float64 }

// On the bench.
const (
	// SetWithin is how near a supply can be set by its own meter, as a share: 1 % (common practice for small laboratory supplies).
	SetWithin = 0.01
	// LeadOhms is the resistance of each of the two leads to the board: 1 m of 0.5 mm² with its clips, about 39 mΩ by IEC 60228
	// class 5, and as much again for contacts (common practice).
	LeadOhms part.Ohm = 0.05
	// limitStep is how finely a current limit can be set.
	limitStep = 5 * part.MilliAmp
)

// room is the temperature of a room in which people solder: common practice.
func room() led.Celsius { return led.Celsius{Min: 15, Nominal: 22, Max: 30} }

// Board is what a board shows.
type Board struct {
	Panel   string
	Supply  part.Volt // to be set
	Limit   part.Amp  // of its current
	Amps    Span      // that it takes
	In, Out Span      // V across its connectors; Out with nothing plugged on
	Strings []String
}

// String is what a string shows.
type String struct {
	Name     string
	Group    string // empty: none
	Resistor string
	LEDs     []string // from the supply on
	Kind     part.LED
	Ohms     Span // of the resistor in its place, without power
	Amps     Span
	Drop     Span // V across the resistor
	Lit      Span // V across each LED; Usual is that of all alike
}

// Bench returns a board of the circuit alone on a bench: a supply set to the voltage of the console's, two short leads, room
// temperature, all groups on.
func Bench(c led.Circuit, name string) (led.Circuit, bool) {
	for _, w := range c.Boards {
		if w.Panel != name || len(w.Strings) == 0 {
			continue
		}
		v := c.Source.Nominal
		return led.Circuit{
			Source: led.Source{Min: v * (1 - SetWithin), Nominal: v, Max: v * (1 + SetWithin), Ambient: room(), Rated: c.Source.Rated},
			Chains: []led.Chain{{Links: []led.Link{{Panel: name, Feed: led.Feed{Ohms: LeadOhms, Length: 1000 * geom.Millimetre, Wire: "test lead"}}}}},
			Boards: []led.Wiring{w},
		}, true
	}
	return led.Circuit{}, false
}

// OnBench returns what a board shows there; ok is false for one without strings, and where it has no operating point.
func OnBench(c led.Circuit, name string) (b Board, ok bool) {
	bench, ok := Bench(c, name)
	if !ok {
		return b, false
	}
	settled, l := solve.Settle(bench, led.Usual())
	if l.HasErrors() {
		return b, false
	}
	k := solve.Ready(settled)
	w := settled.Boards[0]
	amps, ok := ampsOf(k)
	if !ok {
		return b, false
	}
	b = Board{Panel: name, Supply: settled.Source.Nominal, Amps: amps, Limit: limit(part.Amp(amps.Most))}
	out := make([]Span, k.Taps())
	for tap := range out {
		if out[tap], ok = voltsAt(k, tap); !ok {
			return b, false
		}
	}
	// No conductor sees less than the one that drops most; of conductors without LEDs nothing is lost.
	b.Out = out[0]
	for _, s := range out[1:] {
		b.Out = Span{min(b.Out.Least, s.Least), min(b.Out.Usual, s.Usual), min(b.Out.Most, s.Most)}
	}
	lost := func(e part.Volt, i float64) float64 { return float64(e) - 2*float64(LeadOhms)*i }
	src := settled.Source
	b.In = Span{lost(src.Min, amps.Most), lost(src.Nominal, amps.Usual), lost(src.Max, amps.Least)}
	if w.Grouped() { // each conductor has a lead of its own
		b.In = Span{max(b.In.Least, b.Out.Least), max(b.In.Usual, b.Out.Usual), max(b.In.Most, b.Out.Most)}
	}
	for i, s := range w.Strings {
		b.Strings = append(b.Strings, stringOf(src, w, i, s, out[w.FedBy(led.StringID(i))]))
	}
	return b, true
}

// limit is a current limit that good boards stay below, and at which nothing of a bad one gets hot.
func limit(most part.Amp) part.Amp {
	return part.Amp(math.Ceil(float64(most*1.1/limitStep)-1e-9)) * limitStep
}

// stringOf returns what string i shows between the voltages across its conductor.
func stringOf(src led.Source, w led.Wiring, i int, s led.String, across Span) String {
	r := w.Resistors[s.Resistor]
	d, _ := part.Fit(w.LEDs[s.LEDs[0]].Kind)
	out := String{Name: fmt.Sprintf("S%d", i+1), Resistor: r.Ref, Kind: w.LEDs[s.LEDs[0]].Kind,
		Ohms: Span{float64(r.Ohms) * (1 - r.Tol), float64(r.Ohms), float64(r.Ohms) * (1 + r.Tol)},
		Amps: Span{float64(s.Min), float64(s.Nominal), float64(s.Max)},
	}
	if w.Grouped() {
		out.Group = w.Groups[w.FedBy(led.StringID(i))].Name
	}
	for _, n := range s.LEDs {
		out.LEDs = append(out.LEDs, w.LEDs[n].Ref)
	}
	n := float64(len(s.LEDs))
	drop := func(v float64, tol, forward int) float64 {
		ohms := out.Ohms.Usual * (1 + float64(tol)*r.Tol)
		amps, _ := solve.String{LEDs: len(s.LEDs), Diode: src.Cornered(out.Kind, d, forward), Ohms: ohms}.At(v)
		return amps * ohms
	}
	// A greater resistance takes a greater share of the voltage.
	out.Drop = Span{drop(across.Least, -1, 1), drop(across.Usual, 0, 0), drop(across.Most, 1, -1)}
	out.Lit = Span{
		(across.Least - drop(across.Least, 1, -1)) / n,
		(across.Usual - out.Drop.Usual) / n,
		(across.Most - drop(across.Most, -1, 1)) / n,
	}
	return out
}
