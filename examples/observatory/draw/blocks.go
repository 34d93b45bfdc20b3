package main

import "lampblack/panel/dxf"

// blocks returns the parts of this console, each drawn once round its own origin. Sizes are those of common parts (from
// memory): measure the ones you buy.
func blocks() []dxf.Block {
	hole := func(d float64) dxf.Entity { return circle(onOpening, pt{}, d) }
	rect := func(w, h float64) dxf.Entity { return path(onBody, true, box(0, 0, w, h)...) }
	round := func(d float64) dxf.Entity { return circle(onBody, pt{}, d) }
	return []dxf.Block{
		// The circle lies on layer 0, so that it takes the layer of the insert.
		{Name: "LED-3", Entities: []dxf.Entity{circle("0", pt{}, ledHole)}},
		{Name: "TOGGLE-M6", Entities: []dxf.Entity{hole(6.2), rect(8, 13)}},
		{Name: "TOGGLE-M12", Entities: []dxf.Entity{hole(12.2), rect(18, 28)}},
		{Name: "ROTARY-M10", Entities: []dxf.Entity{hole(10), round(26)}},
		{Name: "POT-M7", Entities: []dxf.Entity{hole(7.2), round(17)}},
		{Name: "BUTTON-M12", Entities: []dxf.Entity{hole(12.2), round(16)}},
	}
}
