package design

import (
	"math"
	"slices"
	"strings"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
)

// maxLEDs is how many LEDs a panel may have: ten times what a crowded one has, and what grouping does within a second.
const maxLEDs = 5000

// validate tells what is impossible about the request as a whole.
func validate(req led.Request) diag.List {
	var l diag.List
	w := req.Supply
	if !(w.Min > 0 && w.Min <= w.Nominal && w.Nominal <= w.Max) || math.IsInf(float64(w.Max), 0) {
		l.Add(diag.Error, "led-supply-volts", "the supply voltage %v cannot be", w).About("supply.volts").
			Fix("state one voltage above 0, as 12 V, or a window from low to high, as 11.1 V .. 12.6 V")
	} else if w.Max > led.MaxSupply {
		l.Add(diag.Error, "led-supply-volts", "a supply of %v is dangerous on a bare board", w).About("supply.volts").
			Fix("use a supply of at most %v", led.MaxSupply)
	}
	if !positive(float64(req.Rated)) {
		l.Add(diag.Error, "led-supply-amps", "what the supply can deliver is not told").
			About("supply.amps").Fix("state its rating, for example amps: 2 A")
	}
	for _, o := range req.Others {
		given, good := 0, true
		for _, x := range [3]float64{float64(o.Amps), float64(o.Watts), float64(o.Ohms)} {
			good = good && notNegative(x)
			if x > 0 {
				given++
			}
		}
		if given > 1 || !good {
			l.Add(diag.Error, "led-other-load", "what the other load %q draws cannot be, or is told in two ways", o.Name).About("supply.also_feeds").
				Fix("state its current, for example amps: 0.6 A, or its watts, or its ohms")
		}
	}
	if !notNegative(float64(req.SupplyOhms)) || float64(req.SupplyOhms) > 1000 {
		l.Add(diag.Error, "led-supply-ohms", "a resistance of %g ohm inside the supply cannot be", float64(req.SupplyOhms)).
			About("supply.resistance").
			Fix("state what the voltage falls by for each ampere, for example 50 mohm; a regulated supply has next to none, so leave it out")
	}
	if a := req.Ambient; !(a.Min > -100 && a.Min <= a.Nominal && a.Nominal <= a.Max && a.Max < 150) {
		l.Add(diag.Error, "led-temperature", "temperatures of %g to %g °C, mostly %g °C, cannot be", a.Min, a.Max, a.Nominal).
			About("temperature").
			Fix("state the range where the console stands, for example temperature: -10 C .. 30 C")
	}
	l = append(l, checkGroups(req.Groups)...)
	if !positive(float64(req.Wire.Ohms)) || !positive(float64(req.Wire.Rated)) {
		l.Add(diag.Error, "led-feed-wire", "the feed's wire is not told").
			About("feed.wire").Fix("state its size, for example wire: 0.5 mm2, or 24 AWG")
	}
	if !positive(float64(req.ConnectorRated)) || !notNegative(float64(req.ContactOhms)) {
		l.Add(diag.Error, "led-feed-connector", "what the feed's connectors carry is not told").
			About("feed.connector").Fix("state it, for example connector: 3 A")
	}
	if !notNegative(float64(req.Fuse)) || !notNegative(float64(req.HolderOhms)) || !notNegative(float64(req.SwitchOhms)) || math.IsNaN(float64(req.FuseOhms)) || math.IsInf(float64(req.FuseOhms), 0) {
		l.Add(diag.Error, "led-fuse", "what lies between the supply and the chains cannot be").
			About("feed.fuse").Fix("state the fuse's rated current, for example fuse: 1 A, or leave it out")
	}
	if !(req.WireCelsius > -60 && req.WireCelsius < 200) {
		l.Add(diag.Error, "led-feed-temperature", "wires at %g °C cannot be", req.WireCelsius).
			About("feed.temperature").Fix("state a temperature between -60 and 200 °C; 20 is usual")
	}
	if !(req.MaxChange > 0 && req.MaxChange < 1) {
		l.Add(diag.Error, "led-max-change", "a permitted change of current of %.0f %% cannot be", req.MaxChange*100).
			About("defaults.change").Fix("state a share between 1 and 99 %%; 30 %% is usual")
	}
	if !(req.Derating > 0 && req.Derating <= 1) {
		l.Add(diag.Error, "led-derating", "using %.0f %% of a resistor's rating cannot be", req.Derating*100).
			About("defaults.resistor.derating").Fix("state a share between 1 and 100 %%; 50 %% is usual")
	}
	return l
}

// checkGroups tells what is impossible about groups.
func checkGroups(groups []led.Dimmed) diag.List {
	var l diag.List
	for i, g := range groups {
		twice := slices.ContainsFunc(groups[:i], func(o led.Dimmed) bool { return strings.EqualFold(o.Name, g.Name) })
		switch {
		case !netName(g.Name):
			l.Add(diag.Error, "led-group-name", "a group cannot be called %q", g.Name).
				About("groups").Fix("use letters, digits, - and _, at most 12 of them: the name stands in lists and files")
		case twice:
			l.Add(diag.Error, "led-group-name", "two groups are called %q", g.Name).About("groups").Fix("give one another name")
		}
		if !(g.Duty > 0 && g.Duty <= 1) {
			l.Add(diag.Error, "led-group-duty", "the group %q cannot be on for %g %% of the time", g.Name, g.Duty*100).
				About("groups").Fix("state a share above 0 and up to 100 %%; 100 %% is not dimmed")
		}
	}
	return l
}

// netName reports a name that can stand in a net's.
func netName(s string) bool {
	return s != "" && len(s) <= 12 && !strings.ContainsFunc(s, func(c rune) bool {
		return !(c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '-' || c == '_')
	})
}

// positive reports whether x is a number above 0; NaN and infinity are not.
func positive(x float64) bool { return x > 0 && !math.IsInf(x, 0) }

func notNegative(x float64) bool { return x >= 0 && !math.IsInf(x, 0) }

// check tells what is impossible about one panel's settings.
func check(s led.Settings) diag.List {
	var l diag.List
	own := func(key string) string { return diag.PanelKey(s.Panel, key) }
	if !positive(float64(s.Current)) {
		l.Add(diag.Error, "led-current", "the LED current %v cannot be", s.Current).
			About(own("current"), "defaults.current").Of(s.Panel).Fix("state what each LED shall get, for example current: 8 mA")
	}
	if !s.Series.Valid() {
		l.Add(diag.Error, "led-series", "%q is no series of resistor values", s.Series).
			About("defaults.resistor.series").Of(s.Panel).Fix("use one of E6, E12, E24, E48 and E96; E24 is usual")
	}
	if !(s.Tolerance >= 0 && s.Tolerance <= 0.5) {
		l.Add(diag.Error, "led-tolerance", "a resistor tolerance of %.3g %% cannot be", s.Tolerance*100).
			About("defaults.resistor.tolerance").Of(s.Panel).Fix("state it between 0 and 50 %%; 5 %% is usual for E24")
	}
	if _, ok := part.FindBody(s.ResistorPackage); !ok {
		var names []string
		for _, b := range part.Bodies() {
			names = append(names, b.Package)
		}
		l.Add(diag.Error, "led-resistor-package", "no resistor package is called %q", s.ResistorPackage).
			About("defaults.resistor.package").Of(s.Panel).Fix("use one of %s", strings.Join(names, ", "))
	}
	if !notNegative(float64(s.ResistorRated)) {
		l.Add(diag.Error, "led-resistor-rating", "a resistor rating of %v cannot be", s.ResistorRated).
			About("defaults.resistor.rated").Of(s.Panel).Fix("state it as 1/4 W, or leave it out")
	}
	if s.FeedLength < 0 {
		l.Add(diag.Error, "led-feed-length", "a feed of %v cannot be", s.FeedLength).
			About(own("feed_length"), "defaults.feed_length").Of(s.Panel).Fix("state the length of the wires to this panel, for example feed_length: 300 mm")
	}
	if t := s.ThroughOhms; !notNegative(float64(t.Plus)) || !notNegative(float64(t.Minus)) {
		l.Add(diag.Error, "led-through-ohms", "the board's own copper cannot have %g and %g ohm", float64(t.Plus), float64(t.Minus)).Of(s.Panel).
			Fix("leave it out to have it computed")
	}
	if s.Wire != (part.Wire{}) && (!positive(float64(s.Wire.Ohms)) || !positive(float64(s.Wire.Rated))) {
		l.Add(diag.Error, "led-feed-wire", "the wire to this panel cannot be").
			About(own("wire"), "feed.wire").Of(s.Panel).Fix("state its size, for example wire: 0.75 mm2, or leave it out")
	}
	if s.StringLength < 0 {
		l.Add(diag.Error, "led-string-length", "%d LEDs in series cannot be", s.StringLength).
			About(own("series"), "defaults.series").Of(s.Panel).Fix("state 1 or more, or leave it out to have it chosen")
	}
	return l
}

// kindFor returns the kind of LED of a hole: the settings' own, or the one that the hole names among the project's kinds
// and the catalogue.
func kindFor(h panel.Hole, s led.Settings, r led.Request) (part.LED, bool) {
	if h.Kind == "" {
		return s.Kind, true
	}
	if strings.EqualFold(h.Kind, s.Kind.Name) {
		return s.Kind, true
	}
	return r.Kind(h.Kind)
}
