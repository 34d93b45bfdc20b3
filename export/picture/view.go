package picture

import (
	"context"
	"image"
	"slices"

	"lampblack/export/scene/raster"
	"lampblack/led/light"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// View is a panel as pixels, set up for being shown in one light after another, as Glow and Day show it. Each picture is two of one size:
// the panel without its lettering, and as if all of it were lettering. Seen through the lettering's own outlines, the second is sharp
// on any screen, however few pixels both have.
type View struct {
	box   geom.Box
	perMM float64
	masks
	all raster.Mask // as if all were lettering
}

// NewView sets up a panel at so many pixels a millimetre, fewer for a large one. Once ctx is done it returns nil.
func NewView(ctx context.Context, p panel.Panel, e *lettering.Engraving, perMM float64) (v *View) {
	box := p.Outline.Box()
	if box.Empty() {
		box = geom.Box{}
	}
	work.Until(ctx, func(w *work.Watch) {
		c := newCanvas(w, box.Grown(2*geom.Millimetre), perMM, mostPixels/4)
		one := &View{box: c.box, perMM: c.px}
		one.masks, _ = c.masks(p, e, geom.Vec{})
		one.all = raster.Mask{Rect: one.face.Rect, Cover: slices.Repeat([]uint8{255}, len(one.face.Cover))}
		v = one
	})
	return v
}

// Box is what the pictures show: of whole pixels, from the upper left corner.
func (v *View) Box() geom.Box {
	w, h := max(v.box.W().MM(), 1), max(v.box.H().MM(), 1)
	r := image.Rect(0, 0, whole(w*v.perMM), whole(h*v.perMM))
	return geom.Box{
		Min: geom.Pt{X: v.box.Min.X, Y: v.box.Max.Y - geom.MM(float64(r.Dy())/v.perMM)},
		Max: geom.Pt{X: v.box.Min.X + geom.MM(float64(r.Dx())/v.perMM), Y: v.box.Max.Y},
	}
}

// Dark shows the panel lit in the dark. Once ctx is done what it returns means nothing.
func (v *View) Dark(ctx context.Context, f light.Field) (ground, letters *image.RGBA) {
	work.Until(ctx, func(w *work.Watch) {
		ground, letters = v.shown(w, dark(), func(c *canvas) (all, scattered glowing) {
			all = c.lit(v.all, f, geom.Vec{}, f.Mean)
			if scattered = all; len(all.index) > 0 { // the eye scatters what lettering sends alone
				scattered.cover = v.letters.Cover
			}
			return all, scattered
		})
	})
	return ground, letters
}

// Day shows the panel by daylight with its LEDs on. Once ctx is done what it returns means nothing.
func (v *View) Day(ctx context.Context, f light.Field, pale float64) (ground, letters *image.RGBA) {
	work.Until(ctx, func(w *work.Watch) {
		ground, letters = v.shown(w, bright(), func(c *canvas) (all, scattered glowing) {
			return c.daylight(v.all, f, geom.Vec{}, pale, true), glowing{r: v.all.Rect}
		})
	})
	return ground, letters
}

func (v *View) shown(w *work.Watch, s shades, light func(*canvas) (all, scattered glowing)) (ground, letters *image.RGBA) {
	below, above := newCanvasOf(w, v.box, v.perMM, mostPixels, s), newCanvasOf(w, v.box, v.perMM, mostPixels, s)
	all, scattered := light(below)
	veil := below.veil(scattered)
	below.compose(v.face, v.rim, v.hole, veil, glowing{r: v.face.Rect})
	above.compose(v.face, v.rim, v.hole, veil, all)
	return below.img, above.img
}
