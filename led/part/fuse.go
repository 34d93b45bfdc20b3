package part

// FuseValues returns the preferred rated currents of miniature fuse-links, smallest first: IEC 60127 (R10), as references.md
// section 5 verifies them.
func FuseValues() []Amp {
	return []Amp{
		0.032, 0.050, 0.063, 0.080, 0.100, 0.125, 0.160, 0.200, 0.250, 0.315, 0.400, 0.500, 0.630, 0.800,
		1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8, 10,
	}
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
