package picture

import (
	"context"

	"lampblack/led/light"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// Placed is a lit panel in its console.
type Placed struct {
	Panel     panel.Panel
	Field     light.Field
	Engraving *lettering.Engraving // nil: made here
	At        geom.Pt              // of its lower left corner, in the console
	Set       bool                 // At is told; else it stands beside the others
}

// Bounds of console.png: pixels a millimetre, and pixels in all.
const (
	consoleScale  = 5
	consolePixels = 4_000_000
)

// Console returns a PNG of all panels lit in the dark, as they stand in the console: those with a place at it, the others one
// after another in rows below them. All are shown to one eye, so that a dim panel looks dim beside a bright one. Once ctx
// is done what it returns means nothing.
func Console(ctx context.Context, all []Placed) (data []byte) {
	at := layout(all)
	box := geom.EmptyBox()
	light, area := 0.0, 0.0
	for i, q := range all {
		b := q.Panel.Outline.Box()
		if len(q.Panel.Outline) == 0 || b.Empty() {
			continue
		}
		box = box.Union(geom.Box{Min: at[i], Max: at[i].Add(b.Max.Sub(b.Min))})
		light += float64(q.Field.Mean * q.Field.AreaMM2)
		area += q.Field.AreaMM2
	}
	if box.Empty() {
		box = geom.Box{}
	}
	mean := 0.0
	if area > 0 {
		mean = light / area
	}
	work.Until(ctx, func(w *work.Watch) {
		c := newCanvas(w, box.Grown(8*geom.Millimetre), consoleScale, consolePixels)
		for i, q := range all {
			c.panel(q.Panel, q.Engraving, q.Field, at[i].Sub(q.Panel.Outline.Box().Min), mean)
		}
		data = c.png()
	})
	return data
}

// beside is the room between panels that have no place of their own.
const beside = 6 * geom.Millimetre

// layout returns the lower left corner of each panel.
func layout(all []Placed) []geom.Pt {
	out := make([]geom.Pt, len(all))
	left, low := geom.Nm(0), geom.Nm(0)
	any := false
	total := 0.0
	for i, q := range all {
		b := q.Panel.Outline.Box()
		if q.Set {
			out[i] = q.At
			if !any || q.At.X < left {
				left = q.At.X
			}
			if !any || q.At.Y < low {
				low = q.At.Y
			}
			any = true
		} else if len(q.Panel.Outline) > 0 {
			total += b.W().MM() + beside.MM()
		}
	}
	// Rows about as wide as the panels would be in two rows, but never narrower than the widest.
	most := geom.Nm(0)
	for _, q := range all {
		most = max(most, q.Panel.Outline.Box().W())
	}
	limit := max(most, geom.MM(total*0.55))
	x, top, tall := left, low, geom.Nm(0)
	if any {
		top -= beside
	}
	var row []int
	flush := func() {
		for _, i := range row {
			b := all[i].Panel.Outline.Box()
			out[i].Y = top - tall + (tall-b.H())/2
		}
		top -= tall + beside
		row, x, tall = nil, left, 0
	}
	for i, q := range all {
		b := q.Panel.Outline.Box()
		if q.Set || len(q.Panel.Outline) == 0 {
			continue
		}
		if len(row) > 0 && x+b.W()-left > limit {
			flush()
		}
		out[i].X = x
		x += b.W() + beside
		tall = max(tall, b.H())
		row = append(row, i)
	}
	flush()
	return out
}
