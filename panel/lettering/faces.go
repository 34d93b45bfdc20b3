package lettering

import (
	"math"

	"lampblack/panel/geom"
	"lampblack/panel/writing"
)

// Faces says in which face each text of a panel is, by what it asks for. The zero Faces has all of them in the plain face, as a nil
// one has.
type Faces struct {
	Usual  *Face   // of what Asked does not have; nil: the plain face
	Stroke geom.Nm // width of letters that are lines; 0: Stroke
	Asked  map[writing.Font]*Face
}

// Of returns the face for what is asked, and whether that face is as bold and as slanted as is asked, or not.
func (f *Faces) Of(a writing.Font) *Face {
	if f == nil {
		return plain()
	}
	if g := f.Asked[a]; g != nil {
		return g
	}
	if f.Usual != nil {
		return f.Usual
	}
	return plain()
}

// italicSlant is the tangent of 12°, by which upright letters are slanted where italic ones are asked for (common practice).
var italicSlant = math.Tan(12 * math.Pi / 180)

// cut returns the face for what is asked, its bold cut where that is asked for and there is one, and by how much it is to be slanted
// to be italic.
func (f *Faces) cut(a writing.Font) (*Face, float64) {
	g := f.Of(a)
	slant := 0.0
	if a.Italic && !g.slanted {
		slant = italicSlant
	}
	if a.Bold && !g.isBold && g.bold != nil {
		g = g.bold()
	}
	return g, slant
}

func (f *Faces) stroke() geom.Nm {
	if f == nil || f.Stroke <= 0 {
		return Stroke
	}
	return f.Stroke
}

// Bold reports whether letters for what is asked are bold ones.
func (f *Faces) Bold(a writing.Font) bool {
	g, _ := f.cut(a)
	return g.isBold || g != f.Of(a)
}
