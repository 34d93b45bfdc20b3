package light

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

func codes(l diag.List) map[string]int {
	out := map[string]int{}
	for _, f := range l {
		out[f.Code]++
	}
	return out
}

func TestJudge(t *testing.T) {
	far := slew()
	far.Text, far.At = "FAR AWAY", geom.PtMM(66, 34)
	p, w := desk(slew(), geom.PtMM(35, 20), geom.PtMM(44, 20))
	p.Lettering = append(p.Lettering, far)
	s := UsualStack()
	f := Evaluate(context.Background(), p, nil, w, s)
	require.Len(t, f.Words, 3)
	require.Equal(t, "FAR", f.Words[1].Text)
	require.Len(t, f.Chars, 11)
	l := Judge(nil, p, nil, f, s, UsualLimits())
	c := codes(l)
	require.Equal(t, 2, c["light-dark-word"], "%v", l)
	require.Zero(t, c["light-intensity-unknown"])
	require.Zero(t, c["light-small-lettering"])
	for _, d := range l {
		require.NotEmpty(t, d.Advice)
		require.Equal(t, "dome", d.Panel)
		require.NotNil(t, d.Place.At)
	}
	// Close behind a thin light diffuser every LED is a spot.
	s.Gap, s.Diffuser = geom.MM(3), geom.MM(1)
	s = s.WithDiffuser("opal-light")
	c = codes(Judge(nil, p, nil, Evaluate(context.Background(), p, nil, w, s), s, UsualLimits()))
	require.Positive(t, c["light-uneven-character"])
	require.Positive(t, c["light-hot-spot"])
	// Limits of nothing find nothing.
	require.Empty(t, Judge(nil, p, nil, Evaluate(context.Background(), p, nil, w, s), s, Limits{}))
}

// Lettering that no light reaches is told, words and drawn lines each by what they are and where: also where none of it gets any, and
// not where there are no LEDs that could light it.
func TestNoLight(t *testing.T) {
	shut := slew()
	shut.Text, shut.At = "SHUT", geom.PtMM(60, 20)
	p, w := desk(shut, geom.PtMM(20, 20))
	p.Symbols = []panel.Symbol{{Shape: geom.Straight(geom.PtMM(55, 30), geom.PtMM(70, 30))}}
	p.Bodies, p.BodyDepth = []geom.Contour{geom.Rect(geom.Box{Min: geom.PtMM(38, 0), Max: geom.PtMM(42, 40)})}, panel.BehindDiffuser
	bare := Stack{Gap: geom.MM(10), Transmission: 0.5, Absorption: 0.5, FaceTransmission: 1} // nothing blurs, nothing bounces
	told := func(p panel.Panel) (texts []string, at []diag.Point) {
		for _, d := range Judge(nil, p, nil, Evaluate(t.Context(), p, nil, w, bare), bare, UsualLimits()) {
			if d.Code == "light-dark-word" {
				texts, at = append(texts, d.Text), append(at, *d.Place.At)
			}
		}
		return texts, at
	}
	want := []string{`no light reaches "SHUT"`, "no light reaches the line 15 mm long"}
	texts, at := told(p)
	require.Equal(t, want, texts, "all of it behind a wall")
	require.InDelta(t, 62.5, at[1].X, 0.01)
	require.InDelta(t, 30, at[1].Y, 0.01)
	lit := slew()
	lit.At = geom.PtMM(20, 20)
	p.Lettering = append(p.Lettering, lit)
	texts, _ = told(p)
	require.Equal(t, want, texts, "some of it")
	p.Bodies = nil
	texts, _ = told(p)
	require.Len(t, texts, 2)
	require.Contains(t, texts[1], "the line 15 mm long is too dark: it gets")
	p.LEDs, w = nil, led.Wiring{}
	texts, _ = told(p)
	require.Empty(t, texts, "there is nothing to judge")
}

// Source: references.md section 11, heights from the formula: 16 minutes of arc are 3.30 mm at 710 mm and 1.40 mm at 300 mm.
func TestLetteringHeight(t *testing.T) {
	for viewed, height := range map[float64]float64{300: 1.40, 500: 2.33, 710: 3.30, 1000: 4.65} {
		s := UsualStack()
		s.Viewed = geom.MM(viewed)
		text := slew()
		text.Height = geom.MM(height + 0.01)
		lim := UsualLimits()
		require.Empty(t, Judge(nil, panel.Panel{Lettering: []panel.Text{text}}, nil, Field{}, s, Limits{Arc: lim.Arc}))
		text.Height = geom.MM(height - 0.01)
		require.Equal(t, 1, codes(Judge(nil, panel.Panel{Lettering: []panel.Text{text}}, nil, Field{}, s, lim))["light-small-lettering"], viewed)
	}
	text := slew()
	text.Height = geom.MM(1.3)
	require.Equal(t, 1, codes(Judge(nil, panel.Panel{Lettering: []panel.Text{text}}, nil, Field{}, UsualStack(), Limits{Stroke: geom.MM(0.2)}))["light-thin-stroke"])
	many := panel.Panel{}
	for range 30 {
		many.Lettering = append(many.Lettering, text)
	}
	l := Judge(nil, many, nil, Field{}, UsualStack(), UsualLimits())
	require.Len(t, l, 60, "every place is told")
	var together []string
	for _, f := range l.Grouped() {
		together = append(together, f.Text)
	}
	require.Equal(t, []string{
		"30 texts are small: from 500 mm away capitals of 2.3 mm are read with ease",
		"strokes of 30 texts are narrower than the 0.2 mm that engraving through paint keeps clean",
	}, together)
}

// A drawing full of lettering is still measured in bounded room.
func TestManyTexts(t *testing.T) {
	p, w := desk(slew(), geom.PtMM(40, 20))
	for range 4000 {
		p.Lettering = append(p.Lettering, p.Lettering[0])
	}
	n := 0
	for _, s := range spotsOf(nil, p, nil) {
		for _, c := range s.chars {
			n += len(c.points)
			require.NotEmpty(t, c.points)
		}
	}
	require.Less(t, n, 1_000_000)
	f := Evaluate(context.Background(), p, nil, w, UsualStack())
	require.Len(t, f.Texts, 4001)
	require.InEpsilon(t, Evaluate(context.Background(), panel.Panel{Outline: p.Outline, LEDs: p.LEDs, Lettering: p.Lettering[:1]}, nil, w, UsualStack()).Mean, f.Mean, 0.05)
}

// The usual limits themselves, on a field made by hand: brightest to darkest place of a character two to one, a word's mean a
// third of the panel's, a bright spot three times it.
func TestUsualLimits(t *testing.T) {
	judged := func(c, word, text Figures) map[string]int {
		f := Field{Figures: Figures{Mean: 10, Min: 1, Max: 40}}
		f.Chars = []Lit{{Text: "H", Figures: c}}
		f.Words = []Lit{{Text: "H", Figures: word}}
		f.Texts = []Lit{{Text: "H", Figures: text}}
		return codes(Judge(nil, panel.Panel{Name: "dome", LEDs: []panel.Hole{{}}}, nil, f, UsualStack(), UsualLimits()))
	}
	even, fair, calm := Figures{Mean: 10, Min: 8, Max: 12, MaxToMin: 1.5}, Figures{Mean: 10}, Figures{Mean: 10, Max: 12}
	require.Empty(t, judged(even, fair, calm))
	require.Empty(t, judged(Figures{Mean: 10, Min: 7, Max: 13.9, MaxToMin: 1.986}, fair, calm))
	require.Equal(t, map[string]int{"light-uneven-character": 1}, judged(Figures{Mean: 10, Min: 7, Max: 14.1, MaxToMin: 2.014}, fair, calm))
	require.Empty(t, judged(even, Figures{Mean: 3.34}, calm))
	require.Equal(t, map[string]int{"light-dark-word": 1}, judged(even, Figures{Mean: 3.33}, calm))
	require.Empty(t, judged(even, fair, Figures{Mean: 10, Max: 29.9}))
	require.Equal(t, map[string]int{"light-hot-spot": 1}, judged(even, fair, Figures{Mean: 10, Max: 30.1}))
}
