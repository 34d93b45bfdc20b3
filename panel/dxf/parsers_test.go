package dxf

import (
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestWriteForParsers: a general-purpose parser of others (testdata/dxfcheck tells which) finds in R12 and R2000 what was drawn.
func TestWriteForParsers(t *testing.T) {
	dir := filepath.Join("..", "..", "testdata", "dxfcheck")
	node, err := exec.LookPath("node")
	if err != nil {
		t.Skip("node is not installed: the outside check of DXF is left out")
	}
	if _, err := os.Stat(filepath.Join(dir, "node_modules", "dxf-parser")); err != nil {
		t.Skip("run 'npm ci' in testdata/dxfcheck for the outside check of DXF")
	}
	d := Drawing{
		Layers: []Layer{{Name: "CUT", Colour: 1, Width: 0.01}, {Name: "ENGRAVE", Colour: 5}},
		Blocks: []Block{{"LED-3", []Entity{{Layer: "0", Path: Path{Closed: true, Vertices: []Vertex{{XY{X: -1.5, Y: 0}, 1}, {XY{X: 1.5, Y: 0}, 1}}}}}}},
		Entities: []Entity{
			{Layer: "CUT", Path: Path{Vertices: []Vertex{{XY{X: 1, Y: 2}, 0}, {XY{X: 3, Y: 4.5}, 0}}}},
			{Layer: "CUT", Path: Path{Closed: true, Vertices: []Vertex{{XY{X: 5, Y: 5}, 1}, {XY{X: 8, Y: 5}, 1}}}},
			{Layer: "CUT", Type: "ARC", Path: Path{Vertices: []Vertex{{XY{X: 3, Y: 0}, math.Tan(math.Pi / 8)}, {XY{X: 0, Y: 3}, 0}}}}, // round (0, 0)
			{Layer: "ENGRAVE", Path: Path{Closed: true, Vertices: []Vertex{{XY{X: 0, Y: 0}, 0}, {XY{X: 4, Y: 0}, 0.5}, {XY{X: 4, Y: 4}, -0.25}}}},
			{Layer: "ENGRAVE", Text: &Text{Text: "DOME", At: XY{X: 7, Y: 8}, Height: 4, Width: 1, Angle: math.Pi / 2}},
			{Layer: "ENGRAVE", Text: &Text{Text: "OPEN\nSHUT", At: XY{X: 9, Y: 9}, Height: 3, Width: 1, V: BottomLine}},
			{Layer: "ENGRAVE", Insert: &Insert{"LED-3", XY{X: 20, Y: 30}, math.Pi / 4}},
		},
	}
	tmp := t.TempDir()
	var files []string
	for _, r := range []Release{R12, R2000} {
		src, err := Write(d, Options{Release: r})
		require.NoError(t, err)
		files = append(files, filepath.Join(tmp, string(r)+".dxf"))
		require.NoError(t, os.WriteFile(files[len(files)-1], src, 0o644))
	}
	cmd := exec.Command(node, append([]string{filepath.Join(dir, "check.js")}, files...)...)
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	require.NoError(t, err)
	type xy struct{ X, Y, Bulge float64 }
	type found struct {
		Type, Layer, Name, Text      string
		Vertices                     []xy
		Center, StartPoint, Position xy
		Radius, StartAngle, EndAngle float64
		TextHeight, Height, Rotation float64
		AttachmentPoint              int
		Shape                        bool
	}
	var all []struct {
		Version  string
		Unit     int
		Layers   map[string]int
		Blocks   []string
		Entities []found
	}
	require.NoError(t, json.Unmarshal(out, &all))
	require.Len(t, all, 2)
	for i, got := range all {
		old := i == 0
		require.Equal(t, string([]Release{R12, R2000}[i]), got.Version)
		require.Equal(t, 4, got.Unit)
		require.Equal(t, map[string]int{"0": 7, "CUT": 1, "ENGRAVE": 5}, got.Layers)
		require.Contains(t, got.Blocks, "LED-3")
		line := found{Type: "LINE", Layer: "CUT", Vertices: []xy{{1, 2, 0}, {3, 4.5, 0}}}
		circle := found{Type: "CIRCLE", Layer: "CUT", Center: xy{6.5, 5, 0}, Radius: 1.5}
		arc := found{Type: "ARC", Layer: "CUT", Radius: 3, EndAngle: math.Pi / 2}
		poly := found{Type: "LWPOLYLINE", Layer: "ENGRAVE", Shape: true, Vertices: []xy{{0, 0, 0}, {4, 0, 0.5}, {4, 4, -0.25}}}
		text := found{Type: "TEXT", Layer: "ENGRAVE", Text: "DOME", StartPoint: xy{7, 8, 0}, TextHeight: 4, Rotation: 90}
		insert := found{Type: "INSERT", Layer: "ENGRAVE", Name: "LED-3", Position: xy{20, 30, 0}, Rotation: 45}
		lines := []found{{Type: "MTEXT", Layer: "ENGRAVE", Text: `OPEN\PSHUT`, Position: xy{9, 9, 0}, Height: 3, AttachmentPoint: 7}}
		if old { // the lines of a text 5/3 of its height apart; a text that stands on its bottom is told by 73, and begins at 10
			poly.Type = "POLYLINE"
			lines = []found{{Type: "TEXT", Layer: "ENGRAVE", Text: "OPEN", StartPoint: xy{9, 14, 0}, TextHeight: 3}, {Type: "TEXT", Layer: "ENGRAVE", Text: "SHUT", StartPoint: xy{9, 9, 0}, TextHeight: 3}}
		}
		want := append(append([]found{line, circle, arc, poly, text}, lines...), insert)
		require.Len(t, got.Entities, len(want))
		for j, e := range got.Entities {
			require.InDelta(t, want[j].EndAngle, e.EndAngle, 1e-9)
			e.EndAngle = want[j].EndAngle
			require.Equal(t, want[j], e, got.Version)
		}
	}
}
