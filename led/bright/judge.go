package bright

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"lampblack/led/part"
	"lampblack/panel/diag"
)

// Alike is how many times as bright as another a panel may be that passes for alike beside it (common practice: a legend's own
// places differ by as much).
const Alike = 1.5

// farOff is how many times brighter or dimmer than would be chosen a panel's own current makes it before that is a warning.
const farOff = 3

// Frequency is that from which on the flicker of a dimmer is at low risk for all, Hz: 1250 Hz at full modulation (IEEE 1789, from
// memory, references.md section 22); up to about 80 Hz it is seen.
const Frequency = 1250

// Judge tells what of the lamps, with their final currents, does not come to what is asked for. chosen are the same with the currents
// that Chosen gave them; film is the advice on sheets that pass a share of the light.
func Judge(all, chosen []Lamps, wish Wish, film func(share float64) string) diag.List {
	var l diag.List
	for i, p := range all {
		if p.Level() > 0 && wish.For(p.Group).Any() {
			l = append(l, judgeLamps(p, chosen[i], all, wish)...)
		}
	}
	for _, d := range Dimmers(all, wish) {
		l = append(l, judgeApart(d, all, wish)...)
		l = append(l, judgeDimmer(d, all, wish, film)...)
	}
	return l
}

// of names lamps: their panel, and where that has several, their group, or else their colour.
func of(p Lamps, all []Lamps) string {
	colour := ""
	for _, o := range all {
		switch {
		case o.Panel != p.Panel:
		case o.Group != p.Group && p.Group != "":
			return fmt.Sprintf("the lettering of panel %s, by the LEDs of %s,", p.Panel, p.Group)
		case o.Colour != p.Colour:
			colour = p.Colour + " "
		}
	}
	return fmt.Sprintf("the %slettering of panel %s", colour, p.Panel)
}

func judgeLamps(p, chosen Lamps, all []Lamps, wish Wish) diag.List {
	var l diag.List
	full := wish.For(p.Group).Full
	if p.Own > 0 {
		level := shared(all, p.Group, full)
		would := p.within(p.For(level))
		ratio := float64(p.Own) / float64(would)
		sev, code := diag.Note, "bright-own-current"
		if !(ratio < farOff && ratio > 1.0/farOff) {
			sev, code = diag.Warning, "bright-far-off"
		}
		f := l.Add(sev, code, "panel %s names its own current, %v, so %s has %s cd/m² full on; %v would give the %s that go with the rest", p.Panel, p.Own, of(p, all),
			Shown(p.Level()), would, Shown(p.PerAmp*float64(would))).
			Of(p.Panel).About(diag.PanelKey(p.Panel, "current")).Fix("take current out, and it is chosen, or ask for %v", would).
			By("have its current chosen", diag.Remove, diag.PanelKey(p.Panel, "current"), nil)
		if sev == diag.Warning {
			f.By("ask for "+would.String(), diag.Set, diag.PanelKey(p.Panel, "current"), would.String())
		}
		return l
	}
	if float64(chosen.For(full)) > float64(chosen.Amps)*(1+1e-6) && chosen.Amps >= chosen.Most-1e-5 {
		reaches := float64(chosen.PerAmp * float64(chosen.Most))
		leds := int(math.Ceil(float64(float64(p.LEDs) * full / reaches)))
		l.Add(diag.Warning, "bright-too-dim", "%s reaches %s of the %s cd/m² that are asked for: its %d LEDs are given no more than %v, four fifths of what they stand", of(p, all), Shown(reaches),
			Shown(full), p.LEDs, chosen.Most).Of(p.Panel).About(wish.keys(p.Group, "full")...).
			Fix("put about %d LEDs there, choose a kind of higher intensity or a lighter diffuser, or ask for at most %s cd/m²", leds, Shown(reaches)).
			By("ask for "+Shown(reaches)+" cd/m²", diag.Set, wish.keys(p.Group, "full")[0], Shown(reaches)+" cd/m2")
	}
	return l
}

// judgeApart tells of panels that differ although they are dimmed together.
func judgeApart(d Dimmer, all []Lamps, wish Wish) diag.List {
	var l diag.List
	own := Of(all, d.Group)
	low := slices.MinFunc(own, func(a, b Lamps) int { return cmp.Compare(a.Level(), b.Level()) })
	high := slices.MaxFunc(own, func(a, b Lamps) int { return cmp.Compare(a.Level(), b.Level()) })
	if ratio := high.Level() / low.Level(); ratio > Alike {
		what := "leave current out of the panels, and it is chosen so that they match"
		switch {
		case low.Own == 0 && high.Own == 0 && low.Colour != high.Colour:
			what = "give the brighter ones a group of their own, so that a dimmer of theirs makes them match"
		case low.Own == 0 && high.Own == 0:
			what = "put more LEDs, or a kind of higher intensity, behind the dimmer one"
		}
		l.Add(diag.Warning, "bright-panels-apart", "full on, %s has %s cd/m² and %s %s, %s times as much; up to %g times panels pass for alike", of(low, all), Shown(low.Level()),
			of(high, all), Shown(high.Level()), Shown(ratio), Alike).About(append([]string{diag.PanelKey(high.Panel, "current"), diag.PanelKey(low.Panel, "current")}, wish.keys(d.Group)...)...).Fix("%s", what)
	}
	return l
}

// judgeDimmer tells what a dimmer must do.
func judgeDimmer(d Dimmer, all []Lamps, wish Wish, film func(float64) string) diag.List {
	var l diag.List
	own, want := Of(all, d.Group), d.Want
	whose := "the dimmer"
	if d.Group != "" {
		whose = "the dimmer of group " + d.Group
	}
	const whole = 0.9 // a dimmer whose full mark is here or above is as good as used to its end
	if d.Full < whole {
		why := "with the currents that the panels name"
		if at := slices.IndexFunc(own, func(p Lamps) bool { return p.Own == 0 && p.For(want.Full) < p.Least }); at >= 0 {
			p := slices.MaxFunc(own, func(a, b Lamps) int {
				return cmp.Compare(float64(a.PerAmp*float64(a.Least)), float64(b.PerAmp*float64(b.Least)))
			})
			why = fmt.Sprintf("at %v, below which LEDs such as those of panel %s no longer look alike", p.Least, p.Panel)
		}
		less := film(d.Full)
		if beside := sharing(own, all); beside != "" {
			less = fmt.Sprintf("to use all of its range, a kind of lower intensity, or fewer LEDs: a film or a denser diffuser would dim %s too", beside)
		}
		night := ""
		if d.Night > 0 {
			night = fmt.Sprintf(", and for %s at %s", Percent(d.Night), Shown(want.Night))
		}
		l.Add(diag.Note, "bright-dimmer", "%s, the lettering has %s cd/m² full on: %s is on for %s of the time at %s cd/m²%s", why, Shown(d.Level), whose, Percent(d.Full), Shown(want.Full), night).
			About(wish.keys(d.Group, "full")...).
			Fix("dim by switching the supply wire on and off, %.4g kHz or more, never by its voltage: strings go out one by one; %s", Frequency/1e3, less)
	}
	if d.Bits > want.Bits {
		text := fmt.Sprintf("one step of %s is %s cd/m² with its %d bits, %s of the least level of %s: each step shows there", whose, Shown(d.Step), want.Bits, Percent(d.Step/want.Night), Shown(want.Night))
		if d.Step > want.Night {
			text = fmt.Sprintf("the first step of %s with its %d bits is %s cd/m², more than the least level of %s", whose, want.Bits, Shown(d.Step), Shown(want.Night))
		}
		advice := fmt.Sprintf("use one of %d bits, in which a step is at most a tenth of that level, and write it: bright: {bits: %d, ...}", d.Bits, d.Bits)
		if d.Full < whole && sharing(own, all) == "" {
			advice += fmt.Sprintf("; with sheets that pass less, so that its full mark is its end, %d bits do", bitsFor(want.Full/want.Night))
		}
		l.Add(diag.Warning, "bright-steps", "%s", text).About(wish.keys(d.Group, "bits", "night")...).Fix("%s", advice).
			By(fmt.Sprintf("take a dimmer of %d bits", d.Bits), diag.Set, wish.keys(d.Group, "bits")[0], strconv.Itoa(d.Bits))
	}
	return l
}

// sharing names what else shines through the sheets of the lamps' panels; empty: nothing does.
func sharing(own, all []Lamps) string {
	for _, p := range own {
		for _, o := range all {
			switch {
			case o.Panel != p.Panel || o.Group == p.Group || !(o.Level() > 0):
			case o.Group == "":
				return "the other LEDs of panel " + o.Panel
			default:
				return "group " + o.Group
			}
		}
	}
	return ""
}

// Untold tells how bright panels are of which nothing is asked, once for the console.
func Untold(all []Lamps) diag.List {
	var l diag.List
	all = slices.DeleteFunc(slices.Clone(all), func(p Lamps) bool { return !(p.Level() > 0) })
	if len(all) == 0 {
		return l
	}
	var parts []string
	groups := Groups(all)
	for i, g := range groups {
		own := Of(all, g)
		low := slices.MinFunc(own, func(a, b Lamps) int { return cmp.Compare(a.Level(), b.Level()) })
		high := slices.MaxFunc(own, func(a, b Lamps) int { return cmp.Compare(a.Level(), b.Level()) })
		how := Shown(low.Level()) + " cd/m²"
		if Shown(low.Level()) != Shown(high.Level()) {
			how = fmt.Sprintf("%s to %s cd/m²", Shown(low.Level()), Shown(high.Level()))
		}
		if i == 0 {
			how += " full on"
		}
		switch {
		case g != "":
			how += " by the LEDs of " + g
		case len(groups) > 1:
			how += " by the LEDs of no group"
		}
		how += ", which " + Suits(math.Sqrt(low.Level()*high.Level())).suits()
		if ratio := high.Level() / low.Level(); ratio > Alike {
			if low.Panel == high.Panel {
				how += fmt.Sprintf(" (its %s LEDs give %s times as much as its %s ones)", high.Colour, Shown(ratio), low.Colour)
			} else {
				how += fmt.Sprintf(" (panel %s has %s times as much as panel %s)", high.Panel, Shown(ratio), low.Panel)
			}
		}
		parts = append(parts, how)
	}
	text := "the lettering has " + strings.Join(parts, "; ")
	where := ""
	if len(groups) > 1 {
		where = "; for one group alone write it in its entry of groups"
	}
	var uses []string
	for _, u := range Uses() {
		uses = append(uses, fmt.Sprintf("%s (%s cd/m²)", u.Name, Shown(u.Full)))
	}
	l.Add(diag.Note, "bright-level", "%s", text).About("bright", "defaults.current").
		Fix("write what the console is read for, and currents are chosen for it: bright: %s%s", uses[0]+", "+uses[1]+", or "+uses[2], where)
	return l
}

// Percent writes a share of the time or of a level in two digits.
func Percent(share float64) string { return Shown(100*share) + " %" }

// Unknown tells of a panel whose LEDs' intensity nobody knows.
func Unknown(panel string, i part.Amp) diag.List {
	var l diag.List
	l.Add(diag.Warning, "bright-unknown", "how bright panel %s gets cannot be reckoned, as no intensity is told of an LED kind there; its LEDs get %v", panel, i).
		Of(panel).About(diag.PanelKey(panel, "led"), "leds").Fix("write the intensity of its data sheet in the kind: intensity: 800 mcd, at the current of at")
	return l
}

// Mixed tells of LEDs of one colour on a panel whose groups ask for different levels: the light of a colour is one.
func Mixed(p Lamps, groups []string, wish Wish) diag.List {
	var l diag.List
	for _, g := range groups {
		if wish.For(g) != wish.For(p.Group) {
			name := func(g string) string {
				if g == "" {
					return "no group"
				}
				return "group " + g
			}
			l.Add(diag.Warning, "bright-groups-mixed", "on panel %s, %s LEDs of %s and of %s are to give different levels, but what LEDs of one colour do for the lettering is not told apart: all get the current for those of %s", p.Panel, p.Colour, name(p.Group), name(g), name(p.Group)).
				Of(p.Panel).About(append(wish.keys(g), wish.keys(p.Group)...)...).Fix("choose a kind of another colour for one of them, or the same levels")
		}
	}
	return l
}
