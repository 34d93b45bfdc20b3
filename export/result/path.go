package result

import (
	"math"
	"strconv"
	"strings"

	"lampblack/panel/geom"
)

// Path is a closed curve in words: "0 0, 60 0 1, 60 40", its corners one after the other.
type Path string

// path tells a curve; the frame moves its corners.
func (f frame) path(c geom.Contour) Path {
	var b strings.Builder
	for i, v := range c {
		if i > 0 {
			b.WriteString(", ")
		}
		x, y := f.at(v.Pt)
		b.WriteString(short(x) + " " + short(y))
		if v.Bulge != 0 {
			b.WriteString(" " + short(num(v.Bulge, 9)))
		}
	}
	return Path(b.String())
}

func short(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// farthest is as far from the origin as anything of a curve may lie: what exact products of nanometres take.
const farthest = geom.MaxCoord

// Contour returns the curve as it lies from a place of the drawing, mm; ok is false for a text that is none, or of one far from there.
func (p Path) Contour(from [2]float64) (c geom.Contour, ok bool) {
	if p == "" {
		return nil, false
	}
	for corner := range strings.SplitSeq(string(p), ",") {
		var n [3]float64
		words := strings.Fields(corner)
		if len(words) < 2 || len(words) > 3 {
			return nil, false
		}
		for i, w := range words {
			v, err := strconv.ParseFloat(w, 64)
			if i < 2 {
				v -= from[i]
			}
			if err != nil || math.IsNaN(v) || math.Abs(v) > farthest.MM() {
				return nil, false
			}
			n[i] = v
		}
		c = append(c, geom.Vertex{Pt: geom.PtMM(n[0], n[1]), Bulge: n[2]})
	}
	for _, e := range c.Edges() {
		if math.Abs(e.Bulge)*e.From.Dist(e.To) > 2*float64(farthest) { // how far it bows out
			return nil, false
		}
	}
	b := c.Box()
	return c, len(c) > 1 && max(b.Max.X, b.Max.Y, -b.Min.X, -b.Min.Y) <= farthest
}
