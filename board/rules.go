package board

import (
	_ "embed"
	"fmt"
	"strconv"
	"strings"

	g "lampblack/panel/geom"
)

// Rules are the limits a board is made and checked to. All are lengths.
type Rules struct {
	// Shape.
	Margin        g.Nm // panel outline to board edge
	BodyClearance g.Nm // body or opening to board edge
	InnerRadius   g.Nm // smallest inside corner radius the router bit leaves
	LongestBoard  g.Nm // longer side of a board, at most
	WidestBoard   g.Nm // shorter side, at most

	// Copper.
	Track        g.Nm // narrowest track allowed
	Signal       g.Nm // usual width of a track within a string
	Clearance    g.Nm // copper to copper of another net
	CopperToEdge g.Nm // copper to board edge
	CopperToHole g.Nm // copper to an unplated hole
	ScrewClear   g.Nm // copper and parts kept from a mount hole's edge, for the screw head and its washer
	BetweenHoles g.Nm // edge to edge
	HoleToEdge   g.Nm // hole edge to board edge
	AnnularRing  g.Nm // copper round a plated hole
	Drill        g.Nm // smallest finished hole
	ViaDrill     g.Nm
	ViaPad       g.Nm
	Neck         g.Nm // narrowest part of an area
	Spoke        g.Nm // width of a thermal spoke
	SpokeGap     g.Nm // gap between pad and area where spokes bridge it

	// Soldermask and silkscreen.
	MaskMargin  g.Nm // mask opening beyond the pad, each side
	MaskWeb     g.Nm // narrowest mask between two openings
	LegendWidth g.Nm // silkscreen line
	LegendText  g.Nm // height of a capital letter, at least
	LegendClear g.Nm // silkscreen to mask opening, hole and board edge
}

// Limit is a single limit of Rules by its name, which project files and limits.txt use.
type Limit struct {
	Name string
	What string // what is measured, for people
	Of   func(*Rules) *g.Nm
	Most bool // no more of it is made, rather than no less
}

// Limits returns all of Rules, in its order.
func Limits() []Limit {
	return []Limit{
		{"margin", "from the panel's edge to the board's", func(r *Rules) *g.Nm { return &r.Margin }, false},
		{"board_to_body", "from bodies and openings to the board", func(r *Rules) *g.Nm { return &r.BodyClearance }, false},
		{"inner_radius", "of the board's inside corners: the router bit's", func(r *Rules) *g.Nm { return &r.InnerRadius }, false},
		{"longest_board", "longer side of a board, at most; a panel that wants more gets several", func(r *Rules) *g.Nm { return &r.LongestBoard }, true},
		{"widest_board", "its shorter side, at most", func(r *Rules) *g.Nm { return &r.WidestBoard }, true},
		{"thinnest_track", "narrowest track", func(r *Rules) *g.Nm { return &r.Track }, false},
		{"string_track", "usual width of a track within a string", func(r *Rules) *g.Nm { return &r.Signal }, false},
		{"copper_gap", "copper to copper of another net", func(r *Rules) *g.Nm { return &r.Clearance }, false},
		{"copper_to_edge", "copper to the board's edge", func(r *Rules) *g.Nm { return &r.CopperToEdge }, false},
		{"copper_to_hole", "copper to an unplated hole", func(r *Rules) *g.Nm { return &r.CopperToHole }, false},
		{"screw_room", "copper and parts kept from a mount hole's edge, for the screw's head and washer", func(r *Rules) *g.Nm { return &r.ScrewClear }, false},
		{"between_holes", "hole to hole, edge to edge", func(r *Rules) *g.Nm { return &r.BetweenHoles }, false},
		{"hole_to_edge", "hole's edge to the board's edge", func(r *Rules) *g.Nm { return &r.HoleToEdge }, false},
		{"annular_ring", "copper round a plated hole", func(r *Rules) *g.Nm { return &r.AnnularRing }, false},
		{"smallest_hole", "smallest hole, finished", func(r *Rules) *g.Nm { return &r.Drill }, false},
		{"via_drill", "of a via, finished", func(r *Rules) *g.Nm { return &r.ViaDrill }, false},
		{"via_pad", "copper of a via, across", func(r *Rules) *g.Nm { return &r.ViaPad }, false},
		{"thinnest_area", "narrowest part of an area", func(r *Rules) *g.Nm { return &r.Neck }, false},
		{"relief_bridge", "width of the bridges that join a pad to an area (thermal relief)", func(r *Rules) *g.Nm { return &r.Spoke }, false},
		{"relief_gap", "gap that they bridge", func(r *Rules) *g.Nm { return &r.SpokeGap }, false},
		{"mask_beyond_pad", "opening of the soldermask beyond a pad, each side", func(r *Rules) *g.Nm { return &r.MaskMargin }, false},
		{"mask_between_pads", "narrowest soldermask between two openings", func(r *Rules) *g.Nm { return &r.MaskWeb }, false},
		{"legend_width", "narrowest line of the silkscreen", func(r *Rules) *g.Nm { return &r.LegendWidth }, false},
		{"legend_text", "height of a capital letter of the silkscreen", func(r *Rules) *g.Nm { return &r.LegendText }, false},
		{"legend_gap", "silkscreen to openings of the mask, holes and the edge", func(r *Rules) *g.Nm { return &r.LegendClear }, false},
	}
}

// limitsFile is the one place of all limits, with their sources.
//
//go:embed limits.txt
var limitsFile string

// UsualClass is the class of fabrication of a project that names none.
const UsualClass = "usual"

// Classes returns the names of the classes of fabrication, the easiest first.
func Classes() []string { return []string{"easy", UsualClass, "fine"} }

// Class returns the limits of a class of fabrication, as limits.txt has them.
func Class(name string) (Rules, bool) {
	for i, c := range Classes() {
		if c == name {
			return column(i), true
		}
	}
	return Rules{}, false
}

// UsualRules returns limits that most board houses hold on two layers of 35 µm copper without extra cost: the class usual.
func UsualRules() Rules {
	r, _ := Class(UsualClass)
	return r
}

// column reads one class. The file is a part of the program: a fault in it is ours.
func column(class int) Rules {
	var r Rules
	values := map[string]g.Nm{}
	for line := range strings.Lines(limitsFile) {
		line, _, _ = strings.Cut(line, ";")
		f := strings.Fields(line)
		if len(f) == 0 || f[0][0] == '#' {
			continue
		}
		if len(f) != 1+len(Classes()) {
			panic(fmt.Sprintf("board: limits.txt: %q has %d columns", line, len(f)))
		}
		v, err := strconv.ParseFloat(f[1+class], 64)
		if err != nil {
			panic(fmt.Sprintf("board: limits.txt: %q: %v", line, err))
		}
		values[f[0]] = g.MM(v)
	}
	for _, l := range Limits() {
		v, ok := values[l.Name]
		if !ok || len(values) != len(Limits()) {
			panic("board: limits.txt and Limits disagree about " + l.Name)
		}
		*l.Of(&r) = v
	}
	return r
}
