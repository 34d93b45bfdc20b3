package led

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lampblack/led/part"
	"lampblack/panel/diag"
)

// Limits of what is told about the feed and the light.
const (
	dropShare = 0.05 // of the supply voltage lost before a board
	evenLight = 0.90 // of the share of its current that the best panel gets
	dimShare  = 0.85 // of the current asked for
)

// judge tells what is wrong with, or worth knowing about, the finished circuit.
func judge(c Circuit, req Request) diag.List {
	var l diag.List
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
	return append(l, judgeBattery(c)...)
}

// judgeBoard tells about the currents of one board.
func judgeBoard(src Source, w Wiring, req Request) diag.List {
	var l diag.List
	set := req.For(w.Panel)
	type seen struct {
		kind string
		n    int
	}
	told := map[seen]bool{}
	for _, s := range w.Strings {
		kind, n := w.LEDs[s.LEDs[0]].Kind, len(s.LEDs)
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
			f := l.Add(diag.Warning, "led-current-varies", "the current of %s can be %v to %v instead of %v", what, s.Min, s.Max, s.Nominal).Of(w.Panel)
			if src.Min < src.Max {
				f.Fix("a regulated supply would hold it; or allow for the light changing by %.0f %% down and %.0f %% up", down*100, up*100)
			} else {
				f.Fix("put fewer in series, or use resistors of less tolerance and LEDs of one batch")
			}
		}
		if float64(s.Nominal) < dimShare*float64(set.Current) {
			f := l.Add(diag.Warning, "led-current-reduced", "%s get %v instead of %v, so that no corner exceeds the %v they stand or the feed leaves no more",
				what, s.Nominal, set.Current, kind.IMax).Of(w.Panel)
			if i := roundedDown(float64(s.Nominal)); i > 0 {
				f.Fix("ask for %v, or use a steadier supply or thicker wires", i)
			} else {
				f.Fix("use a steadier supply or thicker wires")
			}
		}
		if n > 1 {
			l = append(l, judgeShort(src, w, s, set, what)...)
		}
	}
	return l
}

// judgeShort tells what a dead short of one LED of a string does. One fault at a time: the other parts are as they should
// be, the supply may be at its highest.
func judgeShort(src Source, w Wiring, s String, set Settings, what string) diag.List {
	var l diag.List
	kind := w.LEDs[s.LEDs[0]].Kind
	i := current(stringLoad{len(s.LEDs) - 1, src.Diode(kind), float64(w.Resistors[s.Resistor].Ohms)}, float64(src.Max))
	if i <= kind.IMax {
		return l
	}
	f := l.Add(diag.Warning, "led-short-overload", "if one LED of %s fails as a short circuit, the others get %v, more than the %v they stand", what, i, kind.IMax).Of(w.Panel)
	if fit := roundedDown(float64(set.Current) * float64(kind.IMax) / float64(i)); fit > 0 {
		f.Fix("at most %v in each LED, less current still for longer strings, would survive it", fit)
	} else {
		f.Fix("less current or shorter strings would survive it")
	}
	return l
}

func current(l stringLoad, v float64) part.Amp {
	i, _ := l.at(v)
	return part.Amp(i)
}

// stretch is one piece of feed for judging.
type stretch struct {
	from, to, panel string
	feed            Feed
	worst           part.Amp
}

// stretches returns the pieces of a chain's feed.
func (c Chain) stretches() []stretch {
	var out []stretch
	from := "the supply"
	if c.From != "" {
		from = "panel " + c.From
	}
	start := from
	for _, k := range c.Links {
		out = append(out, stretch{from, "panel " + k.Panel, k.Panel, k.Feed, k.SegmentWorst})
		from = "panel " + k.Panel
	}
	if c.BothEnds && len(c.Links) > 0 {
		last := c.Links[len(c.Links)-1].Panel
		out = append(out, stretch{start, "panel " + last + " from behind", last, c.Back, c.BackWorst})
	}
	return out
}

// judgeFeed tells about wires, connectors and drop of one chain.
func judgeFeed(c Circuit, i int, req Request) diag.List {
	var l diag.List
	chain := c.Chains[i]
	overWire, overPin, overDrop := false, false, false
	for _, s := range chain.stretches() {
		if s.worst > s.feed.Rated && !overWire {
			overWire = true
			f := l.Add(diag.Error, "led-wire-overload", "the wires from %s to %s carry up to %v; %s carries %v", s.from, s.to, s.worst, s.feed.Wire, s.feed.Rated).Of(s.panel)
			if w, ok := wireFor(s.worst); ok {
				f.Fix("use %s, or split the chain in two", w.Text)
			} else {
				f.Fix("split the chain into several, each with its own wires to the supply")
			}
		}
		if s.worst > req.ConnectorRated && !overPin {
			overPin = true
			l.Add(diag.Error, "led-connector-overload", "the feed connector of panel %s passes up to %v, more than its %v", s.panel, s.worst, req.ConnectorRated).Of(s.panel).
				Fix("use connectors for %v or more, or split the chain in two", roundedUp(s.worst))
		}
	}
	for _, k := range chain.Links {
		lost := c.Source.Nominal - k.Volts
		if float64(lost) <= dropShare*float64(c.Source.Nominal) || overDrop {
			continue
		}
		overDrop = true
		f := l.Add(diag.Warning, "led-feed-drop", "the feed loses %v of %v on the way to panel %s", lost, c.Source.Nominal, k.Panel).Of(k.Panel)
		if w, ok := wireForDrop(k, lost, c.Source.Nominal, req); ok {
			f.Fix("use %s, shorter wires, or a chain of its own", w.Text)
		} else {
			f.Fix("use shorter wires, several chains, or feed the chain at both ends")
		}
	}
	if len(chain.Links) > 0 && chain.Links[0].SegmentWorst > 0 && chain.From == "" {
		l = append(l, judgeFuse(c, i, req)...)
	}
	return l
}

// judgeFuse advises the fuse of a chain at the supply.
func judgeFuse(c Circuit, i int, req Request) diag.List {
	var l diag.List
	chain := c.Chains[i]
	to := chain.Links[0].Panel
	worst := max(chain.Links[0].SegmentWorst, chain.BackWorst)
	// It guards the wires of branches too: the weakest wire decides.
	stands := req.ConnectorRated
	for _, other := range c.Chains {
		if c.rootOf(other) == i {
			for _, s := range other.stretches() {
				stands = min(stands, s.feed.Rated)
			}
		}
	}
	fuse, ok := fuseFor(worst)
	if !ok || fuse > stands {
		f := l.Add(diag.Warning, "led-fuse", "no usual fuse lies between the %v that the chain to panel %s draws at worst and the %v that its wires and connectors stand",
			worst, to, stands)
		if w, found := wireFor(fuse); ok && found {
			f.Fix("use %s and connectors for %v or more all along the chain, with a fuse of %v; or several chains with a fuse each", w.Text, fuse, fuse)
		} else {
			f.Fix("make several chains of it, with a fuse each")
		}
		return l
	}
	where := "right at the supply"
	if chain.BothEnds {
		where = "right at the supply in each of its two feeds"
	}
	above := "it is the next value above"
	if fuse == leastFuse && float64(worst) < float64(leastFuse*fuseUse) {
		above = fmt.Sprintf("%v is the least that is advised, as smaller ones lose much voltage; it is above", fuse)
	}
	l.Add(diag.Note, "led-fuse", "the chain to panel %s wants a fuse of %v (IEC 60127, slow) %s; a board has none", to, fuse, where).
		Fix("put it into the positive wire, where it protects the wires when one chafes through; %s the worst load of %v over %.2f, and no more than the %v that wires and connectors carry",
			above, worst, fuseUse, stands)
	return l
}

// rootOf returns the index of the chain at the supply that feeds the chain: itself where it is one.
func (c Circuit) rootOf(x Chain) int {
	at := -1
	for range len(c.Chains) + 1 {
		at = slices.IndexFunc(c.Chains, func(o Chain) bool {
			return slices.ContainsFunc(o.Links, func(k Link) bool { return len(x.Links) > 0 && k.Panel == x.Links[0].Panel })
		})
		if x.From == "" || at < 0 {
			break
		}
		up := slices.IndexFunc(c.Chains, func(o Chain) bool {
			return slices.ContainsFunc(o.Links, func(k Link) bool { return k.Panel == x.From })
		})
		if up < 0 {
			break
		}
		x = c.Chains[up]
	}
	return at
}

// judgeBranches tells which OUT connectors take more than one pair of wires.
func judgeBranches(c Circuit) diag.List {
	var l diag.List
	to := map[string][]string{}
	for _, chain := range c.Chains {
		from := chain.From
		for _, k := range chain.Links {
			to[from] = append(to[from], "panel "+k.Panel)
			from = k.Panel
		}
		if chain.BothEnds {
			to[from] = append(to[from], "where the chain starts")
		}
	}
	for _, w := range c.Boards {
		if t := to[w.Panel]; len(t) > 1 {
			l.Add(diag.Note, "led-branch", "the OUT connector of panel %s takes %d pairs of wires: to %s", w.Panel, len(t), strings.Join(t, " and to ")).
				Of(w.Panel).Fix("put the wires of one pole together into one ferrule, and check that the terminal takes it")
		}
	}
	return l
}

// judgeGroups tells how connectors with several supply conductors are wired.
func judgeGroups(c Circuit) diag.List {
	var l diag.List
	var told [][]Group
	for _, w := range c.Boards {
		if len(w.Groups) < 2 || slices.ContainsFunc(told, func(g []Group) bool { return slices.Equal(g, w.Groups) }) {
			continue
		}
		told = append(told, w.Groups)
		var pins []string
		for i, g := range w.Groups {
			pins = append(pins, fmt.Sprintf("%d %s", i+1, g.netName()))
		}
		l.Add(diag.Note, "led-group-pins", "the feed connectors of panel %s, and of all on its feed, have %d pins: %s and %d 0 V", w.Panel, len(w.Groups)+1,
			strings.Join(pins, ", "), len(w.Groups)+1).Of(w.Panel).
			Fix("run as many wires from board to board, and dim in the positive wires: 0 V is common to all groups")
	}
	return l
}

// wireFor returns the thinnest usual wire that carries i.
func wireFor(i part.Amp) (part.Wire, bool) {
	for _, s := range part.WireSizes() {
		if s.Rated >= i {
			return s, true
		}
	}
	return part.Wire{}, false
}

// wireForDrop returns the thinnest usual wire with which the drop to a board stays within dropShare: what is lost in wires
// goes with their resistance, what is lost in contacts stays.
func wireForDrop(k Link, lost, supply part.Volt, req Request) (part.Wire, bool) {
	w := req.For(k.Panel).Wire
	if w.Ohms == 0 {
		w = req.Wire
	}
	inWire := float64(lost)
	if k.Feed.Ohms > 0 {
		inWire *= 1 - math.Min(1, float64(2*req.ContactOhms)/float64(k.Feed.Ohms))
	}
	for _, s := range part.WireSizes() {
		if s.Ohms < w.Ohms && float64(lost)-inWire*(1-float64(s.Ohms/w.Ohms)) <= dropShare*float64(supply) && s.Rated >= k.SegmentWorst {
			return s, true
		}
	}
	return part.Wire{}, false
}

// roundedUp returns a rating as one would look for it: whole tenths of an ampere, not below i.
func roundedUp(i part.Amp) part.Amp { return part.Amp(math.Ceil(float64(float64(i)*10)-1e-9) / 10) }

// fuseUse is the share of a fuse's rating that is used for good. IEC 60127 links stand all of it, UL 248-14 ones 75 %
// (common practice, references.md section 5): the cautious figure lets the builder take either.
const fuseUse = 0.75

// leastFuse is the smallest fuse that is advised: smaller ones lose a good part of the supply themselves, up to 3.5 V at
// 100 mA but 0.9 V at 500 mA (IEC 60127 by references.md section 5), and the wires stand more anyway.
const leastFuse part.Amp = 0.5

// fuseFor returns the fuse for a chain that draws i at worst.
func fuseFor(i part.Amp) (part.Amp, bool) { return part.FuseFor(max(i, leastFuse*fuseUse), fuseUse) }

// judgeLight tells of panels that get less of what was asked for them than others do. A panel that was asked to be dimmer
// is not told; one at the far end of a thin feed is.
func judgeLight(c Circuit, req Request) diag.List {
	var l diag.List
	best := 0.0
	for _, w := range c.Boards {
		best = max(best, w.ofAsked(req))
	}
	for _, w := range c.Boards {
		if got := w.ofAsked(req); got > 0 && got < evenLight*best {
			l.Add(diag.Warning, "led-uneven-panels", "the LEDs of panel %s get %.0f %% of the %v asked for them, those of the best panel %.0f %%", w.Panel, 100*got,
				req.For(w.Panel).Current, 100*best).Of(w.Panel).
				Fix("use thicker wires, move it nearer to the supply, or choose resistors from a finer series than %s", req.For(w.Panel).Series)
		}
	}
	return l
}

// judgeSupply tells what the verdict means. The load at its worst decides; above the rating the console is refused when the
// typical load is.
func judgeSupply(s Source) diag.List {
	var l diag.List
	want := roundedUp(part.Amp(float64(s.Demand) / okShare))
	switch {
	case s.Typical+s.Other > s.Rated:
		l.Add(diag.Error, "led-supply-over", "%s", s.Sentence()).
			Fix("use a supply of %v or more, less current in the LEDs, or fewer other loads", want)
	case s.Verdict == Over:
		l.Add(diag.Warning, "led-supply-over", "%s", s.Sentence()).
			Fix("use a supply of %v or more", want)
	case s.Verdict == Tight:
		l.Add(diag.Warning, "led-supply-tight", "%s", s.Sentence()).
			Fix("use a supply of %v or more if it runs warm or for long", want)
	}
	return l
}
