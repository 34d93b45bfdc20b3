package sheet

import (
	"math"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
)

// closingOf returns what is told of letters that close on a panel of 120 x 60 mm.
func closingOf(t *testing.T, face string, stroke float64, texts []panel.Text, symbols ...panel.Symbol) (out diag.List) {
	t.Helper()
	p := panel.Panel{Name: "dome", Outline: geom.Rect(geom.Box{Max: geom.PtMM(120, 60)}), Lettering: texts, Symbols: symbols}
	e := lettering.Engraved(nil, p, &lettering.Faces{Usual: lettering.Named(face), Stroke: geom.MM(stroke)}, geom.MM(stroke))
	for _, f := range Check(t.Context(), p, e, Options{}) {
		if f.Code == "sheet-letter-closes" || f.Code == "sheet-lettering-hidden" {
			out = append(out, f)
		}
	}
	return out
}

func word(s string, high float64) panel.Text {
	return panel.Text{Text: s, At: geom.PtMM(20, 30), Height: geom.MM(high), Width: 1}
}

// A ring is open by the circle that fits in: 0.19 mm closes, 0.21 mm does not.
func TestSymbolsThatClose(t *testing.T) {
	ring := func(d float64) panel.Symbol {
		return panel.Symbol{Closed: true, Filled: true, Shape: geom.Circle(geom.PtMM(50, 30), geom.MM(2)), Holes: []geom.Contour{geom.Circle(geom.PtMM(50, 30), geom.MM(d))}}
	}
	require.Empty(t, closingOf(t, lettering.Plain, 0.3, nil, ring(0.21)))
	l := closingOf(t, lettering.Plain, 0.3, nil, ring(0.19))
	require.Len(t, l, 1)
	require.Contains(t, l[0].Text, "the filled circle of 2 mm closes when it is engraved: its inside is 0.19 mm wide")
	require.Equal(t, &diag.Point{X: 50, Y: 30}, l[0].Place.At)
	// A slot of 0.15 x 5 mm has a large area and is narrow all the same; one of 0.25 mm is not.
	slot := ring(1)
	slot.Shape = geom.Rect(geom.Box{Min: geom.PtMM(40, 20), Max: geom.PtMM(50, 30)})
	for w, want := range map[float64]int{0.15: 1, 0.25: 0} {
		slot.Holes = []geom.Contour{geom.Rect(geom.Box{Min: geom.PtMM(42, 25), Max: geom.PtMM(47, 25+w)})}
		require.Len(t, closingOf(t, lettering.Plain, 0.3, nil, slot), want)
	}
}

// A bay whose mouth is 0.15 mm wide closes there; one of 0.25 mm does not. Its inside is 1 mm wide.
func TestMouthsThatClose(t *testing.T) {
	for w, want := range map[float64]int{0.15: 1, 0.25: 0} {
		bay := geom.Straight(geom.PtMM(40, 20), geom.PtMM(43, 20), geom.PtMM(43, 23), geom.PtMM(41.5+w/2, 23), geom.PtMM(41.5+w/2, 22.5), geom.PtMM(42, 22.5),
			geom.PtMM(42, 21), geom.PtMM(41, 21), geom.PtMM(41, 22.5), geom.PtMM(41.5-w/2, 22.5), geom.PtMM(41.5-w/2, 23), geom.PtMM(40, 23))
		l := closingOf(t, lettering.Plain, 0.3, nil, panel.Symbol{Closed: true, Filled: true, Shape: bay})
		require.Len(t, l, want, "%v", w)
		if want > 0 {
			require.Contains(t, l[0].Text, "its mouth is 0.15 mm wide")
		}
	}
}

// Small letters close; the height that is advised is the least at which they do not, within a tenth of a millimetre.
func TestLettersThatClose(t *testing.T) {
	l := closingOf(t, lettering.Plain, 0.3, []panel.Text{word("HIT seat", 0.8)})
	require.Len(t, l, 1, "%v", l)
	require.Contains(t, l[0].Text, `of "seat" closes`)
	require.Contains(t, l[0].Advice, "mm high, or take a face")
	high := 0.0
	for h := 0.8; h < 3; h += 0.05 {
		if len(closingOf(t, lettering.Plain, 0.3, []panel.Text{word("HIT seat", h)})) == 0 {
			high = h
			break
		}
	}
	require.InDelta(t, math.Ceil(high*10-1e-9)/10, advised(t, l[0].Advice), 0.051)
	require.Empty(t, closingOf(t, lettering.Plain, 0.3, []panel.Text{word("HILT", 0.8)}))
	require.Empty(t, closingOf(t, lettering.Plain, 0.3, []panel.Text{word("HIT seat 8B", 3)}))
}

// Letters of lines close when these are too wide: nothing of an o's inside is left.
func TestWideLinesThatClose(t *testing.T) {
	l := closingOf(t, lettering.SingleLine, 0.9, []panel.Text{word("hot", 1.5)})
	require.Len(t, l, 1)
	require.Contains(t, l[0].Text, `the letter "o" of "hot" closes when it is engraved: its inside is filled by the width of its lines`)
	require.Contains(t, l[0].Advice, "engraving.width")
	least := advised(t, l[0].Advice)
	require.Empty(t, closingOf(t, lettering.SingleLine, 0.9, []panel.Text{word("hot", least)}))
	require.NotEmpty(t, closingOf(t, lettering.SingleLine, 0.9, []panel.Text{word("hot", least-0.15)}))
	require.Empty(t, closingOf(t, lettering.SingleLine, 0.3, []panel.Text{word("hot", 3)}))
}

// A word within a filling is lost; beside one, or where the filling leaves it out, it is not.
func TestLetteringInFillings(t *testing.T) {
	slab := panel.Symbol{Closed: true, Filled: true, Shape: geom.Rect(geom.Box{Min: geom.PtMM(15, 25), Max: geom.PtMM(60, 40)})}
	l := closingOf(t, lettering.Plain, 0.3, []panel.Text{word("DOME", 5)}, slab)
	require.Len(t, l, 1)
	require.Contains(t, l[0].Text, `"DOME" lies in a filled area`)
	slab.Holes = []geom.Contour{geom.Rect(geom.Box{Min: geom.PtMM(18, 28), Max: geom.PtMM(50, 38)})}
	require.Empty(t, closingOf(t, lettering.Plain, 0.3, []panel.Text{word("DOME", 5)}, slab))
}

// advised reads the height out of advice.
func advised(t *testing.T, advice string) (mm float64) {
	t.Helper()
	m := heightAdvised.FindStringSubmatch(advice)
	require.Len(t, m, 2, advice)
	mm, err := strconv.ParseFloat(m[1], 64)
	require.NoError(t, err)
	return mm
}

var heightAdvised = regexp.MustCompile(`at least ([0-9.]+) mm high`)

// A line that is drawn narrower than the laser's spot is told by what it is and where; one as wide as that, or of no width, is not.
func TestThinLines(t *testing.T) {
	p := desk()
	p.Lettering, p.Symbols = nil, nil
	for i, w := range []float64{0, 0.1, 0.2, 0.3} {
		y := 20 + 3*float64(i)
		p.Symbols = append(p.Symbols, panel.Symbol{Width: geom.MM(w), Shape: geom.Straight(geom.PtMM(20, y), geom.PtMM(30, y))})
	}
	var l diag.List
	for _, f := range Check(t.Context(), p, nil, Options{}) {
		if f.Code == "sheet-thin-line" {
			l = append(l, f)
		}
	}
	require.Len(t, l, 1)
	require.Equal(t, "the line 10 mm long is drawn 0.1 mm wide, narrower than the laser's spot of 0.2 mm, and may not engrave cleanly", l[0].Text)
	require.Equal(t, &diag.Point{X: 25, Y: 23}, l[0].Place.At)
}
