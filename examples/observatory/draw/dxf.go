package main

import (
	"math"
	"slices"

	"lampblack/panel/dxf"
)

// dxf returns the file: the panel moved to where the builder drew it, in the drawing's unit, with the blocks that are placed.
func (p *plan) dxf() ([]byte, error) {
	d := dxf.Drawing{Layers: []dxf.Layer{
		{Name: "0", Colour: 7}, {Name: onOutline, Colour: 7}, {Name: onLED, Colour: 1}, {Name: onOpening, Colour: 4},
		{Name: onMount, Colour: 3}, {Name: onBody, Colour: 8}, {Name: onLettering, Colour: 2},
	}}
	for _, l := range []dxf.Layer{{Name: onWindow, Colour: 6}, {Name: onPrintBack, Colour: 7}} {
		if slices.ContainsFunc(p.ents, func(e dxf.Entity) bool { return e.Layer == l.Name }) {
			d.Layers = append(d.Layers, l)
		}
	}
	placed := map[string]bool{}
	o := dxf.Options{Release: p.release}
	exact := func(q dxf.XY) dxf.XY { return q }
	if p.inches {
		o.Unit, _ = dxf.UnitNamed("in")
		// Eight decimals, as CAD programs write them: what is read back lies a little beside whole nanometres.
		exact = func(q dxf.XY) dxf.XY {
			const step = 25.4e-8
			return dxf.XY{X: math.Round(q.X/step) * step, Y: math.Round(q.Y/step) * step}
		}
	}
	for _, e := range p.ents {
		d.Entities = append(d.Entities, placedAt(e, func(q dxf.XY) dxf.XY { return exact(q.Add(dxf.XY(p.at))) }))
		if e.Insert != nil {
			placed[e.Insert.Block] = true
		}
	}
	d.Blocks = slices.DeleteFunc(blocks(), func(b dxf.Block) bool { return !placed[b.Name] })
	return dxf.Write(d, o)
}

// placedAt returns the entity with its points moved.
func placedAt(e dxf.Entity, to func(dxf.XY) dxf.XY) dxf.Entity {
	e.Path.Vertices = slices.Clone(e.Path.Vertices)
	for i := range e.Path.Vertices {
		e.Path.Vertices[i].XY = to(e.Path.Vertices[i].XY)
	}
	if e.Text != nil {
		t := *e.Text
		t.At = to(t.At)
		e.Text = &t
	}
	if e.Insert != nil {
		i := *e.Insert
		i.At = to(i.At)
		e.Insert = &i
	}
	return e
}
