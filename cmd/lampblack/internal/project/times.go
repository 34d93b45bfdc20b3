package project

import (
	"lampblack/export/cost"
	"lampblack/led/part"
)

// Bounds of how long a thing takes, and how fast the laser goes. They catch slips of the pen.
const (
	longestTask  = 24 * 3600 // s
	fastestCut   = 1000      // mm/s
	fastestSweep = 10000     // cm² a minute
)

// timeKeys are how long things take.
func timeKeys() mapping[cost.Times] {
	seconds := quantity[cost.Seconds]{as: part.Times(), per: 1, most: longestTask, unit: "s", say: func(v cost.Seconds) string { return part.Trimmed(float64(v), 1) + " s" }}
	cut := quantity[cost.Speed]{as: part.Speeds(), per: 1, most: fastestCut, above: true, unit: "mm/s", say: func(v cost.Speed) string { return part.Trimmed(float64(v), 1) + " mm/s" }}
	sweep := quantity[cost.Sweep]{as: part.Sweeps(), per: 1, most: fastestSweep, above: true, unit: "cm2/min", say: func(v cost.Sweep) string { return part.Trimmed(float64(v), 1) + " cm2/min" }}
	u := cost.UsualTimes()
	return mapping[cost.Times]{keys: []key[cost.Times]{
		{name: "joint", is: bind(seconds, func(t *cost.Times) *cost.Seconds { return &t.Joint }), help: "to solder one joint by hand", usual: seconds.say(u.Joint) + " (a solder trainer's figure)", eg: []string{"3 s"}},
		{name: "through_part", is: bind(seconds, func(t *cost.Times) *cost.Seconds { return &t.ThroughPart }), help: "to bend, insert, cut and look at a part with leads, without its joints", usual: seconds.say(u.ThroughPart) + " (a builder's stopwatch)", eg: []string{"12 s"}},
		{name: "surface_part", is: bind(seconds, func(t *cost.Times) *cost.Seconds { return &t.SurfacePart }), help: "to place and hold a part without leads, without its joints", usual: seconds.say(u.SurfacePart) + " (a builder's word)", eg: []string{"39 s"}},
		{name: "wire", is: bind(seconds, func(t *cost.Times) *cost.Seconds { return &t.Wire }), help: "to cut and mark a wire", usual: seconds.say(u.Wire) + " (common practice)", eg: []string{"30 s"}},
		{name: "wire_end", is: bind(seconds, func(t *cost.Times) *cost.Seconds { return &t.WireEnd }), help: "to strip an end and give it its ferrule or contact", usual: seconds.say(u.WireEnd) + " (common practice)", eg: []string{"30 s"}},
		{name: "screw", is: bind(seconds, func(t *cost.Times) *cost.Seconds { return &t.Screw }), help: "to fit a screw with what belongs to it", usual: seconds.say(u.Screw) + " (common practice)", eg: []string{"60 s"}},
		{name: "board_test", is: bind(seconds, func(t *cost.Times) *cost.Seconds { return &t.BoardTest }), help: "to test a board as the guide says", usual: "10 min (common practice)", eg: []string{"10 min"}},
		{name: "sheet", is: bind(seconds, func(t *cost.Times) *cost.Seconds { return &t.Sheet }), help: "to lay a sheet on the laser, to focus, to take the pieces off", usual: "5 min (common practice)", eg: []string{"5 min"}},
		{name: "cut_speed", is: bind(cut, func(t *cost.Times) *cost.Speed { return &t.Cut }), help: "how fast the laser cuts", usual: cut.say(u.Cut) + " (common practice, 3 mm of acrylic)", eg: []string{"10 mm/s"}},
		{name: "engrave_speed", is: bind(sweep, func(t *cost.Times) *cost.Sweep { return &t.Engrave }), help: "how much lettering the laser engraves", usual: sweep.say(u.Engrave) + " (common practice)", eg: []string{"4 cm2/min"}},
	}}
}
