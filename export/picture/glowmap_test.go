package picture

import (
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/light"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// The contour of a cone is a circle, of a ring-shaped hill two, one each way round; a saddle gives closed lines that do not
// cross; and everything bright is within.
func TestContour(t *testing.T) {
	g := light.Grid{Step: geom.Millimetre, W: 81, H: 81, V: make([]float64, 81*81)}
	fill := func(f func(x, y float64) float64) {
		for j := range 81 {
			for i := range 81 {
				g.V[j*81+i] = max(0, f(float64(i)-40, float64(j)-40))
			}
		}
	}
	fill(func(x, y float64) float64 { return 40 - math.Hypot(x, y) })
	rings := contour(g, 15)
	require.Len(t, rings, 1)
	require.InEpsilon(t, math.Pi*25*25, float64(rings[0].SignedArea2())/2e12, 0.005)
	fill(func(x, y float64) float64 { return 10 - math.Abs(math.Hypot(x, y)-25) })
	rings = contour(g, 5)
	require.Len(t, rings, 2)
	sum := 0.0
	for _, r := range rings {
		sum += float64(r.SignedArea2()) / 2e12
	}
	require.InEpsilon(t, math.Pi*(30*30-20*20), sum, 0.01)
	fill(func(x, y float64) float64 { return 5 + 3*math.Sin(x*1.3)*math.Sin(y*1.7) })
	area := 0.0
	for _, r := range contour(g, 5) {
		require.GreaterOrEqual(t, len(r), 3)
		area += float64(r.SignedArea2()) / 2e12
	}
	require.InDelta(t, 80*80/2, area, 400) // half of it is above the mean, border strips beside
	require.Empty(t, contour(g, 100))
	require.Len(t, contour(light.Grid{Step: geom.Millimetre, W: 2, H: 2, V: []float64{1, 1, 1, 1}}, 0.5), 1)
}

// Lightness (CIE L*) rises evenly along the scale.
func TestScaleIsEven(t *testing.T) {
	var ls []float64
	for _, c := range bandColours() {
		r, g, b := c.RGB()
		y := 0.2126*linear(r) + 0.7152*linear(g) + 0.0722*linear(b)
		l := 903.3 * y
		if y > 0.008856 {
			l = 116*math.Cbrt(y) - 16
		}
		ls = append(ls, l)
	}
	step := (ls[len(ls)-1] - ls[0]) / float64(len(ls)-1)
	for i := 1; i < len(ls); i++ {
		require.InDelta(t, step, ls[i]-ls[i-1], step*0.25, "step %d of %v", i, ls)
	}
}

func TestGlowMap(t *testing.T) {
	for _, n := range []string{"azimuth", "shutter", "desk"} {
		p, _, f := litPanel(t, n, false)
		data := GlowMap(t.Context(), p, nil, f)
		if d := os.Getenv("PICTURES"); d != "" {
			require.NoError(t, os.WriteFile(filepath.Join(d, "glow-map-"+n+".svg"), data, 0o644))
		}
		d := xml.NewDecoder(strings.NewReader(string(data)))
		for {
			_, err := d.Token()
			if err == io.EOF {
				break
			}
			require.NoError(t, err)
		}
		require.Equal(t, len(p.LEDs), strings.Count(string(data), "r=\"0.65\""))
		require.Less(t, len(data), 1_500_000)
	}
	require.NotEmpty(t, GlowMap(t.Context(), panel.Panel{}, nil, light.Field{}))
}

// Of sets of LEDs there is a map of each by itself, below each other, and it says so.
func TestMapOfSets(t *testing.T) {
	p := panel.Panel{Name: "lamps", Outline: geom.Rect(geom.BoxOf(geom.PtMM(0, 0), geom.PtMM(60, 40)))}
	grid := func(v float64) light.Grid {
		g := light.Grid{Step: geom.Millimetre, W: 61, H: 41, V: make([]float64, 61*41)}
		for i := range g.V {
			g.V[i] = v
		}
		return g
	}
	one := func(set string, v, even float64) light.Lone {
		return light.Lone{Set: set, Field: light.Field{Figures: light.Figures{Mean: v, MinToMean: even, Min: v * even, Max: v}, Layers: []light.Layer{{Grid: grid(v)}}}}
	}
	f := light.Field{Figures: light.Figures{Mean: 70, MinToMean: 0.9, Max: 70}, Layers: []light.Layer{{Grid: grid(40)}, {Grid: grid(30)}},
		Sets: []light.Lone{one("day", 40, 0.74), one("night", 30, 0.61)}}
	height := func(svg string) (h float64) {
		_, err := fmt.Sscanf(regexp.MustCompile(`height="[0-9.]+`).FindString(svg), `height="%g`, &h)
		require.NoError(t, err)
		return h
	}
	svg := string(GlowMap(t.Context(), p, nil, f))
	for _, what := range []string{"by the LEDs of day alone: mean 40 cd/m², darkest 0.74", "by the LEDs of night alone: mean 30 cd/m², darkest 0.61"} {
		require.Equal(t, 1, strings.Count(svg, what), what)
	}
	f.Sets = nil
	require.InDelta(t, 2*height(string(GlowMap(t.Context(), p, nil, f))), height(svg), 1e-9)
}
