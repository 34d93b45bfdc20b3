package compare

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"lampblack/export/result"
)

// astray is how far off an opening, a body or a text of the same size is still the same one, moved.
const astray = 40.0 // mm

func far(ax, ay, bx, by float64) float64 { return math.Hypot(bx-ax, by-ay) }

// paired returns for each old thing which of the new ones it is by a measure, the nearest first; -1: none. A measure below 0 is no pair.
// What has a pair in to already keeps it.
func paired(to []int, n int, by func(i, j int) float64) {
	taken := make([]bool, n)
	for _, j := range to {
		if j >= 0 {
			taken[j] = true
		}
	}
	type pair struct {
		i, j int
		far  float64
	}
	var all []pair
	for i := range to {
		for j := range n {
			if to[i] < 0 && !taken[j] {
				if f := by(i, j); f >= 0 {
					all = append(all, pair{i, j, f})
				}
			}
		}
	}
	slices.SortFunc(all, func(p, q pair) int { return cmp.Or(cmp.Compare(p.far, q.far), p.i-q.i, p.j-q.j) })
	for _, p := range all {
		if to[p.i] < 0 && !taken[p.j] {
			to[p.i], taken[p.j] = p.j, true
		}
	}
}

func unpaired(n int) []int { return slices.Repeat([]int{-1}, n) }

// loops tells of openings, bodies and room: of the same shape elsewhere, of another shape in the same place, gone and new.
func (d *Difference) loops(what, panel string, was, is []result.Loop, at frames, no func(string, ...any)) {
	dx, dy := at.new[0]-at.old[0], at.new[1]-at.old[1]
	moved := func(b result.Loop) [4]float64 {
		return [4]float64{b.BBox[0] - dx, b.BBox[1] - dy, b.BBox[2] - dx, b.BBox[3] - dy}
	}
	apart := func(i, j int) (vx, vy float64) {
		a, b := was[i].BBox, moved(is[j])
		return (b[0] + b[2] - a[0] - a[2]) / 2, (b[1] + b[3] - a[1] - a[3]) / 2
	}
	shape := func(i, j int, vx, vy float64) bool { // alike, but for the way
		b := moved(is[j])
		to := frames{at.old, [2]float64{at.new[0] + vx, at.new[1] + vy}}
		return !differ(was[i].Area, is[j].Area) && near(was[i].BBox, [4]float64{b[0] - vx, b[1] - vy, b[2] - vx, b[3] - vy}) && alike(was[i].Path, is[j].Path, to)
	}
	to := unpaired(len(was))
	paired(to, len(is), func(i, j int) float64 {
		if shape(i, j, 0, 0) {
			return 0
		}
		return -1
	})
	paired(to, len(is), func(i, j int) float64 {
		if vx, vy := apart(i, j); math.Hypot(vx, vy) <= astray && shape(i, j, vx, vy) {
			return math.Hypot(vx, vy)
		}
		return -1
	})
	paired(to, len(is), func(i, j int) float64 {
		if vx, vy := apart(i, j); math.Hypot(vx, vy) <= reach {
			return math.Hypot(vx, vy)
		}
		return -1
	})
	fresh := func(b result.Loop, words string) {
		if b.Path == "" { // else it is tried against the board's edge
			no("%s of %s mm at %s %s: what sits there may meet the board", what, size(b.BBox), middle(b.BBox), words)
		}
	}
	for i, j := range to {
		if j < 0 {
			d.tell(what+"-gone", panel, "", "%s of %s mm at %s is gone", what, size(was[i].BBox), middle(was[i].BBox))
			continue
		}
		a, b := was[i], is[j]
		vx, vy := apart(i, j)
		if shape(i, j, 0, 0) {
			continue
		}
		if shape(i, j, vx, vy) {
			d.tell(what+"-moved", panel, "", "%s of %s mm at %s moved by %s mm, to %s", what, size(a.BBox), middle(a.BBox), figure(math.Hypot(vx, vy)), middle(b.BBox))
			fresh(b, "is elsewhere")
			continue
		}
		was := fmt.Sprintf("of %s mm", size(a.BBox))
		if size(a.BBox) == size(b.BBox) {
			was = fmt.Sprintf("of another shape, with %s mm² in place of %s mm²", figure(a.Area), figure(b.Area))
		}
		place := ""
		if math.Hypot(vx, vy) > placeTol {
			place = " at " + middle(a.BBox)
		}
		d.tell(what, panel, "", "%s at %s is %s mm, it was %s%s", what, middle(b.BBox), size(b.BBox), was, place)
		fresh(b, "is another")
	}
	for j, b := range is {
		if !slices.Contains(to, j) {
			d.tell(what+"-added", panel, "", "a new %s of %s mm at %s", what, size(b.BBox), middle(b.BBox))
			fresh(b, "is new")
		}
	}
}

// texts tells of lettering: moved or of another size, of other words in the same place, gone and new.
func (d *Difference) texts(was, is result.Panel, dx, dy float64) {
	a, b := was.Lettering, is.Lettering
	to := unpaired(len(a))
	way := func(i, j int) float64 { return far(a[i].X, a[i].Y, b[j].X-dx, b[j].Y-dy) }
	still := func(i, j int) bool {
		return a[i].Text == b[j].Text && way(i, j) <= placeTol && math.Abs(a[i].Height-b[j].Height) <= placeTol
	}
	for _, fits := range []func(i, j int) bool{
		still,
		func(i, j int) bool { return a[i].Text == b[j].Text && way(i, j) <= astray },
		func(i, j int) bool { return way(i, j) <= placeTol },
	} {
		paired(to, len(b), func(i, j int) float64 {
			if fits(i, j) {
				return way(i, j)
			}
			return -1
		})
	}
	say := func(t result.Text) string {
		return fmt.Sprintf("%q at %s, %s mm high", t.Text, spot(t.X, t.Y), figure(t.Height))
	}
	for i, j := range to {
		switch {
		case j < 0:
			d.tell("lettering-gone", was.Name, "", "no longer lettering %s", say(a[i]))
		case still(i, j):
		case a[i].Text == b[j].Text:
			how := ""
			if by := way(i, j); by > placeTol {
				how = fmt.Sprintf("moved by %s mm, to %s", figure(by), spot(b[j].X, b[j].Y))
			}
			if u, v := figure(a[i].Height), figure(b[j].Height); u != v {
				if how != "" {
					how += ", and "
				}
				how += fmt.Sprintf("is %s mm high now", v)
			}
			if how == "" {
				continue
			}
			d.tell("lettering", was.Name, "", "lettering %s, %s", say(a[i]), how)
		default:
			how := ""
			if u, v := figure(a[i].Height), figure(b[j].Height); u != v {
				how = fmt.Sprintf(", %s mm high", v)
			}
			d.tell("lettering", was.Name, "", "lettering %s, says %q now%s", say(a[i]), b[j].Text, how)
		}
	}
	for j, t := range b {
		if !slices.Contains(to, j) {
			d.tell("lettering-added", is.Name, "", "new lettering %s", say(t))
		}
	}
}
