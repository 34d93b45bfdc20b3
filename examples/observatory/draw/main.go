// Command draw writes the six drawings of the example console, as a builder's CAD would export them.
//
//	go run ./examples/observatory/draw examples/observatory
//
// The drawings are kept beside it and are what `lampblack build` reads; this program exists so that they can be
// changed together. Every drawing is in millimetres from the panel's lower left corner until it is written: then it is
// moved to where the builder drew it and scaled to the drawing's unit. A drawing that breaks the builder's own
// spacing rules (see rules.go) is not written. The same program always writes the same bytes.
package main

import (
	"fmt"
	"os"
	"path/filepath"
)

func main() { os.Exit(run(os.Args[1:])) }

func run(args []string) int {
	dir := "."
	if len(args) == 1 {
		dir = args[0]
	}
	status := 0
	for _, p := range []*plan{dome(), mount(), flatLamp(), weather(), camera(), focus()} {
		for _, s := range p.faults() {
			fmt.Fprintf(os.Stderr, "%s: %s\n", p.name, s)
			status = 1
		}
		file := filepath.Join(dir, p.name+".dxf")
		src, err := p.dxf()
		if err == nil {
			err = os.WriteFile(file, src, 0o644)
		}
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 3
		}
		fmt.Printf("%-10s %3d LEDs  %2d mounts\n", p.name, len(p.leds), len(p.mounts))
	}
	return status
}
