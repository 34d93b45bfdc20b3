// Package chance tells how a console comes out when it is built many times from parts drawn by chance.
//
// In goes a circuit whose parts are chosen, out come percentiles of its light and of the supply's load; the same seed gives the
// same result on any number of cores.
package chance

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/led/solve"
	"lampblack/panel/work"
)

// Spread builds the circuit the given number of times from parts drawn by chance, and tells how the results spread. The
// same seed gives the same result, whatever the number of cores.
//
// Drawn are, for each console, the supply's voltage and the temperature, evenly over their ranges; each resistor, evenly
// within its tolerance; and the forward voltage of each LED, between its limits with the typical value the most likely
// (triangular). Sorting of LEDs by brightness is not in it: data sheets leave it a factor of two and more, within one bag
// it is little. Its error is that of the first console without an operating point, or ctx's.
func Spread(ctx context.Context, c led.Circuit, req led.Request, seed uint64, consoles int) (led.Spread, error) {
	k := solve.Ready(c)
	out := led.Spread{Seed: seed, Consoles: consoles}
	near, err := k.Nominal()
	if err != nil {
		return out, err
	}
	var lots []lot
	wanted := make([]float64, len(c.Boards))
	for _, x := range k.Classes {
		for _, m := range x.Members {
			lots = append(lots, lotOf(x, m))
		}
	}
	for b, w := range c.Boards {
		wanted[b] = float64(w.Asked(req))
	}
	built, err := build(ctx, trial{k: k, lots: lots, near: near}, wanted, seed, consoles)
	if err != nil {
		return out, err
	}
	for b, w := range c.Boards {
		out.Panels = append(out.Panels, led.PanelSpread{Panel: w.Panel, Light: percentiles(built.light[b])})
	}
	out.Evenness, out.Demand = percentiles(built.even), percentiles(built.demand)
	return out, nil
}

// built are figures of many consoles.
type built struct {
	light        [][]float64 // by board: LED current relative to what was asked for
	even, demand []float64
}

// build builds the consoles side by side; t is what each worker starts from.
func build(ctx context.Context, t trial, wanted []float64, seed uint64, consoles int) (built, error) {
	out := built{make([][]float64, len(wanted)), make([]float64, consoles), make([]float64, consoles)}
	for b := range out.light {
		out.light[b] = make([]float64, consoles)
	}
	errs := make([]error, consoles)
	work.Bands(consoles, func(from, to int) {
		t := t
		t.solver = t.k.Solver()
		for i := from; i < to && ctx.Err() == nil; i++ {
			if out.demand[i], errs[i] = t.run(rand.New(rand.NewPCG(seed, uint64(i)))); errs[i] != nil {
				return
			}
			dark, bright := math.Inf(1), 0.0
			for b := range out.light {
				if t.leds[b] == 0 {
					continue
				}
				x := t.sum[b] / t.leds[b] / wanted[b]
				out.light[b][i] = x
				dark, bright = min(dark, x), max(bright, x)
			}
			if bright > 0 {
				out.even[i] = dark / bright
			}
		}
	})
	for _, err := range append(errs, ctx.Err()) {
		if err != nil {
			return out, err
		}
	}
	return out, nil
}

// lot is a string whose parts are drawn by chance.
type lot struct {
	board, tap    int
	leds          float64
	diode         part.Diode
	logIS         float64
	ohms, tol     float64
	low, high     float64 // of one LED's forward voltage, relative to the typical
	tempco, slope float64
}

func lotOf(x solve.Class, m solve.Member) lot {
	typical := x.Kind.Curve[0].V
	return lot{
		board: m.Board, tap: x.Tap, leds: float64(x.LEDs), diode: x.Diode, logIS: math.Log(float64(x.Diode.IS)),
		ohms: float64(x.Ohms), tol: x.Tol,
		low: float64(x.Kind.VfMin - typical), high: float64(x.Kind.VfMax - typical), tempco: x.Kind.Tempco, slope: x.Diode.Slope(),
	}
}

// triangular returns a number from low (not above 0) to high (not below 0), 0 the most likely one, for u drawn evenly
// from 0 to 1.
func triangular(low, high, u float64) float64 {
	width := high - low
	if width <= 0 {
		return 0
	}
	if u*width < -low {
		return low + math.Sqrt(u*width*-low)
	}
	return high - math.Sqrt((1-u)*width*high)
}

// trial builds consoles by chance.
type trial struct {
	k      *solve.Console
	solver solve.Solver
	lots   []lot
	near   solve.Point

	loads     [][]solve.Branch
	sum, leds []float64 // of each board: LED currents, and how many
}

// run builds one console and returns what it draws from the supply.
func (t *trial) run(rng *rand.Rand) (float64, error) {
	if t.loads == nil {
		t.loads = make([][]solve.Branch, t.k.Taps())
		t.sum, t.leds = make([]float64, len(t.k.Boards)), make([]float64, len(t.k.Boards))
	}
	src := t.k.Source
	between := func(a, b float64) float64 { return a + float64((b-a)*rng.Float64()) }
	e := between(float64(src.Min), float64(src.Max))
	warm := between(src.Ambient.Min, src.Ambient.Max) - part.VfCelsius
	for i := range t.loads {
		t.loads[i] = t.loads[i][:0]
	}
	for _, l := range t.lots {
		shift := float64(l.leds * l.tempco * warm)
		for range int(l.leds) {
			shift += triangular(l.low, l.high, rng.Float64())
		}
		// All LEDs of the string are given the mean of its shifts, which changes nothing at its ends.
		logIS := l.logIS - shift/l.leds/l.slope
		b := solve.Diodes(l.ohms*between(1-l.tol, 1+l.tol)+float64(l.leds*float64(l.diode.RS)), float64(l.leds*l.slope), logIS)
		t.loads[l.tap] = append(t.loads[l.tap], b)
	}
	p, err := t.solver.Find(e, t.loads, &t.near)
	if err != nil {
		return 0, err
	}
	clear(t.sum)
	clear(t.leds)
	total := float64(t.k.Others(p))
	at := make([]int, len(t.loads))
	for _, l := range t.lots {
		i, _ := t.loads[l.tap][at[l.tap]].At(t.k.Across(p, l.tap))
		at[l.tap]++
		total += i
		t.sum[l.board] += float64(l.leds * i)
		t.leds[l.board] += l.leds
	}
	return total, nil
}

// percentiles returns those of x, by the nearest rank; x is sorted.
func percentiles(x []float64) led.Percentiles {
	if len(x) == 0 {
		return led.Percentiles{}
	}
	slices.Sort(x)
	at := func(p float64) float64 { return x[max(0, int(math.Ceil(float64(p*float64(len(x)))))-1)] }
	return led.Percentiles{P5: at(0.05), P50: at(0.50), P95: at(0.95)}
}
