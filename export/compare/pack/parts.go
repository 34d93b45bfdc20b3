package pack

import (
	"fmt"
	"math"
	"slices"

	"lampblack/export"
	"lampblack/export/readback"
	"lampblack/panel/geom"
)

// fitted is a part as the files tell it.
type fitted struct {
	ref, value, footprint string
	at                    geom.Pt
	turn                  float64 // degrees; of parts of component layers alone
	on                    geom.Side
	pins                  []geom.Pt
	through               bool
}

func (p fitted) String() string {
	s := p.ref
	if p.value != "" {
		s += " (" + p.value + ")"
	}
	return s
}

// partsOf reads parts from the component layers, or, where there are none or they are not wanted, from the pins that copper or, failing
// that, the netlist names.
func partsOf(from readback.Pack, placed bool) []fitted {
	a := from.Artwork
	var out []fitted
	index := map[string]int{}
	at := func(ref string, side geom.Side) *fitted {
		k, ok := index[ref]
		if !ok {
			k = len(out)
			index[ref] = k
			out = append(out, fitted{ref: ref, on: side})
		}
		return &out[k]
	}
	for _, l := range a.Layers {
		if comp := l.Function == export.ComponentTop || l.Function == export.ComponentBottom; comp != placed || !comp && !l.Function.Copper() {
			continue
		}
		for _, o := range l.Objects {
			if o.Ref == "" || o.Op != export.Flash || !placed && o.Pin == "" {
				continue
			}
			p := at(o.Ref, l.Function.Side())
			if o.Pin != "" {
				if !slices.Contains(p.pins, o.To) {
					p.pins = append(p.pins, o.To)
				}
			} else if c := o.Part; c != nil {
				p.at, p.turn, p.value, p.footprint, p.through = o.To, c.Rotation, c.Value, c.Footprint, c.Through
			}
		}
	}
	if !placed && len(out) == 0 {
		for _, q := range from.Netlist.Points {
			if q.Ref != "" && q.Ref != "VIA" {
				p := at(q.Ref, geom.Top)
				p.pins = append(p.pins, q.At)
			}
		}
	}
	for i := range out {
		if placed {
			continue
		}
		box := geom.BoxOf(out[i].pins...)
		out[i].at, out[i].through = box.Centre(), true
	}
	slices.SortFunc(out, func(a, b fitted) int { return natural(a.ref, b.ref) })
	return out
}

// hasPlaces reports whether a pack has component layers.
func hasPlaces(a export.Artwork) bool {
	return slices.ContainsFunc(a.Layers, func(l export.Layer) bool {
		return (l.Function == export.ComponentTop || l.Function == export.ComponentBottom) && len(l.Objects) > 0
	})
}

// parts tells of parts: paired where one of the same kind stands at the same place, then by name, then the nearest.
func (c *comparison) parts() {
	placed := hasPlaces(c.was.Artwork) && hasPlaces(c.is.Artwork)
	was, is := partsOf(c.was, placed), partsOf(c.is, placed)
	c.joined = [2]map[string]string{{}, {}}
	c.own = [2]readback.Grid{{}, {}}
	if len(was) == 0 || len(is) == 0 {
		if len(was)+len(is) > 0 {
			c.unknown = append(c.unknown, fmt.Sprintf("parts of board %s, as one pack names none", c.name))
		} else {
			c.unknown = append(c.unknown, fmt.Sprintf("parts of board %s, as neither pack names any", c.name))
		}
		return
	}
	other := pairs(was, is)
	var gone, added, turned, values []string
	type move struct {
		text string
		far  float64
	}
	var moves []move
	renamed, away, another := 0, false, false
	taken := make([]bool, len(is))
	for i, p := range was {
		k := other[i]
		if k < 0 {
			gone = append(gone, fmt.Sprintf("%v at %s", p, c.spot(p.at)))
			c.keep(0, p)
			continue
		}
		q := is[k]
		taken[k] = true
		c.joined[0][p.ref], c.joined[1][q.ref] = q.ref, p.ref
		if p.ref != q.ref {
			renamed++
		}
		if p.value != q.value || p.footprint != q.footprint {
			values = append(values, fmt.Sprintf("%s was %s, it is %s", q.ref, kind(p), kind(q)))
			another = true
		}
		far := p.at.Dist(q.at)
		if far > float64(readback.Same) || p.on != q.on {
			text := fmt.Sprintf("%s from %s to %s, by %s mm", q.ref, c.spot(p.at), c.spot(q.at), figure(geom.Nm(far).MM(), 3))
			if p.on != q.on {
				text += ", to the " + q.on.String()
			}
			moves = append(moves, move{text, far})
			away = away || far > float64(hand) && (p.through || q.through) || p.on != q.on
		}
		swung := placed && math.Abs(math.Remainder(p.turn-q.turn, 360)) > 0.5
		if swung {
			turned = append(turned, fmt.Sprintf("%s from %s to %s degrees", q.ref, figure(p.turn, 1), figure(q.turn, 1)))
		}
		if far > float64(readback.Same) || swung || !samePins(p, q) {
			c.keep(0, p)
			c.keep(1, q)
		}
	}
	for k, q := range is {
		if !taken[k] {
			added = append(added, fmt.Sprintf("%v at %s", q, c.spot(q.at)))
			c.keep(1, q)
		}
	}
	var places []string
	for _, m := range moves {
		places = append(places, m.text)
	}
	for _, t := range []struct {
		code, words string
		all         []string
	}{{"part-gone", "gone", gone}, {"part-added", "new", added}, {"part-moved", "moved", places}, {"part-turned", "turned", turned}, {"part", "changed", values}} {
		if len(t.all) > 0 {
			c.say(t.code, "%s %s: %s", plural(len(t.all), "part"), t.words, list(t.all))
		}
	}
	if renamed > 0 {
		c.say("references", "%s another reference", map[bool]string{true: "1 part has", false: fmt.Sprintf("%d parts have", renamed)}[renamed == 1])
	}
	for _, t := range []struct {
		bad bool
		why string
	}{{len(gone)+len(added) > 0, "it has other parts"}, {another, "parts on it have other values"}, {away, "parts stand elsewhere on it"}, {len(turned) > 0, "parts on it are turned"}} {
		if t.bad {
			c.no("%s", t.why)
		}
	}
}

func kind(p fitted) string {
	switch {
	case p.value == "" && p.footprint == "":
		return "of no kind that is told"
	case p.footprint == "":
		return p.value
	case p.value == "":
		return p.footprint
	}
	return p.value + " in " + p.footprint
}

func samePins(p, q fitted) bool {
	return !slices.ContainsFunc(p.pins, func(a geom.Pt) bool {
		return !slices.ContainsFunc(q.pins, func(b geom.Pt) bool { return a.Dist(b) <= float64(readback.Same) })
	})
}

// keep notes the pins of a part whose holes are told with it.
func (c *comparison) keep(side int, p fitted) {
	for _, at := range p.pins {
		c.own[side].Put(at, 0)
		c.told = append(c.told, round{at, 2 * geom.Millimetre})
	}
}

// pairs returns for each old part which of the new ones it is, or -1.
func pairs(was, is []fitted) []int {
	out := make([]int, len(was))
	for i := range out {
		out[i] = -1
	}
	taken := make([]bool, len(is))
	join := func(fits func(p, q fitted) bool) {
		for i, p := range was {
			for k, q := range is {
				if out[i] < 0 && !taken[k] && fits(p, q) {
					out[i], taken[k] = k, true
				}
			}
		}
	}
	here := func(p, q fitted) bool { return p.on == q.on && p.at.Dist(q.at) <= float64(readback.Same) }
	join(func(p, q fitted) bool { return p.ref == q.ref && here(p, q) })
	join(func(p, q fitted) bool { return p.footprint == q.footprint && here(p, q) })
	join(here)
	join(func(p, q fitted) bool { return p.ref == q.ref })
	// What is left has neither place nor name in common: the nearest of its kind.
	for i, p := range was {
		k, far := -1, float64(reach)
		for j, q := range is {
			if by := p.at.Dist(q.at); out[i] < 0 && !taken[j] && p.footprint == q.footprint && p.on == q.on && by <= far {
				k, far = j, by
			}
		}
		if k >= 0 {
			out[i], taken[k] = k, true
		}
	}
	return out
}

// natural sorts D2 before D10.
func natural(a, b string) int {
	if x, y := len(a), len(b); x != y && a != "" && b != "" && a[0] == b[0] {
		return x - y
	}
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}
