package fasten

import (
	"strconv"

	"lampblack/panel/geom"
)

// Thread is a metric screw thread and what goes with it.
type Thread struct {
	Name    string  // "M3"
	Hole    geom.Nm // the narrowest that it passes: ISO 273, fine
	Pitch   geom.Nm // ISO 261, coarse
	Nut     geom.Nm // height, at most: ISO 4032
	Washer  geom.Nm // thickness: ISO 7089
	Over    geom.Nm // of the washer, across: ISO 7089
	Head    geom.Nm // of a pan head, across: ISO 7045
	Longest geom.Nm // of pan head screws: ISO 7045
}

// Diameter returns the thread's outer diameter, which its name tells.
func (t Thread) Diameter() geom.Nm {
	d, _ := strconv.ParseFloat(t.Name[min(1, len(t.Name)):], 64)
	return geom.MM(d)
}

// Threads returns the threads from the thinnest to the thickest. Holes, heads and washers are of the project's list of published
// check values, section 15; pitches, nuts and lengths are those of the standards from memory.
func Threads() []Thread {
	um := func(n int) geom.Nm { return geom.Nm(n) * geom.Micrometre }
	return []Thread{
		{"M1.6", um(1700), um(350), um(1300), um(300), um(4000), um(3200), um(16000)},
		{"M2", um(2200), um(400), um(1600), um(300), um(5000), um(4000), um(20000)},
		{"M2.5", um(2700), um(450), um(2000), um(500), um(6000), um(5000), um(25000)},
		{"M3", um(3200), um(500), um(2400), um(500), um(7000), um(5600), um(30000)},
		{"M4", um(4300), um(700), um(3200), um(800), um(9000), um(8000), um(40000)},
		{"M5", um(5300), um(800), um(4700), um(1000), um(10000), um(9500), um(45000)},
		{"M6", um(6400), um(1000), um(5200), um(1600), um(12000), um(12000), um(60000)},
		{"M8", um(8400), um(1250), um(6800), um(1600), um(16000), um(16000), um(60000)},
	}
}

// play is by how much a hole may be narrower than ISO 273's fine one: drawings have 3.2 as 3.15, and laser cuts give a little.
const play = 100 * geom.Micrometre

// ThreadFor returns the thickest thread that passes a hole of diameter d; false for holes that none fits: narrower than M1.6
// wants, or so wide that a head has less than half a millimetre to sit on all round.
func ThreadFor(d geom.Nm) (Thread, bool) {
	var best Thread
	for _, t := range Threads() {
		if t.Hole <= d+play {
			best = t
		}
	}
	return best, best.Name != "" && best.Head > d+geom.Millimetre
}

// lengths are those that screws are sold in, mm: ISO 888, from memory.
var lengths = [...]int{3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 80, 90, 100}

// screwFor returns the shortest length of screw that is at least d.
func screwFor(d geom.Nm) (geom.Nm, bool) {
	for _, l := range lengths {
		if l := geom.Nm(l) * geom.Millimetre; l >= d {
			return l, true
		}
	}
	return 0, false
}
