package check

import (
	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// maxPoints bounds what Audit takes on: a board of 500 LEDs has about 50 000 points.
const maxPoints = 4_000_000

// malformed reports a board that cannot be measured: coordinates out of range, empty shapes, nets that do not exist.
// Everything after it relies on its answer.
func malformed(b board.Board, w led.Wiring) diag.List {
	var l diag.List
	v := validator{l: &l, board: b.Name, nets: len(b.Nets)}
	v.contour("outline", b.Outline)
	for _, c := range b.Cutouts {
		v.contour("cutout", c)
	}
	for _, c := range b.Keepout {
		v.contour("keep-out", c)
	}
	for _, p := range b.Parts {
		v.pts("part "+p.Ref, p.At)
		v.pts("body of "+p.Ref, p.Body...)
		v.pts("courtyard of "+p.Ref, p.Courtyard...)
		for _, d := range p.Pads {
			what := "pad " + p.Ref + "." + d.Pin
			v.pts(what, d.At)
			v.net(what, d.Net)
			v.size(what, d.At, d.W, d.H)
			if d.Through != (d.Drill > 0) || d.Drill > geom.MaxCoord || d.On > geom.Bottom {
				v.bad(what, d.At, "has a hole of %v though it is %s", d.Drill, through(d.Through))
			}
			if d.Mask > geom.MaxCoord/4 || d.Mask < -geom.MaxCoord/4 {
				v.bad(what, d.At, "has an impossible mask opening")
			}
		}
		v.strokes(p.Marks)
	}
	for _, s := range b.Spots {
		what := s.Name()
		v.pts(what, s.At)
		v.net(what, s.Net)
		v.size(what, s.At, s.D)
		if s.On > geom.Bottom || s.Mask > geom.MaxCoord/4 || s.Mask < -geom.MaxCoord/4 {
			v.bad(what, s.At, "is on no side of the board, or has an impossible mask opening")
		}
	}
	for _, h := range b.Holes {
		v.pts("hole", h.At)
		v.size("hole", h.At, h.D)
	}
	for _, t := range b.Tracks {
		v.path("track", t.Path, t.Width)
		v.net("track", t.Net)
		if t.On > geom.Bottom {
			v.bad("track", geom.Pt{}, "is on no side of the board")
		}
	}
	for _, t := range b.Vias {
		v.pts("via", t.At)
		v.size("via", t.At, t.D, t.Drill)
		v.net("via", t.Net)
	}
	for _, a := range b.Areas {
		v.net("area", a.Net)
		v.rings("area", a.Fill)
		if a.On > geom.Bottom {
			v.bad("area", geom.Pt{}, "is on no side of the board")
		}
	}
	v.strokes(b.Legend)
	for _, k := range b.Ink {
		v.rings("silkscreen area", k.Fill)
	}
	if v.count > maxPoints {
		v.bad("board", geom.Pt{}, "has more than %d points", maxPoints)
	}
	for _, s := range w.Strings {
		for _, d := range s.LEDs {
			if d < 0 || d >= len(w.LEDs) {
				v.bad("circuit", geom.Pt{}, "names an LED that it does not have")
			}
		}
	}
	return l
}

func through(t bool) string {
	if t {
		return "a through pad"
	}
	return "a surface pad"
}

type validator struct {
	l     *diag.List
	board string // its name
	nets  int
	count int
}

func (v *validator) bad(what string, at geom.Pt, format string, args ...any) {
	f := v.l.Add(diag.Error, "check-malformed", what+" "+format, args...).Of(v.board).Fix("this board cannot be judged until that is put right")
	if fits(at) {
		f.At(at.X.MM(), at.Y.MM())
	}
}

func fits(p geom.Pt) bool {
	return p.X >= -geom.MaxCoord && p.X <= geom.MaxCoord && p.Y >= -geom.MaxCoord && p.Y <= geom.MaxCoord
}

func (v *validator) pts(what string, ps ...geom.Pt) {
	v.count += len(ps)
	for _, p := range ps {
		if !fits(p) {
			v.bad(what, geom.Pt{}, "lies more than a metre away")
			return
		}
	}
}

func (v *validator) contour(what string, c geom.Contour) {
	if len(c) < 2 {
		v.bad(what, geom.Pt{}, "has %d corners", len(c))
		return
	}
	for _, p := range c {
		if !fits(p.Pt) || !finite(p.Bulge) || p.Bulge > 1e6 || p.Bulge < -1e6 {
			v.bad(what, geom.Pt{}, "has a corner or curve out of range")
			return
		}
	}
	if b := c.Box(); !fits(b.Min) || !fits(b.Max) {
		v.bad(what, geom.Pt{}, "has a curve out of range")
		return
	}
	if len(c.Ring(fineFlat)) < 3 {
		v.bad(what, c[0].Pt, "encloses nothing")
	}
	v.count += len(c)
}

func (v *validator) net(what string, n led.NetID) {
	if n < 0 || n != 0 && int(n) >= v.nets {
		v.bad(what, geom.Pt{}, "is on net %d, which does not exist", n)
	}
}

func (v *validator) size(what string, at geom.Pt, ds ...geom.Nm) {
	for _, d := range ds {
		if d <= 0 || d > geom.MaxCoord/4 {
			v.bad(what, at, "has an impossible size of %v", d)
			return
		}
	}
}

func (v *validator) path(what string, p geom.Polyline, width geom.Nm) {
	if len(p) == 0 {
		v.bad(what, geom.Pt{}, "has no points")
		return
	}
	v.pts(what, p...)
	v.size(what, p[0], width)
}

func (v *validator) rings(what string, p geom.Polygon) {
	for _, r := range p.Rings() {
		if len(r) < 3 {
			v.bad(what, geom.Pt{}, "has a border of %d points", len(r))
		}
		v.pts(what, r...)
	}
}

func (v *validator) strokes(ks []board.Stroke) {
	for _, k := range ks {
		v.path("silkscreen line", k.Path, k.Width)
	}
}
