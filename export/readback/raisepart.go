package readback

import (
	"math"
	"slices"

	"lampblack/board"
	"lampblack/export"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// parts gathers the pads by part, in the order in which the copper names them.
func (u *raiser) parts() {
	index := map[string]int{}
	for _, q := range u.pads {
		k, ok := index[q.ref]
		if !ok {
			k = len(u.b.Parts)
			index[q.ref] = k
			u.b.Parts = append(u.b.Parts, board.Part{Ref: q.ref})
		}
		u.b.Parts[k].Pads = append(u.b.Parts[k].Pads, q.Pad)
	}
	for k := range u.b.Parts {
		p := &u.b.Parts[k]
		slices.SortStableFunc(p.Pads, func(a, b board.Pad) int { return comparePins(a.Pin, b.Pin) })
		p.Kind, p.On = kindOf(*p)
		box := geom.EmptyBox()
		for _, d := range p.Pads {
			box = box.With(d.At)
		}
		p.At = box.Centre()
	}
	for _, side := range geom.BothSides() {
		u.components(side, index)
	}
}

// comparePins orders pins by number, shorter names first.
func comparePins(a, b string) int {
	if len(a) != len(b) {
		return len(a) - len(b)
	}
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// kindOf tells what a part is by its pins, and on which side its body is likely to be: LEDs in front, connectors behind,
// surface parts where their pads are.
func kindOf(p board.Part) (board.Kind, geom.Side) {
	has := func(f string) bool {
		return slices.ContainsFunc(p.Pads, func(d board.Pad) bool { return d.Function == f })
	}
	kind, side := board.Resistor, geom.Bottom
	switch {
	case has("A") && has("K"):
		kind, side = board.LED, geom.Top
	case has("+") && has("-"):
		kind = board.Connector
	}
	for _, d := range p.Pads {
		if !d.Through {
			side = d.On
		}
	}
	return kind, side
}

// components reads bodies and courtyards from a component layer.
func (u *raiser) components(side geom.Side, index map[string]int) {
	l, ok := u.art.Layer(export.ComponentTop + export.Function(side))
	if !ok {
		return
	}
	rings := map[[2]string]geom.Ring{}
	for _, o := range l.Objects {
		k, known := index[o.Ref]
		if !known || o.Op == export.Region {
			continue
		}
		p := &u.b.Parts[k]
		switch fn := l.Apertures[o.Aperture].Function; {
		case o.Op == export.Flash && fn == "ComponentMain":
			p.At, p.On = o.To, side
			if o.Part != nil {
				p.Value, p.Footprint, p.Height = o.Part.Value, o.Part.Footprint, o.Part.Height
				p.Turn = ((int(math.Round(o.Part.Rotation/45)) % 8) + 8) % 8 * 45
			}
		case o.Op == export.Draw && (fn == "ComponentOutline,Body" || fn == "ComponentOutline,Courtyard"):
			key := [2]string{o.Ref, fn}
			rings[key] = append(rings[key], pathOf(o)[:max(1, len(pathOf(o))-1)]...)
		}
	}
	for ref, k := range index {
		if r, ok := rings[[2]string{ref, "ComponentOutline,Body"}]; ok {
			u.b.Parts[k].Body = r
		}
		if r, ok := rings[[2]string{ref, "ComponentOutline,Courtyard"}]; ok {
			u.b.Parts[k].Courtyard = r
		}
	}
}

// mask gives the pads and spots their mask openings, and tells of openings that belong to none.
func (u *raiser) mask() {
	type owner struct {
		name string
		board.Pad
		give func(geom.Nm)
	}
	var owners []owner
	places := Grid{}
	own := func(o owner) {
		places.Put(o.At, len(owners))
		owners = append(owners, o)
	}
	for i, p := range u.b.Parts {
		for j, d := range p.Pads {
			own(owner{"pad " + p.Ref + "-" + d.Pin, d, func(m geom.Nm) { u.b.Parts[i].Pads[j].Mask = m }})
		}
	}
	for i, s := range u.b.Spots {
		own(owner{s.Name(), s.Pad(), func(m geom.Nm) { u.b.Spots[i].Mask = m }})
	}
	closed := func(d board.Pad) geom.Nm { return -(min(d.W, d.H) + 1) / 2 }
	margin := make([][2]geom.Nm, len(owners))
	for i, o := range owners {
		c := closed(o.Pad)
		margin[i] = [2]geom.Nm{c, c}
	}
	for _, side := range geom.BothSides() {
		l, ok := u.art.Layer(export.SoldermaskTop + export.Function(side))
		if !ok {
			for i := range margin {
				margin[i][side] = 0 // no soldermask at all: nothing is covered
			}
		}
		for _, o := range l.Objects {
			if o.Op != export.Flash || o.Clear {
				u.fail(spine(o).Centre(), "readback-mask-shape", "a mask opening that is not a flash cannot be judged").Fix("flash the openings of pads")
				continue
			}
			a := l.Apertures[o.Aperture]
			owned := false
			places.At(o.To, func(i int) bool {
				d := owners[i]
				if d.At != o.To || !d.OnSide(side) {
					return false
				}
				owned = true
				m, same := grown(d.Pad, a)
				if !same {
					u.fail(o.To, "readback-mask-shape", "the mask opening of %s has another shape than its copper", d.name).
						Fix("open the mask in the pad's shape")
				}
				margin[i][side] = m
				return false
			})
			if !owned && !u.overHole(o.To) {
				u.found.Add(diag.Warning, "readback-stray-opening", "a mask opening on the %v side belongs to no pad", side).
					At(o.To.X.MM(), o.To.Y.MM()).Fix("leave it out, unless copper is to be bare there")
			}
		}
	}
	for i, o := range owners {
		if o.Through {
			o.give(min(margin[i][0], margin[i][1]))
		} else {
			o.give(margin[i][o.On])
		}
	}
	u.paste()
}

// grown returns by how much an opening is larger than a pad's copper on each side, the least of all.
func grown(d board.Pad, a export.Aperture) (geom.Nm, bool) {
	if a.Shape == export.Circle {
		a.H = a.W
	}
	same := map[board.PadShape]export.ApertureShape{board.Round: export.Circle, board.Square: export.Rectangle, board.Oblong: export.Obround}[d.Shape] == a.Shape && d.Slant == a.Slant
	return min(a.W-d.W, a.H-d.H) / 2, same
}

func (u *raiser) overHole(p geom.Pt) bool {
	return slices.ContainsFunc(u.b.Holes, func(h board.Hole) bool { return h.At.Dist(p) <= float64(near) })
}

func (u *raiser) paste() {
	for _, side := range geom.BothSides() {
		l, _ := u.art.Layer(export.PasteTop + export.Function(side))
		places := Grid{}
		for i, o := range l.Objects {
			if o.Op == export.Flash {
				places.Put(o.To, i)
			}
		}
		for i := range u.b.Parts {
			for j := range u.b.Parts[i].Pads {
				d := &u.b.Parts[i].Pads[j]
				if !d.Through && d.On == side {
					d.Paste = d.Paste || places.At(d.At, func(k int) bool { return l.Objects[k].To == d.At })
				}
			}
		}
	}
}
