package main

// block is a part drawn once and inserted often, round its own origin.
type block struct {
	name string
	ents []entity
}

// blocks returns the parts of this console. Sizes are those of common parts (from memory): measure the ones you buy.
func blocks() []block {
	hole := func(d float64) entity { return entity{kind: circle, layer: onOpening, r: d / 2} }
	rect := func(w, h float64) entity {
		return entity{kind: poly, layer: onBody, pts: box(0, 0, w, h), closed: true}
	}
	round := func(d float64) entity { return entity{kind: circle, layer: onBody, r: d / 2} }
	return []block{
		// The circle lies on layer 0, so that it takes the layer of the insert.
		{"LED-3", []entity{{kind: circle, layer: "0", r: ledHole / 2}}},
		{"TOGGLE-M6", []entity{hole(6.2), rect(8, 13)}},
		{"TOGGLE-M12", []entity{hole(12.2), rect(18, 28)}},
		{"ROTARY-M10", []entity{hole(10), round(26)}},
		{"POT-M7", []entity{hole(7.2), round(17)}},
		{"BUTTON-M12", []entity{hole(12.2), round(16)}},
	}
}
