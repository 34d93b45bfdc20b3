// Package bright says how bright a console's lettering is to be, and what that asks of its LEDs and its dimmer.
//
// In go the levels that are wanted, in cd/m², and for each panel what the light does for each ampere in its LEDs (led/light tells
// it); out come the current of each panel and colour by which all words match, what a dimmer must span, how to check it with a
// camera, and findings. Luminances are those of the lettering in the mean, photopic, full on unless said.
package bright

import (
	"math"
	"strconv"
	"strings"

	"lampblack/led/part"
	"lampblack/panel/diag"
)

// Levels are what the lettering of a console is to have.
type Levels struct {
	Use   string  // that they are usual for; empty: they are the builder's own
	Night float64 // cd/m² that the dimmer goes down to; 0: there is no need to dim
	Full  float64 // cd/m² that it goes up to; 0: nothing is asked for
	Bits  int     // of the dimmer: it has 2^Bits-1 steps
}

// Any reports whether a level is asked for.
func (l Levels) Any() bool { return l.Full > 0 }

// Wish is what is asked for of a console: levels for all of its lettering, and other ones for what some groups of LEDs light.
type Wish struct {
	Levels
	Groups []GroupLevels
}

// GroupLevels are the levels of a group that has its own.
type GroupLevels struct {
	Group string
	Levels
}

// Any reports whether a level is asked for of any lettering.
func (w Wish) Any() bool { return w.Levels.Any() || len(w.Groups) > 0 }

// own returns the levels of a group that has its own.
func (w Wish) own(group string) (Levels, bool) {
	for _, g := range w.Groups {
		if g.Group == group {
			return g.Levels, true
		}
	}
	return Levels{}, false
}

// For returns the levels that are asked for of what a group lights; "" is the LEDs of none.
func (w Wish) For(group string) Levels {
	if l, ok := w.own(group); ok {
		return l
	}
	return w.Levels
}

// keys returns the project's keys of a group's levels, by their names in bright.
func (w Wish) keys(group string, names ...string) (out []string) {
	at := "bright"
	if _, ok := w.own(group); ok {
		at = diag.GroupKey(group, "bright")
	}
	for _, n := range names {
		out = append(out, at+"."+n)
	}
	return append(out, at)
}

// UsualBits are those of the simplest dimmers that are set by a program.
const UsualBits = 8

// Use is what a console is read for, with the levels that are usual for it.
type Use struct {
	Name        string
	Night, Full float64 // cd/m²
	Source      string
}

// What levels for the day are reckoned from: the light on panels in a lit room (NUREG-0700 rev. 3, references.md section 22), what
// black paint sends back of it (matt black, from memory), and a contrast of 6:1, better 10:1 (the same norm, of screens).
const (
	litRoom    = 538 // lx
	blackPaint = 0.05
	contrast   = 6
	better     = 10
)

// Uses returns the uses that are known, the darkest first. The limits for "bright enough" differ by two orders of magnitude, so
// each says for whom.
func Uses() []Use {
	ground := float64(litRoom * blackPaint / math.Pi)
	return []Use{
		{"night-adapted desk", 0.04 * part.FootLambert, 3.5,
			"night: above 0.04 ft-L red-lit dials are read no better (US Navy trials, 1951); full: below 3.5 cd/m² around them digits want light of their own (MIL-STD-1472E), and legends of lit panels have about as much (1 ft-L, MIL-DTL-7788, from memory)"},
		{"dim room", 1 * part.FootLambert, 20,
			"night: legends of lit panels, 1 ft-L (MIL-DTL-7788, from memory); full: screens in the dark are comfortable from about 20 cd/m² on (Mantiuk and others, 2009)"},
		{"day", contrast * ground, better * ground,
			"6 and 10 times what black paint that sends 5 % back (from memory) shows in a room of 538 lx: light and contrast of NUREG-0700 rev. 3"},
	}
}

// suits says that a level is usual for the use.
func (u Use) suits() string {
	if u.Name == "day" {
		return "is for reading by day"
	}
	return "suits a " + u.Name
}

// UseOf returns the use of that name.
func UseOf(name string) (Use, bool) {
	for _, u := range Uses() {
		if strings.EqualFold(u.Name, name) {
			return u, true
		}
	}
	return Use{}, false
}

// Suits returns the use whose full level is nearest to a luminance, as ratios go.
func Suits(level float64) Use {
	all := Uses()
	best := all[0]
	for _, u := range all[1:] {
		if level*level > best.Full*u.Full {
			best = u
		}
	}
	return best
}

// Exposure returns for how many seconds a camera is to be exposed, at f-number n and an ISO speed, so that a luminance comes out
// mid grey: 12.5·n²/(L·ISO), 12.5 being what makers of cameras set their meters by (references.md section 22, the constant from
// memory).
func Exposure(level, n, iso float64) float64 {
	const constant = 12.5
	return constant * n * n / (level * iso)
}

// Shown writes a luminance in two digits, as it is told: light is known no better.
func Shown(level float64) string {
	if level <= 0 || math.IsInf(level, 0) {
		return "0"
	}
	const digits = 2
	k := digits - 1 - int(math.Floor(math.Log10(level)))
	by := math.Pow10(k)
	v := math.Round(level*by) / by
	return strconv.FormatFloat(v, 'f', -1, 64)
}
