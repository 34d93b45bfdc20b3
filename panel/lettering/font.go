package lettering

import (
	"math"

	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	xfont "golang.org/x/image/font"

	"lampblack/panel/geom"
)

// Measures of Go Regular in font units (1/2048 em), as its OS/2 table and the letter p have them; the test reads them
// from the font.
const (
	capHeight = 1480.0
	descent   = 420.0 // of the letters g p q y
)

// font is the embedded font, opened.
type font struct {
	sfnt *sfnt.Font
	ppem fixed.Int26_6
	buf  *sfnt.Buffer
}

// open parses the tables of the font, which takes microseconds, so that no state is shared between callers.
func open() font {
	f, err := sfnt.Parse(goregular.TTF)
	if err != nil {
		panic("lettering: the embedded font: " + err.Error())
	}
	// At as many pixels per em as units per em, a pixel is a font unit and its 64ths are spare precision.
	return font{f, fixed.I(int(f.UnitsPerEm())), &sfnt.Buffer{}}
}

// glyph is one letter, in font units, Y up.
type glyph struct {
	advance  float64
	segments sfnt.Segments

	// Set by layout: the letter, and the number of the word it is in.
	r    rune
	word int
}

// glyph returns the letter for r. A letter that the font lacks is a gap as wide as the font's own mark for it.
func (f font) glyph(r rune) (glyph, bool) {
	i, err := f.sfnt.GlyphIndex(f.buf, r)
	if err != nil {
		return glyph{}, false
	}
	adv, err := f.sfnt.GlyphAdvance(f.buf, i, f.ppem, xfont.HintingNone)
	if err != nil {
		return glyph{}, false
	}
	g := glyph{advance: float64(adv) / 64}
	if i == 0 {
		return g, false
	}
	segs, err := f.sfnt.LoadGlyph(f.buf, i, f.ppem, nil)
	if err != nil {
		return g, false
	}
	g.segments = append(g.segments, segs...)
	return g, true
}

// advance returns the width of a line, in font units.
func (f font) advance(row []rune) float64 {
	sum := 0.0
	for i, r := range row {
		if i > 0 {
			sum += kern(row[i-1], r)
		}
		i, err := f.sfnt.GlyphIndex(f.buf, r)
		if err != nil {
			continue
		}
		if a, err := f.sfnt.GlyphAdvance(f.buf, i, f.ppem, xfont.HintingNone); err == nil {
			sum += float64(a) / 64
		}
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
	for _, s := range g.segments {
		a := [3][2]float64{}
		for i, p := range s.Args {
			a[i] = [2]float64{float64(p.X) / 64, -float64(p.Y) / 64}
		}
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			finish()
			x, y = a[0][0], a[0][1]
			add(x, y)
		case sfnt.SegmentOpLineTo:
			x, y = a[0][0], a[0][1]
			add(x, y)
		case sfnt.SegmentOpQuadTo:
			// n equal steps of a parabola miss it by |p0-2p1+p2|/(4n²) at most.
			bend := math.Hypot(x-2*a[0][0]+a[1][0], y-2*a[0][1]+a[1][1]) * size
			n := steps(bend / 4)
			for i := 1; i <= n; i++ {
				t := float64(i) / float64(n)
				u := 1 - t
				add(float64(u*u*x)+float64(2*u*t*a[0][0])+float64(t*t*a[1][0]),
					float64(u*u*y)+float64(2*u*t*a[0][1])+float64(t*t*a[1][1]))
			}
			x, y = a[1][0], a[1][1]
		case sfnt.SegmentOpCubeTo:
			panic("lettering: the embedded font has cubic curves")
		}
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
