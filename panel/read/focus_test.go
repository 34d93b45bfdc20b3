package read

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/paneltest"
)

// expectedShape and expected are what ezdxf and shapely measured on one of the drawings: testdata/dxf/measure.py.
type expectedShape struct {
	Area, Perimeter float64
	Bbox            [4]float64
}

type expectedHole struct{ X, Y, D float64 }

type expected struct {
	Ezdxf                  string
	Outline, Display, Body expectedShape
	Knob, LEDs, Mounts     []expectedHole
	Texts                  []struct {
		Text                   string
		X, Y, Height, Rotation float64
		Anchor                 string
	}
}

// micrometre is how well positions and sizes must agree, however the panel was written.
const micrometre = 0.001

// TestFocusMotor reads the same panel in all encodings: whatever the file looks like, the panel is one.
func TestFocusMotor(t *testing.T) {
	src, err := os.ReadFile("testdata/focus/expected.json")
	require.NoError(t, err)
	var want expected
	require.NoError(t, json.Unmarshal(src, &want))
	require.Len(t, want.LEDs, 9)
	files := paneltest.Files(t, "testdata/focus/*.dxf")
	require.GreaterOrEqual(t, len(files), 25)
	for _, f := range files {
		t.Run(f.Name, func(t *testing.T) {
			d, l := dxf.Read(t.Context(), f.Data, f.Name)
			ps, more := Panels(t.Context(), d, Options{})
			for _, x := range append(l, more...) {
				require.NotEqual(t, diag.Error, x.Severity, "%s: %s", x.Code, x.Text)
			}
			require.Len(t, ps, 1)
			name := strings.TrimSuffix(f.Name, filepath.Ext(f.Name))
			dx, dy := 0.0, 0.0
			if name == "far" {
				dx, dy = 400000, -250000
			}
			compareFocus(t, ps[0], want, dx, dy, name == "no-layers")
		})
	}
}

func compareFocus(t *testing.T, p panel.Panel, want expected, dx, dy float64, flat bool) {
	o := p.Origin
	require.InDelta(t, want.Outline.Bbox[0]+dx, o.X, micrometre)
	require.InDelta(t, want.Outline.Bbox[1]+dy, o.Y, micrometre)
	box := p.Outline.Box()
	require.Equal(t, geom.Pt{}, box.Min)
	same := func(c geom.Contour, s expectedShape) {
		t.Helper()
		b := c.Box()
		require.InDelta(t, s.Bbox[0]+dx, o.X+b.Min.X.MM(), micrometre)
		require.InDelta(t, s.Bbox[1]+dy, o.Y+b.Min.Y.MM(), micrometre)
		require.InDelta(t, s.Bbox[2]+dx, o.X+b.Max.X.MM(), micrometre)
		require.InDelta(t, s.Bbox[3]+dy, o.Y+b.Max.Y.MM(), micrometre)
		// An edge that is 1 µm off along its length changes the area by its length times 1 µm.
		require.InDelta(t, s.Area, c.Area(), s.Perimeter*micrometre)
		require.InDelta(t, s.Perimeter, c.Perimeter(), 0.01)
		require.Positive(t, c.SignedArea())
	}
	same(p.Outline, want.Outline)
	arcs := 0
	for _, e := range p.Outline.Edges() {
		if !e.Straight() {
			arcs++
		}
	}
	require.Equal(t, 6, arcs, "curves stay arcs")
	holes := func(got []panel.Hole, want []expectedHole) {
		t.Helper()
		require.Len(t, got, len(want))
		for _, w := range want {
			best := math.Inf(1)
			for _, h := range got {
				best = min(best, math.Hypot(h.At.X.MM()+o.X-w.X-dx, h.At.Y.MM()+o.Y-w.Y-dy)+math.Abs(h.D.MM()-w.D))
			}
			require.Less(t, best, micrometre, "hole %v", w)
		}
	}
	holes(p.LEDs, want.LEDs)
	holes(p.Mounts, want.Mounts)
	require.Len(t, p.Openings, 2)
	knob, display := p.Openings[0], p.Openings[1]
	if _, _, ok := knob.Circular(); !ok {
		knob, display = display, knob
	}
	c, dia, ok := knob.Circular()
	require.True(t, ok)
	holes([]panel.Hole{{At: c, D: dia}}, want.Knob)
	same(display.Contour, want.Display)
	if !flat {
		require.Len(t, p.Bodies, 1)
		same(p.Bodies[0], want.Body)
	}
	require.Len(t, p.Lettering, len(want.Texts))
	for i, w := range want.Texts {
		g := p.Lettering[i]
		require.Equal(t, w.Text, g.Text)
		require.InDelta(t, w.X+dx, g.At.X.MM()+o.X, micrometre)
		require.InDelta(t, w.Y+dy, g.At.Y.MM()+o.Y, micrometre)
		require.InDelta(t, w.Height, g.Height.MM(), micrometre)
		require.InDelta(t, w.Rotation, g.Angle*180/math.Pi, 1e-6)
		require.Equal(t, w.Anchor, g.Anchor.String())
		require.False(t, g.Mirror)
		require.InDelta(t, 1, g.Width, 1e-9)
	}
}
