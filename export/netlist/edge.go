package netlist

import (
	"slices"
	"strings"

	"lampblack/export"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// coarse is how far the chords of the edge records may lie from a curve: the test machine clamps and aligns by them.
const coarse = 20 * geom.Micrometre

// edges returns the curves of the profile as closed lines, the last point equal to the first.
func edges(a export.Artwork) []geom.Polyline {
	var out []geom.Polyline
	for _, c := range a.Edges() {
		var line geom.Polyline
		for _, e := range c.Edges() {
			line = append(line, e.Flatten(coarse)...)
		}
		out = append(out, append(line, c[0].Pt))
	}
	return out
}

// edgeLimits finds an edge that the columns cannot hold.
func edgeLimits(a export.Artwork) diag.List {
	var l diag.List
	for _, line := range edges(a) {
		for _, p := range line {
			if abs(micrometres(p.X)) > mostPlace || abs(micrometres(p.Y)) > mostPlace {
				l.Add(diag.Error, "netlist-too-far", "the board's edge lies more than 999.999 mm from the panel's corner, farther than the test netlist can say").
					Of(a.Name).At(p.X.MM(), p.Y.MM()).Fix("make the board smaller, or split the panel in two")
				return l
			}
		}
	}
	return l
}

// pointsARecord is how many places fit between columns 22 and 72.
const pointsARecord = 3

// edge writes the outline records: 389, continued by 089. Places follow each other with a blank where the line goes on and
// an asterisk where it ends; the line itself is the edge. Its first column of places is 22, as in conductor records.
func (w *writer) edge(a export.Artwork) {
	name := "BOARD_EDGE"
	if a.Array {
		name = "PANEL_EDGE"
	}
	for _, line := range edges(a) {
		head := "389" + name + strings.Repeat(" ", 18-len(name))
		line = slices.CompactFunc(slices.Clone(line), func(p, q geom.Pt) bool {
			return micrometres(p.X) == micrometres(q.X) && micrometres(p.Y) == micrometres(q.Y)
		})
		for i := 0; i < len(line); i += pointsARecord {
			s := head
			for k, p := range line[i:min(len(line), i+pointsARecord)] {
				end := " "
				if i+k == len(line)-1 {
					end = "*"
				}
				s += "X" + signed(micrometres(p.X)) + "Y" + signed(micrometres(p.Y)) + end
			}
			w.record(s)
			head = "089" + strings.Repeat(" ", 18)
		}
	}
}
