// Package prove judges a nest by what is written: by what the laser would cut and engrave. It knows neither how pieces were laid nor
// how files are written.
//
// In go the DXF of a nest, those of the sheets that it is made of, and where each of them is said to lie; an empty list comes out if
// every cut and every engraving of each piece is in its place, nothing else is there, all of it lies on the stock, no two pieces
// are nearer than the gap, and nothing is cut out before what lies in it. Lengths of the files are millimetres.
package prove

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Stock is the sheet that a nest is on; its lower left corner is the origin.
type Stock struct {
	W, H geom.Nm
	Gap  geom.Nm // between two pieces; above nothing
	Edge geom.Nm // between a piece and the stock's edge
}

// Piece is a sheet on the stock.
type Piece struct {
	Name  string
	Sheet int     // of those that are given
	Turn  int     // degrees counter-clockwise, of a quarter each
	At    geom.Pt // of the lower left corner of its cuts
}

// Tolerance is what is forgiven: what files and flattened curves are rounded to.
const Tolerance = 3 * geom.Micrometre

// line is a closed line of a file.
type line struct {
	rank  int // in the order of work
	ring  geom.Ring
	box   geom.Box
	piece int // -1: of none
}

// file is the lines of a drawing, cuts apart from engraving.
type file struct{ cuts, engraved []line }

// Nest judges the drawing of a nest.
func Nest(ctx context.Context, s Stock, nest []byte, sheets [][]byte, pieces []Piece) (l diag.List) {
	work.Until(ctx, func(w *work.Watch) { l = judged(ctx, w, s, nest, sheets, pieces) })
	return l
}

func judged(ctx context.Context, w *work.Watch, s Stock, nest []byte, sheets [][]byte, pieces []Piece) diag.List {
	var l diag.List
	told := func(format string, args ...any) {
		l.Add(diag.Error, "nest-unproven", "the nest as written is not what was laid: %s", fmt.Sprintf(format, args...)).Ours()
	}
	all, err := read(ctx, nest)
	if err != "" {
		told("%s", err)
		return l
	}
	single := make([]file, len(sheets))
	for i, b := range sheets {
		if single[i], err = read(ctx, b); err != "" {
			told("a sheet: %s", err)
			return l
		}
	}
	inPlace := make([]file, len(pieces))
	for i, p := range pieces {
		w.Look()
		inPlace[i] = single[p.Sheet].laid(p)
		if missing := claim(all.cuts, inPlace[i].cuts, i); len(missing) > 0 {
			told("%d cuts of %s are not where it lies", len(missing), p.Name)
		}
		own := inPlace[i].material(w)
		for _, e := range claim(all.engraved, inPlace[i].engraved, i) {
			if own.holds(e.ring) {
				told("engraving of %s is not where it lies", p.Name)
				break
			}
		}
		for k, e := range all.engraved {
			if e.piece < 0 && own.holds(e.ring) {
				all.engraved[k].piece = i
			}
		}
	}
	room := geom.Box{Max: geom.Pt{X: s.W, Y: s.H}}.Grown(Tolerance - s.Edge)
	for _, c := range all.cuts {
		switch {
		case c.piece < 0:
			told("a cut at %s belongs to no piece", at(c))
		case !room.Contains(c.box.Min) || !room.Contains(c.box.Max):
			told("%s comes too near to the stock's edge", pieces[c.piece].Name)
		}
	}
	for _, e := range all.engraved {
		if e.piece < 0 {
			told("engraving at %s is on no piece", at(e))
		}
	}
	for i := range pieces {
		for k := range i {
			w.Look()
			if near := inPlace[i].dist(w, inPlace[k], s.Gap); near < float64(s.Gap-Tolerance) {
				told("%s and %s are %.3f mm from each other", pieces[k].Name, pieces[i].Name, near/float64(geom.Millimetre))
			}
		}
	}
	for _, c := range all.cuts {
		w.Look()
		for _, d := range all.cuts {
			if d.piece != c.piece && d.rank > c.rank && c.box.Contains(d.ring[0]) && c.ring.Locate(d.ring[0]) == geom.Inside {
				told("a cut at %s is made before what lies in it is cut", at(c))
				break
			}
		}
	}
	return l
}

func at(c line) string { return fmt.Sprintf("x %.2f, y %.2f", c.box.Min.X.MM(), c.box.Min.Y.MM()) }

// read returns the closed lines of a drawing, and else what is wrong with it.
func read(ctx context.Context, src []byte) (f file, wrong string) {
	d, l := dxf.Read(ctx, src, "nest.dxf")
	if err := l.Err(); err != nil {
		return f, err.Error()
	}
	if d.Units.MMPerUnit != 1 {
		return f, "it is not in millimetres"
	}
	for i, e := range d.Entities {
		if !e.Path.Closed || len(e.Path.Vertices) < 2 {
			return f, fmt.Sprintf("entity %d is no closed line", i+1)
		}
		c := make(geom.Contour, len(e.Path.Vertices))
		for k, v := range e.Path.Vertices {
			c[k] = geom.Vertex{Pt: geom.PtMM(v.X, v.Y), Bulge: v.Bulge}
		}
		one := line{ring: c.Ring(geom.FlattenTolerance), box: c.Box(), piece: -1}
		if len(one.ring) == 0 {
			return f, fmt.Sprintf("entity %d is a point", i+1)
		}
		switch number, work, _ := strings.Cut(e.Layer, "-"); {
		case work == "engrave":
			f.engraved = append(f.engraved, one)
		case strings.HasPrefix(work, "cut-") && len(number) == 1:
			one.rank = int(number[0])*len(d.Entities) + i
			f.cuts = append(f.cuts, one)
		default:
			return f, fmt.Sprintf("layer %s is no work for the laser", e.Layer)
		}
	}
	return f, ""
}

// laid returns the lines of a sheet where it is said to lie.
func (f file) laid(p Piece) file {
	turn := func(r geom.Ring) geom.Ring {
		out := make(geom.Ring, len(r))
		for i, q := range r {
			v := geom.Vec(q).Quarter(p.Turn / geom.QuarterDegrees)
			out[i] = geom.Pt(v)
		}
		return out
	}
	box := func(b geom.Box) geom.Box {
		r := turn(geom.Ring{b.Min, b.Max})
		return geom.BoxOf(r...)
	}
	whole := geom.EmptyBox()
	for _, c := range f.cuts {
		whole = whole.Union(box(c.box))
	}
	by := p.At.Sub(whole.Min)
	move := func(all []line) []line {
		out := make([]line, len(all))
		for i, c := range all {
			b := box(c.box)
			out[i] = line{ring: turn(c.ring).Moved(by), box: geom.Box{Min: b.Min.Add(by), Max: b.Max.Add(by)}, rank: c.rank}
		}
		return out
	}
	return file{move(f.cuts), move(f.engraved)}
}

// claim finds each of a piece's lines among those that no piece has yet, and returns those that are not there.
func claim(all, own []line, piece int) (missing []line) {
	order := make([]int, len(all))
	for i := range all {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(all[a].box.Min.X, all[b].box.Min.X), a-b) })
	for _, c := range own {
		k, _ := slices.BinarySearchFunc(order, c.box.Min.X-Tolerance, func(i int, x geom.Nm) int { return cmp.Compare(all[i].box.Min.X, x) })
		found := false
		for ; k < len(order) && !found && all[order[k]].box.Min.X <= c.box.Min.X+Tolerance; k++ {
			if d := &all[order[k]]; d.piece < 0 && d.alike(c) {
				d.piece, found = piece, true
			}
		}
		if !found {
			missing = append(missing, c)
		}
	}
	return missing
}

// alike reports whether two lines are one, within the tolerance.
func (c line) alike(d line) bool {
	near := func(a, b geom.Pt) bool { return max(a.X-b.X, b.X-a.X, a.Y-b.Y, b.Y-a.Y) <= Tolerance }
	if !near(c.box.Min, d.box.Min) || !near(c.box.Max, d.box.Max) {
		return false
	}
	if a, b := c.ring.Area(), d.ring.Area(); math.Abs(a-b) > c.ring.Perimeter()*Tolerance.MM() {
		return false
	}
	for _, r := range [][2]geom.Ring{{c.ring, d.ring}, {d.ring, c.ring}} {
		for i := 0; i < len(r[0]); i += len(r[0])/samples + 1 {
			if r[1].DistTo(r[0][i]) > float64(2*Tolerance) {
				return false
			}
		}
	}
	return true
}

// samples is how many of a line's corners are looked for on another one, beside its box and its area.
const samples = 24

// material is what a piece is of.
type material []geom.Ring

func (f file) material(*work.Watch) material {
	var out material
	for _, c := range f.cuts {
		out = append(out, c.ring)
	}
	return out
}

// inside reports whether p lies within an odd number of cuts, so in the piece.
func (m material) inside(p geom.Pt) bool {
	n := 0
	for _, r := range m {
		switch r.Locate(p) {
		case geom.Inside:
			n++
		case geom.OnEdge:
			return true
		}
	}
	return n%2 == 1
}

// holds reports whether a line lies on the piece, within the tolerance.
func (m material) holds(r geom.Ring) bool {
	for _, p := range r {
		if !m.inside(p) && !slices.ContainsFunc(m, func(e geom.Ring) bool { return e.DistTo(p) <= float64(Tolerance) }) {
			return false
		}
	}
	box := r.Box()
	for _, e := range m {
		if e.Box().Touches(box) && crosses(r, e) {
			return false
		}
	}
	return true
}

// crosses reports whether two rings do, by more than the tolerance.
func crosses(a, b geom.Ring) bool {
	box := a.Box()
	inner := func(p geom.Pt) bool { return a.Locate(p) == geom.Inside && a.DistTo(p) > float64(Tolerance) }
	return slices.ContainsFunc(b, func(p geom.Pt) bool { return box.Contains(p) && inner(p) })
}

// dist is how near two pieces come, as far as that is below gap; 0 where they overlap.
func (f file) dist(w *work.Watch, g file, gap geom.Nm) float64 {
	best := float64(gap)
	for _, c := range f.cuts {
		for _, d := range g.cuts {
			if c.box.Dist(d.box) >= best {
				continue
			}
			w.Look()
			near := d.box.Grown(gap)
			var segs []geom.Segment
			for _, t := range d.ring.Segments() {
				if c.box.Grown(gap).Touches(t.Box()) {
					segs = append(segs, t)
				}
			}
			for _, s := range c.ring.Segments() {
				b := s.Box()
				if !near.Touches(b) {
					continue
				}
				for _, t := range segs {
					if b.Dist(t.Box()) < best {
						if s.Crosses(t) {
							return 0
						}
						best = min(best, s.Dist(t))
					}
				}
			}
		}
	}
	a, b := f.material(w), g.material(w)
	for _, c := range f.cuts {
		if b.deep(c.ring[0]) {
			return 0
		}
	}
	for _, d := range g.cuts {
		if a.deep(d.ring[0]) {
			return 0
		}
	}
	return best
}

// deep reports whether p lies in the piece, farther than the tolerance from its edges.
func (m material) deep(p geom.Pt) bool {
	return m.inside(p) && !slices.ContainsFunc(m, func(e geom.Ring) bool { return e.DistTo(p) <= float64(Tolerance) })
}
