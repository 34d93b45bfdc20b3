package result

import "lampblack/led/light"

// WhatIf is what supply --what-if --json prints.
type WhatIf struct {
	WhatIf string  `json:"what_if" doc:"the changes"`
	Before Console `json:"before" doc:"as the project has it"`
	After  Console `json:"after" doc:"with the changes"`
}

// Relit is what relight --json prints.
type Relit struct {
	Panel    string      `json:"panel" doc:"its name"`
	Drawing  string      `json:"drawing" doc:"that was written"`
	Applied  bool        `json:"applied" doc:"the project uses it"`
	Kept     string      `json:"kept,omitempty" doc:"the project file as it was, where it was changed"`
	Seed     uint64      `json:"seed" doc:"that ordered the moves" schema:"min=0"`
	LEDs     []Hole      `json:"leds" doc:"the new places"`
	Before   Placement   `json:"before" doc:"as drawn"`
	After    Placement   `json:"after" doc:"relit"`
	Grid     Glow        `json:"grid" doc:"a plain grid of as many LEDs"`
	Least    int         `json:"least,omitempty" doc:"with an evenness: a lower bound of the LEDs that reach it, by a relaxed problem (linear programs that may divide LEDs)" schema:"min=0"`
	Colours  []Recolour  `json:"colours,omitempty" doc:"colour by colour, where the LEDs are of several kinds: each on the lettering that is its as drawn"`
	GridLEDs int         `json:"grid_leds" doc:"LEDs of that grid that found room" schema:"min=0"`
	Parts    []PartCount `json:"parts" doc:"of the board"`
}

// Recolour is the light of one colour before and after.
type Recolour struct {
	Name   string `json:"name" doc:"of the colour"`
	Drawn  int    `json:"drawn" doc:"LEDs as drawn" schema:"min=0"`
	LEDs   int    `json:"leds" doc:"LEDs relit" schema:"min=0"`
	Before Glow   `json:"before" doc:"as drawn"`
	After  Glow   `json:"after" doc:"relit"`
	Grid   Glow   `json:"grid" doc:"a plain grid of as many LEDs"`
	OnGrid int    `json:"on_grid" doc:"LEDs of that grid that found room" schema:"min=0"`
}

// Glow is the light of the lettering.
type Glow struct {
	Mean      float64 `json:"mean" doc:"cd/m²" schema:"min=0"`
	MinToMean float64 `json:"min_to_mean" doc:"darkest place over mean" schema:"min=0"`
	MaxToMin  float64 `json:"max_to_min" doc:"brightest place over darkest" schema:"min=0"`
	Spread    float64 `json:"spread" doc:"standard deviation over the lettering's area, over mean" schema:"min=0"`
}

// Placement is a placement of LEDs and what follows from it.
type Placement struct {
	LEDs    int      `json:"leds" doc:"how many" schema:"min=0"`
	Light   Glow     `json:"light" doc:"of the lettering"`
	Strings []String `json:"strings" doc:"LEDs in series with a resistor"`
	Supply  *Supply  `json:"supply,omitempty" doc:"the supply"`
	Board   *Board   `json:"board,omitempty" doc:"the finished board"`
	Stopped string   `json:"stopped,omitempty" doc:"the stage that found an error"`
}

// PartCount is how many of a part a board takes.
type PartCount struct {
	Part   string `json:"part" doc:"what it is"`
	Before int    `json:"before" doc:"as drawn" schema:"min=0"`
	After  int    `json:"after" doc:"relit" schema:"min=0"`
}

// GlowOf tells of the light of the lettering.
func GlowOf(f light.Figures) Glow {
	return Glow{num(f.Mean, 4), num(f.MinToMean, 4), num(f.MaxToMin, 4), num(f.Spread, 4)}
}
