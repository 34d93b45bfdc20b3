package flow

import (
	"slices"

	"lampblack/board/footprint"
	"lampblack/board/place"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// wishes returns what the project wants of the placement of a panel's boards: each connector goes to the edge that faces the
// board it is wired to, where it is known how they stand: boards of one panel to each other, and panels in the console.
func (s *session) wishes(b *Built, c led.Circuit) ([]place.Options, diag.List) {
	out := make([]place.Options, len(b.Boards))
	var l diag.List
	if b.Unlit {
		return out, l
	}
	how := s.mounting(b.Panel.Name)
	in, last := ends(b, c)
	out[in].ToldIn, out[last].ToldOut = s.told(b.Panel, how.Connectors.In), s.told(b.Panel, how.Connectors.Out)
	if !b.alone() && (out[in].ToldIn.Set() || out[last].ToldOut.Set()) {
		l.Add(diag.Note, "place-outer-connectors", "of the panel's %d boards, connectors tells where IN of %s and OUT of %s stand; those between the boards face each other",
			len(b.Boards), b.Boards[in].Name(), b.Boards[last].Name()).
			Of(b.Panel.Name).About(diag.PanelKey(b.Panel.Name, "connectors"), "defaults.connectors").Fix("nothing to do; the order of the boards along the feed is that of chain")
	}
	for k, m := range b.Boards {
		opt := &out[k]
		opt.KeepTurn = how.KeepTurn
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
	return out, l
}

// ends returns which of a panel's boards is the first along the feed, and which the last.
func ends(b *Built, c led.Circuit) (first, last int) {
	found := false
	for _, chain := range c.Chains {
		for _, link := range chain.Links {
			k := slices.IndexFunc(b.Boards, func(m Made) bool { return m.Name() == link.Panel })
			if k < 0 {
				continue
			}
			if last = k; !found {
				first, found = k, true
			}
		}
	}
	return first, last
}

// told returns where a connector must stand in the panel's frame. A place on a drawing of several panels is the nearest one's alone.
func (s *session) told(p panel.Panel, want project.Berth) place.Told {
	switch i := slices.Index(project.Edges(), want.Edge); {
	case i >= 0:
		return place.Told{Edge: [...]place.Edge{place.Left, place.Bottom, place.Right, place.Top}[i]}
	case !want.Here:
		return place.Told{}
	}
	at := func(q panel.Panel) geom.Pt { return onPanel(q, diag.Point{X: want.X, Y: want.Y}) }
	own := p.Outline.Box().Dist(geom.BoxOf(at(p)))
	if i, ok := s.drawn(p); ok {
		for _, q := range s.drawings[i].Panels {
			if q.Outline.Box().Dist(geom.BoxOf(at(q))) < own {
				return place.Told{}
			}
		}
	}
	return place.Told{Here: true, At: at(p), From: p.Origin}
}

// taken returns where no LED is placed, since the project puts a connector there.
func (s *session) taken(p panel.Panel, want project.Connectors, pkg string) []geom.Contour {
	var out []geom.Contour
	for _, b := range []project.Berth{want.In, want.Out} {
		if t := s.told(p, b); t.Here {
			if fp, ok := footprint.Lookup(pkg); ok {
				yard := fp.Courtyard.Box()
				reach := max(-yard.Min.X, -yard.Min.Y, yard.Max.X, yard.Max.Y) // whichever way it will be turned
				out = append(out, geom.Rect(geom.Box{Min: t.At, Max: t.At}.Grown(reach)))
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
				one := stand{panel: b.panel, inPanel: b.box.Centre()}
				one.inConsole, one.known = d.corner(b.panel)
				one.inConsole = one.inConsole.Add(geom.Vec(one.inPanel))
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
