package lettering

import (
	"math"
	"sync"

	"github.com/tdewolff/canvas"
	"github.com/tdewolff/font"
	"golang.org/x/image/font/gofont/goregular"

	"lampblack/panel/geom"
)

// Measures of Go Regular in font units (1/2048 em), as its OS/2 table and the letter p have them; the test reads them
// from the font.
const (
	capHeight = 1480.0
	descent   = 420.0 // of the letters g p q y
)

// alphabet is the font, read: its table of characters, and its letters by their index, the first of which is the mark for
// characters that it lacks. All coordinates are whole or half font units, and so exact whatever the processor.
type alphabet struct {
	sfnt   *font.SFNT
	glyphs []glyph
}

// open returns the font. It is read once, which takes some milliseconds, and never changes after that.
func open() alphabet { return regular() }

var regular = sync.OnceValue(read)

// read reads the embedded font, with canvas and its font module.
func read() alphabet {
	f, err := font.ParseSFNT(goregular.TTF, 0)
	if err != nil {
		panic("lettering: the embedded font: " + err.Error())
	}
	a := alphabet{f, make([]glyph, f.NumGlyphs())}
	for i := range a.glyphs {
		id := uint16(i)
		var p canvas.Path
		if err := f.GlyphPath(&p, id, f.Head.UnitsPerEm, 0, 0, 1, font.NoHinting); err != nil {
			panic("lettering: a letter of the embedded font: " + err.Error())
		}
		a.glyphs[i] = glyph{advance: float64(f.GlyphAdvance(id)), outline: &p}
	}
	return a
}

// glyph is one letter, in font units, Y up.
type glyph struct {
	advance float64
	outline *canvas.Path // of the font; nobody changes it

	// Set by layout: the letter, and the number of the word it is in.
	r    rune
	word int
}

// glyph returns the letter for r. A letter that the font lacks is a gap as wide as the font's own mark for it.
func (a alphabet) glyph(r rune) (glyph, bool) {
	i := a.sfnt.GlyphIndex(r)
	if i == 0 {
		return glyph{advance: a.glyphs[0].advance}, false
	}
	return a.glyphs[i], true
}

// advance returns the width of a line, in font units.
func (a alphabet) advance(row []rune) float64 {
	sum := 0.0
	for i, r := range row {
		if i > 0 {
			sum += kern(row[i-1], r)
		}
		g, _ := a.glyph(r)
		sum += g.advance
	}
	return sum
}

// region returns the letter's area where place puts it.
func (g glyph) region(place placing) geom.Region {
	var rings []geom.Ring
	var ring geom.Ring
	var x, y float64
	finish := func() {
		if len(ring) > 0 {
			rings = append(rings, ring)
		}
		ring = nil
	}
	add := func(x, y float64) {
		if p := place.at(x, y); len(ring) == 0 || ring[len(ring)-1] != p {
			ring = append(ring, p)
		}
	}
	size := max(math.Abs(place.sx), place.sy)
	if g.outline == nil {
		return nil
	}
	for s := g.outline.Scanner(); s.Scan(); {
		end := s.End()
		switch s.Cmd() {
		case canvas.MoveToCmd:
			finish()
			add(end.X, end.Y)
		case canvas.LineToCmd, canvas.CloseCmd:
			add(end.X, end.Y)
		case canvas.QuadToCmd:
			// n equal steps of a parabola miss it by |p0-2p1+p2|/(4n²) at most.
			c := s.CP1()
			bend := math.Hypot(x-2*c.X+end.X, y-2*c.Y+end.Y) * size
			n := steps(bend / 4)
			for i := 1; i <= n; i++ {
				t := float64(i) / float64(n)
				u := 1 - t
				add(float64(u*u*x)+float64(2*u*t*c.X)+float64(t*t*end.X), float64(u*u*y)+float64(2*u*t*c.Y)+float64(t*t*end.Y))
			}
		default:
			panic("lettering: the embedded font has cubic curves")
		}
		x, y = end.X, end.Y
	}
	finish()
	return nest(rings)
}

// steps returns into how many equal steps a parabola must go whose single chord misses it by sag nanometres.
func steps(sag float64) int {
	return int(min(max(1, math.Ceil(math.Sqrt(sag/float64(geom.FlattenTolerance)))), 1024))
}

// nest sorts the rings of one letter into outer rings and holes. TrueType runs outer contours one way and holes the
// other (its fill rule is non-zero winding), and the letters of this font do not overlap themselves, so that the way
// of the largest ring tells which are which; the test compares every letter with geom's own settling.
func nest(rings []geom.Ring) geom.Region {
	largest, at := int64(0), -1
	areas := make([]int64, len(rings))
	for i, r := range rings {
		for len(r) > 1 && r[0] == r[len(r)-1] {
			r = r[:len(r)-1]
		}
		rings[i] = r
		if len(r) < 3 {
			continue
		}
		areas[i] = r.SignedArea2()
		if a := max(areas[i], -areas[i]); a > largest {
			largest, at = a, i
		}
	}
	if at < 0 {
		return nil
	}
	var out geom.Region
	for i, r := range rings {
		if areas[i] != 0 && (areas[i] > 0) == (areas[at] > 0) {
			out = append(out, geom.Polygon{Outer: r.Oriented(geom.CCW)})
		}
	}
	for i, r := range rings {
		if areas[i] == 0 || (areas[i] > 0) == (areas[at] > 0) {
			continue
		}
		home := -1
		for j := range out {
			if out[j].Outer.Locate(r[0]) == geom.Inside &&
				(home < 0 || out[j].Outer.SignedArea2() < out[home].Outer.SignedArea2()) {
				home = j
			}
		}
		if home >= 0 {
			out[home].Holes = append(out[home].Holes, r.Oriented(geom.CW))
		}
	}
	return out
}
