package route

import (
	"math"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/geom"
)

// Preferred widths of the supply's copper. Wider than the current asks, because a narrow feed dims the far strings
// and a wide one costs nothing where there is room (ours).
const (
	trunkWidth  = 1000 * geom.Micrometre // IN to OUT
	branchWidth = 800 * geom.Micrometre  // to the strings
)

// heating is the temperature rise that the widths are computed for, in kelvin: common practice.
const heating = 10

// ipcWidth returns the narrowest outer track of 35 µm copper that carries i amperes with the given rise in kelvin,
// rounded up to a micrometre.
//
// Source: IPC-2221, I = k·ΔT^0.44·A^0.725 with k = 0.048 for outer layers and A in square mils (references.md,
// section on conductors: constants from agreeing transcriptions).
func ipcWidth(i float64) geom.Nm {
	if !(i > 0) || math.IsInf(i, 0) {
		return 0
	}
	area := math.Pow(i/(0.048*math.Pow(heating, 0.44)), 1/0.725) // square mils
	um := area * 645.16 / 35
	return geom.Nm(math.Ceil(min(um, 1e6))) * geom.Micrometre
}

// widths returns the widths to try for a net, widest first, and the narrowest that is safe for its current.
func widths(prefer, floor geom.Nm, steps ...geom.Nm) []geom.Nm {
	out := []geom.Nm{max(prefer, floor)}
	for _, s := range append(steps, floor) {
		if s >= floor && s < out[len(out)-1] {
			out = append(out, s)
		}
	}
	return out
}

// ownAmps returns the current that the board's own strings draw: what flows in the net behind each resistor.
func ownAmps(b board.Board) float64 {
	sum := 0.0
	for _, p := range b.Parts {
		if p.Kind != board.Resistor {
			continue
		}
		for _, q := range p.Pads {
			if q.Net > led.Return && int(q.Net) < len(b.Nets) {
				sum += float64(b.Nets[q.Net].Amps)
				break
			}
		}
	}
	return sum
}
