package readback

import (
	"math"
	"strings"

	"lampblack/export"
	"lampblack/panel/geom"
)

// definition is what a D code stands for: an aperture of the layer, or the objects of a block.
type definition struct {
	aperture int
	block    *[]export.Object
}

// posed is an aperture of the layer under a transformation.
type posed struct {
	aperture int
	pose     pose
}

// posed returns the layer's aperture for a definition under p.
func (r *reader) posed(def int, p pose) int { return r.reposed(r.defs[def].aperture, p) }

func (r *reader) reposed(a int, p pose) int {
	if p.plain() {
		return a
	}
	key := posed{a, p}
	if k, ok := r.made[key]; ok {
		return k
	}
	points := 4
	for _, c := range r.layer.Apertures[a].Contours {
		points += len(c)
	}
	if !r.count(0, points) {
		return a
	}
	r.layer.Apertures = append(r.layer.Apertures, p.aperture(r.layer.Apertures[a]))
	r.made[key] = len(r.layer.Apertures) - 1
	return r.made[key]
}

// defineAperture reads ADDnn then a template's name and its parameters (4.3).
func (r *reader) defineAperture(body string) {
	digits := 1
	for digits < len(body) && body[digits] >= '0' && body[digits] <= '9' {
		digits++
	}
	code, ok := dNumber(body[:min(digits, len(body))])
	if !ok {
		r.fail("readback-bad-value", "%q is no aperture number", short(body)).Fix("numbers run from D10 to D2147483647")
		return
	}
	if _, twice := r.byCode[code]; twice {
		r.fail("readback-aperture-twice", "aperture D%d is defined twice", code).Fix("give each aperture a number of its own")
		return
	}
	if r.unit == 0 {
		r.fail("readback-early-operation", "an aperture is defined before the unit is stated").Fix("write %%MOMM*%% first")
		r.unit = 1e6
	}
	name, list, has := strings.Cut(body[digits:], ",")
	var par []float64
	if has {
		for _, f := range strings.Split(list, "X") {
			v, ok := decimal(f)
			if !ok || math.Abs(v) > 1e6 {
				r.fail("readback-bad-number", "%q is no size", short(f)).Fix("sizes are decimal numbers")
				return
			}
			par = append(par, v)
		}
	}
	a, ok := r.template(name, par)
	if !ok {
		return
	}
	if f := r.apertureAttr[".AperFunction"]; len(f) > 0 {
		a.Function = joined(f)
	}
	points := 2
	for _, c := range a.Contours {
		points += len(c)
	}
	if !r.count(0, points) {
		return
	}
	r.layer.Apertures = append(r.layer.Apertures, a)
	r.defs = append(r.defs, definition{aperture: len(r.layer.Apertures) - 1})
	r.byCode[code] = len(r.defs) - 1
}

func joined(values []string) string { return strings.Join(values, ",") }

// nm converts a length of the file's unit; ok is false beyond geom.MaxCoord.
func (r *reader) nm(v float64) (geom.Nm, bool) {
	n := v * r.unit
	return geom.Nm(math.Round(n)), math.Abs(n) <= float64(geom.MaxCoord)
}

// template makes an aperture from a template (4.4) or macro (4.5).
func (r *reader) template(name string, par []float64) (export.Aperture, bool) {
	bad := func(why string) (export.Aperture, bool) {
		r.fail("readback-bad-aperture", "an aperture of template %s %s", short(name), why).Fix("see 4.4 of the Gerber specification")
		return export.Aperture{}, false
	}
	limits := map[string][2]int{"C": {1, 3}, "R": {2, 4}, "O": {2, 4}, "P": {2, 5}}
	limit, standard := limits[name]
	if !standard {
		words, known := r.macros[name]
		if !known {
			r.fail("readback-no-macro", "macro %s was not defined", short(name)).Fix("define it with %%AM before it is used")
			return export.Aperture{}, false
		}
		return r.macro(name, words, par)
	}
	if len(par) < limit[0] || len(par) > limit[1] {
		return bad("has the wrong number of sizes")
	}
	var size [5]geom.Nm
	for i, v := range par {
		n, ok := r.nm(v)
		if !ok && !(name == "P" && i > 0) {
			return bad("is wider than a metre")
		}
		size[i] = n
	}
	a := export.Aperture{W: size[0], H: size[0]}
	hole := par[1:]
	switch name {
	case "C":
		a.Shape = export.Circle
		if par[0] < 0 {
			return bad("has a negative size")
		}
	case "R", "O":
		a.Shape, a.H, hole = export.Rectangle, size[1], par[2:]
		if name == "O" {
			a.Shape = export.Obround
		}
		if size[0] <= 0 || size[1] <= 0 {
			return bad("has no size")
		}
	case "P":
		if size[0] <= 0 {
			return bad("has no size")
		}
		turn := 0.0
		if len(par) > 2 {
			turn = par[2]
		}
		if par[1] != math.Trunc(par[1]) || par[1] < 3 || par[1] > 12 {
			return bad("must have 3 to 12 corners")
		}
		hole = par[min(3, len(par)):]
		if par[1] == 4 && turn == 0 {
			a.Shape = export.Diamond
		} else {
			a = export.Aperture{Shape: export.Outline, Contours: []geom.Contour{polygon(geom.Pt{}, float64(size[0]), int(par[1]), turn)}}
		}
	}
	if len(hole) == 0 || hole[0] == 0 {
		return a, true
	}
	d, ok := r.nm(hole[0])
	if !ok || d < 0 || len(hole) > 1 && hole[1] < 0 {
		return bad("has an impossible hole")
	}
	round := geom.Circle(geom.Pt{}, d).Reversed()
	if len(hole) > 1 {
		r.old("a rectangular hole in an aperture")
		h, ok := r.nm(hole[1])
		if !ok {
			return bad("has an impossible hole")
		}
		round = geom.Rect(geom.Box{Min: geom.Pt{X: -d / 2, Y: -h / 2}, Max: geom.Pt{X: d - d/2, Y: h - h/2}}).Reversed()
	}
	return export.Aperture{Shape: export.Outline, Contours: append(contoursOf(a), round)}, true
}

// polygon returns the regular polygon with n corners on the circle of diameter d round c, one of them at turn degrees.
func polygon(c geom.Pt, d float64, n int, turn float64) geom.Contour {
	out := make(geom.Contour, n)
	for i := range out {
		t := (turn + 360*float64(i)/float64(n)) * math.Pi / 180
		out[i].Pt = c.Add(geom.Vec{X: geom.Nm(math.Round(d / 2 * math.Cos(t))), Y: geom.Nm(math.Round(d / 2 * math.Sin(t)))})
	}
	return out
}
