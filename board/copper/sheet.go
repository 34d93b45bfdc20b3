package copper

import (
	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/geom"
)

// outline is a piece of copper: points inside an odd number of its rings.
type outline []geom.Ring

// sheets are the pieces of copper of one net on both sides; they may overlap.
type sheets [2][]outline

// curve is how far flattened outlines may be from true: a few micrometres in a track of 400 are one percent.
const curve = 3 * geom.Micrometre

func sheetsOf(b board.Board, net led.NetID) sheets {
	var s sheets
	for _, a := range b.Areas {
		if a.Net == net {
			s[a.On] = append(s[a.On], outline(a.Fill.Rings()))
		}
	}
	for _, t := range b.Tracks {
		if t.Net != net {
			continue
		}
		for _, g := range t.Path.Segments() {
			s[t.On] = append(s[t.On], outline{geom.Stadium(g, t.Width/2).Ring(curve)})
		}
	}
	for _, v := range b.Vias {
		if v.Net == net {
			ring := geom.Circle(v.At, v.D).Ring(curve)
			s[geom.Top], s[geom.Bottom] = append(s[geom.Top], outline{ring}), append(s[geom.Bottom], outline{ring})
		}
	}
	for _, p := range b.Spots {
		if p.Net == net {
			s[p.On] = append(s[p.On], outline{geom.Circle(p.At, p.D).Ring(curve)})
		}
	}
	b.Pads(func(i, j int) bool {
		p := b.Parts[i].Pads[j]
		for _, on := range geom.BothSides() {
			if p.Net == net && p.OnSide(on) {
				s[on] = append(s[on], outline{p.Contour(0).Ring(curve)})
			}
		}
		return true
	})
	return s
}

func (s sheets) box() geom.Box {
	b := geom.EmptyBox()
	for _, side := range s {
		for _, o := range side {
			for _, r := range o {
				b = b.Union(r.Box())
			}
		}
	}
	return b
}
