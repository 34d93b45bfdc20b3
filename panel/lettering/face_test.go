package lettering

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"github.com/go-fonts/latin-modern/lmsansquot8regular"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/writing"
)

// rival is a font as another library reads it: golang.org/x/image/font/sfnt, which shares nothing with what draws.
type rival struct {
	font *sfnt.Font
	buf  sfnt.Buffer
	em   fixed.Int26_6
}

func rivalOf(t *testing.T, data []byte) *rival {
	f, err := sfnt.Parse(data)
	require.NoError(t, err)
	return &rival{font: f, em: fixed.I(int(f.UnitsPerEm()))}
}

// edges returns the leftmost and the rightmost ink of a line, the lowest and the highest, and the line's width, in font units.
func (r *rival) edges(t *testing.T, s string, pairs func(a, b rune) float64) (left, right, low, high, wide float64) {
	left, right, low, high = math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	before, last := sfnt.GlyphIndex(0), rune(0)
	for i, c := range s {
		id, err := r.font.GlyphIndex(&r.buf, c)
		require.NoError(t, err)
		require.NotZero(t, id, "%q", c)
		if i > 0 && pairs != nil {
			wide += pairs(last, c)
		} else if i > 0 {
			if k, err := r.font.Kern(&r.buf, before, id, r.em, font.HintingNone); err == nil {
				wide += float64(k) / 64
			}
		}
		before, last = id, c
		segments, err := r.font.LoadGlyph(&r.buf, id, r.em, nil)
		require.NoError(t, err)
		if b := segments.Bounds(); b.Max.X > b.Min.X {
			left, right = min(left, wide+float64(b.Min.X)/64), max(right, wide+float64(b.Max.X)/64)
			low, high = min(low, -float64(b.Max.Y)/64), max(high, -float64(b.Min.Y)/64)
		}
		a, err := r.font.GlyphAdvance(&r.buf, id, r.em, font.HintingNone)
		require.NoError(t, err)
		wide += float64(a) / 64
	}
	return left, right, low, high, wide
}

// outlines are the program's faces that have such, and their fonts' bytes.
func outlines() []struct {
	face *Face
	data []byte
} {
	return []struct {
		face *Face
		data []byte
	}{
		{plain(), goregular.TTF}, {plain().bold(), gobold.TTF}, {condensed(), gomedium.TTF}, {technical(), lmsansquot8regular.TTF},
		{grotesque(), liberationsansregular.TTF}, {grotesque().bold(), liberationsansbold.TTF},
	}
}

// Texts are as wide as the font's own metrics say, kerning included, read by another library: within 1 %. A capital H is as high as
// the text, to the nanometre, and ink begins and ends where the other library has it.
func TestWidthsAreTheFontsOwn(t *testing.T) {
	worst := 0.0
	for _, f := range outlines() {
		other := rivalOf(t, f.data)
		_, _, _, capital, _ := other.edges(t, "H", nil)
		faces := &Faces{Usual: f.face}
		for _, s := range []string{"H", "SHUTTER", "AVATAR To Wave LTY", "dome azimuth 12.5°", "Öffnen ± 5 µm", "P. F, Ty", "0123456789"} {
			text := panel.Text{Text: s, Height: geom.MM(4), Width: 1}
			left, right, low, high, wide := other.edges(t, s, f.face.pairs)
			unit := 4e6 / capital
			along := unit * f.face.narrow
			off := math.Abs(float64(faces.Advance(text))/(wide*along) - 1)
			require.Less(t, off, 0.0002, "%s: %s", f.face.Name(), s)
			worst = max(worst, off)
			b := faces.Outline(text).Box()
			// The other library's boxes are those of control points, at the ends of curves on the curve.
			require.InDelta(t, left*along, float64(b.Min.X), 4e6*0.01, "%s: %s", f.face.Name(), s)
			require.InDelta(t, right*along, float64(b.Max.X), 4e6*0.01, "%s: %s", f.face.Name(), s)
			require.InDelta(t, low*unit, float64(b.Min.Y), 4e6*0.01, "%s: %s", f.face.Name(), s)
			require.InDelta(t, high*unit, float64(b.Max.Y), 4e6*0.01, "%s: %s", f.face.Name(), s)
		}
		b := faces.Outline(panel.Text{Text: "H", Height: geom.MM(4)}).Box()
		require.InDelta(t, 4e6, float64(b.H()), 4, f.face.Name())
	}
	t.Logf("widths differ from the font's own by %.4f %% at most", worst*100)
}

// The areas of letters are those of another library's outlines, by the shoelace formula over its curves.
func TestOutlinesAreTheFontsOwn(t *testing.T) {
	for _, f := range outlines() {
		other := rivalOf(t, f.data)
		for _, r := range "HOag8&Ø%ÄQ" {
			id, err := other.font.GlyphIndex(&other.buf, r)
			require.NoError(t, err)
			segments, err := other.font.LoadGlyph(&other.buf, id, other.em, nil)
			require.NoError(t, err)
			want := math.Abs(shoelace(segments))
			g, ok := f.face.glyph(r)
			require.True(t, ok)
			got := g.region(placing{sx: 20000, sy: 20000, cos: 1}, 0).Area() / 20000 / 20000 * 1e12
			require.InEpsilon(t, want, got, 0.002, "%s: %q", f.face.Name(), r)
		}
	}
}

// shoelace returns the signed area of an outline, in font units.
func shoelace(all sfnt.Segments) (sum float64) {
	var at, start [2]float64
	pt := func(p fixed.Point26_6) [2]float64 { return [2]float64{float64(p.X) / 64, -float64(p.Y) / 64} }
	line := func(to [2]float64) { sum += (at[0]*to[1] - to[0]*at[1]) / 2; at = to }
	for _, s := range all {
		a, from := s.Args, at
		const n = 200
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			line(start)
			at, start = pt(a[0]), pt(a[0])
		case sfnt.SegmentOpLineTo:
			line(pt(a[0]))
		case sfnt.SegmentOpQuadTo:
			for i := 1; i <= n; i++ {
				x := float64(i) / n
				var q [2]float64
				for k := range q {
					q[k] = (1-x)*(1-x)*from[k] + 2*x*(1-x)*pt(a[0])[k] + x*x*pt(a[1])[k]
				}
				line(q)
			}
		case sfnt.SegmentOpCubeTo:
			for i := 1; i <= n; i++ {
				x := float64(i) / n
				var q [2]float64
				for k := range q {
					q[k] = (1-x)*(1-x)*(1-x)*from[k] + 3*x*(1-x)*(1-x)*pt(a[0])[k] + 3*x*x*(1-x)*pt(a[1])[k] + x*x*x*pt(a[2])[k]
				}
				line(q)
			}
		}
	}
	line(start)
	return sum
}

// Kerning is the font's own: a pair that it moves together is narrower than its letters, by what the other library says.
func TestKerningIsTheFontsOwn(t *testing.T) {
	for _, f := range outlines() {
		if f.face.pairs != nil {
			continue // the font has none
		}
		other := rivalOf(t, f.data)
		kerned := 0
		for _, a := range "AFLPTVWY" {
			for _, b := range "AVTWYaeo." {
				x, _ := other.font.GlyphIndex(&other.buf, a)
				y, _ := other.font.GlyphIndex(&other.buf, b)
				k, err := other.font.Kern(&other.buf, x, y, other.em, font.HintingNone)
				if err != nil {
					k = 0
				}
				require.InDelta(t, float64(k)/64, f.face.kern(a, b), 1, "%s: %c%c", f.face.Name(), a, b)
				if k != 0 {
					kerned++
				}
			}
		}
		require.Greater(t, kerned, 10, f.face.Name())
	}
}

// The program's faces suit light letters on a dark ground (DOD-HDBK-791, 6-5.3.2: 1/7 to 1/8 of the height), the bold
// cuts being heavier; together their files have no more than 1.5 MB.
func TestFacesOfTheProgram(t *testing.T) {
	size := 0
	for _, f := range outlines() {
		size += len(f.data)
	}
	require.Less(t, size, 1_500_000)
	t.Logf("%d bytes of fonts", size)
	for _, name := range Names() {
		f := Named(name)
		require.NotNil(t, f, name)
		require.Equal(t, name, f.Name())
		for _, r := range "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789 .,:;!?'\"()[]/\\+-=%&#*<>°±ÄÖÜäöüßéèêçñåÅøØæÆ" {
			_, ok := f.glyph(r)
			require.True(t, ok, "%s lacks %q", name, r)
		}
	}
	for _, name := range []string{Plain, Condensed, Technical, Grotesque} {
		require.InDelta(t, 1/7.5, Named(name).Stem(), 1.0/7-1.0/8, name)
	}
	require.Greater(t, plain().bold().Stem(), 1.25*plain().Stem())
	require.True(t, singleLine().Lines())
	require.Zero(t, singleLine().Stem())
	require.Nil(t, Named("no such"))
	h := panel.Text{Text: "HHHH", Height: geom.MM(4)}
	require.InEpsilon(t, 0.75, float64((&Faces{Usual: condensed()}).Advance(h))/float64((&Faces{Usual: plain()}).Advance(h)), 0.06)
}

// Letters that are lines are engraved as such: strips as wide as the line, and no more.
func TestLineLetters(t *testing.T) {
	f := &Faces{Usual: singleLine(), Stroke: geom.MM(0.3)}
	l := f.Outline(panel.Text{Text: "L", Height: geom.MM(6)})
	// 6 mm down and 4 mm along, with round ends, overlapping in the corner by a circle's half less what both cover.
	require.InDelta(t, 10*0.3+math.Pi*0.0225, l.Area(), 0.03)
	b := l.Box()
	require.InDelta(t, 6.3e6, float64(b.H()), 1e4)
	stem, any := f.Stem(panel.Text{Text: "L", Height: geom.MM(6)})
	require.False(t, any)
	require.Zero(t, stem)
	plainer := f.Outline(panel.Text{Text: "e", Height: geom.MM(6)}).Box().H()
	accented := f.Outline(panel.Text{Text: "é", Height: geom.MM(6)}).Box().H()
	require.Greater(t, accented, plainer+geom.MM(1))
	require.Equal(t, len(f.Outline(panel.Text{Text: "j", Height: geom.MM(6)})), len(f.Outline(panel.Text{Text: "ĵ", Height: geom.MM(6)})), "the accent takes the dot's place")
}

// Bold and italic letters are the face's own cut, or are slanted by 12°.
func TestCuts(t *testing.T) {
	f := &Faces{Usual: plain()}
	text := func(bold, italic bool) panel.Text {
		return panel.Text{Text: "HI", Height: geom.MM(4), Font: writing.Font{Bold: bold, Italic: italic}}
	}
	upright, bold, italic := f.Outline(text(false, false)), f.Outline(text(true, false)), f.Outline(text(false, true))
	require.Greater(t, bold.Area(), 1.2*upright.Area())
	require.InDelta(t, upright.Area(), italic.Area(), 0.01)
	require.InDelta(t, float64(upright.Box().W())+4e6*math.Tan(12*math.Pi/180), float64(italic.Box().W()), 2e4)
}

// A font file is read guarded: what is no font, cut off or damaged is told and never a panic.
func TestBrokenFonts(t *testing.T) {
	for _, s := range []string{"", "no font", "ttcf\x00\x01", "wOF2....", "\x00\x01\x00\x00\xff\xff"} {
		_, err := Parse("plate.ttf", []byte(s))
		require.Error(t, err, s)
	}
	_, err := Parse("plate.ttf", make([]byte, MaxFontBytes+1))
	require.ErrorContains(t, err, "16 MB")
	rng := rand.New(rand.NewPCG(1, 15))
	start := time.Now()
	good := 0
	for i := 0; i < 120 && time.Since(start) < 20*time.Second; i++ {
		data := slices.Clone(lmsansquot8regular.TTF)
		if i%2 == 1 {
			data = slices.Clone(gomedium.TTF)
		}
		switch i % 3 {
		case 0:
			data = data[:rng.IntN(len(data))]
		default:
			for range 1 + rng.IntN(30) {
				at := rng.IntN(len(data))
				if i%3 == 2 { // the tables' heads
					at = rng.IntN(2000)
				}
				data[at] = byte(rng.IntN(256))
			}
		}
		require.NotPanics(t, func() {
			f, err := Parse("plate.otf", data)
			if err != nil {
				return
			}
			good++
			faces := &Faces{Usual: f}
			text := panel.Text{Text: "AVATAR Ørsted & 0123456789 gpqy", Height: geom.MM(4)}
			faces.Outline(text)
			faces.Advance(text)
			faces.Missing(text)
		}, "%d", i)
	}
	t.Logf("%d of the damaged fonts could still be used", good)
	require.Positive(t, good)
}

// A letter that a face lacks is told with its word and the face.
func TestMissingTellsTheWord(t *testing.T) {
	lacks := (&Faces{Usual: technical()}).Missing(panel.Text{Text: "DOME 観測 OPEN 観", Height: geom.MM(4)})
	require.Equal(t, []Lack{{'観', "観測", technical()}, {'測', "観測", technical()}}, lacks)
}

// Contours that overlap, as of fonts made of parts, are one area and not even-odd holes.
func TestOverlappingContours(t *testing.T) {
	square := func(x, y float64) []segment {
		var out []segment
		for i, q := range [][2]float64{{0, 0}, {100, 0}, {100, 100}, {0, 100}} {
			out = append(out, segment{move: i == 0, n: 1, p: [3]point{{x + q[0], y + q[1]}}})
		}
		return out
	}
	g := glyph{outline: append(square(0, 0), square(50, 50)...)}
	g.crossing = g.crosses()
	require.True(t, g.crossing)
	require.InDelta(t, 17500, g.region(placing{sx: 1e4, sy: 1e4, cos: 1}, 0).Area()*1e12/1e8, 1)
}

// What is drawn is the same each time, whoever draws at the same time.
func TestSameEachTime(t *testing.T) {
	text := panel.Text{Text: "Shutter open AVA 12°", Height: geom.MM(4), Angle: 0.3}
	read := func() geom.Region {
		f, err := Parse("x", liberationsansregular.TTF)
		require.NoError(t, err)
		out := make(chan geom.Region, 4)
		for range 4 {
			go func() { out <- (&Faces{Usual: f}).Outline(text) }()
		}
		a := <-out
		for range 3 {
			require.Equal(t, a, <-out)
		}
		return a
	}
	require.Equal(t, read(), read())
}
