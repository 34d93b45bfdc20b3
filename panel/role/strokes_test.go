package role

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// strokesOf returns straight strokes of corners x0 y0 x1 y1.
func strokesOf(at ...[4]float64) []Stroke {
	var out []Stroke
	for _, v := range at {
		a, b := geom.XY{X: v[0], Y: v[1]}, geom.XY{X: v[2], Y: v[3]}
		out = append(out, Stroke{Box: geom.EmptyXYBox().With(a).With(b), From: a, To: b, Length: a.Dist(b), Straight: true})
	}
	return out
}

func look(t *testing.T, d Drawing) (l Looked) {
	t.Helper()
	d.Sheets = []Sheet{{Box: geom.XYBox{Max: geom.XY{X: 200, Y: 100}}}}
	work.Until(context.Background(), func(w *work.Watch) { l = Look(w, d) })
	return l
}

// TestDialsAndScales: strokes that point at a knob from one distance, and rows at one pitch, are ticks; fewer are not, nor
// what is crossed as a centre mark is, nor what lies on a layer of dimensions.
func TestDialsAndScales(t *testing.T) {
	knob := Thing{Round: true, D: 9.5, At: geom.XY{X: 80, Y: 50}, Box: geom.XYBox{Min: geom.XY{X: 75.25, Y: 45.25}, Max: geom.XY{X: 84.75, Y: 54.75}}, In: -1}
	dial := func(n int) (out [][4]float64) {
		for i := range n {
			s, c := math.Sincos(float64(i) * 0.45)
			out = append(out, [4]float64{80 + 12*c, 50 + 12*s, 80 + 15*c, 50 + 15*s})
		}
		return out
	}
	scale := func(n int, pitch float64) (out [][4]float64) {
		for i := range n {
			out = append(out, [4]float64{10 + pitch*float64(i), 20, 10 + pitch*float64(i), 23 + 2*float64(i%2)})
		}
		return out
	}
	count := func(d Drawing) (n int) {
		for _, is := range look(t, d).Strokes {
			if is {
				n++
			}
		}
		return n
	}
	require.Equal(t, 9, count(Drawing{Things: []Thing{knob}, Strokes: strokesOf(dial(9)...)}))
	require.Equal(t, 0, count(Drawing{Things: []Thing{knob}, Strokes: strokesOf(dial(4)...)}))
	require.Equal(t, 0, count(Drawing{Strokes: strokesOf(dial(9)...)}), "round nothing")
	require.Equal(t, 8, count(Drawing{Strokes: strokesOf(scale(8, 5)...)}))
	require.Equal(t, 0, count(Drawing{Strokes: strokesOf(scale(5, 5)...)}))
	require.Equal(t, 0, count(Drawing{Strokes: strokesOf(scale(8, 12)...)}), "too far apart")
	remarks := strokesOf(scale(8, 5)...)
	for i := range remarks {
		remarks[i].Layer = "Dimensions"
	}
	require.Equal(t, 0, count(Drawing{Strokes: remarks}))
	var crosses [][4]float64
	for i := range 8 {
		x := 10 + 8*float64(i)
		crosses = append(crosses, [4]float64{x, 18, x, 22}, [4]float64{x - 2, 20, x + 2, 20})
	}
	require.Equal(t, 0, count(Drawing{Strokes: strokesOf(crosses...)}), "centre marks")
}

// TestWordsOfStrokes: HEAT, engraved along the middle of its letters, is a word, the closed top of its A included; a hole for a
// lamp beside it is none.
func TestWordsOfStrokes(t *testing.T) {
	at := [][4]float64{
		{10, 10, 10, 14}, {10, 12, 12, 12}, {12, 10, 12, 14}, // H
		{14, 10, 14, 14}, {14, 10, 16, 10}, {14, 12, 15.5, 12}, {14, 14, 16, 14}, // E
		{18, 10, 18.5, 11.5}, {20.5, 11.5, 21, 10}, // legs of the A
		{23, 14, 26, 14}, {24.5, 14, 24.5, 10}, // T
	}
	s := strokesOf(at...)
	s[7].Spur, s[8].Spur = true, true
	top := Thing{Box: geom.XYBox{Min: geom.XY{X: 18.5, Y: 11.5}, Max: geom.XY{X: 20.5, Y: 14}}, At: geom.XY{X: 19.5, Y: 12.75}, Area: 2.5, Perimeter: 7.4, Corners: 3, In: -1}
	lamp := Thing{Round: true, D: 3, Area: 7, Perimeter: 9.4, Corners: 2, At: geom.XY{X: 29, Y: 12}, Box: geom.XYBox{Min: geom.XY{X: 27.5, Y: 10.5}, Max: geom.XY{X: 30.5, Y: 13.5}}, In: -1}
	l := look(t, Drawing{Things: []Thing{lamp, top}, Strokes: s})
	require.Equal(t, []bool{false, true}, l.Letters)
	require.InDelta(t, 4, l.Heights[1], 0.01)
	for i, is := range l.Strokes {
		require.True(t, is, "%v", at[i])
	}
	// One letter is no word, and neither are two.
	require.NotContains(t, look(t, Drawing{Strokes: strokesOf(at[:3]...)}).Strokes, true)
	require.NotContains(t, look(t, Drawing{Strokes: strokesOf(at[:7]...)}).Strokes, true)
}

// TestWhatLiesInALetter: the island of an O goes with it, a hole drilled there for an LED does not.
func TestWhatLiesInALetter(t *testing.T) {
	box := func(x, y, w, h float64) geom.XYBox {
		return geom.XYBox{Min: geom.XY{X: x, Y: y}, Max: geom.XY{X: x + w, Y: y + h}}
	}
	letter := func(x, w float64) Thing {
		return Thing{Box: box(x, 10, w, 4), At: geom.XY{X: x + w/2, Y: 12}, Area: 4 + w/10, Perimeter: 16, Corners: 20, In: -1, Layer: "Gravur"}
	}
	o := Thing{Box: box(16, 10, 4, 4), At: geom.XY{X: 18, Y: 12}, Area: 12.5, Perimeter: 12.6, Corners: 30, In: -1, Layer: "Gravur"}
	island := Thing{Box: box(16.6, 10.6, 2.8, 2.8), At: o.At, Area: 6.2, Perimeter: 8.8, Corners: 30, In: 0, Layer: "Gravur"}
	drilled := island
	drilled.Round, drilled.D, drilled.Layer, drilled.In = true, 2.8, "Bohrungen", 1
	l := look(t, Drawing{Things: []Thing{o, island, drilled, letter(10, 2.5), letter(13, 2.7), letter(21.2, 3)}})
	require.Equal(t, []bool{true, true, false, true, true, true}, l.Letters)
}
