package picture

import (
	"context"

	"lampblack/export"
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
	stand := make([]export.Standing, len(all))
	for i, q := range all {
		stand[i] = export.Standing{Box: q.Panel.Outline.Box(), At: q.At, Set: q.Set}
	}
	at := export.Desk(stand)
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
