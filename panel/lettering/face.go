package lettering

import (
	"bytes"
	"fmt"
	"math"
	"sync"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/harfbuzz"
)

// MaxFontBytes bounds a font file of the user's: the largest faces of the world's writing have some 10 MB.
const MaxFontBytes = 16 << 20

// Face is a typeface: outlines, or lines that are engraved as such, and their widths and kerning. Nothing else of a font file is
// used. A Face may be used from several goroutines; what it gives never changes.
type Face struct {
	name    string
	family  string // as the file calls itself
	isBold  bool   // says the file
	slanted bool   // says the file
	narrow  float64
	bold    func() *Face // its bold cut; nil: none
	pairs   func(a, b rune) float64

	// In font units, Y up.
	capital float64 // height of a capital H
	descent float64 // of the letters g p q y
	stem    float64 // of a capital H; 0: its letters are lines

	font *font.Face // nil: the letters are lines

	mu     sync.Mutex // of what follows, and of font, which keeps what it has read
	shaper *harfbuzz.Font
	glyphs map[rune]glyph
	kerned map[[2]rune]float64
}

// Name returns what people call the face: one of Names, or its file.
func (f *Face) Name() string { return f.name }

// Family returns the name that a font file gives itself.
func (f *Face) Family() string { return f.family }

// Cut reports whether a font file says that it is bold, or italic.
func (f *Face) Cut() (bold, italic bool) { return f.isBold, f.slanted }

// Lines reports whether the letters are lines to be engraved, and not areas.
func (f *Face) Lines() bool { return f.font == nil }

// Stem returns the width of a capital's stem as a part of its height; 0 where letters are lines.
func (f *Face) Stem() float64 { return f.stem * f.narrow / f.capital }

// Parse reads a font file, TrueType or OpenType with either kind of outlines. What is wrong with one is told in words for whoever
// made the panel. No file makes it panic.
func Parse(name string, data []byte) (*Face, error) {
	switch {
	case len(data) > MaxFontBytes:
		return nil, fmt.Errorf("it has %d MB; more than %d MB are not read", len(data)>>20, MaxFontBytes>>20)
	case bytes.HasPrefix(data, []byte("ttcf")):
		return nil, fmt.Errorf("it is a collection of several fonts")
	case bytes.HasPrefix(data, []byte("wOFF")), bytes.HasPrefix(data, []byte("wOF2")):
		return nil, fmt.Errorf("it is a font packed for web pages")
	}
	return parse(name, data)
}

func parse(name string, data []byte) (f *Face, err error) {
	defer func() {
		if r := recover(); r != nil { // of the parser: a malformed file
			f, err = nil, fmt.Errorf("it is damaged")
		}
	}()
	file, err := font.ParseTTF(bytes.NewReader(data))
	if err != nil {
		return nil, fmt.Errorf("it is no TrueType or OpenType font, or is damaged")
	}
	f = &Face{name: name, narrow: 1, font: file, shaper: harfbuzz.NewFont(file), glyphs: map[rune]glyph{}, kerned: map[[2]rune]float64{}}
	about := file.Describe()
	f.family = about.Family
	f.isBold, f.slanted = about.Aspect.Weight >= font.WeightSemibold, about.Aspect.Style == font.StyleItalic
	return f, f.measure()
}

// measure finds the face's measures by its letters, since what files say of them is often missing and sometimes wrong.
func (f *Face) measure() error {
	h, ok := f.glyph('H')
	_, top := h.extent()
	if !ok || !(top > 0) {
		return fmt.Errorf("it has no capital H, by which the height of letters is told")
	}
	f.capital = top
	f.stem = h.stem(top / 4)
	if !(f.stem > 0) {
		return fmt.Errorf("its capital H has no stem")
	}
	for _, r := range "gpqy" {
		if g, ok := f.glyph(r); ok {
			low, _ := g.extent()
			f.descent = max(f.descent, -low)
		}
	}
	return nil
}

// glyph returns the letter for r. A letter that the face lacks is a gap as wide as the face's own mark for it.
func (f *Face) glyph(r rune) (glyph, bool) {
	f.mu.Lock()
	defer f.mu.Unlock()
	g, ok := f.glyphs[r]
	if !ok {
		if f.font == nil {
			g = lineGlyph(r)
		} else {
			g = f.read(r)
		}
		f.glyphs[r] = g
	}
	return g, !g.lacking
}

// read reads a letter's outline. A letter that the parser fails on is one that the face lacks.
func (f *Face) read(r rune) (g glyph) {
	defer func() {
		if recover() != nil {
			g = glyph{lacking: true}
		}
	}()
	id, ok := f.font.NominalGlyph(r)
	g.advance, g.lacking = grid(f.font.HorizontalAdvance(id)), !ok || id == 0
	if g.lacking {
		return g
	}
	if r == ' ' {
		return g
	}
	out, ok := f.font.GlyphData(id).(font.GlyphOutline)
	if !ok || len(out.Segments) > mostSegments {
		g.lacking = true
		return g
	}
	for _, s := range out.Segments {
		e := segment{}
		for i, p := range s.ArgsSlice() {
			e.p[i] = point{grid(p.X), grid(p.Y)}
			e.n = i + 1
		}
		e.move = s.Op == opentype.SegmentOpMoveTo
		g.outline = append(g.outline, e)
	}
	g.crossing = g.crosses()
	return g
}

// mostSegments bounds the outline of a letter: the finest have some hundreds.
const mostSegments = 5_000

// grid rounds a coordinate to 1/64 of a font unit, so that no processor reads a scaled part of a letter otherwise than another.
// What is no number, or beyond what a font may say, is 0.
func grid(v float32) float64 {
	w := math.Round(float64(v)*64) / 64
	if !(math.Abs(w) < 1<<20) {
		return 0
	}
	return w
}

// kern returns by how much the pair a, b moves together (negative) or apart, in font units: as the font says, or where it is ours
// and says nothing, as we do.
func (f *Face) kern(a, b rune) float64 {
	if f.pairs != nil {
		return f.pairs(a, b)
	}
	if f.font == nil || a == ' ' && b == ' ' {
		return 0
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	k, ok := f.kerned[[2]rune{a, b}]
	if !ok {
		k = f.pair(a, b)
		f.kerned[[2]rune{a, b}] = k
	}
	return k
}

// pair asks the font's tables of a pair's kerning. Letters are never joined to others, as CAD joins none.
func (f *Face) pair(a, b rune) (k float64) {
	defer func() {
		if recover() != nil {
			k = 0
		}
	}()
	var off []harfbuzz.Feature
	for _, tag := range []string{"liga", "clig", "calt", "rlig", "ccmp", "locl"} {
		off = append(off, harfbuzz.Feature{Tag: opentype.MustNewTag(tag), End: harfbuzz.FeatureGlobalEnd})
	}
	buf := harfbuzz.NewBuffer()
	buf.AddRunes([]rune{a, b}, 0, 2)
	buf.GuessSegmentProperties()
	buf.Props.Direction = harfbuzz.LeftToRight
	buf.Shape(f.shaper, off)
	if len(buf.Pos) != 2 {
		return 0
	}
	for i, r := range []rune{a, b} {
		id, ok := f.font.NominalGlyph(r)
		if !ok || id != buf.Info[i].Glyph {
			return 0
		}
		k += float64(buf.Pos[i].XAdvance) - float64(f.font.HorizontalAdvance(id))
	}
	k += float64(buf.Pos[1].XOffset)
	if !(math.Abs(k) < 1<<16) {
		return 0
	}
	return math.Round(k*64) / 64
}
