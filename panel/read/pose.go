package read

import (
	"math"

	"lampblack/panel/dxf"
)

// pose is how what is drawn on one sheet comes into the frame of another: turned over about an upright or a level axis, or both,
// which is half a turn, and then moved. Two poses are told apart by ==, and the zero value leaves all where it is.
type pose struct {
	overX, overY bool // x, y change their sign
	by           dxf.XY
}

// turns are the ways in which a rectangle lies on itself, the likeliest first: as seen from the front, as seen from behind,
// turned over its upper edge, half a turn.
var turns = [...]pose{{}, {overX: true}, {overY: true}, {overX: true, overY: true}}

// onto returns the pose turned so that brings one point to another.
func (p pose) onto(from, to dxf.XY) pose {
	p.by = dxf.XY{}
	p.by = to.Sub(p.point(from))
	return p
}

func (p pose) point(v dxf.XY) dxf.XY {
	if p.overX {
		v.X = -v.X
	}
	if p.overY {
		v.Y = -v.Y
	}
	return v.Add(p.by)
}

// back returns the pose that undoes it.
func (p pose) back() pose {
	by := p.by
	p.by = dxf.XY{}
	p.by = dxf.XY{}.Sub(p.point(by))
	return p
}

// then returns the pose that does one after the other.
func (p pose) then(q pose) pose {
	return pose{overX: p.overX != q.overX, overY: p.overY != q.overY, by: q.point(p.by)}
}

// mirrors reports whether what is on the right of a line comes to lie on its left.
func (p pose) mirrors() bool { return p.overX != p.overY }

func (p pose) box(b dxf.Box) dxf.Box {
	return dxf.EmptyBox().With(p.point(b.Min)).With(p.point(b.Max))
}

func (p pose) path(q dxf.Path) dxf.Path {
	if !p.overX && !p.overY {
		return q.Moved(p.by)
	}
	out := dxf.Path{Closed: q.Closed, Vertices: make([]dxf.Vertex, len(q.Vertices))}
	for i, v := range q.Vertices {
		if v.XY = p.point(v.XY); p.mirrors() {
			v.Bulge = -v.Bulge
		}
		out.Vertices[i] = v
	}
	if p.mirrors() && q.Closed { // counter-clockwise again
		out = out.Reversed()
	}
	return out
}

// text returns a text in the pose. Whoever draws a sheet from behind writes on it so that it can be read, so its place is
// turned over and not its letters, and what read backwards reads rightly then.
func (p pose) text(t dxf.Text) dxf.Text {
	t.At = p.point(t.At)
	switch {
	case !p.mirrors():
		if p.overX {
			t.Angle = math.Mod(t.Angle+math.Pi, 2*math.Pi)
		}
	case t.Mirror:
		t.Mirror = false
		if t.Angle = -t.Angle; p.overY {
			t.Angle += math.Pi
		}
	case p.overX:
		t.Angle = -t.Angle
		switch t.H {
		case dxf.Left:
			t.H = dxf.Right
		case dxf.Right:
			t.H = dxf.Left
		}
	default:
		t.Angle = -t.Angle
		switch t.V {
		case dxf.Baseline, dxf.BottomLine:
			t.V = dxf.TopLine
		case dxf.TopLine:
			t.V = dxf.BottomLine
		}
	}
	return t
}

// posed returns the loop in another pose.
func (l *loop) posed(p pose) loop {
	out := *l
	out.path = p.path(l.path)
	out.box = p.box(l.box)
	out.c, out.edge, out.pose = p.point(l.c), nil, p
	return out
}
