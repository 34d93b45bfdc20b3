package design

import (
	"fmt"
	"slices"
	"strconv"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/led/solve"
	"lampblack/panel/diag"
)

// What is advised: usable is the part of an LED's greatest current, as parts are derated by common practice; headroom is how
// many times the forward voltage a supply has for the resistor to rule the current, and half a volt beside.
const usable, headroom = 0.8, 1.3

// longest returns how many LEDs a string of the panel has at most, where it has count of the kind.
//
// Every way to share them out evenly is tried. The best breaks the gravest limits least: a resistor beyond the rating of its
// largest package (an error); a current far below what was asked for, since a corner would pass what the LED stands; one that
// falls below half or rises above double; a resistor warmer than is good for long; a current that is lowered at all, or changes
// by more than MaxChange. Of equals the one with fewest strings wins. What a dead short of one LED does to the others is told by led/judge
// and does not count here: it would double the parts of many boards for a fault that is rare.
func longest(r led.Request, k part.LED, d part.Diode, s led.Settings, count int) (int, diag.List) {
	var l diag.List
	i := s.Current
	if i > k.IMax {
		l.Add(diag.Error, "led-current-above-maximum", "%v is more than a %s stands: at most %v", i, k.Name, k.IMax).
			About(diag.PanelKey(s.Panel, "current"), "defaults.current").Of(s.Panel).
			Fix("ask for at most %v, which leaves room for a supply and parts that are not exact", part.Amp(usable*float64(k.IMax))).
			By("ask for "+part.Amp(usable*float64(k.IMax)).String(), diag.Set, diag.PanelKey(s.Panel, "current"), part.Amp(usable*float64(k.IMax)).String())
		return 0, l
	}
	vf := d.Volts(i)
	if _, ok := broken(r, k, d, s, 1); !ok {
		l.Add(diag.Error, "led-supply-below-vf", "%v cannot light a %s: it needs %v at %v, and its resistor something too", r.Supply.Nominal, k.Name, vf, i).
			About("supply.volts").Of(s.Panel).
			Fix("use a supply of %v or more, or an LED of lower forward voltage", roomFor(1, k, d, i)).
			By("take a supply of "+roomFor(1, k, d, i).String(), diag.Set, "supply.volts", roomFor(1, k, d, i).String())
		return 0, l
	}
	if n := s.StringLength; n > 0 {
		if _, ok := broken(r, k, d, s, n); !ok {
			most := n - 1
			for ; most > 1; most-- { // a single one is possible
				if _, ok := broken(r, k, d, s, most); ok {
					break
				}
			}
			l.Add(diag.Error, "led-string-too-long", "%d %s in series need %v, more than the supply of %v leaves with a resistor", n, k.Name,
				part.Volt(float64(n)*float64(vf)), r.Supply.Nominal).About(diag.PanelKey(s.Panel, "series"), "defaults.series").Of(s.Panel).
				Fix("put fewer than %d in series, or leave it out to have it chosen", most+1).
				By(fmt.Sprintf("put %d in series", most), diag.Set, diag.PanelKey(s.Panel, "series"), strconv.Itoa(most))
			return 0, l
		}
		return n, l
	}
	best, breaks := 1, limits{}
	for n := 1; n <= count; n++ {
		even := (count + n - 1) / n // strings
		long := (count + even - 1) / even
		b, ok := broken(r, k, d, s, long, count/even)
		if !ok {
			break
		}
		if n == 1 || slices.Compare(b[:], breaks[:]) <= 0 {
			best, breaks = long, b
		}
	}
	return best, l
}

// A current that leaves these bounds, relative to nominal, is seen at a glance: half and double. Below dimShare of what was
// asked for it is told (led/judge).
const wildDown, wildUp, dimShare = 0.5, 1.0, 0.85

// rounding is what a resistor of the series may give more than the exact one, of power.
const rounding = 1.03

// limits are those of a string that can be broken, the gravest first: 0 kept, 1 broken.
type limits [5]int

// broken returns which limits strings of those sizes break, the longest first, whose current the others take; ok is false when
// they leave no room for a resistor.
func broken(r led.Request, k part.LED, d part.Diode, s led.Settings, sizes ...int) (b limits, ok bool) {
	most := part.Watt(0)
	for _, body := range s.Bodies() {
		most = max(most, body.Most())
	}
	most = part.Watt(float64(most) * part.ResistorShare(r.Ambient.Max))
	src, want := source(r), s.Current
	for _, n := range sizes {
		across := func(i part.Amp, drop int) float64 {
			return float64(float64(n) * float64(src.Cornered(k, d, drop).Volts(i)))
		}
		ohms := (float64(r.Supply.Nominal) - across(want, 0)) / float64(want)
		if !(ohms >= 1) {
			return b, false
		}
		// The least that keeps the hungriest corner below what the LED stands.
		ohms = max(ohms, (float64(r.Supply.Max)-across(k.IMax, -1))/float64(k.IMax)/(1-s.Tolerance))
		at := func(v part.Volt, tolerance float64, drop int) float64 {
			i, _ := solve.String{LEDs: n, Diode: src.Cornered(k, d, drop), Ohms: ohms * (1 + tolerance)}.At(float64(v))
			return i
		}
		now, high, low := at(r.Supply.Nominal, 0, 0), at(r.Supply.Max, -s.Tolerance, -1), at(r.Supply.Min, s.Tolerance, 1)
		heat := part.Watt(rounding * float64(part.Ohm(ohms*(1-s.Tolerance)).Heat(part.Amp(high))))
		up, down, lowered := high/now-1, 1-low/now, now < float64(want)*(1-1e-6)
		for i, bad := range [len(b)]bool{
			heat > most, now < dimShare*float64(s.Current), down > wildDown || up > wildUp, float64(heat) > float64(most)*r.Derating,
			lowered || max(up, down) > r.MaxChange,
		} {
			if bad {
				b[i] = 1
			}
		}
		want = min(want, part.Amp(now))
	}
	return b, true
}
