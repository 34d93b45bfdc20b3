// Command draw writes the drawing of the first panel: a small plate for the red light over an observatory's desk.
//
//	go run ./examples/first/draw examples/first
//
// Its lines are what one draws in an evening with any CAD program: all on layer 0, in millimetres, no LEDs. The drawing is kept beside it and
// is what TUTORIAL.md begins with; this program exists so that it can be changed. It always writes the same bytes.
package main

import (
	"fmt"
	"os"
	"path/filepath"

	"lampblack/panel/dxf"
)

func main() { os.Exit(run(os.Args[1:])) }

func run(args []string) int {
	dir := "."
	if len(args) == 1 {
		dir = args[0]
	}
	src, err := file()
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, "red-light.dxf"), src, 0o644)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 3
	}
	return 0
}

// The plate, mm.
const (
	width, height = 120.0, 80.0
	corner        = 7.0  // of a screw, from both edges
	screwHole     = 3.2  // M3: ISO 273, fine
	switchHole    = 12.2 // of a toggle switch: common practice
	trimmerHole   = 4.0  // a screwdriver reaches the lamp's trimmer through it
	knobHole      = 7.2  // of a potentiometer: common practice
)

// file returns the drawing: edge, screws, a switch and a knob, and the words that are to glow.
func file() ([]byte, error) {
	var d dxf.Drawing
	add := func(e dxf.Entity) {
		e.Layer = "0"
		d.Entities = append(d.Entities, e)
	}
	circle := func(x, y, across float64) {
		// Two half turns: a bulge of 1 is the tangent of a quarter of one.
		add(dxf.Entity{Path: dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: dxf.XY{X: x - across/2, Y: y}, Bulge: 1}, {XY: dxf.XY{X: x + across/2, Y: y}, Bulge: 1}}}})
	}
	word := func(x, y, high float64, s string) {
		add(dxf.Entity{Text: &dxf.Text{At: dxf.XY{X: x, Y: y}, Height: high, Text: s, Width: 1, H: dxf.Centre, V: dxf.Middle}})
	}
	add(dxf.Entity{Path: dxf.Path{Closed: true, Vertices: []dxf.Vertex{
		{XY: dxf.XY{}}, {XY: dxf.XY{X: width}}, {XY: dxf.XY{X: width, Y: height}}, {XY: dxf.XY{Y: height}},
	}}})
	for _, x := range []float64{corner, width - corner} {
		for _, y := range []float64{corner, height - corner} {
			circle(x, y, screwHole)
		}
	}
	word(60, 66, 6, "RED LIGHT")
	circle(35, 32, switchHole)
	word(35, 50, 4, "ON")
	word(35, 14, 4, "OFF")
	circle(58, 32, trimmerHole)
	circle(81, 32, knobHole)
	word(66, 14, 4, "DIM")
	word(96, 14, 4, "BRIGHT")
	return dxf.Write(d, dxf.Options{})
}
