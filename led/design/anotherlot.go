package design

import (
	"math"

	"lampblack/led"
	"lampblack/led/part"
)

// AnotherLot is the resistors of a string for LEDs of a lot that is so many times as bright as the one that it was reckoned for.
type AnotherLot struct {
	Panel, Kind string
	LEDs        int        // in the string
	Ohms        part.Ohm   // as built
	For         []part.Ohm // for each of the ratios; 0: such LEDs would not look alike any more, or not stand it
}

// AnotherLots returns them for each panel, kind and length of string, in the strings' order. A string's own resistor and current tell
// the voltage that arrives, and light goes with the current.
func AnotherLots(c led.Circuit, req led.Request, ratios []float64) []AnotherLot {
	var out []AnotherLot
	type same struct {
		panel, kind string
		leds        int
	}
	told := map[same]bool{}
	for _, w := range c.Boards {
		set := req.For(w.Panel)
		for _, s := range w.Strings {
			if len(s.LEDs) == 0 || s.Nominal <= 0 {
				continue
			}
			kind := w.LEDs[s.LEDs[0]].Kind.Completed()
			k := same{w.Panel, kind.Name, len(s.LEDs)}
			if told[k] {
				continue
			}
			told[k] = true
			one := AnotherLot{Panel: w.Panel, Kind: kind.Name, LEDs: len(s.LEDs), Ohms: w.Resistors[s.Resistor].Ohms}
			d := c.Source.Diode(kind)
			across := func(i part.Amp) part.Volt { return part.Volt(float64(len(s.LEDs)) * float64(d.Volts(i))) }
			volts := one.Ohms.Times(s.Nominal) + across(s.Nominal)
			stands := part.Amp(usable * float64(min(kind.IMax, kind.Stands(c.Source.Ambient.Max))))
			for _, r := range ratios {
				i := part.Amp(float64(s.Nominal) / r)
				if i < kind.Matches || i > stands {
					one.For = append(one.For, 0)
					continue
				}
				one.For = append(one.For, nearest(set.Series, (volts-across(i)).Over(i)))
			}
			out = append(out, one)
		}
	}
	return out
}

// nearest returns the value of a series that is nearest to a resistance, as ratios go; 0 without one.
func nearest(series part.Series, want part.Ohm) part.Ohm {
	if !(want >= 1) {
		return 0
	}
	up, down := series.Up(want), series.Down(want)
	if math.Abs(math.Log(float64(up/want))) < math.Abs(math.Log(float64(down/want))) {
		return up
	}
	return down
}
