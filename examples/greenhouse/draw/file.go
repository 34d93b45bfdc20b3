package main

import (
	"bytes"
	"fmt"
	"math"
	"strconv"

	"lampblack/panel/dxf"
)

// file returns the drawing's file.
func (h *hand) file() ([]byte, error) {
	if h.manner.curves {
		return h.bare(), nil
	}
	o := dxf.Options{Release: h.manner.release}
	if h.manner.inches {
		o.Unit, _ = dxf.UnitNamed("in")
	}
	d := dxf.Drawing{Blocks: h.blocks}
	for _, e := range h.ents {
		e.Path = e.Path.Moved(h.manner.at)
		if e.Text != nil {
			t := *e.Text
			t.At = t.At.Add(h.manner.at)
			e.Text = &t
		}
		if e.Insert != nil {
			i := *e.Insert
			i.At = i.At.Add(h.manner.at)
			e.Insert = &i
		}
		d.Entities = append(d.Entities, e)
	}
	return dxf.Write(d, o)
}

// bare returns a file as small programs write them: a unit and entities, nothing else. Round things are rational splines of
// degree 2, which are exact; so is the edge where it is rounded.
func (h *hand) bare() []byte {
	var out bytes.Buffer
	tag := func(code int, value string) { fmt.Fprintf(&out, "%3d\n%s\n", code, value) }
	num := func(code int, v float64) { tag(code, strconv.FormatFloat(math.Round(v*1e6)/1e6, 'f', -1, 64)) }
	tag(0, "SECTION")
	tag(2, "HEADER")
	tag(9, "$ACADVER")
	tag(1, "AC1015")
	tag(9, "$INSUNITS")
	tag(70, "4")
	tag(0, "ENDSEC")
	tag(0, "SECTION")
	tag(2, "ENTITIES")
	for _, e := range h.ents {
		if t := e.Text; t != nil {
			tag(0, "TEXT")
			tag(8, e.Layer)
			for _, code := range []int{10, 11} { // the second counts for what is not at the left of the baseline
				num(code, t.At.X)
				num(code+10, t.At.Y)
			}
			num(40, t.Height)
			tag(1, t.Text)
			tag(72, "1")
			tag(73, "2")
			continue
		}
		if !e.Path.Closed {
			v := e.Path.Vertices
			tag(0, "LINE")
			tag(8, e.Layer)
			for i, code := range []int{10, 11} {
				num(code, v[i].X)
				num(code+10, v[i].Y)
			}
			continue
		}
		points, weights := conic(e.Path)
		tag(0, "SPLINE")
		tag(8, e.Layer)
		tag(70, "13") // closed, rational, planar
		tag(71, "2")
		tag(72, strconv.Itoa(len(points)+3))
		tag(73, strconv.Itoa(len(points)))
		for i := range len(points) + 3 { // each knot twice, the outer ones three times
			num(40, float64(min(max(i-1, 0), len(points)-1)/2))
		}
		for _, w := range weights {
			num(41, w)
		}
		for _, p := range points {
			num(10, p.X)
			num(20, p.Y)
		}
	}
	tag(0, "ENDSEC")
	tag(0, "EOF")
	return out.Bytes()
}

// conic returns a closed path as points and weights of a rational spline of degree 2: an arc of up to a quarter of a turn has
// its tangents' meeting point with the weight cos(angle/2), a straight edge its middle.
//
// Source: L. Piegl, W. Tiller, "The NURBS Book", 2nd edition, Springer 1997, section 7.3.
func conic(p dxf.Path) (points []dxf.XY, weights []float64) {
	points, weights = []dxf.XY{p.Vertices[0].XY}, []float64{1}
	for _, e := range p.Edges() {
		if e.Bulge == 0 {
			points, weights = append(points, e.Mid(), e.To), append(weights, 1, 1)
			continue
		}
		c, n := e.Centre(), int(math.Ceil(math.Abs(e.Sweep())/(math.Pi/2)-1e-9))
		a, turn := math.Atan2(e.From.Y-c.Y, e.From.X-c.X), e.Sweep()/float64(n)
		at := func(r, angle float64) dxf.XY {
			s, k := math.Sincos(angle)
			return dxf.XY{X: c.X + r*k, Y: c.Y + r*s}
		}
		w := math.Cos(turn / 2)
		for i := range n {
			points = append(points, at(e.Radius()/w, a+turn*(float64(i)+0.5)), at(e.Radius(), a+turn*float64(i+1)))
			weights = append(weights, w, 1)
		}
	}
	return points, weights
}
