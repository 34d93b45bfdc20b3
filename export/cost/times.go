package cost

// Seconds is a time.
type Seconds float64

// Speed is how fast the laser cuts, mm/s.
type Speed float64

// Sweep is how fast the laser engraves, in cm² of lettering a minute.
type Sweep float64

// Times are how long things take. They are assumptions: the user's own replace them.
type Times struct {
	Joint       Seconds // to solder one joint by hand
	ThroughPart Seconds // to bend, insert, cut and look at a part with leads, without its joints
	SurfacePart Seconds // to place and hold a part without leads, without its joints
	Wire        Seconds // to cut a wire and to mark it
	WireEnd     Seconds // to strip an end and to give it its ferrule or contact
	Screw       Seconds // to fit a screw with its washer, nut and spacers
	BoardTest   Seconds // to test a board as the guide says
	Sheet       Seconds // to lay a sheet on the laser, to focus, and to take the pieces off
	Cut         Speed
	Engrave     Sweep
}

// UsualTimes are those that hold where nothing else is told.
func UsualTimes() Times {
	return Times{
		// A joint alone takes 1 to 3 s; 3 s are 20 a minute (references.md section 18: a solder training firm, and a kit's manual).
		Joint: 3,
		// 60 equal resistors took 17.7 s each, bent, inserted, soldered, cut and looked at (section 18: a stopwatch, on a builders'
		// list); without two joints of 3 s that is 12 s.
		ThroughPart: 12,
		// Chip parts took about 45 s each by hand (section 18: one answer); without two joints of 3 s that is 39 s.
		SurfacePart: 39,
		Wire:        30,      // common practice
		WireEnd:     30,      // common practice
		Screw:       60,      // common practice
		BoardTest:   10 * 60, // common practice, for the guide's list
		Sheet:       5 * 60,  // common practice
		Cut:         10,      // common practice, for 3 mm of acrylic and 60 W
		// Rows of 0.1 mm at 300 mm/s sweep 18 cm² a minute, and a fourth of what is swept is lettering (common practice).
		Engrave: 4,
	}
}
