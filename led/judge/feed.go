package judge

import (
	"cmp"
	"fmt"
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
			f := l.Add(diag.Error, "led-wire-overload", "the wires from %s to %s carry up to %v; %s carries %v", s.from, s.to, s.worst, s.feed.Wire, s.feed.Rated.Allowed()).
				About(diag.PanelKey(s.panel, "wire"), "feed.wire").Of(s.panel).SparesBoards()
			if w, ok := wireFor(s.worst); ok {
				key, whole := "feed.wire", " for the whole feed"
				if req.For(s.panel).Wire.Ohms > 0 {
					key, whole = diag.PanelKey(s.panel, "wire"), " there"
				}
				f.Fix("use %s, or split the chain in two", w.Text).By("take wire of "+w.Text+whole, diag.Set, key, w.Text)
			} else {
				f.Fix("split the chain into several, each with its own wires to the supply")
			}
		}
		if s.worst > req.ConnectorRated && !overPin {
			overPin = true
			l.Add(diag.Error, "led-connector-overload", "the feed connector of panel %s passes up to %v, more than its %v", s.panel, s.worst, req.ConnectorRated).
				About("feed.connector").Of(s.panel).
				Fix("use connectors for %v or more, or split the chain in two", s.worst.Rating()).
				By("take connectors for "+s.worst.Rating().String(), diag.Set, "feed.connector", s.worst.Rating().String())
		}
	}
	for _, k := range chain.Links {
		lost := k.Lost.Total()
		if float64(lost) <= dropShare*float64(c.Source.Nominal) || overDrop {
			continue
		}
		overDrop = true
		worst := slices.MaxFunc(chain.Links, func(a, b led.Link) int { return cmp.Compare(a.Lost.Total(), b.Lost.Total()) })
		l = append(l, judgeDrop(c.Source, k, worst, req))
	}
	if len(chain.Links) > 0 && chain.Links[0].SegmentWorst > 0 && chain.From == "" {
		l = append(l, judgeFuse(c, i, req)...)
	}
	return l
}

// judgeDrop tells what is lost on the way to a board, and blames what loses most. worst is the board of its chain to which most is
// lost: what is advised must do for it too.
func judgeDrop(src led.Source, k, worst led.Link, req led.Request) diag.Finding {
	var l diag.List
	code, about := "led-feed-drop", []string{diag.PanelKey(k.Panel, "wire"), "feed.wire"}
	fix, wire := "use shorter wires, several chains, or feed the chain at both ends", ""
	parts := k.Lost.Parts()
	blame := led.InWires
	if len(parts) > 0 {
		blame = parts[0].Where
	}
	switch blame {
	case led.InSupply:
		code, about = "led-supply-drop", []string{"supply.resistance"}
		fix = "use a supply that holds its voltage, or take other loads off it; other wires would change little"
	case led.InFuse:
		about = []string{"feed.fuse"}
		fix = "use a larger fuse if wires and connectors stand it, since it loses less, or a higher supply voltage"
	case led.InSwitch:
		about = []string{"feed.switch"}
		fix = "use a switch whose contacts have less resistance, or one that switches the supply before it"
	case led.InContacts:
		about = []string{"feed.contact"}
		fix = "use connectors of less contact resistance, several chains, or feed the chain at both ends"
	case led.InBoards:
		about = []string{"fabrication.copper", "feed.wire"}
		fix = "use several chains, feed the chain at both ends, or order thicker copper"
	default:
		if w, ok := wireForDrop(worst, src.Nominal, req); ok {
			wire = w.Text
			fix = fmt.Sprintf("use %s, shorter wires, or a chain of its own", w.Text)
		}
	}
	f := l.Add(diag.Warning, code, "panel %s gets %v of %v; lost on the way: %v", k.Panel, k.Volts, src.Nominal, k.Lost).
		About(about...).Of(k.Panel).Fix("%s", fix)
	if wire != "" && req.For(k.Panel).Wire.Ohms == 0 { // the wires before it are the feed's
		f.By("take wire of "+wire+" for the whole feed", diag.Set, "feed.wire", wire)
	}
	return l[0]
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
	fuse := chain.Guard.Fuse
	if req.Fuse > 0 {
		return append(l, judgeOwnFuse(to, fuse, worst, stands)...)
	}
	if fuse == 0 || fuse > stands {
		f := l.Add(diag.Warning, "led-fuse", "no usual fuse lies between the %v that the chain to panel %s draws at worst and the %v that its wires and connectors stand",
			worst.Rounded(), to, stands.Allowed()).About("feed.wire")
		if w, found := wireFor(fuse); fuse > 0 && found {
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
			worst.Rounded(), why, stands.Allowed())
	return l
}

// judgeOwnFuse tells what is wrong with a fuse that the project asks for.
func judgeOwnFuse(to string, fuse, worst, stands part.Amp) diag.List {
	var l diag.List
	switch {
	case worst > fuse:
		l.Add(diag.Warning, "led-fuse", "the fuse of %v blows: the chain to panel %s takes %v at worst", fuse, to, worst.Rounded())
	case float64(worst) > led.FuseUse*float64(fuse):
		l.Add(diag.Note, "led-fuse", "the fuse of %v may age: the chain to panel %s takes %v at worst, more than %.0f %% of its rating", fuse, to, worst.Rounded(), 100*led.FuseUse)
	case fuse > stands:
		l.Add(diag.Warning, "led-fuse", "the fuse of %v does not protect the chain to panel %s, whose wires and connectors stand %v", fuse, to, stands.Allowed())
	default:
		return l
	}
	if f, ok := led.FuseFor(worst); ok {
		l[0].Fix("leave feed.fuse out: a fuse of %v would be taken", f).By("take a fuse of "+f.String(), diag.Remove, "feed.fuse", nil)
	} else {
		l[0].Fix("make several chains of it, with a fuse each")
	}
	l[0] = *l[0].About("feed.fuse")
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
func wireForDrop(k led.Link, supply part.Volt, req led.Request) (part.Wire, bool) {
	w := req.For(k.Panel).Wire
	if w.Ohms == 0 {
		w = req.Wire
	}
	inWire, lost := float64(k.Lost.Wires), float64(k.Lost.Total())
	for _, s := range part.WireSizes() {
		if s.Ohms < w.Ohms && lost-inWire*(1-float64(s.Ohms/w.Ohms)) <= dropShare*float64(supply) && s.Rated >= k.SegmentWorst {
			return s, true
		}
	}
	return part.Wire{}, false
}
