// Package lettering turns the texts and symbols of a panel into areas: what the laser engraves through the paint.
//
// A panel.Text goes in, and the outlines of its glyphs come out as a geom.Region in the panel frame, in whole
// nanometres, mirrored only if the text itself is. The font is Go Regular (embedded, open licence; no font of the
// machine is ever read), scaled so that a capital letter is exactly Text.Height high. Curves are flattened within
// geom.FlattenTolerance. A letter that the font lacks leaves a gap, and Missing names it. A text of several lines,
// split by '\n', stands as one block.
//
// Go Regular has no serifs on most letters, open counters, and stems of about 1/7 of the capital height, which suits
// light letters on a dark ground; the test has the source of that proportion.
package lettering

import (
	"math"
	"strings"

	"lampblack/panel"
	"lampblack/panel/geom"
)

// MaxRunes bounds the characters of one text that are drawn. No faceplate has so many, and a drawing must not be able
// to fill the memory.
const MaxRunes = 4096

// lineSpacing is the distance of two baselines in capital heights: 5/3, the single spacing of MTEXT (common practice).
const lineSpacing = 5.0 / 3

// Outline returns the area of the text's letters.
func Outline(t panel.Text) geom.Region {
	var out geom.Region
	f := open()
	f.layout(t, func(g glyph, place placing) {
		out = append(out, g.region(place)...)
	})
	return out
}

// Advance returns the width of the text's longest line, side bearings included, before it is turned.
func Advance(t panel.Text) geom.Nm {
	f, widest := open(), 0.0
	for _, line := range lines(t) {
		widest = max(widest, f.advance(line))
	}
	return geom.Nm(math.Round(widest * f.stretch(t)))
}

// Missing returns the characters of the text that the font cannot draw, each once, in the order they appear.
func Missing(t panel.Text) []rune {
	var out []rune
	f := open()
	for _, line := range lines(t) {
		for _, r := range line {
			if _, ok := f.glyph(r); !ok && !strings.ContainsRune(string(out), r) {
				out = append(out, r)
			}
		}
	}
	return out
}

// drawable reports whether the text has a size that can be drawn.
func drawable(t panel.Text) bool {
	return t.Height > 0 && t.Height <= geom.MaxCoord && !math.IsNaN(t.Angle) && !math.IsInf(t.Angle, 0) &&
		!math.IsNaN(t.Width) && !math.IsInf(t.Width, 0)
}

// lines returns the text's lines, control characters taken off and tabs as blanks, no more than MaxRunes in all.
func lines(t panel.Text) [][]rune {
	if !drawable(t) {
		return nil
	}
	out, left := [][]rune{nil}, MaxRunes
	for _, r := range t.Text {
		if left == 0 {
			break
		}
		left--
		switch {
		case r == '\n':
			out = append(out, nil)
		case r == '\t' || r == '\u00a0':
			r = ' '
			fallthrough
		case r >= ' ' && r != 0x7f:
			out[len(out)-1] = append(out[len(out)-1], r)
		}
	}
	return out
}

// unit returns the nanometres of one font unit.
func unit(t panel.Text) float64 { return float64(t.Height) / capHeight }

func widthFactor(t panel.Text) float64 {
	if t.Width == 0 {
		return 1
	}
	return math.Abs(t.Width)
}

// stretch returns the nanometres of one font unit along the text: those of its width factor, or those that make its
// longest line fill the Span.
func (f alphabet) stretch(t panel.Text) float64 {
	if t.Span > 0 && t.Span <= geom.MaxCoord {
		widest := 0.0
		for _, line := range lines(t) {
			widest = max(widest, f.advance(line))
		}
		if widest > 0 {
			return float64(t.Span) / widest
		}
	}
	return unit(t) * widthFactor(t)
}

// placing puts a point of a glyph, in font units from the glyph's origin, on the panel.
type placing struct {
	origin   geom.Pt // of the text
	x, y     float64 // of the glyph's origin, in nanometres from the text's origin, before turning
	sx, sy   float64 // nanometres per font unit; sx is negative in a mirrored text
	sin, cos float64
}

// at returns the place of a point, rounded once. Products are converted one by one so that no platform fuses them.
func (p placing) at(ux, uy float64) geom.Pt {
	x, y := p.x+float64(ux*p.sx), p.y+float64(uy*p.sy)
	return p.origin.Add(geom.Vec{
		X: geom.Nm(math.Round(float64(x*p.cos) - float64(y*p.sin))),
		Y: geom.Nm(math.Round(float64(x*p.sin) + float64(y*p.cos))),
	})
}

// layout calls draw with every visible glyph of the text and where it stands. Glyphs beyond geom.MaxCoord are left out.
func (f alphabet) layout(t panel.Text, draw func(glyph, placing)) {
	rows := lines(t)
	if len(rows) == 0 {
		return
	}
	sy, sx := unit(t), f.stretch(t)
	if t.Mirror {
		sx = -sx
	}
	step := float64(t.Height) * lineSpacing
	y := 0.0 // of the first baseline
	below := step * float64(len(rows)-1)
	switch t.Anchor.V {
	case panel.BottomLine:
		y = below + float64(descent*sy)
	case panel.Middle:
		y = (below - float64(t.Height)) / 2
	case panel.TopLine:
		y = -float64(t.Height)
	}
	sin, cos := math.Sincos(t.Angle)
	word := 0
	for _, row := range rows {
		word++
		x := 0.0 // in font units
		switch t.Anchor.H {
		case panel.Centre:
			x = -f.advance(row) / 2
		case panel.Right:
			x = -f.advance(row)
		}
		var before rune
		for i, r := range row {
			if i > 0 {
				x += kern(before, r)
			}
			before = r
			g, ok := f.glyph(r)
			if r == ' ' {
				word++
			}
			g.r, g.word = r, word
			if ok {
				p := placing{origin: t.At, x: x * sx, y: y, sx: sx, sy: sy, sin: sin, cos: cos}
				if reach := math.Abs(p.x) + math.Abs(p.y) + 4*g.advance*max(math.Abs(sx), sy) + math.Abs(float64(t.At.X)) +
					math.Abs(float64(t.At.Y)); reach < float64(geom.MaxCoord) {
					draw(g, p)
				}
			}
			x += g.advance
		}
		y -= step
	}
}
