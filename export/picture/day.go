package picture

import (
	"context"

	"lampblack/export/scene/raster"
	"lampblack/led/light"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// What the daylight of the picture is: the light of a lit room (NUREG-0700 rev. 3: 538 lx), in which matt black paint sends 5 % back
// (from memory), and white, which the screen's is, all of it.
const (
	daylight  = 538.0 // lx
	fullWhite = daylight / 3.14159265
	matt      = 0.05
)

// Day returns a PNG of the panel by daylight, seen from the front: unlit, and below that with its LEDs on, of sets of LEDs those of
// the first. pale is the share of the daylight that comes back out of the lettering, which makes it pale without any LED; what LEDs
// add to that is shown as the field has it, in the same scale. Once ctx is done what it returns means nothing.
func Day(ctx context.Context, p panel.Panel, e *lettering.Engraving, f light.Field, pale float64) (data []byte) {
	if len(f.Sets) > 0 {
		f = f.Sets[0].Field
	}
	work.Until(ctx, func(w *work.Watch) {
		data = stacked(w, p, bright(), 2, func(c *canvas, k int, v geom.Vec) { c.daylit(p, e, f, v, pale, k == 1) })
	})
	return data
}

// bright are the colours of a room by day.
func bright() shades {
	return shades{
		room:  [3]float32{0.46, 0.45, 0.43},
		paint: [3]float32{matt * 0.98, matt * 0.97, matt},
		hole:  [3]float32{0.012, 0.012, 0.012},
		rim:   [3]float32{0.16, 0.16, 0.16},
	}
}

// stacked returns n pictures of a panel below each other.
func stacked(w *work.Watch, p panel.Panel, s shades, n int, draw func(c *canvas, k int, v geom.Vec)) []byte {
	box := p.Outline.Box()
	if box.Empty() {
		box = geom.Box{}
	}
	const edge = 2 * geom.Millimetre
	step := box.H() + 2*edge
	all := box
	all.Min.Y -= geom.Nm(n-1) * step
	c := newCanvasOf(w, all.Grown(edge), GlowScale, mostPixels, s)
	for k := range n {
		draw(c, k, geom.Vec{Y: -geom.Nm(k) * step})
	}
	return c.png()
}

// daylit paints a panel by daylight.
func (c *canvas) daylit(p panel.Panel, e *lettering.Engraving, f light.Field, v geom.Vec, pale float64, on bool) {
	m, ok := c.masks(p, e, v)
	if !ok {
		return
	}
	c.compose(m.face, m.rim, m.hole, c.veil(glowing{r: m.face.Rect}), c.daylight(m.letters, f, v, pale, on))
}

// daylight is the lettering in the light of day, and in that of its LEDs where they are on.
func (c *canvas) daylight(m raster.Mask, f light.Field, v geom.Vec, pale float64, on bool) glowing {
	return c.toned(m, f, v, func(l float64) float64 { return float64(l / fullWhite) }, func(_ float64, rgb [3]float64) (out [3]float32) {
		for n := range 3 {
			u := pale
			if on {
				u += rgb[n]
			}
			out[n] = float32(min(u, 1))
		}
		return out
	})
}
