package parts_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/export"
	"lampblack/export/exporttest"
	"lampblack/export/parts"
	"lampblack/panel/geom"
)

// The rotation that a list of places gives, of every surface package of the catalogue, turned in every way, on both sides, as the
// copper's pads have it. Sources: IEC 61188-7 and IPC-7351A (2007), level A: at 0 degrees pin 1 lies on the left, a diode's pin 1 is its
// cathode, and rotation is counter-clockwise; The Gerber Layer Format Specification 2021.02, .CRot: as viewed from the top for parts on the
// bottom too. Seen from behind, X runs the other way; the figure for that is the one README.txt tells.
func TestRotationByTheStandard(t *testing.T) {
	seen := map[string]bool{}
	for _, name := range footprint.Names() {
		f, _ := footprint.Lookup(name)
		if !f.Pads[0].Paste {
			continue
		}
		seen[name] = true
		for _, turn := range board.Turns() {
			for _, side := range geom.BothSides() {
				what := fmt.Sprintf("%s at %d degrees on the %v", name, turn, side)
				b := exporttest.Desk()
				kind := board.Resistor
				if f.Pads[0].Function != "" {
					kind = board.LED
				}
				b.Parts = []board.Part{f.Place("X1", kind, geom.PtMM(20, 20), turn, side, 0)}
				b.Tracks, b.Vias, b.Areas = nil, nil, nil
				row := rows(t, parts.Placement(b))[1]
				require.Equal(t, []string{"X1", "20.000", "20.000"}, row[:3], what)
				require.Equal(t, side.String(), row[4], what)
				rotation := number(t, row[3])

				art := export.Lower(b)
				art.Layers = append(art.Layers, export.Components(b)...)
				require.Equal(t, [][]string{row}, rows(t, parts.ArrayPlacement(art))[1:], what)
				copper, _ := art.Layer(export.CopperTop + export.Function(side))
				pins := map[string]geom.Pt{}
				for _, o := range copper.Objects {
					if o.Op == export.Flash {
						pins[o.Pin] = o.To
						require.Equal(t, kind == board.LED && o.Pin == "1", o.PinFn == "K", "%s: pin 1 alone is a cathode", what)
					}
				}
				require.Len(t, pins, 2, what)
				way := pins["1"].Sub(geom.PtMM(20, 20))
				require.InDelta(t, 0, turned(180+rotation, way.X, way.Y), 0.01, "%s: pin 1 is on the left, then turned", what)
				require.InDelta(t, 0, turned(180+(180-rotation), -way.X, way.Y), 0.01, "%s: as seen from behind", what)
			}
		}
	}
	require.Equal(t, map[string]bool{"plcc2": true, "led-0805": true, "r-0805": true, "r-1206": true, "r-2010": true, "r-2512": true}, seen)
}

// turned returns by how many degrees the way of a vector differs from an angle.
func turned(degrees float64, x, y geom.Nm) float64 {
	return math.Remainder(math.Atan2(float64(y), float64(x))*180/math.Pi-degrees, 360)
}
