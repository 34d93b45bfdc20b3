package led

import (
	"fmt"

	"lampblack/led/part"
)

// Source is the supply as the project states it, and what the console asks of it.
type Source struct {
	Min, Nominal, Max part.Volt // without load
	Ohms              part.Ohm  // inside the supply; what it drops comes on top of the window
	Battery           Battery   // zero when it is none
	Ambient           Celsius   // of all LEDs
	Rated             part.Amp  // what it can deliver
	Others            []Load    // what else it feeds
	Steps             []Step    // of Others, where the supply has a resistance

	Typical, Worst part.Amp  // drawn by all boards, without Other; Typical is the mean of dimmed groups, Worst all of them full on
	Peak           part.Amp  // as Typical, while all groups are on
	Other          part.Amp  // drawn by Others at the nominal operating point
	Demand         part.Amp  // the most that boards and Others ask for together
	Volts          part.Volt // nominal, at its terminals under load
	Verdict        Verdict
	Need           Need // where there is no verdict

	// Breakdown is the voltage at its terminals below which loads of fixed power bring the supply down; 0 where none can.
	Breakdown part.Volt
}

// Celsius is a range of temperatures in °C.
type Celsius struct{ Min, Nominal, Max float64 }

// Load is something else on the supply: it takes Amps at any voltage, Watts at any voltage (a converter), or has Ohms. Only
// one of the three is set.
type Load struct {
	Name  string
	Amps  part.Amp
	Watts part.Watt
	Ohms  part.Ohm

	Inrush part.Amp // for a moment when it is switched on; 0: not known
}

// Step is what switching on another load does while all else is on: volts at the supply's terminals before, after and, where
// its inrush is known, during that; light relative to before.
type Step struct {
	Name                  string
	Before, After, Inrush part.Volt
	Light, InrushLight    float64
	Momentary             bool // its inrush is known, so that Inrush and InrushLight are
}

// SwitchOn returns the most that boards and other loads ask for when all is switched on at once, with the inrush of the loads
// that tell it; ok is false where none does. The boards ask for what they ask for at worst and no more: they hold resistors and LEDs,
// nothing that is to be charged first.
func (s Source) SwitchOn() (all, inrush part.Amp, ok bool) {
	all = s.Worst
	for _, o := range s.Others {
		if o.Inrush > 0 {
			inrush += o.Inrush
			all += max(o.Inrush, o.At(s.Volts))
		} else {
			all += o.At(s.Volts)
		}
	}
	return all, inrush, inrush > 0
}

// At returns what the load draws at voltage v.
func (l Load) At(v part.Volt) part.Amp {
	i := l.Amps
	if l.Watts > 0 && v > 0 {
		i += part.Amp(float64(l.Watts) / float64(v))
	}
	if l.Ohms > 0 {
		i += v.Through(l.Ohms)
	}
	return i
}

// Verdict says whether the supply carries the console.
type Verdict uint8

const (
	None  Verdict = iota // nothing can be said: no operating point, or LEDs that no string could be made for
	OK                   // up to 80 % of the rating (common practice)
	Tight                // above that, up to the rating
	Over                 // above the rating
)

// OKShare is the part of a supply's rating up to which a load is called good (common practice).
const OKShare = 0.80

// VerdictOf judges the supply by the worst load, not the typical one: it must not brown out in any corner.
func VerdictOf(demand, rated part.Amp) Verdict {
	switch {
	case float64(demand) > float64(rated):
		return Over
	case float64(demand) > OKShare*float64(rated):
		return Tight
	}
	return OK
}

// String returns the verdict as result.json has it.
func (v Verdict) String() string { return [...]string{"none", "ok", "tight", "over"}[v] }

// Diode returns the model of a kind at the nominal temperature.
func (s Source) Diode(k part.LED) part.Diode {
	d, _ := part.Fit(k)
	return s.Cornered(k, d, 0)
}

// Cornered returns a kind's diode, as part.Fit has it, at the low end (-1), the middle (0) or the high end (1) of its forward
// voltage: over its spread and the range of temperature together.
func (s Source) Cornered(k part.LED, d part.Diode, drop int) part.Diode {
	by := func(celsius float64) part.Volt { return part.Volt(k.Tempco * (celsius - part.VfCelsius)) }
	switch drop {
	case -1:
		return d.Shifted(k.VfMin - k.Curve[0].V + min(by(s.Ambient.Min), by(s.Ambient.Max)))
	case 1:
		return d.Shifted(k.VfMax - k.Curve[0].V + max(by(s.Ambient.Min), by(s.Ambient.Max)))
	}
	if shift := by(s.Ambient.Nominal); shift != 0 {
		return d.Shifted(shift)
	}
	return d
}

// Dimmed reports whether the boards' current in the mean is another than while all groups are on.
func (s Source) Dimmed() bool { return float64(s.Peak-s.Typical) > 1e-3*float64(s.Peak) }

// Sentence says in one sentence whether the supply carries the console.
func (s Source) Sentence() string {
	if s.Verdict == None {
		return s.Need.Sentence()
	}
	load := fmt.Sprintf("%v usually and %v at worst", (s.Typical + s.Other).Rounded(), s.Demand.Rounded())
	if s.Dimmed() {
		load = fmt.Sprintf("%v in the mean of dimming, %v while all groups are on, and %v at worst", (s.Typical + s.Other).Rounded(),
			(s.Peak + s.Other).Rounded(), s.Demand.Rounded())
	}
	if s.Other > 0 {
		load += fmt.Sprintf(", of it %v for other loads", s.Other.Rounded())
	}
	spare := (s.Rated - s.Demand).Rounded()
	switch s.Verdict {
	case Over:
		return fmt.Sprintf("The supply of %v is too small: it is asked for %s.", s.Rated, load)
	case Tight:
		return fmt.Sprintf("The supply of %v just carries the console: it is asked for %s, which leaves %v.", s.Rated, load, spare)
	}
	return fmt.Sprintf("The supply of %v carries the console well: it is asked for %s, which leaves %v.", s.Rated, load, spare)
}
