package readback

import (
	"math"
	"strconv"
	"strings"

	"lampblack/export"
	"lampblack/panel/geom"
)

// defineMacro keeps AM: its name and its statements (4.5).
func (r *reader) defineMacro(name string, words []string) {
	r.checkName(name)
	size := 0
	for _, w := range words {
		size += len(w)
	}
	if size > maxMacro {
		r.fail("readback-too-large", "macro %s is longer than %d characters", short(name), maxMacro).Fix("write it shorter")
		return
	}
	if at, twice := r.macroLine[name]; twice {
		r.fail("readback-macro-twice", "macro %s is defined twice (first in line %d)", short(name), at).Fix("give each macro a name of its own")
		return
	}
	if len(words) == 0 {
		r.warn("readback-empty-macro", "macro %s has no content", short(name)).Fix("leave it out")
	}
	r.macros[name], r.macroLine[name] = words, r.line
}

// macro carries out a macro with its parameters. One primitive alone keeps its arcs; several are joined and cut in
// order (exposure 1 and 0), flattened.
func (r *reader) macro(name string, words []string, par []float64) (export.Aperture, bool) {
	vars := map[int]float64{}
	for i, v := range par {
		vars[i+1] = v
	}
	var shapes []primitive
	points := 0
	for _, w := range words {
		if w = strings.ReplaceAll(w, " ", ""); w == "" || w[0] == '0' {
			continue // 0 starts a comment
		}
		if w[0] == '$' {
			left, right, ok := strings.Cut(w[1:], "=")
			n, err := strconv.Atoi(left)
			v, good := expression(right, vars)
			if !ok || err != nil || n < 1 || !good {
				r.fail("readback-bad-macro", "macro %s: %q is no assignment", short(name), short(w)).Fix("write $3=$1x2")
				return export.Aperture{}, false
			}
			vars[n] = v
			continue
		}
		var args []float64
		for _, f := range strings.Split(w, ",") {
			v, ok := expression(f, vars)
			if !ok {
				r.fail("readback-bad-macro", "macro %s: %q cannot be calculated", short(name), short(f)).
					Fix("use numbers, $1 $2 ..., + - x / and brackets")
				return export.Aperture{}, false
			}
			args = append(args, v)
		}
		ps, ok := r.primitive(args)
		if !ok {
			r.fail("readback-bad-macro", "macro %s: %q is no primitive with these numbers", short(name), short(w)).
				Fix("see 4.5.1 of the Gerber specification")
			return export.Aperture{}, false
		}
		for _, p := range ps {
			for _, c := range p.contours {
				points += len(c)
			}
		}
		if points > maxMacro {
			r.fail("readback-too-large", "macro %s has more than %d points", short(name), maxMacro).Fix("write it with fewer")
			return export.Aperture{}, false
		}
		shapes = append(shapes, ps...)
	}
	return combined(shapes), true
}

// primitive is one dark or clear shape of a macro; contours by the even-odd rule.
type primitive struct {
	clear    bool
	contours []geom.Contour
	plain    *export.Aperture // the same as a standard aperture, if it is one
}

func combined(ps []primitive) export.Aperture {
	if len(ps) == 1 && !ps[0].clear {
		if ps[0].plain != nil {
			return *ps[0].plain
		}
		return export.Aperture{Shape: export.Outline, Contours: ps[0].contours}
	}
	var sum geom.Region
	for _, p := range ps {
		var rings []geom.Ring
		for _, c := range p.contours {
			rings = append(rings, c.Ring(geom.FlattenTolerance))
		}
		if g := geom.NewRegion(rings...); p.clear {
			sum = sum.Minus(g)
		} else {
			sum = sum.Or(g)
		}
	}
	a := export.Aperture{Shape: export.Outline}
	for _, ring := range sum.Rings() {
		a.Contours = append(a.Contours, geom.Straight(ring...))
	}
	return a
}

// primitive makes the shapes of one primitive (4.5.1). All are turned about the macro's origin.
func (r *reader) primitive(a []float64) ([]primitive, bool) {
	arg := func(i int) float64 {
		if i < len(a) {
			return a[i]
		}
		return 0
	}
	for _, v := range a {
		if math.Abs(v) > 1e5 {
			return nil, false
		}
	}
	nm := func(v float64) geom.Nm {
		return geom.Nm(math.Round(min(max(v*r.unit, -float64(geom.MaxCoord)/4), float64(geom.MaxCoord)/4)))
	}
	at := func(x, y, turn float64) geom.Pt {
		p := pose{turn: degrees(turn), scale: 1}
		return geom.Pt{}.Add(p.vec(geom.Vec{X: nm(x), Y: nm(y)}))
	}
	clear := arg(1) == 0
	has := func(lo, hi int) bool { return len(a) >= lo+1 && len(a) <= hi+1 }
	switch int(a[0]) {
	case 1: // circle: exposure, diameter, x, y[, turn]
		if !has(4, 5) || arg(2) < 0 {
			return nil, false
		}
		c := at(arg(3), arg(4), arg(5))
		p := primitive{clear: clear}
		if nm(arg(2)) > 0 {
			p.contours = []geom.Contour{geom.Circle(c, nm(arg(2)))}
		}
		if c == (geom.Pt{}) {
			p.plain = &export.Aperture{Shape: export.Circle, W: nm(arg(2)), H: nm(arg(2))}
		}
		return []primitive{p}, true
	case 4: // outline: exposure, n, x0, y0 ... xn, yn, turn
		n := int(arg(2))
		if n < 3 || n > 5000 || len(a) != 2*n+6 {
			return nil, false
		}
		turn := a[len(a)-1]
		var c geom.Contour
		for i := range n {
			c = append(c, geom.Vertex{Pt: at(a[3+2*i], a[4+2*i], turn)})
		}
		if a[3] != a[3+2*n] || a[4] != a[4+2*n] {
			r.fail("readback-open-contour", "an outline of a macro is not closed").Fix("end it where it started")
		}
		return []primitive{{clear: clear, contours: []geom.Contour{c}}}, true
	case 5: // polygon: exposure, corners, x, y, diameter, turn
		n := arg(2)
		if !has(6, 6) || n != math.Trunc(n) || n < 3 || n > 12 || arg(5) < 0 {
			return nil, false
		}
		return []primitive{{clear: clear, contours: []geom.Contour{polygon(at(arg(3), arg(4), arg(6)), float64(nm(arg(5))), int(n), arg(6))}}}, true
	case 20, 2: // vector line: exposure, width, x0, y0, x1, y1, turn
		if !has(7, 7) || arg(2) < 0 {
			return nil, false
		}
		if a[0] == 2 {
			r.old("macro primitive 2")
		}
		p, q := at(arg(3), arg(4), arg(7)), at(arg(5), arg(6), arg(7))
		if p == q || nm(arg(2)) == 0 {
			return []primitive{{clear: clear}}, true
		}
		side := square(q.Sub(p), float64(nm(arg(2)))/2)
		return []primitive{{clear: clear, contours: []geom.Contour{geom.Straight(p.Add(side.Neg()), q.Add(side.Neg()), q.Add(side), p.Add(side))}}}, true
	case 21: // centre line: exposure, w, h, x, y, turn
		if !has(6, 6) || arg(2) < 0 || arg(3) < 0 {
			return nil, false
		}
		return []primitive{r.centreLine(clear, nm(arg(2)), nm(arg(3)), nm(arg(4)), nm(arg(5)), arg(6))}, true
	case 22: // lower left line: exposure, w, h, x, y, turn
		if !has(6, 6) || arg(2) < 0 || arg(3) < 0 {
			return nil, false
		}
		r.old("macro primitive 22")
		w, h := nm(arg(2)), nm(arg(3))
		return []primitive{r.centreLine(clear, w, h, nm(arg(4))+w/2, nm(arg(5))+h/2, arg(6))}, true
	case 6: // moiré: x, y, outer diameter, ring, gap, rings, cross width, cross length, turn
		if !has(9, 9) || arg(3) <= 0 || arg(6) < 0 || arg(6) > 1000 {
			return nil, false
		}
		r.old("macro primitive 6")
		return r.moire(a, nm, at), true
	case 7: // thermal: x, y, outer, inner, gap, turn
		if !has(6, 6) || arg(3) <= arg(4) || arg(4) < 0 || arg(5) < 0 || arg(5) >= arg(3)/math.Sqrt2 {
			return nil, false
		}
		c := at(arg(1), arg(2), arg(6))
		out := []primitive{{contours: []geom.Contour{geom.Circle(c, nm(arg(3))), geom.Circle(c, nm(arg(4))).Reversed()}}}
		if arg(4) == 0 {
			out[0].contours = out[0].contours[:1]
		}
		for q := range 2 {
			out = append(out, bar(true, c, nm(arg(3)), nm(arg(5)), arg(6)+90*float64(q)))
		}
		return out, true
	}
	return nil, false
}

// square returns the vector of length d to the left of v.
func square(v geom.Vec, d float64) geom.Vec {
	k := d / v.Len()
	return geom.Vec{X: geom.Nm(math.Round(-float64(v.Y) * k)), Y: geom.Nm(math.Round(float64(v.X) * k))}
}

func (r *reader) centreLine(clear bool, w, h, x, y geom.Nm, turn float64) primitive {
	p := pose{turn: degrees(turn), scale: 1}
	box := geom.Rect(geom.Box{Min: geom.Pt{X: x - w/2, Y: y - h/2}, Max: geom.Pt{X: x - w/2 + w, Y: y - h/2 + h}})
	out := primitive{clear: clear, contours: []geom.Contour{p.contour(box)}}
	if x == 0 && y == 0 && math.Mod(p.turn, 90) == 0 && w > 0 && h > 0 {
		a := p.aperture(export.Aperture{Shape: export.Rectangle, W: w, H: h})
		out.plain = &a
	}
	if x == 0 && y == 0 && math.Mod(p.turn, 90) == 45 && w > 0 && h > 0 {
		a := export.Aperture{Shape: export.Rectangle, W: w, H: h, Slant: true}
		if math.Mod(p.turn, 180) == 135 {
			a.W, a.H = h, w
		}
		out.plain = &a
	}
	return out
}

// bar is a rectangle of length l and width w round c, turned.
func bar(clear bool, c geom.Pt, l, w geom.Nm, turn float64) primitive {
	p := pose{turn: degrees(turn), scale: 1}
	b := geom.Rect(geom.Box{Min: geom.Pt{X: -l / 2, Y: -w / 2}, Max: geom.Pt{X: l - l/2, Y: w - w/2}})
	return primitive{clear: clear, contours: []geom.Contour{p.contour(b).Moved(c.Sub(geom.Pt{}))}}
}

// moire returns rings inward from the outer diameter, and a cross hair over them.
func (r *reader) moire(a []float64, nm func(float64) geom.Nm, at func(x, y, turn float64) geom.Pt) []primitive {
	c := at(a[1], a[2], a[9])
	var out []primitive
	d := a[3]
	for range int(a[6]) {
		if nm(d) <= 0 {
			break
		}
		p := primitive{contours: []geom.Contour{geom.Circle(c, nm(d))}}
		if in := d - 2*a[4]; nm(in) > 0 {
			p.contours = append(p.contours, geom.Circle(c, nm(in)).Reversed())
		}
		out = append(out, p)
		d -= 2 * (a[4] + a[5])
	}
	if nm(a[7]) > 0 && nm(a[8]) > 0 {
		out = append(out, bar(false, c, nm(a[8]), nm(a[7]), a[9]), bar(false, c, nm(a[8]), nm(a[7]), a[9]+90))
	}
	return out
}
