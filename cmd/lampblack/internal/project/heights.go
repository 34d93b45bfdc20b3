package project

import (
	"slices"
	"strings"

	"lampblack/board/height"
	"lampblack/panel/geom"
)

// tallest bounds what a part on a board is high.
const tallest = 100 * geom.Millimetre

// bodies are the names of all that stands on boards.
func bodies() []string {
	out := slices.Concat(ledPackages(), resistorPackages(), connectors())
	for i, name := range out {
		if name[0] >= '0' && name[0] <= '9' { // of a chip resistor
			out[i] = "r-" + name
		}
	}
	return out
}

// heightKeys are the heights of parts of one body.
func heightKeys() mapping[height.Kind] {
	long := func(of func(*height.Kind) *geom.Nm) binding[height.Kind] {
		return bind(lengths(geom.Millimetre/10, tallest), of)
	}
	return mapping[height.Kind]{keys: []key[height.Kind]{
		{name: "body", is: bind(choice{words: bodies()}, func(k *height.Kind) *string { return &k.Name }), need: true,
			help: "which parts: `" + strings.Join(bodies(), "`, `") + "`", usual: "needed", eg: []string{"terminal-3.5"}},
		{name: "height", is: long(func(k *height.Kind) *geom.Nm { return &k.Height }),
			help: "above the board, with what is plugged on", usual: "typical", eg: []string{"10.5 mm"}},
		{name: "pins", is: long(func(k *height.Kind) *geom.Nm { return &k.Pins }),
			help: "length of its pins below its body, if nobody cuts them", usual: "typical", eg: []string{"3.5 mm"}},
		{name: "wires", is: long(func(k *height.Kind) *geom.Nm { return &k.Wires }),
			help: "room for wires that leave away from the board, beyond the height", usual: "6.3 mm behind a plug", eg: []string{"8 mm"}},
	}}
}
