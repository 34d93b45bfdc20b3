package flow

import (
	"lampblack/board/place"
	"lampblack/led"
	"lampblack/panel/geom"
)

// wishes returns what the project wants of the placement of a panel's boards: each connector goes to the edge that faces the
// board it is wired to, where it is known how they stand: boards of one panel to each other, and panels in the console.
func (s *session) wishes(b *Built, c led.Circuit) []place.Options {
	out := make([]place.Options, len(b.Boards))
	for k, m := range b.Boards {
		opt := &out[k]
		opt.KeepTurn = s.mounting(b.Panel.Name).KeepTurn
		for _, chain := range c.Chains {
			before := chain.From
			for i, link := range chain.Links {
				if link.Panel == m.Name() {
					opt.In = s.facing(m.Name(), before)
					if i+1 < len(chain.Links) {
						opt.Out = s.facing(m.Name(), chain.Links[i+1].Panel)
					}
				}
				before = link.Panel
			}
		}
	}
	return out
}

// facing returns the edge of the first board that looks to the second, Auto where their places are not known.
func (s *session) facing(here, there string) place.Edge {
	a, okA := s.standing(here)
	b, okB := s.standing(there)
	switch {
	case !okA || !okB:
	case a.panel == b.panel:
		return facing(a.inPanel, b.inPanel)
	case a.known && b.known:
		return facing(a.inConsole, b.inConsole)
	}
	return place.Auto
}

// stand is the middle of a board, in its panel and, if the project tells where that stands, in the console.
type stand struct {
	panel              string
	inPanel, inConsole geom.Pt
	known              bool
}

// standing returns where the named board stands.
func (s *session) standing(name string) (stand, bool) {
	for _, d := range s.drawings {
		for _, b := range d.boards() {
			if b.name == name {
				one := stand{panel: b.panel, inPanel: b.box.Centre(), known: d.Entry.Stands.Set && len(d.Panels) == 1}
				one.inConsole = d.Entry.Stands.Add(geom.Vec(one.inPanel))
				return one, true
			}
		}
	}
	return stand{}, false
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
