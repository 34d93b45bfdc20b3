package flow

import (
	"lampblack/board/place"
	"lampblack/led"
	"lampblack/panel/geom"
)

// wishes returns what the project wants of a board's placement: where it tells how the panels stand in the console, each
// connector goes to the edge that faces the board it is wired to.
func (s *session) wishes(name string, c led.Circuit) place.Options {
	opt := place.Options{KeepTurn: s.mounting(name).KeepTurn}
	here, ok := s.standing(name)
	if !ok {
		return opt
	}
	for _, chain := range c.Chains {
		before := chain.From
		for k, link := range chain.Links {
			if link.Panel == name {
				if there, ok := s.standing(before); ok {
					opt.In = facing(here, there)
				}
				if k+1 < len(chain.Links) {
					if there, ok := s.standing(chain.Links[k+1].Panel); ok {
						opt.Out = facing(here, there)
					}
				}
			}
			before = link.Panel
		}
	}
	return opt
}

// standing returns the middle of the named panel in the console, if the project tells where it stands.
func (s *session) standing(name string) (geom.Pt, bool) {
	for _, d := range s.drawings {
		for _, q := range d.Panels {
			if q.Name == name && d.Entry.Stands.Set && len(d.Panels) == 1 {
				c := q.Outline.Box().Centre()
				return d.Entry.Stands.Add(geom.Vec(c)), true
			}
		}
	}
	return geom.Pt{}, false
}

// facing returns the edge of a board at a that looks to b.
func facing(a, b geom.Pt) place.Edge {
	d := b.Sub(a)
	switch {
	case d.X == 0 && d.Y == 0:
		return place.Auto
	case max(d.X, -d.X) >= max(d.Y, -d.Y) && d.X > 0:
		return place.Right
	case max(d.X, -d.X) >= max(d.Y, -d.Y):
		return place.Left
	case d.Y > 0:
		return place.Top
	}
	return place.Bottom
}
