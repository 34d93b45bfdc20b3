package legend_test

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/boardtest"
	"lampblack/board/legend"
	"lampblack/board/place"
	"lampblack/board/shape"
	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// made shapes, places and wires up some vias, so that there is something to keep off.
func made(t testing.TB, p panel.Panel) board.Board {
	b, l := shape.Derive(p, led.Wiring{}, board.UsualRules(), board.FloorsOf(board.UsualRules(), nil), board.UsualLaminate())
	require.False(t, l.HasErrors(), "%v", l)
	b, _, l = place.Place(context.Background(), b, p, boardtest.Wiring(p), place.Options{})
	require.False(t, l.HasErrors(), "%v", l)
	for _, q := range b.Parts {
		if q.Kind == board.Resistor {
			b.Vias = append(b.Vias, board.Via{Net: 1, At: q.At.Add(geom.Vec{X: 2_500_000, Y: 1_800_000}), Drill: b.Rules.ViaDrill, D: b.Rules.ViaPad})
		}
	}
	return b
}

func words() legend.Options {
	return legend.Options{Name: "focus desk", Revision: "A", Supply: "12 V DC", Date: "2026-11-25"}
}

// printed returns the board with its silkscreen.
func printed(b board.Board, opt legend.Options) board.Board {
	b, _ = legend.Print(context.Background(), b, opt)
	return b
}

// Every line of ink keeps its distance from every mask opening, hole, via and edge, measured on the shapes themselves.
func TestInkKeepsClear(t *testing.T) {
	for seed := range uint64(8) {
		p := boardtest.Panel(seed, 8+int(seed)*20)
		b, fig := legend.Print(context.Background(), made(t, p), words())
		name := fmt.Sprintf("seed %d", seed)
		require.Zero(t, fig.Skipped, name)
		require.Equal(t, len(b.Parts), fig.Refs, name)
		const slack = 3000 // nm: rounding and flattening
		type opening struct {
			on   [2]bool
			ring geom.Ring
			box  geom.Box
		}
		var open []opening
		note := func(top, bottom bool, c geom.Contour) {
			r := c.Ring(geom.FlattenTolerance)
			open = append(open, opening{[2]bool{top, bottom}, r, r.Box()})
		}
		b.Pads(func(i, k int) bool {
			q := b.Parts[i].Pads[k]
			note(q.OnSide(geom.Top), q.OnSide(geom.Bottom), q.Contour(q.Mask))
			return true
		})
		for _, h := range b.Holes {
			note(true, true, geom.Circle(h.At, h.D))
		}
		for _, v := range b.Vias {
			note(true, true, geom.Circle(v.At, v.D+2*b.Rules.MaskMargin))
		}
		area := b.Material()
		var edges []geom.Segment
		for _, r := range area.Rings() {
			edges = append(edges, r.Segments()...)
		}
		for _, s := range b.Legend {
			keep := float64(b.Rules.LegendClear+s.Width/2) - slack
			require.GreaterOrEqual(t, s.Width, b.Rules.LegendWidth)
			box := s.Path.Box().Grown(geom.Millimetre)
			for _, g := range s.Path.Segments() {
				for _, o := range open {
					if !o.on[s.On] || !o.box.Touches(box) {
						continue
					}
					require.Equal(t, geom.Outside, o.ring.Locate(g.A), name)
					if d := ringToSegment(o.ring, g); d < keep {
						require.Fail(t, "ink in an opening", "%s: %v", name, g)
					}
				}
				require.Equal(t, geom.Inside, area.Locate(g.A), name)
				for _, e := range edges {
					if e.Box().Touches(box) && e.Dist(g) < keep {
						require.Fail(t, "ink at the edge", "%s: %v", name, g)
					}
				}
			}
		}
		again, _ := legend.Print(context.Background(), made(t, p), words())
		require.Equal(t, b.Legend, again.Legend, "%s: same input, same ink", name)
	}
}

func ringToSegment(r geom.Ring, g geom.Segment) float64 {
	best := math.Inf(1)
	for i := range r {
		best = min(best, geom.Segment{A: r[i], B: r[(i+1)%len(r)]}.Dist(g))
	}
	return best
}

// The words are where one looks for them: refs by their parts, on the side of the body.
func TestBothSidesHaveInk(t *testing.T) {
	b := printed(made(t, boardtest.Panel(5, 30)), words())
	ink := map[geom.Side]int{}
	for _, s := range b.Legend {
		ink[s.On]++
	}
	require.Greater(t, ink[geom.Top], 30*4)
	require.Greater(t, ink[geom.Bottom], 10*4)
}

// A bare board gets its name and nothing else; one too small for any text gets none.
func TestBareBoards(t *testing.T) {
	b := board.Board{Rules: board.UsualRules(), Outline: geom.Rect(geom.BoxOf(geom.PtMM(0, 0), geom.PtMM(60, 40)))}
	require.NotEmpty(t, printed(b, legend.Options{Name: "dome"}).Legend)
	b.Outline = geom.Rect(geom.BoxOf(geom.PtMM(0, 0), geom.PtMM(2, 1.2)))
	require.Empty(t, printed(b, words()).Legend)
	require.NotPanics(t, func() { printed(board.Board{}, words()) })
}

func BenchmarkDraw(b *testing.B) {
	for _, n := range []int{60, 500} {
		bare := made(b, boardtest.Panel(7, n))
		b.Run(fmt.Sprintf("%d-LEDs", n), func(b *testing.B) {
			var fig legend.Figures
			for b.Loop() {
				_, fig = legend.Print(context.Background(), bare, words())
			}
			b.ReportMetric(float64(fig.Skipped), "skipped")
		})
	}
}
