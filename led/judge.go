package led

import (
	"fmt"

	"lampblack/led/part"
	"lampblack/panel/diag"
)

// Limits of what is told about the feed and the light.
const (
	dropShare = 0.05 // of the supply voltage lost before a board
	evenLight = 0.90 // of the brightest panel of the same kind and current
	dimShare  = 0.85 // of the current asked for
)

// judge tells what is wrong with, or worth knowing about, the finished circuit.
func (d *design) judge(c Circuit) diag.List {
	var l diag.List
	for b := range d.boards {
		l = append(l, d.judgeBoard(b)...)
	}
	for i := range c.Chains {
		l = append(l, d.judgeFeed(c, i)...)
	}
	l = append(l, d.judgeLight()...)
	return append(l, judgeSupply(c.Source)...)
}

// judgeBoard tells about the currents of one board.
func (d *design) judgeBoard(b int) diag.List {
	var l diag.List
	board := d.boards[b]
	type seen struct {
		kind string
		n    int
	}
	told := map[seen]bool{}
	for _, s := range board.strings {
		k := seen{s.kind.Name, len(s.holes)}
		if told[k] {
			continue
		}
		told[k] = true
		what := fmt.Sprintf("%d %s in series", len(s.holes), s.kind.Name)
		if len(s.holes) == 1 {
			what = "a single " + s.kind.Name
		}
		up, down := float64(s.max)/float64(s.nominal)-1, 1-float64(s.min)/float64(s.nominal)
		// A resistor of the series is not the exact one, so that a string chosen right may pass the limit by a hair.
		if max(up, down) > d.req.MaxChange*1.1 {
			f := l.Add(diag.Warning, "led-current-varies", "the current of %s can be %v to %v instead of %v", what, s.min, s.max, s.nominal).Of(board.Panel)
			if d.req.Supply.Min < d.req.Supply.Max {
				f.Fix("a regulated supply would hold it; or allow for the light changing by %.0f %% down and %.0f %% up", down*100, up*100)
			} else {
				f.Fix("put fewer in series, or use resistors of less tolerance and LEDs of one batch")
			}
		}
		if float64(s.nominal) < dimShare*float64(s.target) {
			l.Add(diag.Warning, "led-current-reduced", "%s get %v instead of %v, so that no corner exceeds the %v they stand or the feed leaves no more",
				what, s.nominal, s.target, s.kind.IMax).Of(board.Panel).Fix("ask for less current, or use a steadier supply or thicker wires")
		}
		if len(s.holes) > 1 {
			short := s.load(0, 0, 0)
			short.leds--
			if i := current(short, board.volts); i > s.kind.IMax {
				l.Add(diag.Warning, "led-short-overload", "if one LED of %s fails as a short circuit, the others get %v, more than the %v they stand", what, i, s.kind.IMax).
					Of(board.Panel).Fix("less current or shorter strings would survive it")
			}
		}
	}
	return l
}

// judgeFeed tells about wires, connectors, drop and fuse of one chain.
func (d *design) judgeFeed(c Circuit, i int) diag.List {
	var l diag.List
	req := d.req
	links := c.Chains[i].Links
	overWire, overPin, overDrop := false, false, false
	for j, k := range links {
		from := "the supply"
		if j > 0 {
			from = "panel " + links[j-1].Panel
		}
		if k.SegmentWorst > req.Wire.Rated && !overWire {
			overWire = true
			f := l.Add(diag.Error, "led-wire-overload", "the wires from %s to panel %s carry up to %v; %s carries %v", from, k.Panel, k.SegmentWorst, req.Wire.Text, req.Wire.Rated).Of(k.Panel)
			if w, ok := thicker(req.Wire, k.SegmentWorst); ok {
				f.Fix("use %s, or split the chain in two", w.Text)
			} else {
				f.Fix("split the chain into several, each with its own wires to the supply")
			}
		}
		if k.SegmentWorst > req.ConnectorRated && !overPin {
			overPin = true
			l.Add(diag.Error, "led-connector-overload", "the feed connector of panel %s passes up to %v, more than its %v", k.Panel, k.SegmentWorst, req.ConnectorRated).Of(k.Panel).
				Fix("use connectors for more current, or split the chain in two")
		}
		if lost := req.Supply.Nominal - k.Volts; float64(lost) > dropShare*float64(req.Supply.Nominal) && !overDrop {
			overDrop = true
			f := l.Add(diag.Warning, "led-feed-drop", "the feed loses %v of %v on the way to panel %s", lost, req.Supply.Nominal, k.Panel).Of(k.Panel)
			if w, ok := thicker(req.Wire, req.Wire.Rated*1.01); ok {
				f.Fix("use %s, shorter wires, or a chain of its own", w.Text)
			} else {
				f.Fix("use shorter wires, or several chains")
			}
		}
	}
	if len(links) == 0 || links[0].SegmentWorst <= 0 {
		return l
	}
	to := links[0].Panel
	fuse, ok := fuseFor(links[0].SegmentWorst)
	switch {
	case !ok || fuse > req.Wire.Rated || fuse > req.ConnectorRated:
		l.Add(diag.Warning, "led-fuse", "no usual fuse lies between the %v that the chain to panel %s draws at worst and the %v that its wires and connectors stand",
			links[0].SegmentWorst, to, min(req.Wire.Rated, req.ConnectorRated)).Fix("use thicker wires and connectors for more current, or several chains with a fuse each")
	default:
		l.Add(diag.Note, "led-fuse", "the chain to panel %s wants a fuse of %v (IEC 60127, slow) right at the supply; a board has none", to, fuse).
			Fix("put it into the positive wire: it protects the wires when one chafes through")
	}
	return l
}

// fuseUse is the share of a fuse's rating that is used for good. IEC 60127 links stand all of it, UL 248-14 ones 75 %
// (common practice, references.md section 5): the cautious figure lets the builder take either.
const fuseUse = 0.75

// leastFuse is the smallest fuse that is advised: smaller ones lose a good part of the supply themselves, up to 3.5 V at
// 100 mA but 0.9 V at 500 mA (IEC 60127 by references.md section 5), and the wires stand more anyway.
const leastFuse part.Amp = 0.5

// fuseFor returns the fuse for a chain that draws i at worst.
func fuseFor(i part.Amp) (part.Amp, bool) { return part.FuseFor(max(i, leastFuse*fuseUse), fuseUse) }

// thicker returns the next usual wire above w that carries i.
func thicker(w part.Wire, i part.Amp) (part.Wire, bool) {
	for _, s := range part.WireSizes() {
		if s.MM2 > w.MM2 && s.Rated >= i {
			return s, true
		}
	}
	return part.Wire{}, false
}

// judgeLight tells of panels darker than others that were asked to be alike.
func (d *design) judgeLight() diag.List {
	var l diag.List
	key := func(b boardPlan) alike { return alike{b.Kind.Name, b.Current} }
	best := map[alike]float64{}
	for _, b := range d.boards {
		best[key(b)] = max(best[key(b)], b.meanCurrent())
	}
	for _, b := range d.boards {
		if i := b.meanCurrent(); i > 0 && i < evenLight*best[key(b)] {
			l.Add(diag.Warning, "led-uneven-panels", "panel %s gets %.0f %% of the light of the brightest panel of its kind", b.Panel, 100*i/best[key(b)]).Of(b.Panel).
				Fix("use thicker wires, move it nearer to the supply, or choose resistors from a finer series than %s", b.Series)
		}
	}
	return l
}

// judgeSupply tells what the verdict means. The load at its worst decides; above the rating the console is refused when the
// typical load is.
func judgeSupply(s Source) diag.List {
	var l diag.List
	want := part.Amp(float64(s.Worst+s.Other) / okShare)
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
