package solve

import (
	"math"
	"slices"

	"lampblack/led"
	"lampblack/led/part"
)

// breakdown returns the voltage at the supply's terminals below which loads of fixed power bring it down, in the nominal case;
// 0 where there are none or where the supply holds its voltage.
//
// At V volts a source of E volts behind R ohms has V·((E-V)/R - I(V)) left for loads of fixed power, where I(V) is what all
// other loads draw. That rises to its greatest value and falls again; where it equals the power asked for are the operating
// points, an unstable one below the voltage of that value and the one that the supply comes to above it. I(V) is convex, so
// that there is one greatest value, which the golden section search finds (Kiefer, "Sequential minimax search for a maximum",
// Proc. AMS 4, 1953).
func breakdown(c *led.Circuit) (part.Volt, error) {
	src := c.Source
	if src.Ohms <= 0 || !slices.ContainsFunc(src.Others, func(l led.Load) bool { return l.Watts > 0 }) {
		return 0, nil
	}
	stiff := *c
	stiff.Source.Ohms = 0
	k := build(&stiff)
	k.sort()
	loads := k.loads(corner{})
	left := func(v float64) (float64, error) {
		p := Point{e: v, loads: loads}
		var err error
		if p.v, err = k.solver.solve(v, loads, nil); err != nil {
			return 0, err
		}
		i := float64(k.Drawn(p))
		for _, l := range src.Others {
			if l.Watts == 0 {
				i += float64(l.At(part.Volt(v)))
			}
		}
		return v * ((float64(src.Nominal)-v)/float64(src.Ohms) - i), nil
	}
	const golden = 0.6180339887498949
	// 40 steps leave less than a hundred-millionth.
	lo, hi := 0.0, float64(src.Nominal)
	a, b := hi-float64(golden*(hi-lo)), lo+float64(golden*(hi-lo))
	at, err := left(a)
	if err != nil {
		return 0, err
	}
	bt, err := left(b)
	if err != nil {
		return 0, err
	}
	for range 40 {
		if at > bt {
			hi, b, bt = b, a, at
			a = hi - float64(golden*(hi-lo))
			at, err = left(a)
		} else {
			lo, a, at = a, b, bt
			b = lo + float64(golden*(hi-lo))
			bt, err = left(b)
		}
		if err != nil {
			return 0, err
		}
	}
	return part.Volt(math.Min((lo+hi)/2, float64(src.Volts))), nil
}
