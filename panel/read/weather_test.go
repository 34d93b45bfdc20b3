package read

import (
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/paneltest"
)

// layerWant is what ezdxf and shapely found on a layer of the weather panel: testdata/dxf/weather.py.
type layerWant struct {
	Shapes  []expectedShape
	Circles []expectedHole
}

type weatherWant struct {
	Ezdxf, Shapely                            string
	Outline, Opening, Mount, Body, Board, LED layerWant
	RingArea                                  float64 `json:"ring_area"`
	Lines                                     [][4]float64
	Texts                                     []struct {
		Text                   string
		X, Y, Height, Rotation float64
		Anchor                 string
	}
}

// TestWeather reads a panel that uses every layer, in all the ways of testdata/dxf/weather.py.
func TestWeather(t *testing.T) {
	src, err := os.ReadFile("testdata/weather/expected.json")
	require.NoError(t, err)
	var want weatherWant
	require.NoError(t, json.Unmarshal(src, &want))
	require.Equal(t, "0.18.1", want.Ezdxf)
	require.Len(t, want.LED.Circles, 12)
	require.Len(t, want.Opening.Shapes, 3)
	for _, f := range paneltest.Files(t, "testdata/weather/*.dxf") {
		t.Run(f.Name, func(t *testing.T) {
			d, l := dxf.Read(t.Context(), f.Data, f.Name)
			ps, more := Panels(t.Context(), d, Options{})
			for _, x := range append(l, more...) {
				require.NotEqual(t, diag.Error, x.Severity, "%s: %s", x.Code, x.Text)
			}
			require.Len(t, ps, 1)
			compareWeather(t, ps[0], want)
		})
	}
}

func compareWeather(t *testing.T, p panel.Panel, want weatherWant) {
	same := func(c geom.Contour, s expectedShape) bool {
		b := c.Box()
		for i, v := range [4]float64{b.Min.X.MM() + p.Origin.X, b.Min.Y.MM() + p.Origin.Y, b.Max.X.MM() + p.Origin.X, b.Max.Y.MM() + p.Origin.Y} {
			if math.Abs(v-s.Bbox[i]) > micrometre {
				return false
			}
		}
		return math.Abs(c.Area()-s.Area) <= s.Perimeter*micrometre && math.Abs(c.Perimeter()-s.Perimeter) <= 0.01
	}
	hole := func(at geom.Pt, d geom.Nm, w expectedHole) bool {
		return math.Hypot(at.X.MM()+p.Origin.X-w.X, at.Y.MM()+p.Origin.Y-w.Y) < micrometre && math.Abs(d.MM()-w.D) < micrometre
	}
	// Each thing that was measured must be found once.
	layer := func(name string, got []geom.Contour, w layerWant) {
		t.Helper()
		require.Len(t, got, len(w.Shapes)+len(w.Circles), name)
		for _, s := range w.Shapes {
			n := 0
			for _, c := range got {
				if same(c, s) {
					n++
				}
			}
			require.Equal(t, 1, n, "%s %v in %v", name, s, got)
		}
		for _, h := range w.Circles {
			n := 0
			for _, c := range got {
				if at, d, ok := c.Circular(); ok && hole(at, d, h) {
					n++
				}
			}
			require.Equal(t, 1, n, "%s %v", name, h)
		}
	}
	holes := func(hs []panel.Hole) (out []geom.Contour) {
		for _, h := range hs {
			out = append(out, geom.Circle(h.At, h.D))
		}
		return out
	}
	var openings []geom.Contour
	mounts := holes(p.Mounts)
	for _, o := range p.Openings {
		if o.Mount {
			mounts = append(mounts, o.Contour)
		} else {
			openings = append(openings, o.Contour)
		}
	}
	layer("outline", []geom.Contour{p.Outline}, want.Outline)
	layer("opening", openings, want.Opening)
	layer("mount", mounts, want.Mount)
	layer("body", p.Bodies, want.Body)
	var boards []geom.Contour
	for _, b := range p.Boards {
		boards = append(boards, b...)
	}
	layer("board", boards, want.Board)
	layer("led", holes(p.LEDs), want.LED)

	var rings []float64
	lines := 0
	for _, s := range p.Symbols {
		if s.Closed {
			rings = append(rings, s.Shape.Area())
			for _, h := range s.Holes { // of a filling; a ring drawn as two circles is two lines
				rings = append(rings, h.Area())
			}
			continue
		}
		for _, w := range want.Lines {
			b := s.Shape.Box()
			if math.Abs(b.Min.X.MM()+p.Origin.X-w[0])+math.Abs(b.Min.Y.MM()+p.Origin.Y-w[1])+math.Abs(b.Max.X.MM()+p.Origin.X-w[2])+math.Abs(b.Max.Y.MM()+p.Origin.Y-w[3]) < micrometre {
				lines++
			}
		}
	}
	require.Len(t, rings, 2)
	require.InDelta(t, want.RingArea, max(rings[0], rings[1])-min(rings[0], rings[1]), 0.03, "between them") // 1 µm on both of its edges
	require.Equal(t, len(want.Lines), lines)

	require.Len(t, p.Lettering, len(want.Texts))
	for i, w := range want.Texts {
		g := p.Lettering[i]
		require.Equal(t, w.Text, g.Text)
		require.InDelta(t, w.X, g.At.X.MM()+p.Origin.X, micrometre)
		require.InDelta(t, w.Y, g.At.Y.MM()+p.Origin.Y, micrometre)
		require.InDelta(t, w.Height, g.Height.MM(), micrometre)
		require.InDelta(t, w.Rotation, g.Angle*180/math.Pi, 1e-6)
		require.Equal(t, w.Anchor, strings.Replace(g.Anchor.String(), "baseline", "bottom", 1))
	}
}
