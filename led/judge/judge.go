// Package judge says what is wrong with a console's currents, or worth knowing about them.
//
// In go a solved circuit and what was asked for, out come findings, all of the console or of a panel, none with a position. It
// computes no currents: those of led/solve are read.
package judge

import (
	"fmt"
	"math"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/diag"
)

// Limits of what is told about the feed and the light.
const (
	dropShare = 0.05 // of the supply voltage lost before a board
	evenLight = 0.90 // of the share of its current that the best panel gets
	dimShare  = 0.85 // of the current asked for
)

// Circuit tells what is wrong with, or worth knowing about, the circuit; nothing when it has no operating point, which is
// told where it was looked for.
func Circuit(c led.Circuit, req led.Request) diag.List {
	var l diag.List
	if !c.Solved {
		return l
	}
	for _, w := range c.Boards {
		l = append(l, judgeResistors(w, req)...)
	}
	for _, w := range c.Boards {
		l = append(l, judgeBoard(c.Source, w, req)...)
	}
	for i := range c.Chains {
		l = append(l, judgeFeed(c, i, req)...)
	}
	l = append(l, judgeBranches(c)...)
	l = append(l, judgeGroups(c)...)
	l = append(l, judgeLight(c, req)...)
	l = append(l, judgeSupply(c.Source)...)
	l = append(l, judgeSwitching(c.Source)...)
	return append(l, judgeBattery(c)...)
}

// judgeBoard tells about the currents of one board.
func judgeBoard(src led.Source, w led.Wiring, req led.Request) diag.List {
	var l diag.List
	set := req.For(w.Panel)
	type seen struct {
		kind string
		n    int
	}
	told := map[seen]bool{}
	for _, s := range w.Strings {
		kind, n := w.LEDs[s.LEDs[0]].Kind, len(s.LEDs)
		set := set.Of(kind.Name)
		k := seen{kind.Name, n}
		if told[k] {
			continue
		}
		told[k] = true
		what := fmt.Sprintf("%d %s in series", n, kind.Name)
		if n == 1 {
			what = "a single " + kind.Name
		}
		up, down := float64(s.Max)/float64(s.Nominal)-1, 1-float64(s.Min)/float64(s.Nominal)
		// A resistor of the series is not the exact one, so that a string chosen right may pass the limit by a hair.
		if max(up, down) > req.MaxChange*1.1 {
			f := l.Add(diag.Warning, "led-current-varies", "the current of %s can be %v to %v instead of %v", what, s.Min, s.Max, s.Nominal).
				About(diag.PanelKey(w.Panel, "series"), "defaults.series").Of(w.Panel)
			share := fmt.Sprintf("%.0f %%", math.Ceil(100*max(up, down)))
			f.By("allow for the light changing by "+share, diag.Set, "defaults.change", share)
			if src.Min < src.Max {
				f.Fix("a regulated supply would hold it; or allow for the light changing by %.0f %% down and %.0f %% up", down*100, up*100)
			} else {
				f.Fix("put fewer in series, or use resistors of less tolerance and LEDs of one batch")
			}
		}
		if float64(s.Nominal) < dimShare*float64(set.Current) {
			f := l.Add(diag.Warning, "led-current-reduced", "%s get %v instead of %v, so that no corner exceeds the %v they stand or the feed leaves no more",
				what, s.Nominal, set.Current, kind.IMax).About(diag.PanelKey(w.Panel, "current"), "defaults.current").Of(w.Panel)
			if i := roundedDown(float64(s.Nominal)); i > 0 {
				f.Fix("ask for %v, or use a steadier supply or thicker wires", i).By("ask for "+i.String(), diag.Set, diag.PanelKey(w.Panel, "current"), i.String())
			} else {
				f.Fix("use a steadier supply or thicker wires")
			}
		}
		if stands := kind.Stands(src.Ambient.Max); s.Max > stands && stands < kind.IMax {
			l = append(l, judgeHot(src, w, s, set, req.MaxChange, what))
		}
		if n > 1 {
			l = append(l, judgeShort(w, s, set, what)...)
		}
	}
	return l
}

// judgeHot tells of LEDs that get more than they stand where the console is warmest.
func judgeHot(src led.Source, w led.Wiring, s led.String, set led.Settings, change float64, what string) diag.Finding {
	var l diag.List
	kind, hot := w.LEDs[s.LEDs[0]].Kind, src.Ambient.Max
	stands := kind.Stands(hot)
	text := "none"
	if stands > 0 {
		text = stands.String()
	}
	f := l.Add(diag.Warning, "led-hot", "at %.4g °C a %s stands %s; %s get up to %v", hot, kind.Name, text, what, s.Max).
		About(diag.PanelKey(w.Panel, "current"), "defaults.current", "temperature").Of(w.Panel)
	cool := math.Floor(kind.Cool(s.Max))
	// With less current other strings may be chosen, which may change by as much as any may.
	if fit := roundedDown(float64(stands) / max(1+change, float64(s.Max)/float64(set.Current))); fit > 0 {
		f.Fix("ask for at most %v in each LED, or keep the console below %.0f °C; the data sheet has the LED's own derating", fit, cool).
			By("ask for "+fit.String()+" in each LED", diag.Set, diag.PanelKey(w.Panel, "current"), fit.String())
	} else {
		f.Fix("keep the console below %.0f °C, or use LEDs that are made for such heat; the data sheet has the LED's own derating", cool)
	}
	return l[0]
}

// judgeShort tells what a dead short of one LED of a string does.
func judgeShort(w led.Wiring, s led.String, set led.Settings, what string) diag.List {
	var l diag.List
	kind := w.LEDs[s.LEDs[0]].Kind
	i := s.Short
	if i <= kind.IMax {
		return l
	}
	f := l.Add(diag.Warning, "led-short-overload", "if one LED of %s fails as a short circuit, the others get %v, more than the %v they stand", what, i, kind.IMax).
		About(diag.PanelKey(w.Panel, "current"), "defaults.current").Of(w.Panel)
	if fit := roundedDown(float64(set.Current) * float64(kind.IMax) / float64(i)); fit > 0 {
		f.Fix("at most %v in each LED, less current still for longer strings, would survive it", fit).
			By("ask for "+fit.String()+" in each LED", diag.Set, diag.PanelKey(w.Panel, "current"), fit.String())
	} else {
		f.Fix("less current or shorter strings would survive it")
	}
	return l
}

// judgeLight tells of panels that get less of what was asked for them than others do. A panel that was asked to be dimmer
// is not told; one at the far end of a thin feed is.
func judgeLight(c led.Circuit, req led.Request) diag.List {
	var l diag.List
	best := 0.0
	for _, w := range c.Boards {
		best = max(best, w.OfAsked(req))
	}
	for _, w := range c.Boards {
		if got := w.OfAsked(req); got > 0 && got < evenLight*best {
			l.Add(diag.Warning, "led-uneven-panels", "the LEDs of panel %s get %.0f %% of the %v asked for them, those of the best panel %.0f %%", w.Panel, 100*got,
				w.Asked(req).Rounded(), 100*best).About(diag.PanelKey(w.Panel, "feed_length"), "feed.wire").Of(w.Panel).
				Fix("use thicker wires, move it nearer to the supply, or choose resistors from a finer series than %s", req.For(w.Panel).Series)
		}
	}
	return l
}

// judgeSupply tells what the verdict means. The load at its worst decides; above the rating the console is refused when the
// load of parts as they should be, all groups on, is: a supply that limits its current does so at once, not in the mean.
func judgeSupply(s led.Source) diag.List {
	var l diag.List
	want := part.Amp(float64(s.Demand) / led.OKShare).Rating()
	larger := "take a supply of " + want.String()
	switch {
	case s.Peak+s.Other > s.Rated:
		l.Add(diag.Error, "led-supply-over", "%s", s.Sentence()).About("supply.amps").SparesBoards().
			Fix("use a supply of %v or more, less current in the LEDs, or fewer other loads", want).By(larger, diag.Set, "supply.amps", want.String())
	case s.Verdict == led.Over:
		l.Add(diag.Warning, "led-supply-over", "%s", s.Sentence()).About("supply.amps").
			Fix("use a supply of %v or more", want).By(larger, diag.Set, "supply.amps", want.String())
	case s.Verdict == led.Tight:
		l.Add(diag.Warning, "led-supply-tight", "%s", s.Sentence()).About("supply.amps").
			Fix("use a supply of %v or more if it runs warm or for long", want).By(larger, diag.Set, "supply.amps", want.String())
	}
	return l
}

// roundedDown returns a current as one would ask for it: whole tenths of a milliampere, not above x.
func roundedDown(x float64) part.Amp { return part.Amp(math.Floor(float64(x*1e4)+1e-6) / 1e4) }
