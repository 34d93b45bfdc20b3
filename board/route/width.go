package route

import (
	"lampblack/board"
	"lampblack/led"
	"lampblack/led/part"
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

// mostCarried bounds the currents that widths are computed for, in amperes: no board is that wide.
const mostCarried = 1000

// ipcWidth returns the narrowest track that carries i amperes in copper of that thickness: IPC-2221, outer layer.
func ipcWidth(i part.Amp, copper geom.Nm) geom.Nm {
	if !(i > 0) {
		return 0
	}
	return part.TrackWidth(min(i, mostCarried), heating, copper)
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
func ownAmps(b board.Board) part.Amp {
	feeds := map[led.NetID]bool{} // supply conductors and 0 V
	for _, p := range b.Parts {
		for _, q := range p.Pads {
			if p.Kind == board.Connector {
				feeds[q.Net] = true
			}
		}
	}
	sum := part.Amp(0)
	for _, p := range b.Parts {
		if p.Kind != board.Resistor {
			continue
		}
		for _, q := range p.Pads {
			if q.Net > led.Return && !feeds[q.Net] && int(q.Net) < len(b.Nets) {
				sum += b.Nets[q.Net].Amps
				break
			}
		}
	}
	return sum
}

// widthStep is the step in which the supply's copper is made wider for more current: a quarter of the narrowest track that
// most boards have, so that nothing is gained by finer ones.
const widthStep = 50 * geom.Micrometre

// Carried returns the current that a conductor of the supply is made for when it must carry i in copper of that thickness:
// that of the next width in whole steps. A board thus stays as it is when the boards fed through it draw a little more or
// less.
func Carried(i part.Amp, copper geom.Nm) part.Amp {
	w := ipcWidth(i, copper)
	if w == 0 || i > mostCarried {
		return i
	}
	return max(i, part.TrackAmps((w+widthStep-1)/widthStep*widthStep, heating, copper))
}
