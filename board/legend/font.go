package legend

import (
	"math"
	"strings"
	"unicode"

	"lampblack/panel/geom"
	"lampblack/panel/lettering"
)

// The font is lettering's stroke letters: capitals alone (and the k of 1k3), so that it stays legible at 1 mm with a line of
// 0.15 mm.
const (
	capUnits = lettering.StrokeUnits
	spacing  = 2 // units between glyphs
)

// plain returns what the font can write of s: capitals, letters without their accents, "?" for the rest. The k of a value
// stays small, so that board and lists say the same: 1k3.
func plain(s string) string {
	const from = "ÀÁÂÃÄÅÇÈÉÊËÌÍÎÏÑÒÓÔÕÖØÙÚÛÜÝŠŽ–—µΩ"
	const to = "AAAAAACEEEEIIIINOOOOOOUUUUYSZ--UR"
	targets := []rune(to)
	var out strings.Builder
	last := ' '
	for _, small := range strings.TrimSpace(s) {
		r := unicode.ToUpper(small)
		if small == 'k' && last >= '0' && last <= '9' {
			r = 'k'
		}
		last = small
		n := 0
		for _, f := range from {
			if f == r {
				r = targets[n]
				break
			}
			n++
		}
		if _, ok := lettering.Strokes(r); !ok && r != ' ' {
			r = '?'
		}
		out.WriteRune(r)
	}
	return out.String()
}

// text is a line of lettering in font units, its lower left corner at the origin.
type text struct {
	lines [][][2]float64
	width float64
}

// setText lays out a line.
func setText(s string) text {
	var t text
	x := 0.0
	for i, r := range []rune(plain(s)) {
		if i > 0 {
			x += spacing
		}
		if r == ' ' {
			x += 2
			continue
		}
		strokes, _ := lettering.Strokes(r)
		wide := 0.0
		for _, stroke := range strokes {
			var line [][2]float64
			for _, p := range stroke {
				wide = math.Max(wide, p[0])
				line = append(line, [2]float64{x + p[0], p[1]})
			}
			t.lines = append(t.lines, line)
		}
		x += wide
	}
	t.width = x
	return t
}

// size returns width and height of the lettering with capitals of height h, line width not included.
func (t text) size(h geom.Nm) (w, height geom.Nm) {
	return geom.Nm(math.Round(t.width * float64(h) / capUnits)), h
}

// at returns the strokes with capitals of height h, the text's middle at c, turned by quarter turns; mirrored it is
// read through the board.
func (t text) at(c geom.Pt, h geom.Nm, turn int, mirror bool) []geom.Polyline {
	unit := float64(h) / capUnits
	var out []geom.Polyline
	for _, line := range t.lines {
		var p geom.Polyline
		for _, q := range line {
			x, y := (q[0]-t.width/2)*unit, (q[1]-capUnits/2)*unit
			if mirror {
				x = -x
			}
			p = append(p, c.Add(geom.Vec{X: geom.Nm(math.Round(x)), Y: geom.Nm(math.Round(y))}.Quarter(turn)))
		}
		out = append(out, p)
	}
	return out
}
