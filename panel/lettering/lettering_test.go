package lettering

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/goregular"

	"lampblack/panel"
	"lampblack/panel/geom"
)

func word(s string) panel.Text {
	return panel.Text{Text: s, At: geom.PtMM(50, 40), Height: geom.MM(4), Width: 1}
}

func TestCapitalHeight(t *testing.T) {
	for _, s := range []string{"H", "T", "E", "SHUTTER"} {
		b := boxOf(word(s))
		low, high := geom.MM(40), geom.MM(44)
		if s == "SHUTTER" { // round letters overshoot, by about 1.5 % (common practice in type design)
			low, high = low-geom.MM(0.1), high+geom.MM(0.1)
			require.GreaterOrEqual(t, b.Min.Y, low)
			require.LessOrEqual(t, b.Max.Y, high)
			continue
		}
		require.Equal(t, low, b.Min.Y, s)
		require.Equal(t, high, b.Max.Y, s)
	}
}

func TestAnchors(t *testing.T) {
	for h := panel.Left; h <= panel.Right; h++ {
		for v := panel.Baseline; v <= panel.TopLine; v++ {
			w := word("HEH")
			w.Anchor = panel.Anchor{H: h, V: v}
			b, adv := boxOf(w), Advance(w)
			bearing := (adv - b.W()) / 2 // H bears the same on both sides
			left := b.Min.X - bearing
			wantLeft := [...]geom.Nm{w.At.X, w.At.X - adv/2, w.At.X - adv}[h]
			require.InDelta(t, float64(wantLeft), float64(left), 20_000, "%v", w.Anchor)
			wantBase := [...]geom.Nm{w.At.Y, w.At.Y + geom.MM(4*420.0/1480), w.At.Y - geom.MM(2), w.At.Y - geom.MM(4)}[v]
			require.InDelta(t, float64(wantBase), float64(b.Min.Y), 2, "%v", w.Anchor)
		}
	}
}

func TestTurnedMirroredAndWide(t *testing.T) {
	plain := Outline(word("PARK"))
	area := plain.Area()
	turned := word("PARK")
	turned.Angle = math.Pi / 2
	b, bt := plain.Box(), Outline(turned).Box()
	require.InDelta(t, float64(b.W()), float64(bt.H()), 2)
	require.InDelta(t, float64(b.H()), float64(bt.W()), 2)
	require.Less(t, bt.Max.X, geom.MM(50.1), "turned by a quarter, the letters stand to the left of the anchor")
	require.InDelta(t, area, Outline(turned).Area(), 1e-3)

	mirrored := word("PARK")
	mirrored.Mirror = true
	m := Outline(mirrored)
	require.InDelta(t, area, m.Area(), 1e-3)
	require.Equal(t, geom.MM(50)-(b.Max.X-geom.MM(50)), m.Box().Min.X)

	wide := word("PARK")
	wide.Width = 0.8
	require.InDelta(t, 0.8*area, Outline(wide).Area(), area*1e-3)
	require.InDelta(t, 0.8*float64(Advance(word("PARK"))), float64(Advance(wide)), 2)
}

// Every letter must be what geom's own settling makes of its contours: nest takes a short way that holds for this font
// only.
func TestEveryLetterNestsLikeSettling(t *testing.T) {
	f := plain()
	n := 0
	for r := rune(' '); r < 0x2700; r++ {
		g, ok := f.glyph(r)
		if !ok {
			continue
		}
		n++
		p := placing{sx: 2700, sy: 2700, cos: 1}
		got := g.region(p, 0)
		for _, q := range got {
			require.Positive(t, q.Outer.SignedArea2())
			for _, h := range q.Holes {
				require.Negative(t, h.SignedArea2())
			}
		}
		if r < 0x250 || n%9 == 0 {
			require.InDelta(t, geom.NewRegion(got.Rings()...).Area(), got.Area(), 0.002, "%q", r)
		}
	}
	require.Greater(t, n, 600, "the font covers the European alphabets")
}

// DOD-HDBK-791, 6-5.3.2: strokes of light characters on a dark ground 1/7 to 1/8 of the height, 1/6 on a light ground.
func TestStrokeSuitsBacklitLetters(t *testing.T) {
	w := word("H")
	bar := geom.Region{{Outer: geom.Straight(geom.PtMM(40, 40.5), geom.PtMM(70, 40.5), geom.PtMM(70, 40.6), geom.PtMM(40, 40.6)).Ring(1)}}
	stems := Outline(w).And(bar).Area() / 0.1
	require.InDelta(t, 4.0/7, stems/2, 4.0/7*0.12)
}

func TestFlattenedWithinTolerance(t *testing.T) {
	// The same letter flattened twenty times finer, by drawing it twenty times larger, must lie within the
	// tolerance of the coarse one: their areas differ by at most perimeter times tolerance.
	small := Outline(word("S"))
	big := word("S")
	big.Height *= 20
	perimeter := 0.0
	for _, r := range small.Rings() {
		perimeter += r.Perimeter()
	}
	require.InDelta(t, Outline(big).Area()/400, small.Area(), perimeter*geom.FlattenTolerance.MM())
}

func TestMissing(t *testing.T) {
	require.Empty(t, Missing(word("SHUTTER Ø 12° ± ÄÖÜß")))
	require.Equal(t, []rune{'観', '☃'}, Missing(word("観☃観 OK")))
	require.NotEmpty(t, Outline(word("観K")), "the other letters are drawn")
}

func TestLines(t *testing.T) {
	w := word("HH\nH")
	b := boxOf(w)
	require.Equal(t, geom.MM(44), b.Max.Y)
	require.InDelta(t, 1e6*(40-4*lineSpacing), float64(b.Min.Y), 2)
	w.Anchor.V = panel.Middle
	b = boxOf(w)
	require.InDelta(t, 40e6, float64(b.Max.Y+b.Min.Y)/2, 2)
	w.Text, w.Anchor.V = "H\r\n\tH\x07", panel.Baseline
	require.Len(t, Outline(w), 2)
}

func TestNothingToDraw(t *testing.T) {
	for _, w := range []panel.Text{{}, {Text: "H"}, {Text: "H", Height: -5}, {Text: " ", Height: geom.MM(3)},
		{Text: "H", Height: geom.MM(3), Angle: math.NaN()}, {Text: "H", Height: geom.MM(3), Width: math.Inf(1)},
		{Text: "H", Height: geom.MaxCoord}, {Text: "H", Height: geom.MM(1), Width: 1e300}} {
		require.Empty(t, Outline(w))
		require.Equal(t, geom.BoxOf(w.At), boxOf(w))
	}
	long := Outline(panel.Text{Text: strings.Repeat("I", 1_000_000), Height: 5})
	require.LessOrEqual(t, len(long), MaxRunes)
}

func TestKerningClosesOpenPairs(t *testing.T) {
	require.Less(t, Advance(word("AV")), Advance(word("A"))+Advance(word("V")))
	require.Equal(t, Advance(word("HI")), Advance(word("H"))+Advance(word("I")))
	// Kerned letters must not touch.
	for _, s := range []string{"AV", "AT", "LT", "LY", "PA", "FA", "AY", "VA", "To", "Vo", "P.", "T,", "RT", "KO", "TO", "Ta", "Wa", "Ye"} {
		g := Outline(word(s))
		require.Greater(t, touching(g), 0.12, s)
	}
}

// touching returns the smallest distance between two letters of the region, in mm.
func touching(g geom.Region) float64 {
	best := math.Inf(1)
	for i := range g {
		for j := range i {
			for _, p := range g[i].Outer {
				best = min(best, g[j].Outer.DistTo(p))
			}
		}
	}
	return best / 1e6
}

func TestSymbols(t *testing.T) {
	circle := panel.Symbol{Closed: true, Filled: true, Shape: geom.Circle(geom.PtMM(10, 10), geom.MM(4))}
	require.InDelta(t, math.Pi*4, SymbolRegion(circle, geom.MM(0.4)).Area(), 0.02)
	circle.Filled = false
	require.InDelta(t, math.Pi*4*0.4, SymbolRegion(circle, geom.MM(0.4)).Area(), 0.02, "a line round nothing")
	circle.Width = geom.MM(1)
	require.InDelta(t, math.Pi*4*1, SymbolRegion(circle, geom.MM(0.4)).Area(), 0.02, "as wide as it is drawn")

	line := panel.Symbol{Shape: geom.Straight(geom.PtMM(0, 0), geom.PtMM(10, 0))}
	require.InDelta(t, 10*0.4+math.Pi*0.04, SymbolRegion(line, geom.MM(0.4)).Area(), 0.01)

	// Half a turn of radius 5 from (5,0): a band of length 5π.
	arc := panel.Symbol{Shape: geom.Contour{{Pt: geom.PtMM(5, 0), Bulge: 1}, {Pt: geom.PtMM(-5, 0)}}}
	require.InDelta(t, 5*math.Pi*0.4+math.Pi*0.04, SymbolRegion(arc, geom.MM(0.4)).Area(), 0.02)

	flat := panel.Symbol{Closed: true, Filled: true, Shape: geom.Straight(geom.PtMM(0, 0), geom.PtMM(10, 0))}
	require.InDelta(t, 4.126, SymbolRegion(flat, geom.MM(0.4)).Area(), 0.01, "a closed shape without inside is a line")
	require.Empty(t, SymbolRegion(panel.Symbol{}, geom.MM(0.4)))
	require.Empty(t, SymbolRegion(line, 0))
}

func BenchmarkRead(b *testing.B) {
	for b.Loop() {
		if _, err := parse(Plain, goregular.TTF); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkOutline(b *testing.B) {
	w := word("SHUTTER OPEN / CLOSED")
	for b.Loop() {
		Outline(w)
	}
}

// boxOf returns the bounding box of the text's letters, and of a text without ink its anchor.
func boxOf(t panel.Text) geom.Box {
	if b := Outline(t).Box(); !b.Empty() {
		return b
	}
	return geom.BoxOf(t.At)
}
