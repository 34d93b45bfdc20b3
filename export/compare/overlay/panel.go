package overlay

import (
	"math"
	"slices"

	"lampblack/export/result"
	"lampblack/panel/geom"
)

// Panels returns both panels over each other: outline, holes, openings, and the edges of bodies behind it. by is how far the new
// drawing lies beside the old one, mm.
func Panels(was, is result.Panel, by [2]float64) Pair {
	from := [2]float64{was.BBox[0], was.BBox[1]}
	if was.Outline == "" || is.Outline == "" { // of an earlier version, which told boxes alone: like is set against like
		was, is = boxed(was), boxed(is)
	}
	return pairOf("outline, LEDs, screws, openings, and bodies behind them", holed(was, from), holed(is, [2]float64{from[0] + by[0], from[1] + by[1]}))
}

func boxed(p result.Panel) result.Panel {
	p.Outline = ""
	p.Openings, p.Bodies = slices.Clone(p.Openings), slices.Clone(p.Bodies)
	for _, all := range [2][]result.Loop{p.Openings, p.Bodies} {
		for i := range all {
			all[i].Path = ""
		}
	}
	return p
}

func holed(p result.Panel, from [2]float64) geom.Region {
	out := band(loop(result.Loop{BBox: p.BBox, Area: p.OutlineArea, Path: p.Outline}, from))
	var rings []geom.Ring
	for _, all := range [2][]result.Hole{p.Holes.LED, p.Holes.Mount} {
		for _, h := range all {
			rings = append(rings, circle(h.X-from[0], h.Y-from[1], h.D)...)
		}
	}
	out = out.Or(geom.UnionOf(rings...))
	for _, o := range p.Openings {
		out = out.Or(loop(o, from))
	}
	for _, o := range p.Bodies {
		out = out.Or(band(loop(o, from)))
	}
	return out
}

// near reports whether a length can be drawn.
func near(all ...float64) bool {
	for _, v := range all {
		if math.IsNaN(v) || math.Abs(v) > geom.MaxCoord.MM()/2 {
			return false
		}
	}
	return true
}

func circle(x, y, d float64) []geom.Ring {
	if !near(x, y, d) || d <= 0 {
		return nil
	}
	return []geom.Ring{geom.Circle(geom.PtMM(x, y), geom.MM(d)).Ring(geom.FlattenTolerance)}
}

// loop is the area of a loop. An earlier version tells its box and its area alone: what fills a box as a circle does is taken for one.
func loop(l result.Loop, from [2]float64) geom.Region {
	if c, ok := l.Path.Contour(from); ok {
		return geom.NewRegion(c.Ring(geom.FlattenTolerance))
	}
	w, h := l.BBox[2]-l.BBox[0], l.BBox[3]-l.BBox[1]
	x, y := l.BBox[0]-from[0], l.BBox[1]-from[1]
	if !near(x, y, w, h) || w <= 0 || h <= 0 {
		return nil
	}
	if math.Abs(l.Area-math.Pi/4*w*h) < 0.01*w*h && math.Abs(w-h) < 0.01*w {
		return geom.NewRegion(circle(x+w/2, y+h/2, w)...)
	}
	return geom.NewRegion(geom.Rect(geom.Box{Min: geom.PtMM(x, y), Max: geom.PtMM(x+w, y+h)}).Ring(geom.FlattenTolerance))
}
