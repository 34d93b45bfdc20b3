// Package raster tells how much of each pixel an area covers.
//
// Rings of a plane in nanometres go in, and a Mask of 8-bit coverages comes out. Places are rounded once, to 64ths of a pixel;
// from there on everything is whole numbers, so that masks are the same on every processor.
//
// The sweep is github.com/golang/freetype/raster. golang.org/x/image/vector, on which canvas draws its pixels, was tried: it
// is written in assembly for amd64 and in Go for others, which round otherwise, and one value of 255 in a sample differed.
package raster

import (
	"image"
	"math"

	"github.com/golang/freetype/raster"
	"golang.org/x/image/math/fixed"

	"lampblack/panel/geom"
)

// View is where the pixels lie: the place of pixel (0, 0)'s upper left corner in the plane, and how many are a millimetre.
type View struct {
	Corner geom.Pt
	PerMM  float64
	Up     bool   // the plane's Y runs up, against the pixels'
	Look   func() // if any: called again and again while an area is swept, and may unwind
}

// At returns the place of a point in 64ths of a pixel, rounded once.
func (v View) At(p geom.Pt) fixed.Point26_6 {
	y := p.Y - v.Corner.Y
	if v.Up {
		y = -y
	}
	return fixed.Point26_6{X: v.length(p.X - v.Corner.X), Y: v.length(y)}
}

func (v View) length(d geom.Nm) fixed.Int26_6 {
	const per = 64 / float64(geom.Millimetre)
	const most = 1 << 28 // a quarter of what 26.6 holds, so that differences fit
	return fixed.Int26_6(min(max(math.Round(float64(float64(d)*float64(v.PerMM*per))), -most), most))
}

// Window returns the pixels that a box touches, with a pixel of room around them.
func (v View) Window(b geom.Box) image.Rectangle {
	p, q := v.At(b.Min), v.At(b.Max)
	return image.Rect(min(p.X, q.X).Floor()-1, min(p.Y, q.Y).Floor()-1, max(p.X, q.X).Ceil()+1, max(p.Y, q.Y).Ceil()+1)
}

// Mask is how much of each pixel of a window is covered: 255 wholly.
type Mask struct {
	Rect  image.Rectangle
	Cover []uint8 // row by row from the top
}

// NewMask returns a mask of nothing.
func NewMask(r image.Rectangle) Mask { return Mask{r, make([]uint8, r.Dx()*r.Dy())} }

// Row returns the coverages of row y; nil outside.
func (m Mask) Row(y int) []uint8 {
	if y < m.Rect.Min.Y || y >= m.Rect.Max.Y {
		return nil
	}
	return m.Cover[(y-m.Rect.Min.Y)*m.Rect.Dx() : (y-m.Rect.Min.Y+1)*m.Rect.Dx()]
}

// farthest is how many pixels outside a mask places are told apart. A thing that reaches farther is drawn to there.
const farthest = 1 << 13

// Fill adds the area within rings to the mask: by their winding number, or with evenOdd by how many there are. A pixel that
// earlier areas cover more keeps its coverage.
func (m Mask) Fill(v View, rings []geom.Ring, evenOdd bool) {
	box := geom.EmptyBox()
	for _, r := range rings {
		box = box.Union(r.Box())
	}
	if box.Empty() {
		return
	}
	all := v.Window(box)
	if all.Intersect(m.Rect).Empty() {
		return
	}
	// The sweep divides places by 64 toward zero, and so goes wrong left of its first column and above its first row: all that
	// is drawn must lie right of them and below.
	reach := m.Rect.Inset(-farthest)
	origin := image.Pt(max(all.Min.X, reach.Min.X), max(all.Min.Y, reach.Min.Y))
	size := m.Rect.Max.Sub(origin)
	corner, end := fixed.P(origin.X, origin.Y), fixed.P(reach.Max.X, reach.Max.Y).Sub(fixed.P(origin.X, origin.Y))
	at := func(p geom.Pt) fixed.Point26_6 {
		q := v.At(p).Sub(corner)
		return fixed.Point26_6{X: min(max(q.X, 0), end.X), Y: min(max(q.Y, 0), end.Y)}
	}
	z := raster.NewRasterizer(size.X, size.Y)
	z.UseNonZeroWinding = !evenOdd
	look := v.Look
	if look == nil {
		look = func() {}
	}
	for _, r := range rings {
		look()
		if len(r) < 3 {
			continue
		}
		first := at(r[0])
		z.Start(first)
		for _, p := range r[1:] {
			z.Add1(at(p))
		}
		z.Add1(first)
	}
	z.Rasterize(raster.PainterFunc(func(spans []raster.Span, _ bool) {
		look()
		for _, s := range spans {
			a := uint8((s.Alpha*255 + 0x7fff) / 0xffff)
			row := m.Row(s.Y + origin.Y)
			if row == nil {
				continue
			}
			left := origin.X - m.Rect.Min.X
			for x := max(s.X0+left, 0); x < s.X1+left; x++ {
				row[x] = max(row[x], a)
			}
		}
	}))
}
