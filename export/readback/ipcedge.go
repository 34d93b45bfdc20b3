package readback

import (
	"slices"
	"strconv"
	"strings"

	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// edgeNear is how far the chords of an outline record may lie from the profile's curves.
const edgeNear = 100 * geom.Micrometre

// compareEdges sets the netlist's outline against the profile: the same extent, to within edgeNear.
func (p Pack) compareEdges() diag.List {
	var l diag.List
	box := geom.EmptyBox()
	for _, e := range p.Netlist.Edges {
		box = box.Union(e.Box())
	}
	size := p.Artwork.Size
	if box.Empty() || size.W() <= 0 || size.H() <= 0 {
		return l
	}
	in := func(a, b geom.Box) bool { return a.Grown(edgeNear).Union(b) == a.Grown(edgeNear) }
	if !in(box, size) || !in(size, box) {
		l.Add(diag.Error, "readback-netlist-edge", "the netlist's outline is %.2f x %.2f mm, the profile %.2f x %.2f mm, or they lie apart",
			box.W().MM(), box.H().MM(), size.W().MM(), size.H().MM()).At(box.Min.X.MM(), box.Min.Y.MM()).
			Fix("netlist and profile are of different boards or runs: write the pack anew")
	}
	return l
}

// edgeLine is the outline record being read: 389 begins it, 089 continues it.
type edgeLine struct {
	open  bool
	at    geom.Pt
	path  geom.Polyline
	total int
}

// edge reads an outline record: places from column 22, X and Y with sign and digits each or one of them alone where the
// other stays, parted by blanks, a line ended by an asterisk. Widths (X and four digits without a sign, before the places)
// are passed over: the line's middle is the edge.
func (r *ipcReader) edge(op int, s string) {
	e := &r.line389
	if r.unit == 0 {
		r.fail("readback-no-unit", "an outline stands before the unit is stated").Fix("write P  UNITS CUST 1 in the header")
		r.unit = 1000
	}
	if op == 389 {
		r.endEdge()
		name := strings.TrimSpace(cut(s, 4, 17))
		e.open = true
		if !slices.Contains([]string{"BOARD_EDGE", "PANEL_EDGE", "SCORE_LINE", "OTHER_FAB"}, name) {
			r.fail("readback-bad-column", "columns 4-17: %q is no kind of outline", short(name)).Fix("write BOARD_EDGE, PANEL_EDGE, SCORE_LINE or OTHER_FAB")
		}
	} else if !e.open {
		r.fail("readback-unknown-record", "a continuation 089 follows no outline").Fix("begin the outline with 389")
		return
	}
	if e.total > maxPoints/4 {
		return
	}
	for word := range strings.FieldsSeq(strings.ReplaceAll(cut(s, 18, 80), "*", " * ")) {
		if word == "*" {
			r.endLine()
			continue
		}
		if !e.place(word, r) {
			r.fail("readback-bad-column", "%q is no place of an outline", short(word)).Fix("write X and Y, a sign and six digits each")
			return
		}
	}
}

// place takes X+001000Y+002000, or one of the two.
func (e *edgeLine) place(word string, r *ipcReader) bool {
	given := false
	for word != "" {
		axis := word[0]
		end := 1
		for end < len(word) && word[end] != 'X' && word[end] != 'Y' {
			end++
		}
		n, err := strconv.Atoi(word[1:end])
		if err != nil || axis != 'X' && axis != 'Y' || end > 9 {
			return false
		}
		if signed := word[1] == '+' || word[1] == '-'; signed || end == 7 {
			given = true
			if axis == 'X' {
				e.at.X = r.nm(n)
			} else {
				e.at.Y = r.nm(n)
			}
		}
		word = word[end:]
	}
	if given {
		e.path = append(e.path, e.at)
		e.total++
	}
	return true
}

func (r *ipcReader) endLine() {
	if len(r.line389.path) > 1 {
		r.out.Edges = append(r.out.Edges, r.line389.path)
	}
	r.line389.path = nil
}

func (r *ipcReader) endEdge() {
	r.endLine()
	r.line389.open = false
}
