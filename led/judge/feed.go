package judge

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/diag"
)

// stretch is one piece of feed for judging.
type stretch struct {
	from, to, panel string
	feed            led.Feed
	worst           part.Amp
}

// stretches returns the pieces of a chain's feed.
func stretches(c led.Chain) []stretch {
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
func judgeFeed(c led.Circuit, i int, req led.Request) diag.List {
	var l diag.List
	chain := c.Chains[i]
	overWire, overPin, overDrop := false, false, false
	for _, s := range stretches(chain) {
		if s.worst > s.feed.Rated && !overWire {
			overWire = true
			f := l.Add(diag.Error, "led-wire-overload", "the wires from %s to %s carry up to %v; %s carries %v", s.from, s.to, s.worst, s.feed.Wire, s.feed.Rated).
				About(diag.PanelKey(s.panel, "wire"), "feed.wire").Of(s.panel)
			if w, ok := wireFor(s.worst); ok {
				f.Fix("use %s, or split the chain in two", w.Text)
			} else {
				f.Fix("split the chain into several, each with its own wires to the supply")
			}
		}
		if s.worst > req.ConnectorRated && !overPin {
			overPin = true
			l.Add(diag.Error, "led-connector-overload", "the feed connector of panel %s passes up to %v, more than its %v", s.panel, s.worst, req.ConnectorRated).
				About("feed.connector").Of(s.panel).
				Fix("use connectors for %v or more, or split the chain in two", s.worst.Rating())
		}
	}
	for _, k := range chain.Links {
		lost := c.Source.Nominal - k.Volts
		if float64(lost) <= dropShare*float64(c.Source.Nominal) || overDrop {
			continue
		}
		overDrop = true
		f := l.Add(diag.Warning, "led-feed-drop", "the feed loses %v of %v on the way to panel %s", lost, c.Source.Nominal, k.Panel).
			About(diag.PanelKey(k.Panel, "wire"), "feed.wire").Of(k.Panel)
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
func judgeFuse(c led.Circuit, i int, req led.Request) diag.List {
	var l diag.List
	chain := c.Chains[i]
	to := chain.Links[0].Panel
	worst := max(chain.Links[0].SegmentWorst, chain.BackWorst)
	// It guards the wires of branches too: the weakest wire decides.
	stands := req.ConnectorRated
	for _, other := range c.Chains {
		if rootOf(c, other) == i {
			for _, s := range stretches(other) {
				stands = min(stands, s.feed.Rated)
			}
		}
	}
	fuse, ok := led.FuseFor(worst)
	if !ok || fuse > stands {
		f := l.Add(diag.Warning, "led-fuse", "no usual fuse lies between the %v that the chain to panel %s draws at worst and the %v that its wires and connectors stand",
			worst.Rounded(), to, stands).About("feed.wire")
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
	why := fmt.Sprintf("for long a fuse carries no more than %.0f %% of its rating", 100*led.FuseUse)
	if fuse == led.LeastFuse && float64(worst) < float64(led.LeastFuse*led.FuseUse) {
		why = "smaller fuses lose much voltage"
	}
	l.Add(diag.Note, "led-fuse", "the chain to panel %s wants a fuse of %v (IEC 60127, slow) %s; the boards have none", to, fuse, where).
		About("feed.wire").Together("%d chains want a fuse each right at the supply; the boards have none").
		Fix("put it into the positive wire: it protects the wires when one chafes through. The chain takes %v at worst, and %s; its wires and connectors stand %v",
			worst.Rounded(), why, stands)
	return l
}

// rootOf returns the index of the chain at the supply that feeds the chain: itself where it is one.
func rootOf(c led.Circuit, x led.Chain) int {
	at := -1
	for range len(c.Chains) + 1 {
		at = slices.IndexFunc(c.Chains, func(o led.Chain) bool {
			return slices.ContainsFunc(o.Links, func(k led.Link) bool { return len(x.Links) > 0 && k.Panel == x.Links[0].Panel })
		})
		if x.From == "" || at < 0 {
			break
		}
		up := slices.IndexFunc(c.Chains, func(o led.Chain) bool {
			return slices.ContainsFunc(o.Links, func(k led.Link) bool { return k.Panel == x.From })
		})
		if up < 0 {
			break
		}
		x = c.Chains[up]
	}
	return at
}

// judgeBranches tells which OUT connectors take more than one pair of wires.
func judgeBranches(c led.Circuit) diag.List {
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
				About("chains", "chain").
				Of(w.Panel).Fix("put the wires of one pole together into one ferrule, and check that the terminal takes it")
		}
	}
	return l
}

// judgeGroups tells how connectors with several supply conductors are wired.
func judgeGroups(c led.Circuit) diag.List {
	var l diag.List
	var told [][]led.Group
	for _, w := range c.Boards {
		if len(w.Groups) < 2 || slices.ContainsFunc(told, func(g []led.Group) bool { return slices.Equal(g, w.Groups) }) {
			continue
		}
		told = append(told, w.Groups)
		var pins []string
		for i, g := range w.Groups {
			pins = append(pins, fmt.Sprintf("%d %s", i+1, g.Sign()))
		}
		l.Add(diag.Note, "led-group-pins", "the feed connectors of panel %s, and of all on its feed, have %d pins: %s and %d -", w.Panel, len(w.Groups)+1,
			strings.Join(pins, ", "), len(w.Groups)+1).About("groups").Of(w.Panel).
			Fix("run as many wires from board to board, and dim in the positive wires: -, 0 V, is common to all groups")
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
func wireForDrop(k led.Link, lost, supply part.Volt, req led.Request) (part.Wire, bool) {
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
