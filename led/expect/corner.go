package expect

import (
	"lampblack/led/part"
	"lampblack/led/solve"
)

// corner is one set of extremes, -1 low, 0 as it should be, 1 high: of the supply, and of resistance and forward voltage together.
type corner struct{ volts, parts int }

// at returns the operating point in a corner.
func at(k *solve.Console, c corner) (solve.Point, bool) {
	loads := make([][]solve.Branch, k.Taps())
	for _, x := range k.Classes {
		s := solve.String{LEDs: x.LEDs, Diode: k.Source.Cornered(x.Kind, x.Diode, c.parts), Ohms: float64(x.Ohms) * (1 + float64(x.Tol*float64(c.parts)))}
		loads[x.Tap] = append(loads[x.Tap], s.Branch(len(x.Members)))
	}
	e := [3]part.Volt{k.Source.Min, k.Source.Nominal, k.Source.Max}[c.volts+1]
	p, err := k.Solver().Find(float64(e), loads, nil)
	return p, err == nil
}

// spanned returns a figure in the corner where it is least, as it should be, and where it is most. The network is monotone (see
// solve.Settle), so that extremes are those of corners.
func spanned(k *solve.Console, least, most corner, figure func(solve.Point) float64) (s Span, ok bool) {
	for _, one := range []struct {
		c  corner
		to *float64
	}{{least, &s.Least}, {corner{}, &s.Usual}, {most, &s.Most}} {
		p, ok := at(k, one.c)
		if !ok {
			return s, false
		}
		*one.to = figure(p)
	}
	return s, true
}

// ampsOf returns what all strings draw.
func ampsOf(k *solve.Console) (Span, bool) {
	return spanned(k, corner{-1, 1}, corner{1, -1}, func(p solve.Point) float64 { return float64(k.Drawn(p)) })
}

// voltsAt returns the voltage across a tap: least where the supply is low and all draw most.
func voltsAt(k *solve.Console, tap int) (Span, bool) {
	return spanned(k, corner{-1, -1}, corner{1, 1}, func(p solve.Point) float64 { return k.Across(p, tap) })
}
