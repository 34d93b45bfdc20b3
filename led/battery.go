package led

import "lampblack/led/part"

// Battery is a supply's battery, and what it does for the console. The zero Battery is none.
type Battery struct {
	Chemistry part.Chemistry
	Cells     int     // in series
	AmpHours  float64 // as its label has it; 0: not told

	// Filled in by solve.Settle.
	Empty, Full, Charging float64 // mean LED current there relative to nominal
	Hours                 float64 // typical load from full to empty, by the label
	PlanHours             float64 // what to plan with: the usable share of it
}

// Any reports whether there is a battery.
func (b Battery) Any() bool { return b.Cells > 0 }
