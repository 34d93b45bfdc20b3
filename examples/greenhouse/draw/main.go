// Command draw writes the five drawings of the greenhouse's climate desk, each in the manner of another kind of CAD export.
//
//	go run ./examples/greenhouse/draw examples/greenhouse
//
// The drawings are kept beside it and are what `lampblack build` reads; this program exists so that they can be changed
// together. None has a layer that Lampblack knows by name: what everything is must be read from what is drawn. The same
// program always writes the same bytes.
package main

import (
	"fmt"
	"os"
	"path/filepath"
)

func main() { os.Exit(run(os.Args[1:])) }

// desk returns the five panels.
func desk() []*hand { return []*hand{fans(), vents(), heating(), lamps(), irrigation()} }

func run(args []string) int {
	dir := "."
	if len(args) == 1 {
		dir = args[0]
	}
	for _, h := range desk() {
		src, err := h.file()
		if err == nil {
			err = os.WriteFile(filepath.Join(dir, h.name+".dxf"), src, 0o644)
		}
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 3
		}
		fmt.Printf("%-11s %3d LEDs  %2d screws  %2d openings\n", h.name, len(h.leds), len(h.screws), len(h.cuts))
	}
	return 0
}
