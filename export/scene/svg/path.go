package svg

import (
	"bytes"
	"math"

	"lampblack/export/scene"
	"lampblack/panel/geom"
)

func (w *writer) num(v geom.Nm) string { return scene.Decimal(v, w.step) }

// path returns path data (SVG 1.1, section 8.3): M and A absolute, lines relative. Each step starts from the rounded place
// of the last one, so that numbers are short and errors do not add up.
func (w *writer) path(shapes []geom.Contour, open bool) string {
	var s bytes.Buffer
	for _, c := range shapes {
		w.watch.Look()
		if len(c) > 0 {
			w.contour(&s, c, open)
		}
	}
	return s.String()
}

func (w *writer) contour(s *bytes.Buffer, c geom.Contour, open bool) {
	at := geom.Pt{X: scene.Rounded(c[0].X, w.step), Y: scene.Rounded(c[0].Y, w.step)}
	s.WriteByte('M')
	w.point(s, at.X, at.Y)
	if len(c) == 1 && open {
		s.WriteString("h0") // a dot, where ends are round
		return
	}
	steps := false // once the command for them is written
	for i, v := range c {
		w.watch.Step()
		last := i == len(c)-1
		if last && (open || v.Bulge == 0) {
			break // what is left is Z's
		}
		next := c[(i+1)%len(c)].Pt
		to := geom.Pt{X: scene.Rounded(next.X, w.step), Y: scene.Rounded(next.Y, w.step)}
		if to == at {
			continue
		}
		if v.Bulge != 0 {
			w.arc(s, geom.Arc{From: v.Pt, To: next, Bulge: v.Bulge}, to)
			steps = false
		} else {
			if steps {
				s.WriteByte(' ')
			} else {
				s.WriteByte('l')
				steps = true
			}
			w.point(s, to.X-at.X, to.Y-at.Y)
		}
		at = to
	}
	if !open {
		s.WriteByte('Z')
	}
}

// point writes two numbers.
func (w *writer) point(s *bytes.Buffer, x, y geom.Nm) {
	to := append(scene.AppendDecimal(s.AvailableBuffer(), x, w.step), ' ')
	s.Write(scene.AppendDecimal(to, y, w.step))
}

// arc writes a circular arc. On a page a positive bulge turns from X toward Y, which is what sweep flag 1 says.
func (w *writer) arc(s *bytes.Buffer, e geom.Arc, to geom.Pt) {
	large, sweep := "0", "0"
	if math.Abs(e.Bulge) > 1 {
		large = "1"
	}
	if e.Bulge > 0 {
		sweep = "1"
	}
	r := w.num(geom.Nm(math.Round(e.Radius())))
	s.WriteString("A" + r + " " + r + " 0 " + large + " " + sweep + " ")
	w.point(s, to.X, to.Y)
}
