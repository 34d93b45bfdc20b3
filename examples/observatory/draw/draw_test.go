package main

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/read"
)

func plans() []*plan { return []*plan{dome(), mount(), flatLamp(), weather(), camera(), focus()} }

// The committed drawings are what this program draws.
func TestCommitted(t *testing.T) {
	for _, p := range plans() {
		got, err := os.ReadFile(filepath.Join("..", p.name+".dxf"))
		require.NoError(t, err)
		want, err := p.dxf()
		require.NoError(t, err)
		require.True(t, string(got) == string(want), "%s.dxf: run go run ./examples/observatory/draw examples/observatory", p.name)
	}
}

func TestSpacing(t *testing.T) {
	for _, p := range plans() {
		require.Empty(t, p.faults(), p.name)
	}
	bad := focus()
	bad.led(bad.leds[0].X+2, bad.leds[0].Y)
	bad.screw(1, 1)
	require.Len(t, bad.faults(), 2, "the rules do find faults")
}

// What is read from the file must be what was meant: nothing is skipped, guessed or told, and sizes and places are
// those of the plan in the panel frame, in whatever unit and wherever it was drawn.
func TestReadBack(t *testing.T) {
	for _, p := range plans() {
		t.Run(p.name, func(t *testing.T) {
			src, err := p.dxf()
			require.NoError(t, err)
			d, l := dxf.Read(t.Context(), src, p.name+".dxf")
			require.Empty(t, l)
			require.Equal(t, string(p.release), d.Version)
			all, l := read.Panels(t.Context(), d, read.Options{})
			require.Empty(t, l)
			require.Len(t, all, 1)
			q := all[0]
			require.Equal(t, p.name, q.Name)
			require.Len(t, q.LEDs, len(p.leds))
			require.Len(t, q.Mounts, len(p.mounts))
			require.Len(t, append(contours(q.Openings), q.Bodies...), len(p.solids))
			low := pt{math.Inf(1), math.Inf(1)}
			for _, v := range flat(p.outline) {
				low = pt{min(low.X, v.X), min(low.Y, v.Y)}
			}
			for _, a := range p.leds {
				found := false
				for _, h := range q.LEDs {
					require.InDelta(t, ledHole, h.D.MM(), 1e-6)
					found = found || h.At.Dist(geom.PtMM(a.X-low.X, a.Y-low.Y)) < 100
				}
				require.True(t, found, "LED at %v", a)
			}
			require.InDelta(t, 0, polygonArea(flat(p.outline))-q.Outline.Area(), 0.01*q.Outline.Area())
		})
	}
}

func contours(o []panel.Opening) (out []geom.Contour) {
	for _, c := range o {
		out = append(out, c.Contour)
	}
	return out
}

func polygonArea(p []pt) float64 {
	sum := 0.0
	for i := range p {
		sum += p[i].cross(p[(i+1)%len(p)]) / 2
	}
	return math.Abs(sum)
}

// The widths by which LEDs are spread are those of the letters that will be engraved.
func TestWidths(t *testing.T) {
	for r := ' '; r <= 'Z'; r++ {
		require.InDelta(t, lettering.Advance(panel.Text{Text: string(r), Height: geom.MM(4), Width: 1}).MM(), width(string(r), 4), 0.04, "%c", r)
	}
}

func TestRun(t *testing.T) {
	dir := t.TempDir()
	require.Equal(t, 0, run([]string{dir}))
	files, err := filepath.Glob(filepath.Join(dir, "*.dxf"))
	require.NoError(t, err)
	require.Len(t, files, 6)
	require.Equal(t, 3, run([]string{filepath.Join(dir, "nowhere")}))
}
