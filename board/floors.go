package board

import g "lampblack/panel/geom"

// Floors are what limits may give way to before a board is refused. A limit of the class is what a board prefers; below its
// floor parts meet or nobody makes the board.
type Floors struct {
	Margin        g.Nm
	BodyClearance g.Nm
	ScrewClear    []g.Nm // in turn, down to the floor; none: it is firm
	CopperToEdge  g.Nm

	// Courtyards says that LEDs may stand nearer to each other than their courtyards, for as long as their flanges do not touch.
	Courtyards bool
}

const (
	// nearest is how near a board may come to a body or the panel's edge: routed edges hold 0.2 mm (common practice), and a
	// body's drawing is good to a tenth.
	nearest = 300 * g.Micrometre
	// headRoom is what the head of a screw reaches beyond its hole: M3 pan head of 5.6 mm (ISO 7045) in a hole of 3.2 mm, and play.
	headRoom = 1300 * g.Micrometre
)

// FloorsOf returns the floors of these limits. What is firm, by the limit's name, gives no way; without such a function nothing does.
func FloorsOf(r Rules, firm func(limit string) bool) Floors {
	fine, _ := Class("fine")
	f := Floors{Margin: r.Margin, BodyClearance: r.BodyClearance, CopperToEdge: r.CopperToEdge}
	if firm == nil {
		return f
	}
	f.Courtyards = true // no limit of a project's
	if !firm("margin") {
		f.Margin = min(f.Margin, nearest)
	}
	if !firm("board_to_body") {
		f.BodyClearance = min(f.BodyClearance, nearest)
	}
	if !firm("copper_to_edge") {
		f.CopperToEdge = min(f.CopperToEdge, fine.CopperToEdge)
	}
	if !firm("screw_room") {
		for _, v := range []g.Nm{headRoom, r.CopperToHole} {
			if v < r.ScrewClear {
				f.ScrewClear = append(f.ScrewClear, v)
			}
		}
	}
	return f
}
