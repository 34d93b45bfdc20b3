package bright

import "math"

// Dimmer is what dims the lamps of a group, by being on for a share of the time.
type Dimmer struct {
	Group string
	Want  Levels  // that are asked for
	Level float64 // cd/m² full on, the mean of the panels
	Full  float64 // share of the time that gives the full level; 1 where all of it does not
	Night float64 // share of the time that gives the night level; 0: none is asked for
	Step  float64 // cd/m² from one of its steps to the next
	Range float64 // of luminance, from full on to the night level; 0 without one
	Bits  int     // that it wants for the night level to be set finely; 0 without one
}

// fineStep is the step, as a share of the level, that hardly shows. The least that eyes tell is 1 to 2 % by day and grows to about a
// tenth at 0.1 cd/m² (from memory).
const fineStep = 0.1

// mostBits bounds what is advised.
const mostBits = 24

// Dimmers returns what the dimmer of each group must do, in the order of Groups; none for a group that gives no light, or of which
// nothing is asked.
func Dimmers(all []Lamps, wish Wish) []Dimmer {
	var out []Dimmer
	for _, g := range Groups(all) {
		own, want := Of(all, g), wish.For(g)
		if len(own) == 0 || !want.Any() {
			continue
		}
		d := Dimmer{Group: g, Want: want}
		for _, l := range own {
			d.Level += l.Level() / float64(len(own))
		}
		d.Full = min(want.Full/d.Level, 1)
		d.Step = d.Level / steps(want.Bits)
		if want.Night > 0 {
			d.Night, d.Range = min(want.Night/d.Level, 1), d.Level/want.Night
			d.Bits = bitsFor(d.Range)
		}
		out = append(out, d)
	}
	return out
}

// steps is how many steps a dimmer of so many bits has above dark.
func steps(bits int) float64 { return math.Exp2(float64(bits)) - 1 }

// bitsFor returns the bits of a dimmer that spans a range in steps of a tenth of its least level.
func bitsFor(span float64) int {
	n := 1
	for n < mostBits && span/steps(n) > fineStep {
		n++
	}
	return n
}
