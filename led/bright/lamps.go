package bright

import (
	"slices"

	"lampblack/led/part"
)

// Lamps are the LEDs of one colour on a panel, and what they do for the words that are theirs.
type Lamps struct {
	Panel, Colour string
	Kinds         []string // of that colour
	Group         string   // that they are dimmed with; empty: with all that no group names
	LEDs          int
	PerAmp        float64  // cd/m² for each ampere in each of them
	Least         part.Amp // at which LEDs of one lot still look alike
	Most          part.Amp // that they are given: their greatest current where it is warmest, less a fifth
	Own           part.Amp // that the panel names itself; 0: it is chosen
	Amps          part.Amp // in each of them
}

// rounding is by how much a resistor of the series E24 may come out above the exact one: the least current is asked for with that
// much more, so that it is kept.
const rounding = 1.1

// usable is the part of an LED's greatest current that it is given, as parts are derated by common practice.
const usable = 0.8

// Limits returns the least and the greatest current of LEDs of all these kinds, where the console is warmest, °C.
func Limits(kinds []part.LED, hot float64) (least, most part.Amp) {
	for i, k := range kinds {
		stands := part.Amp(usable * float64(min(k.IMax, k.Stands(hot))))
		if least = max(least, k.Matches); i == 0 || stands < most {
			most = stands
		}
	}
	return least, max(most, 0)
}

// Level returns the luminance of their words, full on.
func (l Lamps) Level() float64 { return l.PerAmp * float64(l.Amps) }

// For returns the current by which their words would have a luminance, whatever the LEDs stand.
func (l Lamps) For(level float64) part.Amp {
	if l.PerAmp <= 0 {
		return 0
	}
	return part.Amp(level / l.PerAmp)
}

// Chosen returns the lamps with their currents: so that all that are dimmed together match, at the level asked for or, where LEDs of
// one of the panels would no longer look alike then, at the least level at which all do, and the dimmer takes the rest. What a panel
// names itself stays as it is and rules no other panel; of what nothing is asked no current is chosen. Currents are whole hundredths of a
// milliampere.
func Chosen(all []Lamps, want Wish) []Lamps {
	out := slices.Clone(all)
	for i := range out {
		l := &out[i]
		if l.Own > 0 {
			l.Amps = l.Own
			continue
		}
		if full := want.For(l.Group).Full; full > 0 {
			l.Amps = l.within(l.For(shared(all, l.Group, full)))
		}
	}
	return out
}

// within bounds a current by what the LEDs match at and stand.
func (l Lamps) within(i part.Amp) part.Amp {
	const hundredth = 1e5 // of a milliampere
	i = min(max(i, l.Least), max(l.Most, 0))
	return part.Amp(float64(int64(float64(i*hundredth)+0.5)) / hundredth)
}

// shared returns the level that the lamps of a group can have together: full, or more where that is too little for LEDs to match.
func shared(all []Lamps, group string, full float64) float64 {
	level := full
	for _, l := range all {
		if l.Group == group && l.Own == 0 {
			level = max(level, float64(l.PerAmp*float64(l.Least)*rounding))
		}
	}
	return level
}

// Groups returns the groups of lamps in the order in which they first come.
func Groups(all []Lamps) []string {
	var out []string
	for _, l := range all {
		if !slices.Contains(out, l.Group) {
			out = append(out, l.Group)
		}
	}
	return out
}

// Of returns the lamps of a group that shine.
func Of(all []Lamps, group string) []Lamps {
	return slices.DeleteFunc(slices.Clone(all), func(l Lamps) bool { return l.Group != group || !(l.Level() > 0) })
}
