package design

import (
	"slices"
	"strings"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// chains returns the runs with what is impossible taken out, one that starts from a panel behind the one that has it.
func chains(panels []panel.Panel, req led.Request) ([]led.Run, diag.List) {
	var l diag.List
	index := map[string]int{}
	var names []string
	for i, p := range panels {
		if _, ok := index[p.Name]; ok {
			l.Add(diag.Error, "led-panel-name-twice", "two panels are called %q, so the chain cannot tell them apart", p.Name).Of(p.Name).
				Fix("give each panel a name of its own")
			continue
		}
		index[p.Name] = i
		names = append(names, p.Name)
	}
	unknown := func(what, name string) {
		f := l.Add(diag.Error, "led-chain-unknown-panel", "the chain %s a panel %q that there is not", what, name).About("chains", "chain")
		if n, ok := diag.Nearest(name, names); ok {
			f.Fix("did you mean %q? The panels are %s", n, strings.Join(names, ", "))
		} else {
			f.Fix("the panels are %s", strings.Join(names, ", "))
		}
	}
	used := map[string]bool{}
	var out []led.Run
	for _, c := range req.Chains {
		run := c
		run.Panels = nil
		for _, name := range c.Panels {
			_, ok := index[name]
			switch {
			case !ok:
				unknown("names", name)
			case used[name]:
				l.Add(diag.Error, "led-chain-panel-twice", "the chain names the panel %q twice, so its feed would be a loop", name).
					About("chains", "chain").Of(name).
					Fix("name each panel once, in the order of the wires from the supply; a chain that is fed at both ends says so by both_ends: true")
			default:
				used[name] = true
				run.Panels = append(run.Panels, name)
			}
		}
		if _, ok := index[c.From]; c.From != "" && !ok {
			unknown("starts from", c.From)
			run.From = ""
		}
		if run.BothEnds && run.BackLength < 0 {
			l.Add(diag.Error, "led-feed-length", "a feed of %v back to the supply cannot be", run.BackLength).About("chains").
				Fix("state the length of the wires from the last panel back, for example back_length: 500 mm")
			run.BackLength = 0
		}
		if len(run.Panels) > 0 {
			out = append(out, run)
		}
	}
	var rest led.Run
	for _, name := range names {
		if used[name] {
			continue
		}
		rest.Panels = append(rest.Panels, name)
		if len(req.Chains) > 0 {
			l.Add(diag.Warning, "led-chain-panel-missing", "no chain names the panel %q; it is taken to hang on a feed of its own from the supply", name).
				About("chains", "chain").
				Of(name).Fix("add it to the chain, in the order of the wires from the supply")
		}
	}
	if len(rest.Panels) > 0 {
		out = append(out, rest)
	}
	out, loops := behind(out)
	return out, append(l, loops...)
}

// behind sorts the runs so that each stands after the one that holds the panel it starts from, and tells those that wait for
// each other.
func behind(runs []led.Run) ([]led.Run, diag.List) {
	var l diag.List
	var out []led.Run
	fed := map[string]bool{}
	runs = slices.Clone(runs)
	for len(runs) > 0 {
		i := slices.IndexFunc(runs, func(r led.Run) bool { return r.From == "" || fed[r.From] })
		if i < 0 {
			l.Add(diag.Error, "led-chain-loop", "the chain of %s starts from panel %s, which is itself fed from there: nothing leads to the supply",
				strings.Join(runs[0].Panels, ", "), runs[0].From).About("chains").Of(runs[0].From).Fix("let one of these chains start from the supply: leave its from out")
			runs[0].From, i = "", 0
		}
		out = append(out, runs[i])
		for _, n := range runs[i].Panels {
			fed[n] = true
		}
		runs = slices.Delete(runs, i, i+1)
	}
	return out, l
}

// links returns the chains with their feeds.
func links(runs []led.Run, r led.Request) []led.Chain {
	var out []led.Chain
	for _, run := range runs {
		c := led.Chain{From: run.From, BothEnds: run.BothEnds}
		for _, name := range run.Panels {
			s := r.For(name)
			c.Links = append(c.Links, led.Link{Panel: name, Feed: feed(r, s.Wire, s.FeedLength)})
		}
		if c.BothEnds {
			c.Back = feed(r, part.Wire{}, run.BackLength)
		}
		out = append(out, c)
	}
	return out
}

// feed returns a feed segment: its wire, and one contact at either end.
func feed(r led.Request, w part.Wire, length geom.Nm) led.Feed {
	if w.Ohms == 0 {
		w = r.Wire
	}
	metres := length.MM() / 1000
	return led.Feed{
		Wire: w.Text, Rated: w.Rated, Length: length,
		Ohms: part.Ohm(float64(w.At(r.WireCelsius))*metres) + 2*r.ContactOhms, Contacts: 2 * r.ContactOhms,
	}
}
