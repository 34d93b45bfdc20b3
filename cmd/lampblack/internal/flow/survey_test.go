package flow

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/panel/dxf"
	"lampblack/panel/read"
)

// What a survey proposes for the project file, pasted as it is, gives the panels that were guessed, and nothing is
// guessed any more.
func TestProposalIsWhatWasGuessed(t *testing.T) {
	src, err := os.ReadFile("../../../../panel/read/testdata/focus/no-layers.dxf")
	require.NoError(t, err)
	line := func(layer string, pts ...float64) dxf.Entity {
		e := dxf.Entity{Type: "LWPOLYLINE", Layer: layer, Path: dxf.Path{Closed: true}}
		for i := 0; i+1 < len(pts); i += 2 {
			e.Path.Vertices = append(e.Path.Vertices, dxf.Vertex{XY: dxf.XY{X: pts[i], Y: pts[i+1]}})
		}
		return e
	}
	ring := func(layer string, x, y, d float64) dxf.Entity {
		return dxf.Entity{Type: "CIRCLE", Layer: layer, Path: dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: dxf.XY{X: x - d/2, Y: y}, Bulge: 1}, {XY: dxf.XY{X: x + d/2, Y: y}, Bulge: 1}}}}
	}
	write := func(es ...dxf.Entity) []byte {
		out, err := dxf.Write(dxf.Drawing{Entities: es}, dxf.Options{})
		require.NoError(t, err)
		return out
	}
	for name, src := range map[string][]byte{
		"no-layers": src,
		"named edge": write(line("Platte aussen, 3 mm", 0, 0, 120, 0, 120, 80, 0, 80), ring("0", 20, 20, 3), ring("0", 40, 20, 3),
			ring("0", 60, 20, 5.1), ring("0", 6, 6, 4.5), ring("0", 114, 74, 4.5), ring("0", 60, 50, 10), line("0", 80, 40, 100, 40, 100, 60, 80, 60)),
		"frame": write(line("0", -100, -60, 310, -60, 310, 230, -100, 230), line("0", 200, -60, 310, -60, 310, -20, 200, -20), line("0", 0, 0, 120, 0, 120, 80, 0, 80),
			ring("0", 20, 20, 3), ring("0", 40, 20, 3), ring("0", 60, 20, 3)),
	} {
		t.Run(name, func(t *testing.T) {
			load := func(string) ([]byte, error) { return src, nil }
			s := Survey(t.Context(), "dome.dxf", read.Options{Name: "dome"}, load)
			require.NotEmpty(t, s.Report.Panels)
			lines := s.Proposal()
			require.NotEmpty(t, lines)
			text := "supply: {volts: 12 V, amps: 2 A}\npanels:\n  - name: dome\n    drawing: dome.dxf\n    " + strings.Join(lines, "\n    ") + "\n"
			p, l := project.Read([]byte(text), "lampblack.yaml")
			require.Empty(t, l, text)
			d, _ := dxf.Read(t.Context(), src, "dome.dxf")
			got, found := read.Panels(t.Context(), d, Options(p, p.Panels[0]))
			for _, f := range found {
				require.NotEqual(t, "panel-guess", f.Code, "%s, by %s", f.Text, text)
			}
			require.Len(t, got, len(s.Report.Panels))
			for i := range got {
				// Openings come by kind and not by size, so the order may differ.
				require.ElementsMatch(t, s.Report.Panels[i].Openings, got[i].Openings)
				got[i].Openings = s.Report.Panels[i].Openings
				got[i].Room = s.Report.Panels[i].Room // follows from openings and LEDs, and names openings by their place
				require.ElementsMatch(t, s.Report.Panels[i].LEDs, got[i].LEDs)
				got[i].LEDs = s.Report.Panels[i].LEDs
				require.ElementsMatch(t, s.Report.Panels[i].Mounts, got[i].Mounts)
				got[i].Mounts = s.Report.Panels[i].Mounts
				require.Equal(t, s.Report.Panels[i], got[i], text)
			}
		})
	}
}

func TestSurveyOfAllExamples(t *testing.T) {
	files, err := filepath.Glob("../../../../examples/observatory/*.dxf")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, f := range files {
		require.Empty(t, Survey(t.Context(), f, read.Options{}, nil).Proposal(), "our own layers need no roles")
	}
}
