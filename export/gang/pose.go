package gang

import (
	"lampblack/export"
	"lampblack/panel/geom"
)

// Pose is where a board lies in the array: turned by quarters counter-clockwise about its own origin, then moved.
type Pose struct {
	Turn int
	Move geom.Vec
}

func (q Pose) pt(p geom.Pt) geom.Pt {
	return geom.Pt{}.Add(p.Sub(geom.Pt{}).Quarter(q.Turn)).Add(q.Move)
}

// undo returns the pose that takes the array's frame to the board's.
func (q Pose) undo() Pose {
	turn := (4 - q.Turn) % 4
	return Pose{turn, q.Move.Neg().Quarter(turn)}
}

func (q Pose) contour(c geom.Contour) geom.Contour {
	out := make(geom.Contour, len(c))
	for i, v := range c {
		out[i] = geom.Vertex{Pt: q.pt(v.Pt), Bulge: v.Bulge}
	}
	return out
}

func (q Pose) aperture(a export.Aperture) export.Aperture {
	if q.Turn%2 == 1 {
		a.W, a.H = a.H, a.W
	}
	if len(a.Contours) > 0 {
		turned := make([]geom.Contour, len(a.Contours))
		for i, c := range a.Contours {
			turned[i] = Pose{Turn: q.Turn}.contour(c)
		}
		a.Contours = turned
	}
	return a
}

func (q Pose) object(o export.Object) export.Object {
	switch o.Op {
	case export.Region:
		o.Contour = q.contour(o.Contour)
	case export.Draw:
		o.From, o.To = q.pt(o.From), q.pt(o.To)
	case export.Flash:
		o.To = q.pt(o.To)
	}
	return o
}

func (q Pose) line(l geom.Polyline) geom.Polyline {
	out := make(geom.Polyline, len(l))
	for i, p := range l {
		out[i] = q.pt(p)
	}
	return out
}
