package netlist

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"lampblack/export"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Meta is what the netlist says about itself.
type Meta struct {
	Project  string // name of the console
	Revision string // of the board; "1" when empty
	Version  string // of Lampblack
}

// Widths of the columns.
const (
	netColumns = 14
	refColumns = 6
	pinColumns = 4
	mostPlace  = 999_999 // µm
	mostSize   = 9_999   // µm
)

// point is one record: copper, or an unplated hole, that a test machine can reach.
type point struct {
	net           string
	ref, pin      string // ref "VIA" without pin for a via
	through       bool
	plated        bool
	drill         geom.Nm
	side          geom.Side // of a point that is not through
	at            geom.Pt
	w, h          geom.Nm // h 0: round
	slant         bool    // turned by 45 degrees
	coveredTop    bool    // by soldermask
	coveredBottom bool
}

// IPC returns the IPC-D-356A netlist of a, or nothing and the reasons why the format cannot hold it.
func IPC(a export.Artwork, m Meta) ([]byte, diag.List) {
	pts := points(a)
	names, list := aliases(a, pts)
	w := &writer{}
	w.header(a, m, names)
	for _, p := range pts {
		list = append(list, limits(a, p)...)
		if !list.HasErrors() {
			w.point(p, names)
		}
	}
	list = append(list, edgeLimits(a)...)
	if !list.HasErrors() {
		w.edge(a)
	}
	w.record("999")
	if list.HasErrors() {
		return nil, list
	}
	return w.buf, list
}

// points returns the records in the order of their nets' first appearance, then reference, pin, place.
func points(a export.Artwork) []point {
	drilled := map[geom.Pt]geom.Nm{}
	var holes []point
	for _, d := range a.Drills {
		for _, h := range d.Hits {
			if d.Plated {
				drilled[h.At] = d.Tools[h.Tool].D
				continue
			}
			size := d.Tools[h.Tool].D
			holes = append(holes, point{net: export.NotConnected, through: true, drill: size, at: h.At, w: size})
		}
	}
	open := [2]map[geom.Pt]bool{openings(a, export.SoldermaskTop), openings(a, export.SoldermaskBottom)}
	var pts []point
	rank := map[string]int{}
	seen := map[point]bool{}
	for _, l := range a.Layers {
		if !l.Function.Copper() {
			continue
		}
		for _, o := range l.Objects {
			if o.Op != export.Flash || o.Clear || l.Apertures[o.Aperture].Fiducial() {
				continue // a fiducial is no net's
			}
			p := point{net: o.Net, ref: o.Ref, pin: o.Pin, at: o.To, side: l.Function.Side(),
				coveredTop: !open[geom.Top][o.To], coveredBottom: !open[geom.Bottom][o.To]}
			if p.drill, p.through = drilled[o.To]; p.through {
				p.plated, p.side = true, geom.Top
			}
			if p.ref == "" {
				p.ref = "VIA"
			}
			if p.net == "" {
				p.net = export.NotConnected
			}
			ap := l.Apertures[o.Aperture]
			if p.w = ap.W; ap.Shape != export.Circle {
				p.h, p.slant = ap.H, ap.Slant
			}
			if !p.through {
				// The side without copper counts as covered, as the standard's own surface features do.
				p.coveredTop = p.coveredTop || p.side == geom.Bottom
				p.coveredBottom = p.coveredBottom || p.side == geom.Top
			}
			if seen[p] {
				continue // the same pad on the other side
			}
			seen[p] = true
			if _, ok := rank[p.net]; !ok {
				rank[p.net] = len(rank)
			}
			pts = append(pts, p)
		}
	}
	slices.SortStableFunc(pts, func(a, b point) int {
		return cmp.Or(
			cmp.Compare(rank[a.net], rank[b.net]),
			byReference(a.ref, b.ref),
			byReference(a.pin, b.pin),
			cmp.Compare(a.at.Y, b.at.Y),
			cmp.Compare(a.at.X, b.at.X),
		)
	})
	return append(pts, holes...)
}

// byReference puts shorter references first, so that D2 comes before D10, and vias last.
func byReference(a, b string) int {
	via := func(s string) int {
		if s == "VIA" {
			return 1
		}
		return 0
	}
	return cmp.Or(cmp.Compare(via(a), via(b)), cmp.Compare(len(a), len(b)), cmp.Compare(a, b))
}

// openings returns where a soldermask layer is open.
func openings(a export.Artwork, f export.Function) map[geom.Pt]bool {
	out := map[geom.Pt]bool{}
	for _, l := range a.Layers {
		if l.Function != f {
			continue
		}
		for _, o := range l.Objects {
			if o.Op == export.Flash {
				out[o.To] = true
			}
		}
	}
	return out
}

// limits finds what the columns of a record cannot hold.
func limits(a export.Artwork, p point) diag.List {
	var l diag.List
	what := "hole"
	switch {
	case p.ref == "VIA":
		what = "via"
	case p.ref != "":
		what = fmt.Sprintf("pad %s of %s", p.pin, p.ref)
	}
	part := p.ref
	if part == "VIA" {
		part = ""
	}
	add := func(code, fix, format string, args ...any) {
		l.Add(diag.Error, code, format, args...).Of(a.Name).OfPart(part).OfNet(p.net).At(p.at.X.MM(), p.at.Y.MM()).Fix("%s", fix)
	}
	if abs(micrometres(p.at.X)) > mostPlace || abs(micrometres(p.at.Y)) > mostPlace {
		add("netlist-too-far", "make the board smaller, or split the panel in two",
			"the %s lies more than 999.999 mm from the board's corner, farther than the test netlist can say", what)
	}
	if s := micrometres(max(p.w, p.h, p.drill)); s > mostSize {
		add("netlist-too-large", "make it smaller than 10 mm, or draw it as an opening",
			"the %s is %.3f mm large; the test netlist holds 9.999 mm", what, float64(s)/1000)
	}
	if p.ref != "" && (!plain(p.ref, refColumns) || p.pin != "" && !plain(p.pin, pinColumns)) {
		add("netlist-name", "use at most six letters and digits for the part and four for its pin",
			"the test netlist cannot name the %s: at most %d and %d characters, without blanks", what, refColumns, pinColumns)
	}
	return l
}

// plain reports whether s fits into n columns of printable ASCII without blanks.
func plain(s string, n int) bool {
	return s != "" && len(s) <= n && strings.IndexFunc(s, func(r rune) bool { return r <= ' ' || r > '~' }) < 0
}

// micrometres rounds to the nearest µm, halves away from zero.
func micrometres(v geom.Nm) int64 {
	if v < 0 {
		return -micrometres(-v)
	}
	return int64((v + geom.Micrometre/2) / geom.Micrometre)
}

func abs(v int64) int64 { return max(v, -v) }
