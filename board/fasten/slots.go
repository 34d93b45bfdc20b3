package fasten

import (
	"math"
	"slices"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/material"
)

const (
	slotStep  = 50 * geom.Micrometre // slots reach whole steps to either side: shorter ones are none
	slotLeast = geom.Millimetre      // of what is left of a sheet between a slot and what else is cut (common practice)
)

// growth is how a sheet grows.
type growth struct {
	panel.Sheet
	material.Strain
}

// growths are those of the sheets that there are, from the front.
func (s Stack) growths(c material.Climate) []growth {
	var out []growth
	for sheet, one := range [panel.Sheets]struct {
		thick geom.Nm
		kind  material.Kind
	}{{s.Face, s.Thick.Face.Kind}, {s.Diffuser, s.Thick.Diffuser.Kind}, {s.Sheet, s.Thick.LED.Kind}, {s.Plate, s.Thick.Plate.Kind}} {
		if one.thick > 0 {
			out = append(out, growth{panel.Sheet(sheet), one.kind.Strain(c)})
		}
	}
	return out
}

// slots is the mounts of a panel and what grows between them.
type slots struct {
	p      panel.Panel
	mounts []Mount
	grow   []growth // the face's first
	board  material.Strain
	round  map[string]geom.Pt // of each board: where its screws hold it and the face together
	main   geom.Pt            // where they hold all sheets together
}

// Slots returns the slots that mounts want in the sheets where a board holds them so that one would arch: all of that board but one,
// which stays round (Support.Round); and the mounts of which something is in the way. Where boards hold nothing so there are none.
//
// At each mount a sheet moves against the screw by what both have grown: the sheet from the place where all sheets are held together,
// the face from there to where a board is held to it, the board from there. Sheets of one kind so move towards their board's round hole
// and away from it, by their growth beyond the board's. A slot reaches as far either way, whatever play a hole as drawn has: that is for
// what is not where it was drawn.
func Slots(p panel.Panel, mounts []Mount, held []Support, s Stack, c material.Climate) (out []panel.Slot, cramped []int) {
	g := slots{p: p, mounts: mounts, grow: s.growths(c), board: material.BoardStrain(c), round: map[string]geom.Pt{}}
	var all geom.Box
	for i, m := range mounts {
		if i == 0 {
			all = geom.BoxOf(m.At)
		}
		all = all.Union(geom.BoxOf(m.At))
	}
	wanted := map[string]bool{}
	best := math.Inf(1)
	for _, h := range held {
		if h.Screws == 0 {
			continue
		}
		g.round[h.Board], wanted[h.Board] = h.Round, h.Held()
		if d := h.Round.Dist(all.Centre()); d < best {
			g.main, best = h.Round, d
		}
	}
	for i, m := range mounts[:len(p.Mounts)] {
		if m.Thread == "" || !wanted[m.Board] {
			continue
		}
		if own, free := g.at(i); free {
			out = append(out, own...)
		} else {
			cramped = append(cramped, i)
		}
	}
	return out, cramped
}

// at returns the slots of a mount, and whether they leave enough of each sheet.
func (g slots) at(i int) (out []panel.Slot, free bool) {
	m := g.mounts[i]
	for _, one := range g.grow {
		x, y := g.moves(one.Strain, m)
		d := math.Hypot(x, y)
		half := geom.Nm(math.Ceil(d/float64(slotStep)-1e-6)) * slotStep
		if half < slotStep || d < 1 {
			continue
		}
		v := geom.Vec{X: geom.Nm(math.Round(float64(x * float64(half) / d))), Y: geom.Nm(math.Round(float64(y * float64(half) / d)))}
		slot := panel.Slot{Mount: i, Sheet: one.Sheet, Along: geom.Segment{A: m.At.Add(v.Neg()), B: m.At.Add(v)}}
		if !g.free(slot) {
			return nil, false
		}
		out = append(out, slot)
	}
	return out, true
}

// moves returns the farthest that a sheet that grows so moves against a mount's screw.
func (g slots) moves(own material.Strain, m Mount) (x, y float64) {
	at, face := g.round[m.Board], g.grow[0]
	of := func(s, f, b float64) (x, y float64) {
		along := func(m, main, at geom.Nm) float64 {
			return float64(s*float64(m-main)) - float64(f*float64(at-main)) - float64(b*float64(m-at))
		}
		return along(m.At.X, g.main.X, at.X), along(m.At.Y, g.main.Y, at.Y)
	}
	x, y = of(own.Most, face.Most, g.board.Most)
	if u, v := of(own.Least, face.Least, g.board.Least); math.Hypot(u, v) > math.Hypot(x, y) {
		return u, v
	}
	return x, y
}

// free reports whether a slot leaves enough of its sheet, or as much as the hole as drawn does.
func (g slots) free(s panel.Slot) bool {
	h := g.p.Mounts[s.Mount]
	near := []geom.Contour{g.p.Outline}
	near = append(near, g.p.Cuts(s.Sheet)...)
	for i, o := range g.p.Mounts {
		if i != s.Mount {
			near = append(near, geom.Circle(o.At, o.D))
		}
	}
	if s.Sheet == panel.LEDSheet {
		for _, o := range g.p.LEDs {
			near = append(near, geom.Circle(o.At, o.D))
		}
	}
	middle, hole := geom.Ring{s.Along.A, s.Along.B}, float64(h.D/2)
	for _, c := range near {
		box := c.Box()
		if !box.Grown(slotLeast+h.D).Touches(middle.Box()) && len(c) > 0 && box != g.p.Outline.Box() {
			continue
		}
		ring := c.Ring(geom.FlattenTolerance)
		was, is := ring.DistTo(h.At)-hole, math.Inf(1)
		for _, e := range ring.Segments() {
			is = min(is, e.DistTo(s.Along.A), e.DistTo(s.Along.B), s.Along.DistTo(e.A))
		}
		if is -= hole; is < float64(slotLeast) && is < was-1 {
			return false
		}
	}
	return true
}

// Slotted returns the mounts and what holds the boards with the lengths of their slots.
func Slotted(p panel.Panel, mounts []Mount, held []Support, slots []panel.Slot) ([]Mount, []Support) {
	mounts, held = slices.Clone(mounts), slices.Clone(held)
	for _, s := range slots {
		m := &mounts[s.Mount]
		if long := p.Mounts[s.Mount].D + geom.Nm(math.Round(s.Along.A.Dist(s.Along.B))); long > m.Slot {
			k := slices.IndexFunc(held, func(h Support) bool { return h.Board == m.Board })
			if m.Slot == 0 {
				held[k].Slotted++
			}
			m.Slot, held[k].Longest = long, max(held[k].Longest, long)
		}
	}
	return mounts, held
}

// JudgeSlots tells slots that a screw's head does not cover, and mounts that want slots and have no room for them.
func JudgeSlots(p panel.Panel, mounts []Mount, slots []panel.Slot, cramped []int) diag.List {
	var l diag.List
	keys := []string{diag.PanelKey(p.Name, "slots"), "defaults.slots"}
	for _, s := range slots {
		m, t := mounts[s.Mount], ThreadOf(mounts[s.Mount].Board, mounts[s.Mount:s.Mount+1])
		// As built the screw is in the middle of its slot; at most it is at one end, and the other one is as far off as the slot is long.
		long := geom.Nm(math.Round(s.Along.A.Dist(s.Along.B)))
		open, sev, when := long+m.D/2, diag.Note, "where it is coldest or warmest "
		if long/2+m.D/2 > t.Head/2 {
			sev, when = diag.Warning, ""
		}
		if s.Sheet != panel.FaceSheet || open <= t.Head/2 {
			continue
		}
		f := l.Add(sev, "fasten-slot-shows", "%sthe slot of a mount in the face shows beside the screw's head: it reaches up to %.1f mm from the screw's middle, the head %.1f (ISO 7045)", when, open.MM(), t.Head.MM()/2).
			Together(when+"the slots of %d mounts in the face show beside their screws' heads").
			About(keys...).At(m.At.X.MM(), m.At.Y.MM())
		if open <= t.Over/2 {
			f.Fix("put a washer %s under the head (ISO 7089), %v across", t.Name, t.Over)
		} else {
			f.Fix("put a washer under the head that is %.0f mm across or more (ISO 7093 has wider ones), or draw one more mount nearer to the middle of the board", math.Ceil(2*open.MM()))
		}
	}
	for _, i := range cramped {
		m := mounts[i]
		l.Add(diag.Note, "fasten-slot-cramped", "a mount wants slots in the sheets, as these grow against the board, and less than %v would be left beside them: its holes stay round", slotLeast).
			Together("%d mounts want slots in the sheets, and too little would be left beside these: their holes stay round").
			About(keys...).At(m.At.X.MM(), m.At.Y.MM()).Fix("move it away from what is beside it, or draw it wider")
	}
	return l
}
