package readback

import (
	"context"

	"lampblack/board"
	"lampblack/export"
	"lampblack/led"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Raise turns artwork back into a board, so that board/check can judge what was written.
//
// Pads come from copper flashes with a pin (.P); one at the same place on both sides is a through pad, and its hole comes
// from the plated drill file. Round flashes of test points and fiducials are spots, flashes without a pin over a plated hole are
// vias, others become areas. Draws that
// follow each other make tracks; regions, less the regions cleared after them, make areas. Mask openings give the pads
// their margins, silkscreen draws and areas the legend, the profile outline and cutouts. What a part is follows from its pins: A and
// K make an LED, + and - a connector, anything else a resistor; its body and courtyard come from the component layers,
// if there are any. Holes wider than 2.5 mm, or made with a tool for mounting, count as mount holes. What a Board cannot
// hold is an error. Once ctx is done what it returns means nothing.
func Raise(ctx context.Context, p Pack, r board.Rules) (b board.Board, l diag.List) {
	work.Until(ctx, func(w *work.Watch) { b, l = raised(w, p, r) })
	return b, l
}

func raised(w *work.Watch, p Pack, r board.Rules) (board.Board, diag.List) {
	u := &raiser{watch: w, art: p.Artwork, nets: map[string]led.NetID{}}
	u.b = board.Board{Name: p.Artwork.Name, Rules: r, Laminate: p.Artwork.Laminate, Nets: []led.Net{{}}}
	for _, step := range []func(){u.nameNets, u.profile, u.holes, u.copper, u.parts, u.mask, u.legend} {
		w.Look()
		step()
	}
	return u.b, u.found.Capped(maxFindings)
}

type raiser struct {
	watch *work.Watch
	art   export.Artwork
	b     board.Board
	found diag.List
	nets  map[string]led.NetID

	plated []plated
	places Grid // of plated
	pads   []lifted
}

// plated is a plated hole and how often copper claimed it.
type plated struct {
	at    geom.Pt
	d     geom.Nm
	taken bool
}

// lifted is a pad on its way to a part.
type lifted struct {
	ref string
	board.Pad
	sides [2]bool
}

func (u *raiser) fail(at geom.Pt, code, format string, args ...any) *diag.Finding {
	return u.found.Add(diag.Error, code, format, args...).At(at.X.MM(), at.Y.MM())
}

// nameNets numbers the nets: supply and return first, where there are nets of these names, as every board has them.
func (u *raiser) nameNets() {
	for _, name := range []string{"V+", "0V"} {
		u.net(export.Object{Net: name, HasNet: true})
	}
	for _, l := range u.art.Layers {
		if l.Function.Copper() {
			for _, o := range l.Objects {
				u.net(o)
			}
		}
	}
}

func (u *raiser) net(o export.Object) led.NetID {
	if !o.HasNet || o.Net == "" || o.Net == "N/C" {
		return led.NoNet
	}
	id, ok := u.nets[o.Net]
	if !ok {
		id = led.NetID(len(u.b.Nets))
		u.nets[o.Net] = id
		u.b.Nets = append(u.b.Nets, led.Net{Name: o.Net})
	}
	return id
}

// profile joins the draws of the profile to closed curves: the largest is the outline, the others are cutouts.
func (u *raiser) profile() {
	l, _ := u.art.Layer(export.Profile)
	var loops []geom.Contour
	var open geom.Contour
	var end geom.Pt
	for _, o := range l.Objects {
		switch o.Op {
		case export.Region:
			loops = append(loops, o.Contour)
			continue
		case export.Flash:
			u.fail(o.To, "readback-bad-profile", "the profile has a flash").Fix("draw the profile with lines and arcs")
			continue
		}
		if len(open) > 0 && end != o.From {
			u.fail(end, "readback-open-profile", "the profile is not closed").Fix("end each curve where it started")
			open = nil
		}
		open = append(open, geom.Vertex{Pt: o.From, Bulge: o.Bulge})
		end = o.To
		if end == open[0].Pt {
			loops = append(loops, open)
			open = nil
		}
	}
	if len(open) > 0 {
		u.fail(end, "readback-open-profile", "the profile is not closed").Fix("end each curve where it started")
	}
	if len(loops) == 0 {
		u.found.Add(diag.Error, "readback-no-profile", "the pack has no closed profile").Fix("add the profile layer")
		return
	}
	u.b.Outline, u.b.Cutouts = export.Parted(loops)
}

// mountFrom is the diameter from which an unplated hole is taken for a mount hole: M2.5 screws need more.
const mountFrom = 2500 * geom.Micrometre

func (u *raiser) holes() {
	u.places = Grid{}
	for _, d := range u.art.Drills {
		for _, s := range d.Slots {
			u.fail(s.Path[0], "readback-slot", "slots cannot be judged").Fix("use round holes, or put slots into the profile")
		}
		for _, h := range d.Hits {
			t := d.Tools[h.Tool]
			if d.Plated {
				u.places.Put(h.At, len(u.plated))
				u.plated = append(u.plated, plated{at: h.At, d: t.D})
				continue
			}
			hole := board.Hole{At: h.At, D: t.D, What: board.StrainRelief}
			if t.D >= mountFrom && t.Function != "MechanicalDrill,Other" || t.Function == "MechanicalDrill,Tooling" {
				hole.What = board.MountHole
			}
			u.b.Holes = append(u.b.Holes, hole)
		}
	}
}

// drilled claims the plated hole at p.
func (u *raiser) drilled(p geom.Pt) (geom.Nm, bool) {
	var d geom.Nm
	u.places.At(p, func(i int) bool {
		if h := &u.plated[i]; h.at.Dist(p) <= float64(near) {
			h.taken, d = true, h.d
		}
		return d != 0
	})
	return d, d > 0
}

// copper lifts both copper layers.
func (u *raiser) copper() {
	var vias []via
	places := Grid{}
	padAt := Grid{}
	for _, side := range geom.BothSides() {
		l, ok := u.art.Layer(export.CopperTop + export.Function(side))
		if !ok {
			continue
		}
		u.areas(l, side)
		u.watch.Look()
		u.tracks(l, side)
		for _, o := range l.Objects {
			u.watch.Step()
			switch {
			case o.Op != export.Flash:
			case o.Clear:
				u.fail(o.To, "readback-cleared-copper", "copper is cleared by a flash").Fix("draw areas with their holes instead")
			case u.spot(l, o, side):
			case o.Pin != "":
				u.pad(l, o, side, padAt)
			default:
				u.looseFlash(l, o, side, &vias, places)
			}
		}
	}
	for _, v := range vias {
		if !v.sides[0] || !v.sides[1] {
			u.fail(v.At, "readback-half-via", "a via has copper on one side only").Fix("flash it on both copper layers")
		}
		u.b.Vias = append(u.b.Vias, v.Via)
	}
	for i := range u.pads {
		u.finishPad(&u.pads[i])
	}
	for _, h := range u.plated {
		if !h.taken {
			u.fail(h.at, "readback-bare-plated-hole", "a plated hole of %v has no copper round it", h.d).Fix("give it a pad on both sides, or make it unplated")
		}
	}
}

// spot lifts a round flash that the file says is a test point or a fiducial; any other thing that says so is what it looks like.
func (u *raiser) spot(l export.Layer, o export.Object, side geom.Side) bool {
	a := l.Apertures[o.Aperture]
	s := board.Spot{Use: board.Fiducial, At: o.To, On: side, D: a.W}
	switch {
	case a.Shape != export.Circle:
		return false
	case a.TestPoint() && o.Pin != "":
		s.Use, s.Ref, s.Net = board.TestPoint, o.Ref, u.net(o)
	case !a.Fiducial():
		return false
	}
	if _, ok := u.drilled(o.To); ok {
		u.fail(o.To, "readback-drilled-spot", "the %s has a plated hole", s.Name()).Fix("leave the hole out")
	}
	u.b.Spots = append(u.b.Spots, s)
	return true
}

type via struct {
	board.Via
	sides [2]bool
}

// looseFlash is a flash without a pin: a via where a plated hole is, else a little area.
func (u *raiser) looseFlash(l export.Layer, o export.Object, side geom.Side, vias *[]via, places Grid) {
	a := l.Apertures[o.Aperture]
	d, ok := u.drilled(o.To)
	if !ok || a.Shape != export.Circle {
		if ok {
			u.fail(o.To, "readback-via-shape", "a via's copper is not round").Fix("flash vias with circles")
		}
		for _, p := range Image(export.Layer{Apertures: l.Apertures, Objects: []export.Object{o}}) {
			u.b.Areas = append(u.b.Areas, board.Area{Net: u.net(o), On: side, Fill: p})
		}
		return
	}
	k := -1
	places.At(o.To, func(i int) bool {
		if (*vias)[i].At == o.To {
			k = i
		}
		return k >= 0
	})
	if k < 0 {
		k = len(*vias)
		*vias = append(*vias, via{Via: board.Via{Net: u.net(o), At: o.To, Drill: d, D: a.W}})
		places.Put(o.To, k)
	}
	v := &(*vias)[k]
	v.sides[side] = true
	if v.D != a.W || v.Net != u.net(o) {
		u.fail(o.To, "readback-sides-differ", "a via's copper is not the same on both sides").Fix("flash it with one size and net on both")
		v.D = min(v.D, a.W)
	}
}

// pad lifts a flash with a pin.
func (u *raiser) pad(l export.Layer, o export.Object, side geom.Side, places Grid) {
	pad := board.Pad{Pin: o.Pin, Function: o.PinFn, Net: u.net(o), At: o.To, On: side}
	a := l.Apertures[o.Aperture]
	pad.W, pad.H = a.W, a.H
	switch a.Shape {
	case export.Circle:
		pad.Shape, pad.H = board.Round, a.W
	case export.Rectangle:
		pad.Shape, pad.Slant = board.Square, a.Slant
	case export.Obround:
		pad.Shape = board.Oblong
	default:
		u.fail(o.To, "readback-pad-shape", "pad %s-%s has a shape that cannot be judged", o.Ref, o.Pin).OfPart(o.Ref).Fix("flash pads as circles, rectangles or obrounds")
		return
	}
	k := -1
	places.At(o.To, func(i int) bool {
		if q := u.pads[i]; q.ref == o.Ref && q.Pin == o.Pin && q.At == o.To && !q.sides[side] {
			k = i
		}
		return k >= 0
	})
	if k < 0 {
		places.Put(o.To, len(u.pads))
		u.pads = append(u.pads, lifted{ref: o.Ref, Pad: pad})
		u.pads[len(u.pads)-1].sides[side] = true
		return
	}
	q := &u.pads[k]
	q.sides[side] = true
	if q.Shape != pad.Shape || q.W != pad.W || q.H != pad.H || q.Slant != pad.Slant || q.Net != pad.Net || q.Function != pad.Function {
		u.fail(o.To, "readback-sides-differ", "pad %s-%s is not the same on both sides", o.Ref, o.Pin).OfPart(o.Ref).Fix("flash it with one shape, net and function on both")
		q.W, q.H = min(q.W, pad.W), min(q.H, pad.H)
	}
}

func (u *raiser) finishPad(q *lifted) {
	d, drilled := u.drilled(q.At)
	both := q.sides[0] && q.sides[1]
	switch {
	case drilled && both:
		q.Through, q.Drill = true, d
	case drilled:
		u.fail(q.At, "readback-half-pad", "pad %s-%s has a plated hole but copper on one side only", q.ref, q.Pin).OfPart(q.ref).Fix("flash it on both copper layers")
	case both:
		u.fail(q.At, "readback-undrilled-pad", "pad %s-%s has copper on both sides but no hole", q.ref, q.Pin).OfPart(q.ref).Fix("drill it, or flash it on one layer only")
	}
}

// tracks lifts the draws of a copper layer.
func (u *raiser) tracks(l export.Layer, side geom.Side) {
	for _, c := range chains(l) {
		if c.o.Clear {
			u.fail(c.path[0], "readback-cleared-copper", "copper is cleared by a line").Fix("draw areas with their holes instead")
			continue
		}
		if l.Apertures[c.o.Aperture].Shape != export.Circle || l.Apertures[c.o.Aperture].W == 0 {
			u.fail(c.path[0], "readback-track-shape", "a track is drawn with something else than a circle").Fix("draw tracks with circles")
			continue
		}
		u.b.Tracks = append(u.b.Tracks, board.Track{Net: u.net(c.o), On: side, Width: l.Apertures[c.o.Aperture].W, Path: c.path})
	}
}

// chain is draws that follow each other with one aperture and net.
type chain struct {
	o    export.Object
	path geom.Polyline
}

func chains(l export.Layer) []chain {
	var out []chain
	open := false
	for _, o := range l.Objects {
		if o.Op != export.Draw {
			open = false
			continue
		}
		if n := len(out) - 1; open && out[n].o.Aperture == o.Aperture && out[n].o.Net == o.Net && out[n].o.HasNet == o.HasNet &&
			out[n].o.Clear == o.Clear && out[n].path[len(out[n].path)-1] == o.From {
			out[n].path = append(out[n].path, pathOf(o)[1:]...)
			continue
		}
		out = append(out, chain{o, pathOf(o)})
		open = true
	}
	return out
}

func pathOf(o export.Object) geom.Polyline {
	if o.From == o.To {
		return geom.Polyline{o.From}
	}
	return append(geom.Polyline(geom.Arc{From: o.From, To: o.To, Bulge: o.Bulge}.Flatten(geom.FlattenTolerance)), o.To)
}
