package flow

import (
	"cmp"
	"slices"

	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// corner returns where the lower left corner of a drawing's panel stands in the console, if the project tells. It tells of the
// drawing as a whole: its panels keep their places to each other.
func (d Drawing) corner(name string) (at geom.Pt, ok bool) {
	if !d.Entry.Stands.Set {
		return at, false
	}
	for _, q := range d.Panels {
		if q.Name != name {
			continue
		}
		first := q.Origin
		for _, o := range d.Panels {
			first.X, first.Y = min(first.X, o.Origin.X), min(first.Y, o.Origin.Y)
		}
		return d.Entry.Stands.Add(geom.Vec{X: geom.MM(q.Origin.X - first.X), Y: geom.MM(q.Origin.Y - first.Y)}), true
	}
	return at, false
}

// spot is where a panel that was built stands in the console.
type spot struct {
	built int // index into Outcome.Built
	at    geom.Pt
	set   bool // at is told
}

// spots returns the panels that were built as they stand in the console: in the order of the feed, so that those without a place
// of their own stand as they are wired.
func (s *session) spots(out *Outcome) []spot {
	turn := map[string]int{}
	for _, c := range out.Circuit.Chains {
		for _, k := range c.Links {
			name := cmp.Or(s.owners[k.Panel], k.Panel)
			if _, ok := turn[name]; !ok {
				turn[name] = len(turn)
			}
		}
	}
	of := func(q spot) int {
		if n, ok := turn[out.Built[q.built].Panel.Name]; ok {
			return n
		}
		return len(turn) // on no feed: behind all
	}
	var all []spot
	for i, b := range out.Built {
		if b.Stopped != "" {
			continue
		}
		one := spot{built: i}
		for _, d := range s.drawings {
			if at, ok := d.corner(b.Panel.Name); ok {
				one.at, one.set = at, true
			}
		}
		all = append(all, one)
	}
	slices.SortStableFunc(all, func(a, b spot) int { return cmp.Compare(of(a), of(b)) })
	return all
}

// lit returns the panels that were built and have light, as they stand; ok is false where the lettering of one could not be made.
func (s *session) lit(out *Outcome) (all []showPanel, fault *diag.Finding, ok bool) {
	for _, q := range s.spots(out) {
		b := out.Built[q.built]
		if b.Unlit {
			continue
		}
		whole, fault, ok := s.engraved(b.Panel)
		if !ok {
			return nil, fault, false
		}
		all = append(all, showPanel{whole, b.lit, q.at, q.set})
	}
	return all, nil, true
}
