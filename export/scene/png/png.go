// Package png draws a scene as pixels.
//
// Coverages are whole numbers (package raster), and colours are mixed in whole numbers of sRGB, so that a picture is the same
// on every processor. The ground is white. Corners of lines are round, whatever the scene says: at the widths of lines they
// differ by less than a pixel.
package png

import (
	"bytes"
	"image"
	"image/draw"
	"image/png"
	"math"

	"lampblack/export/scene"
	"lampblack/export/scene/raster"
	"lampblack/panel/geom"
)

// Most is how many pixels a picture has at most; larger pages get fewer pixels a millimetre.
const Most = 12_000_000

// Encode returns the page as a PNG, with so many pixels a millimetre.
func Encode(p scene.Page, perMM float64) []byte {
	w, h := max(p.W.MM(), 1), max(p.H.MM(), 1)
	perMM = min(perMM, math.Sqrt(Most/(w*h)))
	img := image.NewRGBA(image.Rect(0, 0, max(1, int(math.Round(w*perMM))), max(1, int(math.Round(h*perMM)))))
	draw.Draw(img, img.Rect, image.White, image.Point{}, draw.Src)
	c := page{img: img, view: raster.View{PerMM: perMM}, fine: max(geom.MM(1/perMM)/8, geom.Micrometre)}
	c.group(&p.Body)
	var out bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&out, img); err != nil {
		panic("export/scene/png: " + err.Error()) // writing to memory cannot fail, and the picture has pixels
	}
	return out.Bytes()
}

// page is a picture in the making.
type page struct {
	img  *image.RGBA
	view raster.View
	fine geom.Nm      // how far a flattened curve may be from the true one: an eighth of a pixel
	clip *raster.Mask // of the whole picture; nil: everything
}

func (c page) group(g *scene.Group) {
	if g.Clip != nil {
		m := raster.NewMask(c.img.Rect)
		m.Fill(c.view, rings(g.Clip, c.fine), true)
		if c.clip != nil {
			for i, a := range c.clip.Cover {
				m.Cover[i] = share(m.Cover[i], a)
			}
		}
		c.clip = &m
	}
	for _, it := range g.Items {
		switch it := it.(type) {
		case *scene.Group:
			c.group(it)
		case *scene.Path:
			c.area(rings(it.Shapes, c.fine), it.EvenOdd, it.Fill)
			if !it.Stroke.None() {
				c.area(strips(it, c.fine), false, it.Stroke.Paint)
			}
		case *scene.Glyphs:
			c.area(rings(it.Outlines(), c.fine), false, it.Fill)
		}
	}
}

func rings(shapes []geom.Contour, fine geom.Nm) []geom.Ring {
	out := make([]geom.Ring, len(shapes))
	for i, s := range shapes {
		out[i] = s.Ring(fine)
	}
	return out
}

// area paints the area within rings.
func (c page) area(rings []geom.Ring, evenOdd bool, p scene.Paint) {
	if p.None() {
		return
	}
	box := geom.EmptyBox()
	for _, r := range rings {
		box = box.Union(r.Box())
	}
	if box.Empty() {
		return
	}
	m := raster.NewMask(c.view.Window(box).Intersect(c.img.Rect))
	m.Fill(c.view, rings, evenOdd)
	r, g, b := p.RGB()
	for y := m.Rect.Min.Y; y < m.Rect.Max.Y; y++ {
		at := c.img.PixOffset(m.Rect.Min.X, y)
		for x, a := range m.Row(y) {
			if a == 0 {
				continue
			}
			a = uint8((int(a)*int(p.Percent) + 50) / 100)
			if c.clip != nil {
				a = share(a, c.clip.Row(y)[m.Rect.Min.X+x])
			}
			q := c.img.Pix[at+4*x : at+4*x+3]
			q[0], q[1], q[2] = mixed(q[0], r, a), mixed(q[1], g, a), mixed(q[2], b, a)
		}
	}
}

// share returns a in parts of b, of 255.
func share(a, b uint8) uint8 { return uint8((int(a)*int(b) + 127) / 255) }

// mixed returns what is seen of two values where the upper one covers so much.
func mixed(below, above, cover uint8) uint8 {
	return uint8((int(below)*(255-int(cover)) + int(above)*int(cover) + 127) / 255)
}
