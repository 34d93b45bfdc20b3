package part

// fuse is a miniature fuse-link: its rated current, and its resistance when it is cold.
type fuse struct {
	rated Amp
	ohms  Ohm
}

// fuseTable lists the preferred rated currents of miniature fuse-links, smallest first: IEC 60127 (R10), as references.md
// section 5 verifies them.
//
// Cold resistances, by references.md section 17, each from published data sheets and typical, since makers differ by half: from
// 1 A to 6.3 A 5 x 20 mm time-lag links, the higher of two makers; from 100 mA to 800 mA quick-acting ones, as no sheet of
// time-lag ones was at hand; 8 A and 10 A continue the row as 1/rated^1.4. Below 100 mA and at 125 mA it is the greatest drop of
// special-application links over the rated current, hot.
func fuseTable() []fuse {
	return []fuse{
		{0.032, 219}, {0.050, 100}, {0.063, 69.8}, {0.080, 47.5}, {0.100, 3.9}, {0.125, 20}, {0.160, 9.2}, {0.200, 7.0}, {0.250, 4.5},
		{0.315, 3.2}, {0.400, 1.9}, {0.500, 0.27}, {0.630, 0.21}, {0.800, 0.15},
		{1, 0.200}, {1.25, 0.140}, {1.6, 0.100}, {2, 0.070}, {2.5, 0.050}, {3.15, 0.037}, {4, 0.026}, {5, 0.019}, {6.3, 0.013},
		{8, 0.0093}, {10, 0.0068},
	}
}

// FuseValues returns the preferred rated currents of miniature fuse-links, smallest first.
func FuseValues() []Amp {
	var out []Amp
	for _, f := range fuseTable() {
		out = append(out, f.rated)
	}
	return out
}

// FuseOhms returns the typical cold resistance of a miniature fuse-link; of a rating between two, that of the smaller one.
func FuseOhms(rated Amp) Ohm {
	ohms := Ohm(0)
	for i, f := range fuseTable() {
		if i == 0 || f.rated <= rated*(1+sameRatio) {
			ohms = f.ohms
		}
	}
	return ohms
}

// FuseFor returns the next preferred value above load/use, where use is the share of its rating that a fuse carries for
// good: 1 for IEC 60127 links and 0.75 for the UL 248-14 style (common practice). ok is false when there is none.
func FuseFor(load Amp, use float64) (Amp, bool) {
	for _, f := range FuseValues() {
		if float64(f)*use >= float64(load) {
			return f, true
		}
	}
	return 0, false
}
