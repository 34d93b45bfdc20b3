package legend

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/panel/geom"
)

// The name and the value of a turned resistor stand well off the lines beside its body: a line as near as the next letter
// would be makes IR1 of R1. Names keep their distance from each other, too.
func TestNoLineReadsAsALetter(t *testing.T) {
	f, ok := footprint.Lookup("r-1206")
	require.True(t, ok)
	for _, turn := range []int{0, 90, 180, 270} {
		b := board.Board{Rules: board.UsualRules(), Outline: geom.Rect(geom.BoxOf(geom.PtMM(0, 0), geom.PtMM(30, 20)))}
		for i, value := range []string{"560R", "1k3", "47R"} { // turned, one right above the other: the text must go beside
			p := f.Place("R"+string(rune('1'+i)), board.Resistor, geom.PtMM(10, 5+5*float64(i)), turn, geom.Bottom, b.Rules.MaskMargin)
			p.Value = value
			b.Parts = append(b.Parts, p)
		}
		s := newFace(nil, b, geom.Bottom)
		s.marks(b)
		lines := len(s.ink)
		var fig Figures
		s.refs(b, nil, &fig)
		s.values(b)
		require.Zero(t, fig.Skipped)
		s.title([]string{"mount"})
		require.Greater(t, len(s.ink), lines+7)
		letterGap := float64(b.Rules.LegendText)*spacing/capUnits - float64(b.Rules.LegendWidth)
		for _, text := range s.ink[lines:] {
			for _, line := range s.ink[:lines] {
				for _, g := range text.Path.Segments() {
					for _, e := range line.Path.Segments() {
						d := e.Dist(g) - float64(text.Width+line.Width)/2
						require.GreaterOrEqual(t, d, 1.5*float64(b.Rules.LegendWidth)+50e3, "turn %d", turn)
						upright := e.A.X == e.B.X
						box := text.Path.Box()
						if upright && box.Min.Y < max(e.A.Y, e.B.Y) && box.Max.Y > min(e.A.Y, e.B.Y) {
							require.GreaterOrEqual(t, d, 2*letterGap, "turn %d: a line beside a letter", turn)
						}
					}
				}
			}
		}
	}
}

// On a ring-shaped board no ink comes nearer to the true circles than LegendClear, to the nanometre, whatever crosses them
// and at whatever angle: the flattened outer edge lies inside the true one, the flattened inner one beyond it.
func TestInkKeepsClearOfCurves(t *testing.T) {
	const outer, inner = 40_000_000, 12_000_000 // diameters
	b := board.Board{Rules: board.UsualRules(), Outline: geom.Circle(geom.Pt{}, outer), Cutouts: []geom.Contour{geom.Circle(geom.Pt{}, inner).Reversed()}}
	p := board.Part{Ref: "X", On: geom.Top, At: geom.PtMM(0, 13), Body: geom.Circle(geom.PtMM(0, 13), geom.MM(2)).Ring(1000)}
	for k := range 720 {
		sin, cos := math.Sincos(float64(k) * math.Pi / 360)
		at := func(r float64) geom.Pt { return geom.Pt{X: geom.MM(r * cos), Y: geom.MM(r * sin)} }
		p.Marks = append(p.Marks, board.Stroke{On: geom.Top, Width: 150_000, Path: geom.Polyline{at(3), at(25)}})
	}
	b.Parts = []board.Part{p}
	out, _ := Print(context.Background(), b, Options{})
	require.Greater(t, len(out.Legend), 700)
	worst := math.Inf(1)
	for _, s := range out.Legend {
		half := float64(s.Width) / 2
		for _, g := range s.Path.Segments() {
			far := max(g.A.Dist(geom.Pt{}), g.B.Dist(geom.Pt{}))
			worst = min(worst, outer/2-far-half, g.DistTo(geom.Pt{})-inner/2-half)
		}
	}
	require.GreaterOrEqual(t, worst, float64(b.Rules.LegendClear))
	require.Less(t, worst, float64(b.Rules.LegendClear+5*geom.Micrometre), "and passes closely")
}
