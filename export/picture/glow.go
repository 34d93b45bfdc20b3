package picture

import (
	"bytes"
	"context"
	"image"
	"image/png"
	"io"
	"math"
	"slices"

	"lampblack/export/scene/raster"
	"lampblack/led/light"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// GlowScale is how many pixels a millimetre of glow.png has.
const GlowScale = 8

// mostPixels bounds a picture; larger panels get fewer pixels a millimetre.
const mostPixels = 12_000_000

// Glow returns a PNG of the panel lit in the dark, seen from the front: the lettering as bright as the field says, the painted
// face just visible, openings and the knobs in them as dark shapes.
//
// Luminance is mapped to the screen by Reinhard's curve with a white point (E. Reinhard, M. Stark, P. Shirley and J. Ferwerda,
// "Photographic tone reproduction for digital images", ACM Trans. Graphics 21(3), 2002, doi:10.1145/566654.566575), in the
// LEDs' colour, which pales where it would be brighter than the screen. The lettering's mean is always as bright on the
// screen: a dim panel looks like a bright one to an eye that is used to it. The eye scatters a little light itself, which is
// the glow round bright letters: a tenth of it within about a millimetre, a twentieth within five (after the disability-glare
// function of Stiles and Holladay, to look right rather than to measure). Sets of LEDs are shown below each other, each by itself.
// Once ctx is done what it returns means nothing.
func Glow(ctx context.Context, p panel.Panel, e *lettering.Engraving, f light.Field) (data []byte) {
	box := p.Outline.Box()
	if box.Empty() {
		box = geom.Box{}
	}
	work.Until(ctx, func(w *work.Watch) {
		if n := len(f.Sets); n > 0 {
			data = stacked(w, p, dark(), n, func(c *canvas, k int, v geom.Vec) { c.panel(p, e, f.Sets[k].Field, v, f.Sets[k].Mean) })
			return
		}
		c := newCanvas(w, box.Grown(2*geom.Millimetre), GlowScale, mostPixels)
		c.panel(p, e, f, geom.Vec{}, f.Mean)
		data = c.png()
	})
	return data
}

// shades are the colours of a dark room, as light (linear), the screen's white being 1.
type shades struct{ room, paint, hole, rim [3]float32 }

func dark() shades {
	return shades{
		room:  [3]float32{0.0035, 0.0032, 0.0036},
		paint: [3]float32{0.0125, 0.0115, 0.0118},
		hole:  [3]float32{0.0012, 0.0011, 0.0012},
		rim:   [3]float32{0.024, 0.022, 0.022},
	}
}

// canvas is a picture in the making: millimetres to pixels.
type canvas struct {
	watch *work.Watch
	box   geom.Box
	px    float64 // pixels per mm
	view  raster.View
	img   *image.RGBA
	gam   *[4097]uint8
	shades
}

func newCanvas(watch *work.Watch, box geom.Box, px float64, most int) *canvas {
	return newCanvasOf(watch, box, px, most, dark())
}

func newCanvasOf(watch *work.Watch, box geom.Box, px float64, most int, s shades) *canvas {
	w, h := max(box.W().MM(), 1), max(box.H().MM(), 1)
	px = min(px, math.Sqrt(float64(most)/(w*h)))
	c := &canvas{watch: watch, box: box, px: px, view: raster.View{Corner: geom.Pt{X: box.Min.X, Y: box.Max.Y}, PerMM: px, Up: true, Look: watch.Look}, gam: screen(), shades: s}
	work.Aside(watch, func() { // clearing memory for so many pixels takes long
		c.img = image.NewRGBA(image.Rect(0, 0, whole(w*px), whole(h*px)))
	})
	row := c.img.Pix[:c.img.Stride]
	for x := 0; x < len(row); x += 4 {
		row[x], row[x+1], row[x+2], row[x+3] = c.byte(c.room[0]), c.byte(c.room[1]), c.byte(c.room[2]), 255
	}
	for y := range c.img.Rect.Dy() {
		watch.Look()
		copy(c.img.Pix[y*c.img.Stride:], row)
	}
	return c
}

// whole is how many pixels such a length takes.
func whole(pixels float64) int { return max(1, int(math.Ceil(pixels))) }

// screen is the transfer curve of sRGB (IEC 61966-2-1) over 4096 steps.
func screen() *[4097]uint8 {
	var t [4097]uint8
	for i := range t {
		v := float64(i) / 4096
		if v <= 0.0031308 {
			v *= 12.92
		} else {
			v = float64(1.055*math.Pow(v, 1/2.4)) - 0.055
		}
		t[i] = uint8(math.Round(float64(255 * v)))
	}
	return &t
}

// linear is the light of an 8-bit value.
func linear(b uint8) float64 {
	v := float64(b) / 255
	if v <= 0.04045 {
		return v / 12.92
	}
	return float64(float32(math.Pow((v+0.055)/1.055, 2.4))) // the last bits of Pow are not the same everywhere
}

func (c *canvas) byte(v float32) uint8 { return c.gam[int(float32(min(max(v, 0), 1)*4096)+0.5)] }

func (c *canvas) png() []byte {
	var b bytes.Buffer
	e := png.Encoder{CompressionLevel: png.BestSpeed}
	work.Aside(c.watch, func() {
		if err := e.Encode(watched{&b, c.watch}, c.img); err != nil {
			panic("picture: png: " + err.Error()) // writing to memory cannot fail, and the picture has pixels
		}
	})
	return b.Bytes()
}

// watched is a writer that looks before each write, so that an encoder whom nobody waits for soon ends.
type watched struct {
	io.Writer
	*work.Watch
}

func (w watched) Write(p []byte) (int, error) {
	w.Look()
	return w.Writer.Write(p)
}

// stencil returns a mask of the picture's pixels within a box.
func (c *canvas) stencil(b geom.Box) raster.Mask {
	return raster.NewMask(c.view.Window(b).Intersect(c.img.Rect))
}

// pictureTolerance is how far a flattened curve may be from the true one: an eighth of a pixel.
const pictureTolerance = 15 * geom.Micrometre

// panel paints a lit panel moved by v; mean is the luminance that shall look as bright as a screen's letters do.
func (c *canvas) panel(p panel.Panel, e *lettering.Engraving, f light.Field, v geom.Vec, mean float64) {
	m, ok := c.masks(p, e, v)
	if !ok {
		return
	}
	lit := c.lit(m.letters, f, v, mean)
	c.compose(m.face, m.rim, m.hole, c.veil(lit), lit)
}

// masks are the pixels of a panel's parts.
type masks struct{ face, rim, hole, letters raster.Mask }

// masks returns those of a panel moved by v; not ok without an outline.
func (c *canvas) masks(p panel.Panel, e *lettering.Engraving, v geom.Vec) (m masks, ok bool) {
	moved := func(k geom.Contour) geom.Ring { return k.Ring(pictureTolerance).Moved(v) }
	box := p.Outline.Box()
	if len(p.Outline) == 0 || box.Empty() {
		return m, false
	}
	box = geom.Box{Min: box.Min.Add(v), Max: box.Max.Add(v)}
	c.watch.Look()
	face := c.stencil(box)
	c.watch.Look()
	face.Fill(c.view, []geom.Ring{moved(p.Outline)}, false)
	c.watch.Look()
	rim, hole := raster.NewMask(face.Rect), raster.NewMask(face.Rect)
	knife := geom.Knife{Look: c.watch.Look}
	cut := func(k geom.Contour) {
		c.watch.Look()
		g := geom.NewRegion(moved(k))
		rim.Fill(c.view, knife.Grown(g, geom.Millimetre*3/20).Rings(), false)
		hole.Fill(c.view, g.Rings(), false)
	}
	for _, o := range p.Openings {
		cut(o.Contour)
	}
	for _, m := range p.Mounts {
		cut(geom.Circle(m.At, m.D))
	}
	letters := raster.NewMask(face.Rect)
	e = e.Or(c.watch, p)
	for _, g := range slices.Concat(e.Texts, e.Symbols) {
		c.watch.Look()
		var rings []geom.Ring
		for _, r := range g.Rings() {
			rings = append(rings, r.Moved(v))
		}
		letters.Fill(c.view, rings, false)
	}
	// Lettering within an opening or beyond the edge is cut away with it.
	for i, a := range letters.Cover {
		if a == 0 {
			continue // most pixels
		}
		c.watch.Step()
		letters.Cover[i] = uint8(int(a) * int(face.Cover[i]) / 255 * (255 - int(hole.Cover[i])) / 255)
	}
	return masks{face, rim, hole, letters}, true
}

// glowing is the light of the lettering: pixels where there is any, from the top left.
type glowing struct {
	r     image.Rectangle
	index []int32
	cover []uint8
	light [][3]float32 // before the screen's curve; 1 is the screen's white
}

// Curve of the screen: the mean is mapped to key before the curve, and whitePoint times that to white.
const (
	key        = 1.3
	whitePoint = 4.0
)

// lit computes what the eye sees of the lettering.
func (c *canvas) lit(m raster.Mask, f light.Field, v geom.Vec, mean float64) glowing {
	if len(f.Layers) == 0 || !(mean > 0) {
		return glowing{r: m.Rect}
	}
	return c.toned(m, f, v, func(l float64) float64 { return float64(l / mean * key) }, func(all float64, rgb [3]float64) (out [3]float32) {
		t := min(float64(all*(1+float64(all/(whitePoint*whitePoint)))/(1+all)), 1)
		pale := min(max(float64((t-0.6)*0.9), 0), 0.5)
		if all > 0 {
			for n := range 3 {
				u := float64(rgb[n] / all * t)
				out[n] = float32(u + float64((t-u)*pale*0.35))
			}
		}
		return out
	})
}

// toned shows the lettering in the light of all colours, each scaled, by a tone of their sum and of its parts on the screen's colours.
func (c *canvas) toned(m raster.Mask, f light.Field, v geom.Vec, scale func(float64) float64, tone func(all float64, rgb [3]float64) [3]float32) glowing {
	g := glowing{r: m.Rect}
	tints := make([][3]float64, len(f.Layers))
	for i, l := range f.Layers {
		most := 0.0
		for k := range 3 {
			tints[i][k] = linear(l.RGB[k])
			most = max(most, tints[i][k])
		}
		for k := range 3 {
			tints[i][k] /= max(most, 1e-3)
		}
	}
	covered := len(m.Cover) - bytes.Count(m.Cover, []byte{0})
	g.index, g.cover, g.light = make([]int32, 0, covered), make([]uint8, 0, covered), make([][3]float32, 0, covered)
	w := m.Rect.Dx()
	for i, a := range m.Cover {
		if a == 0 {
			continue
		}
		c.watch.Step()
		x, y := float64(m.Rect.Min.X+i%w)+0.5, float64(m.Rect.Min.Y+i/w)+0.5
		q := geom.Pt{X: c.box.Min.X + geom.MM(x/c.px) - v.X, Y: c.box.Max.Y - geom.MM(y/c.px) - v.Y}
		var rgb [3]float64
		all := 0.0
		for k, l := range f.Layers {
			e := scale(l.At(q))
			all += e
			for n := range 3 {
				rgb[n] += float64(e * tints[k][n])
			}
		}
		g.index = append(g.index, int32(i))
		g.cover = append(g.cover, a)
		g.light = append(g.light, tone(all, rgb))
	}
	return g
}

// veil is the light that the eye scatters, on cells of a millimetre.
type veil struct {
	px   float64 // pixels per cell
	w, h int
	v    [][3]float32
}

func (c *canvas) veil(g glowing) veil {
	cell := max(c.px, 1)
	out := veil{px: cell, w: int(float64(g.r.Dx())/cell) + 2, h: int(float64(g.r.Dy())/cell) + 2}
	src := make([][3]float32, out.w*out.h)
	w := g.r.Dx()
	for i, k := range g.index {
		c.watch.Step()
		x, y := int(float64(int(k)%w)/cell), int(float64(int(k)/w)/cell)
		s := float32(g.cover[i]) / 255 / float32(cell*cell)
		for n := range 3 {
			src[y*out.w+x][n] += float32(g.light[i][n] * s)
		}
	}
	near, far := smeared(c.watch, src, out.w, out.h, 1.1), smeared(c.watch, src, out.w, out.h, 5)
	out.v = near
	for i := range near {
		for n := range 3 {
			out.v[i][n] = float32(0.10*near[i][n]) + float32(0.05*far[i][n])
		}
	}
	return out
}

// smeared returns the cells convolved with a Gaussian of sd cells.
func smeared(watch *work.Watch, v [][3]float32, w, h int, sd float64) [][3]float32 {
	n := int(math.Ceil(3 * sd))
	kernel := make([]float32, 2*n+1)
	sum := float32(0)
	for i := range kernel {
		d := float64(i - n)
		kernel[i] = float32(math.Exp(-d * d / (2 * sd * sd)))
		sum += kernel[i]
	}
	pass := func(v [][3]float32, w, h int) [][3]float32 { // along rows, and turned
		out := make([][3]float32, w*h)
		for j := range h {
			watch.Look()
			for i := range w {
				var a [3]float32
				for k, f := range kernel {
					if x := i + k - n; x >= 0 && x < w {
						p := v[j*w+x]
						a[0] += float32(f * p[0])
						a[1] += float32(f * p[1])
						a[2] += float32(f * p[2])
					}
				}
				out[i*h+j] = [3]float32{a[0] / sum, a[1] / sum, a[2] / sum}
			}
		}
		return out
	}
	return pass(pass(v, w, h), h, w)
}

// compose puts face, openings, veil and lettering together.
func (c *canvas) compose(face, rim, hole raster.Mask, v veil, g glowing) {
	w := face.Rect.Dx()
	line := make([][3]float32, w)
	type column struct { // between which cells of the veil a pixel lies, and where
		cell int
		to   float32
	}
	columns := make([]column, w)
	for x := range columns {
		fx := max((float64(x)+0.5)/v.px-0.5, 0)
		i := min(int(fx), v.w-2)
		columns[x] = column{i, float32(fx - float64(i))}
	}
	next := 0
	for y := range face.Rect.Dy() {
		c.watch.Look()
		f, r, o := face.Row(y+face.Rect.Min.Y), rim.Row(y+face.Rect.Min.Y), hole.Row(y+face.Rect.Min.Y)
		fy := max((float64(y)+0.5)/v.px-0.5, 0)
		j := min(int(fy), v.h-2)
		ty := float32(fy - float64(j))
		up, down := v.v[j*v.w:(j+1)*v.w], v.v[(j+1)*v.w:(j+2)*v.w]
		last, was := -1, -1
		var a, b, bare [3]float32
		for x := range w {
			i, tx := columns[x].cell, columns[x].to
			if i != last {
				for n := range 3 {
					a[n] = up[i][n] + float32((down[i][n]-up[i][n])*ty)
					b[n] = up[i+1][n] + float32((down[i+1][n]-up[i+1][n])*ty)
				}
				last = i
			}
			if of := int(f[x])<<16 | int(r[x])<<8 | int(o[x]); of != was { // seldom: most pixels are as the one before
				fa, ra, oa := float32(f[x])/255, float32(r[x])/255, float32(o[x])/255
				for n := range 3 {
					p := c.room[n] + float32((c.paint[n]-c.room[n])*fa)
					p += float32((c.shades.rim[n] - p) * ra)
					p += float32((c.hole[n] - p) * oa)
					bare[n] = p
				}
				was = of
			}
			for n := range 3 {
				line[x][n] = bare[n] + a[n] + float32((b[n]-a[n])*tx)
			}
		}
		for ; next < len(g.index) && int(g.index[next]) < (y+1)*w; next++ {
			x := int(g.index[next]) - y*w
			s := float32(g.cover[next]) / 255
			for n := range 3 {
				line[x][n] += float32((g.light[next][n] - float32(line[x][n]*0.5)) * s)
			}
		}
		at := c.img.PixOffset(face.Rect.Min.X, y+face.Rect.Min.Y)
		for x, p := range line {
			if f[x] == 0 && r[x] == 0 && p[0]+p[1]+p[2] < 0.0105 {
				continue
			}
			k := at + 4*x
			c.img.Pix[k], c.img.Pix[k+1], c.img.Pix[k+2], c.img.Pix[k+3] = c.byte(p[0]), c.byte(p[1]), c.byte(p[2]), 255
		}
	}
}
