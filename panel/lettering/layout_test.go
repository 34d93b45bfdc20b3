package lettering

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/writing"
)

// letters are those of a text in the plain face.
func letters(t panel.Text) []Character { return (*Faces)(nil).Characters(t) }

// block is a text of structure, its capitals 3 mm high, its upper left corner at the origin.
func block(b writing.Block) panel.Text {
	return panel.Text{Text: "x", Height: geom.MM(3), Anchor: panel.Anchor{V: panel.TopLine}, Block: &b}
}

func para(runs ...writing.Run) writing.Paragraph { return writing.Paragraph{Runs: runs} }

func run(s string) writing.Run { return writing.Run{Text: s} }

// boxes returns the boxes of the letters, mm.
func boxes(t panel.Text) map[rune]geom.Box {
	out := map[rune]geom.Box{}
	for _, c := range letters(t) {
		if _, seen := out[c.Rune]; !seen {
			out[c.Rune] = c.Region.Box()
		}
	}
	return out
}

// Lines are broken at blanks where the next word would reach beyond the width, 5/3 of the height apart times the factor.
func TestBreaking(t *testing.T) {
	words := writing.Block{Paragraphs: []writing.Paragraph{para(run("HHH EEE LLL"))}, Spacing: 1.5}
	one := float64(Advance(block(words)))
	words.Width = one * 0.7 / 3e6
	b := boxes(block(words))
	require.InDelta(t, -3e6, float64(b['H'].Min.Y), 2)
	require.Equal(t, b['H'].Min.Y, b['E'].Min.Y)
	// Height 3, factor 1.5: 7.5 mm (references.md section 19: height 3, factor 1 is 5 mm).
	require.InDelta(t, -3e6-7.5e6, float64(b['L'].Min.Y), 2)
	require.InDelta(t, float64(b['H'].Min.X), float64(b['L'].Min.X), 0.1e6, "a broken line begins at the left edge")
	require.LessOrEqual(t, float64(b['E'].Max.X), words.Width*3e6)
	words.Width = 0.1 // a word that is too long stands alone
	b = boxes(block(words))
	require.Less(t, b['E'].Max.Y, b['H'].Min.Y)
	require.Less(t, b['L'].Max.Y, b['E'].Min.Y)
}

// Runs have their own height, width, slant, distance and place among taller letters.
func TestRuns(t *testing.T) {
	h := func(r writing.Run) geom.Box {
		r.Text = "E"
		return boxes(block(writing.Block{Paragraphs: []writing.Paragraph{para(run("H"), r)}}))['E']
	}
	plain := h(writing.Run{})
	require.InDelta(t, float64(plain.H())/2, float64(h(writing.Run{Height: 0.5}).H()), 2)
	require.InDelta(t, float64(plain.W())*1.5, float64(h(writing.Run{Width: 1.5}).W()), 2)
	require.InDelta(t, float64(plain.W())+3e6*math.Tan(0.2), float64(h(writing.Run{Slant: 0.2}).W()), 1.2e5) // its upper arm is a little shorter
	require.Equal(t, plain.Min.Y, h(writing.Run{Height: 0.5}).Min.Y)
	require.InDelta(t, float64(plain.Centre().Y), float64(h(writing.Run{Height: 0.5, Rise: writing.Centred}).Centre().Y), 2)
	require.InDelta(t, float64(plain.Max.Y), float64(h(writing.Run{Height: 0.5, Rise: writing.AtTop}).Max.Y), 2)
	spaced := block(writing.Block{Paragraphs: []writing.Paragraph{para(writing.Run{Text: "HE", Tracking: 2})}})
	f := plainGlyph(t, 'H')
	require.InDelta(t, float64(f)*3e6/1480, float64(boxes(spaced)['E'].Min.X-boxes(block(writing.Block{Paragraphs: []writing.Paragraph{para(run("HE"))}}))['E'].Min.X), 3)
}

func plainGlyph(t *testing.T, r rune) float64 {
	g, ok := plain().glyph(r)
	require.True(t, ok)
	return g.advance
}

// A level fraction has its halves above and below its bar, at 0.7 of the height, and the bar is as wide as the wider.
func TestStacks(t *testing.T) {
	stack := func(bar writing.Bar) []Character {
		return letters(block(writing.Block{Paragraphs: []writing.Paragraph{para(run("A"), writing.Run{Stack: &writing.Stack{Above: "1", Below: "22", Bar: bar}})}}))
	}
	c := stack(writing.Level)
	require.Len(t, c, 5)
	one, two, bar := c[1].Region.Box(), c[2].Region.Box(), c[4].Region.Box()
	require.Zero(t, c[4].Rune)
	require.Greater(t, one.Min.Y, bar.Max.Y)
	require.Less(t, two.Max.Y, bar.Min.Y)
	require.InDelta(t, float64(bar.Centre().X), float64(one.Centre().X), 0.2e6)
	require.InDelta(t, 0.7*3e6, float64(two.H()), 0.08e6)
	require.Len(t, stack(writing.NoBar), 4)
	slash := stack(writing.Diagonal)
	require.Greater(t, slash[2].Region.Box().Min.X, slash[1].Region.Box().Max.X, "side by side")
	require.Greater(t, slash[1].Region.Box().Min.Y, slash[2].Region.Box().Min.Y)
}

// Lines under, over and through letters are as long as those, blanks between them included.
func TestRules(t *testing.T) {
	text := block(writing.Block{Paragraphs: []writing.Paragraph{para(writing.Run{Text: "HH HH", Under: true, Over: true, Through: true})}})
	b := Outline(text).Box()
	require.Less(t, float64(b.Min.Y), -3.4e6)
	require.Greater(t, float64(b.Max.Y), 0.4e6)
	lines := 0
	for _, c := range letters(text) {
		if c.Rune == 0 {
			lines++
			require.InDelta(t, float64(Advance(text)), float64(c.Region.Box().W()), 0.4e6)
		}
	}
	require.Equal(t, 3, lines)
}

// Paragraphs stand at the left, in the middle, at the right or at both edges, indented; tabs reach their stops.
func TestParagraphs(t *testing.T) {
	at := func(p writing.Paragraph) geom.Box {
		p.Runs = []writing.Run{run("HE")}
		return Outline(block(writing.Block{Paragraphs: []writing.Paragraph{p}, Width: 20})).Box()
	}
	left, centre, right := at(writing.Paragraph{Align: writing.AtLeft}), at(writing.Paragraph{Align: writing.AtCentre}), at(writing.Paragraph{Align: writing.AtRight})
	require.Less(t, float64(left.Min.X), 0.5e6)
	require.InDelta(t, 30e6, float64(centre.Centre().X), 0.3e6)
	require.InDelta(t, 60e6, float64(right.Max.X), 0.5e6)
	require.InDelta(t, 6e6, float64(at(writing.Paragraph{First: -1, Left: 3}).Min.X-left.Min.X), 2)

	full := block(writing.Block{Paragraphs: []writing.Paragraph{{Runs: []writing.Run{run("HH EE LL NN MM KK")}, Align: writing.Justified}}, Width: 10})
	var first geom.Region
	for _, c := range letters(full) {
		if b := c.Region.Box(); b.Min.Y > -geom.MM(3.1) {
			first = append(first, c.Region...)
		}
	}
	require.InDelta(t, 30e6, float64(first.Box().Max.X), 0.5e6, "the first line reaches the right edge")

	tabbed := func(a writing.Align) geom.Box {
		return boxes(block(writing.Block{Paragraphs: []writing.Paragraph{{Runs: []writing.Run{run("H\tE")}, Tabs: []writing.Tab{{At: 10, Align: a}}}}}))['E']
	}
	require.InDelta(t, 30e6, float64(tabbed(writing.AtLeft).Min.X), 0.5e6)
	require.InDelta(t, 30e6, float64(tabbed(writing.AtCentre).Centre().X), 0.2e6)
	require.InDelta(t, 30e6, float64(tabbed(writing.AtRight).Max.X), 0.5e6)
	require.InDelta(t, 12e6, float64(boxes(block(writing.Block{Paragraphs: []writing.Paragraph{para(run("H\tE"))}}))['E'].Min.X), 0.5e6, "a usual stop, four heights along")
}

// A text runs through its columns: where one is full, and where a column is to end.
func TestColumns(t *testing.T) {
	b := writing.Block{Paragraphs: []writing.Paragraph{para(run("H")), para(run("E")), para(run("L"))}, Columns: writing.Columns{Count: 3, Width: 10, Gutter: 2, Heights: []float64{3, 3, 3}}}
	c := boxes(block(b))
	require.Less(t, c['E'].Max.Y, c['H'].Min.Y)
	require.InDelta(t, 36e6, float64(c['L'].Min.X-c['H'].Min.X), 0.2e6)
	require.Equal(t, c['H'].Max.Y, c['L'].Max.Y)
	b.Columns.Heights = nil
	b.Paragraphs[1].NewColumn = true
	c = boxes(block(b))
	require.Equal(t, c['H'].Max.Y, c['E'].Max.Y)
	require.InDelta(t, 36e6, float64(c['E'].Min.X-c['H'].Min.X), 0.2e6)
	require.Less(t, c['L'].Max.Y, c['E'].Min.Y)
}

// A text that leans does so about its baseline, mirrored ones the other way.
func TestSlant(t *testing.T) {
	text := word("H")
	upright := Outline(text).Box()
	text.Slant = 0.3
	b := Outline(text).Box()
	require.InDelta(t, float64(upright.Min.X), float64(b.Min.X), 2)
	require.InDelta(t, float64(upright.Max.X)+4e6*math.Tan(0.3), float64(b.Max.X), 2)
	text.Mirror = true
	m := Outline(text).Box()
	require.InDelta(t, 100e6, float64(m.Min.X+b.Max.X), 2)
}
